"""Reminders for the family's phone: what this patient has dates for, and the calendar file.

Nothing of it names the patient: a phone shows titles on its locked screen.
"""

from plainleaf.reminders.calendar_file import calendar_file
from plainleaf.reminders.plan import Reminder, reminders

__all__ = ["Reminder", "calendar_file", "reminders"]
