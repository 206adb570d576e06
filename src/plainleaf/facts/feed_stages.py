"""Feeding orders as they are from one day on: each step of an order with what it changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from plainleaf.facts.plans import step_spans
from plainleaf.facts.runs import A_DAY, minutes_in
from plainleaf.facts.week import A_WEEK, WeekSpan, week_minutes
from plainleaf.inputs.patient import Feed, Patient
from plainleaf.inputs.patient.order_values import FeedStep
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.patient_file.scalars_2 import Portion, moment_of
from plainleaf.vocabulary.quantities import Quantity


def last_moment(day: date | None) -> datetime | None:
    """The end of a last day, which is included; a moment as it is."""
    start = moment_of(day)
    return start if start is None or isinstance(day, datetime) else start + timedelta(days=1)


@dataclass(frozen=True)
class FeedStage:
    """A feeding order from one moment to another; None is open.

    `step` counts from 1, and is 0 where the order has no steps.
    """

    feed: Feed
    step: int
    begins: datetime | None
    ends: datetime | None
    amount: Quantity | None
    rate: Quantity | None
    runs_for: Quantity | None
    starts: time | None
    times: tuple[time, ...]

    @property
    def minutes(self) -> int:
        """How long one feeding lasts, in whole minutes; 0 where nothing says it."""
        if self.feed.method == "pump":
            run = self.runs_for
            if run is None and self.amount is not None and self.rate is not None:
                run = self.amount.to("mL") / self.rate
            return 0 if run is None else minutes_in(run)
        return 0 if self.feed.over is None else minutes_in(self.feed.over)

    @property
    def first_day(self) -> str:
        """The day from which a step holds, as a decision names it; empty without steps."""
        return self.begins.date().isoformat() if self.step and self.begins is not None else ""

    @property
    def clocks(self) -> tuple[time, ...]:
        """When feedings begin on a day."""
        return self.times or (() if self.starts is None else (self.starts,))

    @property
    def week(self) -> tuple[WeekSpan, ...]:
        """Start and end of each feeding of a week."""
        return tuple((m, m + self.minutes) for m in sorted(week_minutes(self.clocks, self.days)))

    @property
    def days(self) -> tuple[str, ...]:
        """Days of the week; none means each."""
        return self.feed.days

    @property
    def volume(self) -> Quantity | None:
        """What one day gives, in mL; None where nothing says it."""
        if self.times:
            return None if self.amount is None else self.amount.to("mL") * len(self.times)
        if self.rate is None or self.runs_for is None:
            return None
        return (self.rate * self.runs_for).to("mL")


def stages_of(feed: Feed, file: str) -> Iterator[FeedStage]:
    """The stages of one feeding order: each of its steps, or the order itself.

    Raises:
        PatientError: A step lasts no whole days.
    """
    begins, last = moment_of(feed.begins), last_moment(feed.ends)
    if not feed.steps:
        yield FeedStage(
            feed, 0, begins, last, feed.amount, feed.rate, feed.runs_for, feed.starts, feed.times
        )
        return
    spans = step_spans(feed, file)
    for number, (step, (first, end)) in enumerate(zip(feed.steps, spans, strict=True), 1):
        yield FeedStage(
            feed,
            number,
            begins if number == 1 else moment_of(first),
            last if end is None else last_moment(end),
            _amount(feed, step),
            step.rate or feed.rate,
            step.runs_for or feed.runs_for,
            step.starts or feed.starts,
            step.times or feed.times,
        )


def _amount(feed: Feed, step: FeedStep) -> Quantity | None:
    if not isinstance(step.amount, Portion):
        return step.amount or feed.amount
    formula = feed.formula
    assert formula is not None and formula.container is not None
    return formula.container.to("mL") * step.amount.count


def all_stages(patient: Patient) -> tuple[FeedStage, ...]:
    """The stages of every feeding order, in file order."""
    return tuple(stage for feed in patient.feeding for stage in stages_of(feed, patient.file))


def feed_minutes(patient: Patient, end: bool = False) -> frozenset[int]:
    """Minutes of the week at which a feeding begins, or with `end` is over."""
    spans = (span for stage in all_stages(patient) for span in stage.week)
    return frozenset((last if end else first) % A_WEEK for first, last in spans)


def tied_minutes(
    patient: Patient, times: tuple[time, ...], tied: str | None, days: tuple[str, ...]
) -> frozenset[int]:
    """Minutes of the week of what is done by the clock, or before, with or after each feed."""
    if tied is None:
        return week_minutes(times, days)
    minutes = feed_minutes(patient, end=tied.startswith("after"))
    return frozenset(m for m in minutes if not days or DAYS[m // A_DAY] in days)
