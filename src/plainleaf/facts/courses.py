"""First and last doses of what is ordered for a time: from a day, until a day, or in steps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from plainleaf.facts.feed_stages import last_moment
from plainleaf.facts.plans import step_spans
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.patient_file.scalars_2 import moment_of


@dataclass(frozen=True)
class Course:
    """From a moment to another, None where open; doses by the clock on some days of the week.

    `last_times`: those of the last day, which steps may have changed. `stepped`: in steps, of which
    the last may go on.
    """

    begins: datetime | None
    ends: datetime | None
    times: tuple[time, ...]
    last_times: tuple[time, ...]
    days: tuple[str, ...]
    stepped: bool = False

    def first_dose(self) -> datetime | None:
        """The first dose by the clock; None without a first day or clock times."""
        if self.begins is None or not self.times:
            return None
        moments = self._around(self.begins.date(), self.times, forward=True)
        return next((m for m in moments if m >= self.begins), None)

    def last_dose(self) -> datetime | None:
        """The last dose by the clock; None without an end or clock times."""
        if self.ends is None or not self.last_times:
            return None
        moments = self._around(self.ends.date(), self.last_times, forward=False)
        return next((m for m in moments if m < self.ends), None)

    def next_dose(self, now: datetime) -> datetime | None:
        """The first dose by the clock that is still to come, by its first times."""
        if not self.times:
            return None
        moments = self._around(now.date(), self.times, forward=True)
        coming = next((m for m in moments if m >= now), None)
        return coming if self.ends is None or coming is None or coming < self.ends else None

    def last_day(self) -> date | None:
        """The last day, which is included; None where it goes on."""
        return None if self.ends is None else (self.ends - timedelta(seconds=1)).date()

    def _around(self, day: date, times: tuple[time, ...], *, forward: bool) -> list[datetime]:
        """Doses of eight days from one on, or backward."""
        moments = [
            datetime.combine(d, clock)
            for n in range(8)
            if DAYS[(d := day + timedelta(days=n if forward else -n)).weekday()]
            in (self.days or DAYS)
            for clock in times
        ]
        return sorted(moments, reverse=not forward)

    def over_at(self, now: datetime) -> bool:
        """Whether nothing of it is still to come."""
        if self.ends is None:
            return False
        last = self.last_dose()
        return self.ends <= now or (last is not None and last < now)

    def half_over_at(self, now: datetime) -> bool:
        """Whether it has an end, or steps, still to come, and first doses lie before."""
        planned = self.ends is not None or self.stepped
        if self.begins is None or not planned or self.over_at(now):
            return False
        first = self.first_dose()
        return first < now if first is not None else self.begins.date() < now.date()


def course_of(medicine: Medicine, file: str) -> Course:
    """The course of one medicine.

    Raises:
        PatientError: A step lasts no whole days.
    """
    ends = last_moment(medicine.ends)
    first = last = medicine.times
    if medicine.steps:
        first = medicine.steps[0].times or medicine.times
        last = medicine.steps[-1].times or medicine.times
        ends = ends or last_moment(step_spans(medicine, file)[-1][1])
    begins, stepped = moment_of(medicine.begins), bool(medicine.steps)
    return Course(begins, ends, first, last, medicine.days, stepped)
