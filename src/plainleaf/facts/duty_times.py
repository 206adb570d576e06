"""What each duty has to do, and when in a week; whether somebody who may do it is there.

A flush around a feeding or a medicine is done by who flushes. An as-needed dose has no time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import time

from plainleaf.facts.calls import outcomes_of, spans_phrase
from plainleaf.facts.derived import Value
from plainleaf.facts.feed_stages import feed_minutes, tied_minutes
from plainleaf.facts.given import Given
from plainleaf.facts.runs import A_DAY, minute_of, minutes_in
from plainleaf.facts.week import A_WEEK, WeekSpan, gaps, is_there, spans_of, week_minutes
from plainleaf.inputs.patient import Learner, Patient
from plainleaf.vocabulary.words_2 import DUTIES

# What must be done at once, by whoever is there.
RESCUE = "rescue"
# Who checks the balloon where it is neither of the people who are taught.
_BALLOON_BY_OTHERS = ("nurse", "nobody")


@dataclass(frozen=True)
class Task:
    """One thing to do, at minutes of the week."""

    duty: str
    minutes: frozenset[int]


def _feed_tasks(patient: Patient) -> Iterator[Task]:
    begins, ends = feed_minutes(patient), feed_minutes(patient, end=True)
    pumps = any(feed.method == "pump" for feed in patient.feeding)
    yield Task("feeding", begins | (ends if pumps else frozenset()))
    for additive in patient.additives:
        yield Task("feeding", week_minutes(additive.times, additive.days))
    if patient.water.before_feed is not None:
        yield Task("flushing", begins)
    if patient.water.after_feed is not None:
        yield Task("flushing", ends)


def _water_tasks(patient: Patient) -> Iterator[Task]:
    water = patient.water
    for extra in water.extras:
        yield Task("flushing", week_minutes(extra.times))
    if water.every is not None and water.starts is not None:
        first, step = minute_of(water.starts), minutes_in(water.every)
        minutes = {m % A_DAY for m in range(first, first + A_DAY, max(step, 1))}
        yield Task("flushing", week_minutes(time(m // 60, m % 60) for m in minutes))


def _medicine_tasks(patient: Patient) -> Iterator[Task]:
    for medicine in patient.medicines:
        steps = [step.times for step in medicine.steps if step.times]
        clocks = tuple(dict.fromkeys(c for times in (medicine.times, *steps) for c in times))
        minutes = tied_minutes(patient, clocks, medicine.tied, medicine.days)
        yield Task("injections" if medicine.route == "injection" else "medicines", minutes)
        if medicine.through is not None and patient.water.medicine is not None:
            yield Task("flushing", minutes)


def _other_tasks(patient: Patient) -> Iterator[Task]:
    for check in patient.watch:
        if check.what == "blood sugar":
            yield Task("sugar-checks", tied_minutes(patient, check.times, check.tied, check.days))
    drainage, venting = patient.drainage, patient.venting
    if drainage is not None:
        opens = week_minutes(drainage.times)
        long = 0 if drainage.lasts is None else minutes_in(drainage.lasts)
        yield Task("drainage", opens | {(minute + long) % A_WEEK for minute in opens})
    if venting is not None:
        for words, ends in (("before each feed", False), ("after each feed", True)):
            if words in venting.when:
                yield Task("venting", feed_minutes(patient, end=ends))


def tasks_of(patient: Patient) -> dict[str, frozenset[int]]:
    """Duty → minutes of the week at which the plan has something to do for it."""
    minutes: dict[str, frozenset[int]] = {}
    for work in (_feed_tasks, _water_tasks, _medicine_tasks, _other_tasks):
        for task in work(patient):
            minutes[task.duty] = minutes.get(task.duty, frozenset()) | task.minutes
    return {duty: minutes[duty] for duty in DUTIES if minutes.get(duty)}


def duties_of_plan(given: Given) -> tuple[str, ...]:
    """Every duty that this plan has, at a time of the day or at any time."""
    patient = given.patient
    own_balloon = (patient.overrides or {}).get("balloon_check_by") not in _BALLOON_BY_OTHERS
    with_clock = tasks_of(patient)
    at_any_time = {
        "medicines": any(m.route != "injection" for m in patient.medicines),
        "injections": any(m.route == "injection" for m in patient.medicines),
        RESCUE: bool(rescue_needs(patient)),
        "sugar-checks": any(check.what == "blood sugar" for check in patient.watch),
        "site-care": True,
        "drainage": patient.drainage is not None,
        "venting": patient.venting is not None,
        "balloon": patient.tube.held_by == "balloon" and own_balloon,
        "put-back": patient.tube.may_put_back is not None,
    }
    return tuple(duty for duty in DUTIES if duty in with_clock or at_any_time.get(duty))


def may_do(learner: Learner, duty: str) -> bool:
    """Whether a learner has a duty."""
    return duty in (learner.duties or ())


def uncovered(patient: Patient, duty: str, minutes: frozenset[int]) -> list[int]:
    """Those minutes at which nobody with the duty is there."""
    able = [learner for learner in patient.learners if may_do(learner, duty)]
    return [m for m in sorted(minutes) if not any(is_there(x.there, m) for x in able)]


# --- what cannot wait ----------------------------------------------------------------------------


def rescue_needs(patient: Patient) -> dict[str, str]:
    """Key → words of what cannot wait: a medicine for a seizure, the plan for low sugar."""
    needs = {
        f"medicines[{m.number}]": f"{m.name} for a seizure"
        for m in patient.medicines
        if m.as_needed and "seizure" in m.reasons
    }
    if patient.low_sugar is not None:
        needs["low_sugar"] = "the plan for low sugar"
    return needs


def rescue_gaps(patient: Patient, *, alone: bool) -> tuple[WeekSpan, ...]:
    """Hours of the week at which nobody with the duty `rescue` is there.

    Args:
        alone: Whether the patient can do it for themselves; in a seizure nobody can.
    """
    able = [
        learner
        for learner in patient.learners
        if may_do(learner, RESCUE) and (alone or learner.relation != "self")
    ]
    return gaps(span for learner in able for span in spans_of(learner.there))


def rescue_alone(patient: Patient) -> Value | None:
    """The hours at which nobody may help in what cannot wait, where it was settled that the
    emergency number is called then; None where it was not."""
    if not outcomes_of(patient, "rescue-not-covered", "emergency-first"):
        return None
    seizure = any(key.startswith("medicines") for key in rescue_needs(patient))
    return spans_phrase(rescue_gaps(patient, alone=not seizure))
