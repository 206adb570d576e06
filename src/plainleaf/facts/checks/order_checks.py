"""Checks on the order set as a whole: dates, eating, words, settings, and what nobody wrote.

Asked of format 2 alone. None of them is ever unknown.
"""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.checks.outcome import check, check_of_2, joined, listed, result
from plainleaf.facts.derived import Checked
from plainleaf.facts.duty_times import may_do
from plainleaf.facts.given import Given
from plainleaf.facts.refeeding import at_risk, criteria
from plainleaf.facts.timeline import VISIT_OF_DATE
from plainleaf.inputs.patient import Patient
from plainleaf.vocabulary.quantities import Quantity, read_quantity
from plainleaf.vocabulary.settings import SETTINGS


def _planned(patient: Patient, key: str) -> bool:
    """Whether the file says when, as a date or as a visit."""
    kind = VISIT_OF_DATE[key]
    return key in patient.dates or any(visit.what == kind for visit in patient.visits)


@check_of_2()
def stitches_no_date(given: Given) -> Checked:
    """Stitches hold the tube, and nothing says when and by whom they are taken out."""
    stitched = given.tube.held_by == "stitches"
    return result(stitched and not _planned(given.patient, "stitches_out"), ["dates.stitches_out"])


@check_of_2("number")
def skin_buttons_no_date(given: Given) -> Checked:
    """Skin buttons, and nothing says when and by whom they come off."""
    number = given.tube.skin_buttons
    open_date = number > 0 and not _planned(given.patient, "skin_buttons_off")
    return result(open_date, ["dates.skin_buttons_off"], number=str(number))


@check_of_2()
def held_after_missing(given: Given) -> Checked:
    """The holding stitches have a date to come out, and nothing says what holds the tube then."""
    tube = given.tube
    out = tube.held_by == "stitches" and _planned(given.patient, "stitches_out")
    return result(out and tube.held_after_stitches is None, ["tube.held_after_stitches"])


@check_of_2("what")
def date_twice(given: Given) -> Checked:
    """A date under `dates` that is also a visit of its kind."""
    patient = given.patient
    kinds = {visit.what for visit in patient.visits}
    return listed(
        [
            (f"dates.{key}", f"dates.{key} and a visit of kind {kind}")
            for key, kind in VISIT_OF_DATE.items()
            if key in patient.dates and kind in kinds
        ]
    )


@check_of_2("what")
def put_back_not_taught(given: Given) -> Checked:
    """Somebody who may put the tube back is no learner with that duty (h-force)."""
    order = given.tube.may_put_back
    able = {x.name for x in given.patient.learners if may_do(x, "put-back")}
    names = [] if order is None else [name for name in order.who if name not in able]
    return listed([("tube.may_put_back.who", name) for name in names])


# --- eating and drinking -------------------------------------------------------------------------


@check_of_2("what")
def nothing_and_something(given: Given) -> Checked:
    """`nothing` by mouth beside another word, or with an amount to drink."""
    person = given.person
    faults = []
    if "nothing" in person.mouth:
        others = [word for word in person.mouth if word != "nothing"]
        faults = [("patient.by_mouth", word) for word in others]
        if person.drink is not None:
            faults.append(("patient.drink", f"{person.drink} to drink each day"))
    return listed(faults)


def _history(given: Given) -> tuple[str, ...]:
    """Medicines and treatments of the published list, in words."""
    kinds = {
        "insulin": any("insulin" in m.entries for m in given.medicines),
        "cancer treatment": "cancer-treatment" in given.person.conditions,
        "an antacid or a water tablet": any("refeeding" in m.entries for m in given.medicines),
    }
    return tuple(words for words, holds in kinds.items() if holds)


@check()
def refeeding_tests_missing(given: Given) -> Checked:
    """Refeeding risk is recorded, and no blood test with its reader is written as a visit."""
    if "refeeding-risk" not in given.person.conditions:
        return result(False)
    planned = any(visit.read_by for visit in given.patient.visits)
    return result(not planned, ["patient.conditions"])


@check_of_2("what")
def refeeding_suspected(given: Given) -> Checked:
    """An adult meets published criteria without `refeeding-risk` (refeed-criteria)."""
    person = given.person
    if given.child or "refeeding-risk" in person.conditions:
        return result(False)
    met = criteria(
        person.weight, person.height, person.weight_loss, person.ate_little_for, _history(given)
    )
    keys = ["patient.conditions", *(criterion.key for criterion in met)]
    return result(at_risk(met), keys, what=joined(criterion.words for criterion in met))


# --- settings and words --------------------------------------------------------------------------


def _outside(given: Given) -> Iterator[tuple[str, str]]:
    for key, value in (given.patient.overrides or {}).items():
        setting = SETTINGS.get(key)
        if isinstance(value, Quantity) and setting is not None:
            low, high = (read_quantity(end, value.kind) for end in (setting.low, setting.high))
            if not low.to(value.unit) <= value <= high.to(value.unit):
                yield f"overrides.{key}", f"{key} {value} (from {low} to {high})"
        elif key == "water_kind" and given.age_group == "infant":
            allowed = SETTINGS["water_for_infants"].words
            if value not in allowed:
                yield f"overrides.{key}", f"{value} water for a baby ({' or '.join(allowed)})"


@check_of_2("what")
def override_out_of_range(given: Given) -> Checked:
    """An order instead of a setting, outside what the setting may hold anywhere."""
    return listed(list(_outside(given)))


@check_of_2("what")
def head_up_unclear(given: Given) -> Checked:
    """Under one year: upright without how, a raised bed, or a head up to sleep (infant-flat)."""
    overrides = given.patient.overrides or {}
    if given.age_years >= 1:
        return result(False)
    faults = []
    raised = [key for key in ("head_up_angle", "head_up_after") if key in overrides]
    if raised and "head_up_how" not in overrides:
        faults.append(("overrides.head_up_how", f"{joined(raised)} without head_up_how"))
    if overrides.get("head_up_how") == "raised bed":
        faults.append(("overrides.head_up_how", "head_up_how: raised bed"))
    if overrides.get("sleep_position") == "head up":
        faults.append(("overrides.sleep_position", "sleep_position: head up"))
    return listed(faults)


@check_of_2("what")
def text_language_missing(given: Given) -> Checked:
    """An order in words that lacks a language in which somebody reads the handout."""
    patient = given.patient
    read = dict.fromkeys((patient.person.language, *(x.language for x in patient.learners)))
    return listed(
        [
            (f"orders[{number}].say", f"the order for {order.topic} in {tag}")
            for number, order in enumerate(patient.orders)
            for tag in read
            if tag not in order.say and tag.split("-")[0] not in order.say
        ]
    )


@check_of_2()
def allergies_not_recorded(given: Given) -> Checked:
    """Nobody wrote whether there are allergies."""
    return result(given.person.allergies is None, ["patient.allergies"])


@check_of_2()
def conditions_not_recorded(given: Given) -> Checked:
    """Nobody wrote which conditions there are."""
    return result(given.person.conditions_recorded is not True, ["patient.conditions"])
