"""Which orders hold on a date, and how: dates from a start and a length, steps, moments.

Dates are those of the wall calendar: a day is a day over the change of clocks, and a month from
the last day of a month ends on the last day of a shorter one.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import TypeVar

from plainleaf.inputs.patient import Feed, Medicine, Patient
from plainleaf.inputs.patient.order_values import Additive, Check, DoseStep, FeedStep
from plainleaf.vocabulary.errors import Fault, PatientError
from plainleaf.vocabulary.patient_file.scalars_2 import Portion
from plainleaf.vocabulary.quantities import Quantity

_A_DAY = timedelta(days=1)
Dated = Feed | Medicine | Additive | Check
D = TypeVar("D", Medicine, Additive, Check)


def day_after(start: date, long: Quantity) -> date | None:
    """The date that lies a length after a start; None where the length is no whole days or months.

    >>> from decimal import Decimal
    >>> day_after(date(2028, 1, 31), Quantity(Decimal(1), "mo"))
    datetime.date(2028, 2, 29)
    >>> day_after(date(2026, 12, 28), Quantity(Decimal(1), "wk"))
    datetime.date(2027, 1, 4)
    """
    whole = long.value if long.unit == "mo" else long.to("d").value
    if whole != whole.to_integral_value():
        return None
    if long.unit != "mo":
        return start + timedelta(days=int(whole))
    years, month = divmod(start.month - 1 + int(whole), 12)
    year = start.year + years
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def calendar_day(day: date | datetime | None) -> date | None:
    """The date of a date or a moment."""
    return day.date() if isinstance(day, datetime) else day


def step_spans(order: Feed | Medicine, file: str) -> list[tuple[date, date | None]]:
    """First and last day of each step of an order; the last without a length goes on.

    Raises:
        PatientError: A step lasts no whole days, or nothing says when it begins.
    """
    start = calendar_day(order.begins)
    spans: list[tuple[date, date | None]] = []
    steps: tuple[FeedStep | DoseStep, ...] = order.steps
    for number, step in enumerate(steps):
        if start is None:
            raise PatientError([_no_start(order, number, file)])
        after = None if step.lasts is None else day_after(start, step.lasts)
        if step.lasts is not None and after is None:
            wrong = f"{_shown(order)}.steps[{number}].for: {step.lasts} is no number of whole days."
            raise PatientError([Fault(file, 0, wrong, "Write whole days, such as 2 d.")])
        spans.append((start, None if after is None else after - _A_DAY))
        start = after
    return spans


def _no_start(order: Feed | Medicine, number: int, file: str) -> Fault:
    """What is missing before a step: the first needs a date, the others how long one lasts."""
    key = f"steps[{number - 1}].for" if number else "from"
    wrong = f"{_shown(order)}.{key} is missing, so that steps[{number}] has no first day."
    return Fault(file, 0, wrong, "Write the date, as in from: 2026-08-12." if number == 0 else
                 "Write how long it lasts, such as 2 d; only the last step goes on.")  # fmt: skip


def _shown(order: Feed | Medicine) -> str:
    return f"{'feeding' if isinstance(order, Feed) else 'medicines'}[{order.number}]"


def _dated(patient: Patient) -> Iterator[Dated]:
    yield from patient.feeding
    yield from patient.medicines
    yield from patient.additives
    yield from patient.watch


def changing_days(patient: Patient) -> Iterator[date]:
    """Every date on which an order may begin, change or have ended."""
    for order in _dated(patient):
        for edge, later in ((order.begins, False), (order.ends, True)):
            day = calendar_day(edge)
            if day is not None and (not later or edge != day):
                yield day
            if day is not None and (later or edge != day):
                yield day + _A_DAY
        if isinstance(order, Feed | Medicine):
            for first, last in step_spans(order, patient.file):
                yield first
                if last is not None:
                    yield last + _A_DAY


def orders_on(patient: Patient, day: date) -> Patient:
    """The file as it holds on a date: only orders that cover it, each as its step says.

    A pump feeding by dose is one run for each dose, as long as the dose takes. What is only for
    some days of the week, or comes every so many days, is kept.
    """
    return replace(
        patient,
        feeding=tuple(_feeds_on(patient, day)),
        medicines=tuple(_medicines_on(patient, day)),
        additives=tuple(line for line in patient.additives if _covers(line, day)),
        watch=tuple(line for line in patient.watch if _covers(line, day)),
    )


def _covers(order: Dated, day: date) -> bool:
    begins, ends = calendar_day(order.begins), calendar_day(order.ends)
    return (begins is None or begins <= day) and (ends is None or day <= ends)


def _step_on(order: Feed | Medicine, day: date, file: str) -> int | None:
    """Which step holds on a date; None before the first and after the last has ended."""
    for number, (first, last) in enumerate(step_spans(order, file)):
        if first <= day and (last is None or day <= last):
            return number
    return None


def _medicines_on(patient: Patient, day: date) -> Iterator[Medicine]:
    for medicine in patient.medicines:
        if not _covers(medicine, day):
            continue
        if not medicine.steps:
            yield medicine
            continue
        number = _step_on(medicine, day, patient.file)
        if number is not None:
            step = medicine.steps[number]
            times = step.times or medicine.times
            yield replace(medicine, dose=step.dose, times=times, steps=(), step=number)


def _feeds_on(patient: Patient, day: date) -> Iterator[Feed]:
    for feed in patient.feeding:
        if not _covers(feed, day):
            continue
        number = _step_on(feed, day, patient.file)
        if feed.steps and number is None:
            continue
        if number is not None:
            feed = _stepped(feed, number)
            _refuse_gaps(feed, patient.file)
        yield from _given_on(feed, day, patient)


def _refuse_gaps(feed: Feed, file: str) -> None:
    """A feeding whose steps and whose own keys together leave something open.

    Raises:
        PatientError: What is given, or how fast, is written in neither.
    """
    of_pump = ("rate", "amount" if feed.times else "runs_for")
    for key in of_pump if feed.method == "pump" else ("amount",):
        if getattr(feed, key) is None:
            wrong = f"{_shown(feed)}.steps: a step has no {key}, and the feeding has none either."
            raise PatientError([Fault(file, 0, wrong, f"Write {key} in each step.")])


def _stepped(feed: Feed, number: int) -> Feed:
    """A feeding with what one of its steps changes."""
    step = feed.steps[number]
    amount, cartons = feed.amount, feed.cartons
    if isinstance(step.amount, Portion):
        assert feed.formula is not None and feed.formula.container is not None
        amount, cartons = feed.formula.container.to("mL") * step.amount.count, step.amount
    elif step.amount is not None:
        amount, cartons = step.amount, None
    return replace(
        feed,
        amount=amount,
        cartons=cartons,
        rate=step.rate or feed.rate,
        runs_for=step.runs_for or feed.runs_for,
        starts=step.starts or feed.starts,
        times=step.times or feed.times,
        steps=(),
        step=number,
    )


def _given_on(feed: Feed, day: date, patient: Patient) -> Iterator[Feed]:
    """A feeding with the times that fall within its moments; each pump dose as a run."""
    if feed.starts is not None:
        if _within(feed, datetime.combine(day, feed.starts), patient):
            yield feed
        return
    times = tuple(t for t in feed.times if _within(feed, datetime.combine(day, t), patient))
    if feed.method == "pump":
        yield from (_run_of_dose(feed, clock) for clock in times)
    elif times:
        yield replace(feed, times=times)


def _within(feed: Feed, moment: datetime, patient: Patient) -> bool:
    """Whether a feeding at a moment is ordered, where it begins or ends at a moment.

    What is past when the packet is prepared stays: that day is shown as a whole day.
    """
    begins, ends = feed.begins, feed.ends
    if isinstance(begins, datetime) and patient.prepared_on <= moment < begins:
        return False
    return not isinstance(ends, datetime) or moment <= ends


def _run_of_dose(feed: Feed, clock: time) -> Feed:
    assert feed.amount is not None and feed.rate is not None
    return replace(feed, starts=clock, runs_for=feed.amount / feed.rate, times=())
