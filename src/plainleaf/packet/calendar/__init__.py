"""Reminders for the family's phone: what this patient has dates for, and the calendar file.

Nothing of it names the patient: a phone shows titles on its locked screen.
"""

from plainleaf.packet.calendar.ics import calendar_file
from plainleaf.packet.calendar.plan import reminders
from plainleaf.packet.calendar.reminder import Reminder

__all__ = ["Reminder", "calendar_file", "reminders"]
