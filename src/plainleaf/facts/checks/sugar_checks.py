"""Checks on blood sugar: the scale, what is measured, the limits, and the plan for low sugar.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from plainleaf.facts.checks.outcome import amount, check_of_2, each, joined, part, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.feed_stages import last_moment, tied_minutes
from plainleaf.facts.given import Given
from plainleaf.facts.sugar_scale import low_limit, scale_gaps, scale_overlaps
from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.inputs.patient.order_values import Check
from plainleaf.vocabulary.patient_file.scalars_2 import moment_of
from plainleaf.vocabulary.quantities import Quantity, read_quantity

_SUGAR = "blood sugar"
_LOWERS = ("insulin", "sulfonylurea")
# What a drink of sugar cannot be given through: whoever may have only this drinks no juice.
_NO_DRINK = {"nothing", "ice chips", "sips of water", "tastes"}


def _scaled(patient: Patient) -> list[tuple[Medicine, Mapping[str, str]]]:
    return [(m, m.scale) for m in patient.medicines if m.scale is not None]


def _lines(given: Given, faults_of: Callable[[Iterable[str]], list[str]]) -> Checked:
    """A part for each scale of which some values are wrong."""
    return each(
        part(f"medicines[{m.number}].scale", medicine=m.name, what="; ".join(faults))
        for m, scale in _scaled(given.patient)
        if (faults := faults_of(scale))
    )


@check_of_2("medicine", "what")
def scale_gap(given: Given) -> Checked:
    """A blood sugar for which a scale has no line, or a scale that does not begin with `below`."""
    return _lines(given, scale_gaps)


@check_of_2("medicine", "what")
def scale_overlap(given: Given) -> Checked:
    """A blood sugar for which a scale has two lines."""
    return _lines(given, scale_overlaps)


def _low_limits(patient: Patient) -> Iterator[tuple[str, str, Quantity]]:
    """Key, words and figure of everything that says which blood sugar is low."""
    for medicine, scale in _scaled(patient):
        limit = low_limit(scale)
        if limit is not None:
            yield f"medicines[{medicine.number}].scale", f"the scale of {medicine.name}", limit
    if patient.low_sugar is not None:
        yield "low_sugar.below", "the plan for low sugar", patient.low_sugar.below
    for number, check in enumerate(patient.watch):
        if check.what == _SUGAR and check.call_below is not None:
            yield f"watch[{number}].call_below", "the blood sugar checks", check.call_below


@check_of_2("what")
def sugar_limits_differ(given: Given) -> Checked:
    """Scale, plan and checks say different figures of what is a low blood sugar."""
    limits = list(_low_limits(given.patient))
    figures = {(limit.value, limit.unit) for _, _, limit in limits}
    return result(
        len(figures) > 1,
        [key for key, _, _ in limits],
        what=joined(f"{words} {amount(limit, 1)}" for _, words, limit in limits),
    )


# --- what is measured ----------------------------------------------------------------------------


def _sugar_checks(patient: Patient) -> list[Check]:
    return [check for check in patient.watch if check.what == _SUGAR]


def _covers(check: Check, medicine: Medicine, now: datetime) -> bool:
    """Whether a check is done on every day on which a medicine is given."""
    begins = max(moment_of(medicine.begins) or now, now)
    ends, last = last_moment(medicine.ends), last_moment(check.ends)
    begun = check.begins is None or (moment_of(check.begins) or now) <= begins
    return begun and (last is None or (ends is not None and ends <= last))


def _unmeasured(patient: Patient, medicine: Medicine, now: datetime) -> bool:
    """Whether a dose by a scale has no blood sugar check at its time."""
    checks = [check for check in _sugar_checks(patient) if _covers(check, medicine, now)]
    if medicine.as_needed or (not medicine.times and medicine.tied is None):
        return not checks
    if medicine.tied is not None and any(
        check.tied in (medicine.tied, "before each feed") and not check.days for check in checks
    ):
        return False
    doses = tied_minutes(patient, medicine.times, medicine.tied, medicine.days)
    measured = [tied_minutes(patient, c.times, c.tied, c.days) for c in checks]
    return not doses or not doses <= frozenset().union(*measured)


@check_of_2("medicine")
def scale_without_sugar_check(given: Given) -> Checked:
    """A scale whose times have no blood sugar check under `watch`."""
    patient = given.patient
    return each(
        part(f"medicines[{m.number}].scale", "watch", medicine=m.name)
        for m, _ in _scaled(patient)
        if _unmeasured(patient, m, given.prepared)
    )


def lowering(given: Given, kinds: Sequence[str] = _LOWERS) -> list[Medicine]:
    """Medicines of the tripwire lists of what lowers blood sugar."""
    return [m.medicine for m in given.medicines if any(kind in m.entries for kind in kinds)]


@check_of_2("medicine")
def insulin_without_sugar_checks(given: Given) -> Checked:
    """An insulin without a scale, and blood sugar is never checked (h-hypo)."""
    unwatched = not _sugar_checks(given.patient)
    return each(
        part(f"medicines[{m.number}]", "watch", medicine=m.name)
        for m in lowering(given, ("insulin",))
        if unwatched and m.scale is None
    )


# --- the plan for low sugar ----------------------------------------------------------------------


def _wants_plan(given: Given) -> Iterator[tuple[str, str]]:
    """Key and words of whatever needs a plan for low sugar."""
    for medicine in lowering(given):
        yield f"medicines[{medicine.number}]", f"{medicine.name} lowers blood sugar"
    for medicine, scale in _scaled(given.patient):
        if "low-sugar plan" in scale.values():
            yield f"medicines[{medicine.number}].scale", f"the scale of {medicine.name} names it"


@check_of_2("why")
def low_sugar_plan_missing(given: Given) -> Checked:
    """Insulin or another medicine that lowers blood sugar, and no `low_sugar` (h-hypo)."""
    wants = list(_wants_plan(given)) if given.patient.low_sugar is None else []
    return result(
        bool(wants), ["low_sugar", *(key for key, _ in wants)], why=joined(w for _, w in wants)
    )


def _cannot_swallow_it(given: Given) -> list[str]:
    """Why sugar by mouth does not fit the orders of this person."""
    person, plan = given.person, given.patient.low_sugar
    assert plan is not None
    reasons = []
    if person.mouth and set(person.mouth) <= _NO_DRINK:
        reasons.append(f"what may pass the lips is {joined(person.mouth)}")
    if "confusion" in person.conditions:
        reasons.append("confusion is recorded")
    number, unit, _ = plan.give.split(" ", 2)
    if unit == "mL" and person.mouth_each is not None:
        most = read_quantity(f"{number} mL", "volume")
        if most > person.mouth_each:
            reasons.append(f"at most {amount(person.mouth_each, 1)} may be taken at one time")
    return reasons


@check_of_2("give", "why")
def low_sugar_by_mouth(given: Given) -> Checked:
    """The plan gives sugar by mouth to somebody who may not, or may be unable to, swallow it."""
    plan = given.patient.low_sugar
    if plan is None or plan.route != "mouth":
        return result(False)
    reasons = _cannot_swallow_it(given)
    return result(
        bool(reasons), ["low_sugar.route", "patient.by_mouth"], give=plan.give, why=joined(reasons)
    )


@check_of_2("give")
def jejunal_sugar(given: Given) -> Checked:
    """The plan gives sugar into the bowel."""
    plan = given.patient.low_sugar
    into_bowel = plan is not None and plan.route == "jejunal"
    return result(into_bowel, ["low_sugar.route"], give=plan.give if plan is not None else "")
