"""Checks on what is ordered for a time: courses, steps, intervals, weekly medicines.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from plainleaf.facts.as_needed import stops_early
from plainleaf.facts.checks.feeding_checks import SAME_TOTAL
from plainleaf.facts.checks.outcome import (
    amount,
    check_of_2,
    each,
    feed_words,
    joined,
    listed,
    part,
)
from plainleaf.facts.courses import course_of
from plainleaf.facts.derived import Checked
from plainleaf.facts.feed_stages import FeedStage, all_stages, last_moment, stages_of
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary.patient_file.scalars_2 import moment_of
from plainleaf.vocabulary.quantities import Quantity, read_quantity

# A day by the clock: what comes oftener than this is written with clock times.
A_DAY_LONG = read_quantity("24 h", "time span")
A_WEEK_LONG = read_quantity("7 d", "time span")
_ONE_DAY = timedelta(days=1)


def _ends(given: Given) -> Iterator[tuple[str, str, datetime | None]]:
    """Key, words and end of every feeding, powder and check that has one."""
    patient = given.patient
    for feed in patient.feeding:
        last = list(stages_of(feed, patient.file))[-1]
        yield f"feeding[{feed.number}]", feed_words(feed, patient), last.ends
    for number, additive in enumerate(patient.additives):
        yield f"additives[{number}]", additive.name, last_moment(additive.ends)
    for number, check in enumerate(patient.watch):
        yield f"watch[{number}]", f"check of {check.what}", last_moment(check.ends)


@check_of_2("what")
def course_over(given: Given) -> Checked:
    """An order whose last day, or last dose, lies before `prepared.at`."""
    now = given.prepared
    over = [
        (f"medicines[{m.number}]", m.name)
        for m in given.patient.medicines
        if course_of(m, given.patient.file).over_at(now)
    ]
    over += [(key, words) for key, words, end in _ends(given) if end is not None and end <= now]
    return listed(over)


@check_of_2("medicine", "begins")
def course_half_over(given: Given) -> Checked:
    """A medicine for a time, or in steps, whose first doses lie before `prepared.at`."""
    now = given.prepared
    return each(
        part(f"medicines[{m.number}].from", medicine=m.name, begins=_day(m.begins))
        for m in given.patient.medicines
        if course_of(m, given.patient.file).half_over_at(now)
    )


def _day(day: date | None) -> str:
    moment = moment_of(day)
    return "" if moment is None else moment.date().isoformat()


@check_of_2("what", "begins")
def steps_past(given: Given) -> Checked:
    """Steps of a feeding that begin before the day of the packet."""
    patient = given.patient
    return each(
        part(
            f"feeding[{feed.number}].from",
            what=feed_words(feed, patient),
            begins=_day(feed.begins),
        )
        for feed in patient.feeding
        if feed.steps and (begins := moment_of(feed.begins)) and begins.date() < given.day
    )


@check_of_2("what")
def step_total_differs(given: Given) -> Checked:
    """A step of a feeding that does not add up to its `daily_total`."""
    wrong = []
    for stage in all_stages(given.patient):
        feed, ordered, volume = stage.feed, stage.feed.daily_total, stage.volume
        if stage.step and ordered is not None and volume is not None:
            if abs((volume - ordered).to("mL").value) < SAME_TOTAL.value:
                continue
            words = f"step {stage.step} gives {amount(volume, 1)}, not {amount(ordered, 1)}"
            wrong.append((f"feeding[{feed.number}].steps[{stage.step - 1}]", words))
    return listed(wrong)


@check_of_2("what")
def day_without_plan_end(given: Given) -> Checked:
    """Whole days still to come, between two feedings by date, on which nothing is fed."""
    stages = sorted(
        all_stages(given.patient), key=lambda stage: (stage.begins or datetime.min, stage.step)
    )
    gaps: list[tuple[str, str]] = []
    last: date | None = date.min
    for stage in stages:
        if last is not None and stage.begins is not None:
            gaps += _not_fed(last, stage, given)
        last = None if last is None or stage.ends is None else max(last, _last_day(stage.ends))
    return listed(gaps)


def _not_fed(last: date, stage: FeedStage, given: Given) -> Iterator[tuple[str, str]]:
    """The whole days between a last day of feeding and the first of the next."""
    assert stage.begins is not None
    first, end = last + _ONE_DAY, stage.begins.date() - _ONE_DAY
    if last != date.min and first <= end and end >= given.day:
        days = first.isoformat() if first == end else f"{first} to {end}"
        yield f"feeding[{stage.feed.number}].from", days


def _last_day(ends: datetime) -> date:
    """The date of the last moment before an end."""
    return (ends - timedelta(microseconds=1)).date()


# --- how often -----------------------------------------------------------------------------------


@check_of_2("what")
def interval_short(given: Given) -> Checked:
    """A medicine or a check `every` 24 hours or less, which is written with clock times."""
    rows: list[tuple[str, str, Quantity | None]] = [
        (f"medicines[{m.number}].every", m.name, m.every) for m in given.patient.medicines
    ]
    rows += [
        (f"watch[{number}].every", f"check of {check.what}", check.every)
        for number, check in enumerate(given.patient.watch)
    ]
    return listed(
        [(key, f"{words} every {every}") for key, words, every in rows
         if every is not None and every <= A_DAY_LONG]
    )  # fmt: skip


def _how_often(medicine: Medicine) -> str:
    """How often a medicine is given, where that is more than once a week; else empty."""
    if medicine.every is not None:
        return f"every {medicine.every}" if medicine.every < A_WEEK_LONG else ""
    if medicine.as_needed:
        return "as needed"
    if not medicine.days:
        return "every day"
    return f"on {joined(medicine.days)}" if len(medicine.days) > 1 else ""


@check_of_2("medicine", "often", "why")
def weekly_medicine_daily(given: Given) -> Checked:
    """A medicine of the list of weekly ones given more than once a week (weekly-tablets)."""
    return each(
        part(f"medicines[{m.number}].days", medicine=m.name, often=often, why=entry.why)
        for m, facts in zip(given.patient.medicines, given.medicines, strict=True)
        if (entry := facts.entries.get("weekly")) is not None and (often := _how_often(m))
    )


@check_of_2("what")
def most_before_interval(given: Given) -> Checked:
    """An as-needed medicine whose `at_most` is reached before `between` would stop it."""
    return listed(
        [
            (f"medicines[{m.number}].at_most", f"{m.name} ({m.at_most}, {m.between} apart)")
            for m in given.patient.medicines
            if m.as_needed and stops_early(m)
        ]
    )
