"""Facts about the medicine list as a whole; those about one medicine stand in tripwires.py."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from plainleaf.facts.declare import (
    LOADER,
    Asked,
    Constraint,
    Slot,
    following,
    slot,
    unasked,
    whenever,
    yes_no,
)
from plainleaf.facts.derived import MedicineFacts, Phrase, Typed
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Medicine
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import every, no, some, yes

_BY_TUBE = yes("medicines_by_tube")
_INSULIN, _SUGAR = yes("insulin"), yes("diabetes_medicine")


def _matches(given: Given, tripwire: str) -> bool:
    return any(tripwire in medicine.entries for medicine in given.medicines)


def _together(given: Given) -> bool:
    """Two or more medicines at one time through one port."""
    rounds = sorted(
        (time, m.medicine.through or "") for m in given.by_tube for time in m.medicine.times
    )
    return any(len(list(group)) > 1 for _, group in groupby(rounds))


def _through(port: str) -> Asked[Given]:
    name = f"medicines_through_{port}"
    return yes_no(
        name, f"a medicine goes through the {port} port",
        lambda g: any(m.medicine.through == port for m in g.by_tube), needs="medicines",
        legal=(whenever(yes(name), yes(f"{port}_medicines"),
                        "medicines go through a port that is for them",
                        "rule port-not-for-this"),),
    )  # fmt: skip


def _is_by_tube(name: str) -> tuple[Constraint, ...]:
    return (whenever(yes(name), _BY_TUBE, "the fact is about medicines by tube"),)


def _crushed(given: Given, facts: MedicineFacts) -> bool:
    """Whether the family crushes it; what the pharmacy makes ready, nobody does."""
    if given.undated:
        return facts.answers["pharmacist_approved"] == "true"
    return facts.medicine.prepare == "crush"


# --- what only format 2 can order ----------------------------------------------------------------

TIMED_MEDICINES = some(*(yes(f"timed_{where}") for where in (*terms.PORTS, "elsewhere")))
_ON_THE_LIST = some(_BY_TUBE, yes("other_route_medicines"))


def _listed(given: Given, holds: Callable[[Medicine], bool]) -> bool:
    """Whether it holds of a medicine of a file of format 2."""
    return not given.undated and any(holds(medicine) for medicine in given.patient.medicines)


def _ordered(
    name: str, means: str, holds: Callable[[Medicine], bool], *legal: Constraint
) -> Asked[Given]:
    """A fact about orders that only format 2 can write.

    Args:
        legal: What holds of it, where that is more than that a medicine is on the list.
    """
    listed = whenever(yes(name), _ON_THE_LIST, "it is on the list")
    return yes_no(
        name, means, lambda g: _listed(g, holds), needs="medicines", only_2=True,
        legal=legal or (listed,),
    )  # fmt: skip


def _by_sugar(medicine: Medicine) -> bool:
    return medicine.scale is not None and medicine.route == "injection"


def _not_daily(medicine: Medicine) -> bool:
    return bool(medicine.days) or medicine.every is not None


def _held(medicine: Medicine) -> bool:
    """Whether feeding is off around it."""
    return medicine.hold_before is not None or medicine.hold_after is not None


def _allergies(given: Given) -> tuple[str, ...] | None:
    """Names of what must not be given; None where nobody wrote whether there are any."""
    return None if given.undated else given.person.allergies


def _allergy_names(given: Given) -> str | Phrase | None:
    """The names as they are written, in one line."""
    names = _allergies(given)
    if not names:
        return None
    first, *more = names
    listed: Typed | Phrase = Typed("text", first)
    for name in more:
        listed = Phrase("list-two", (("first", listed), ("second", Typed("text", name))))
    return listed if isinstance(listed, Phrase) else first


_FORMAT_2: tuple[Asked[Given], ...] = (
    _ordered(
        "dose_by_sugar", "the dose of an injection goes by the blood sugar", _by_sugar,
        whenever(yes("dose_by_sugar"), yes("injections_ordered"), "what the fact means"),
    ),
    _ordered(
        "dose_by_date", "a dose changes from one date to the next", lambda m: bool(m.steps),
        whenever(yes("dose_by_date"), TIMED_MEDICINES, "a dose as needed has no steps", LOADER),
    ),
    _ordered("not_daily_medicines", "a medicine is not given every day", _not_daily),
    _ordered("feeding_off_medicines", "feeding is off around a medicine", _held),
    yes_no(
        "needed_doses_said", "a dose as needed says what for and how often",
        lambda g: not g.undated and any(m.medicine.as_needed for m in g.by_tube),
        needs="medicines", only_2=True,
        legal=(
            whenever(yes("needed_doses_said"), yes("as_needed_medicines"), "what the fact means"),
            whenever(every(yes("order_set"), yes("as_needed_medicines")), yes("needed_doses_said"),
                     "format 2 asks both", LOADER),
        ),
    ),
    yes_no(
        "hazardous_at_home", "a hazardous medicine goes through the tube by order",
        lambda g: bool(g.outcomes_of("hazardous-medicine")), needs="medicines", only_2=True,
        legal=_is_by_tube("hazardous_at_home"),
    ),
    yes_no(
        "laxative_settled", "what goes with a laxative in thickened drinks was decided",
        lambda g: bool(g.outcomes_of("laxative-and-thickener")), needs="medicines", only_2=True,
        legal=(whenever(yes("laxative_settled"),
                        every(yes("thickened_fluids"), _ON_THE_LIST), "it is asked of them"),),
    ),
    yes_no(
        "allergies_named", "allergies are written", lambda g: bool(_allergies(g)),
        needs="patient.allergies", only_2=True, shown={"patient.allergies": ["penicillin"]},
    ),
    yes_no(
        "no_allergies_known", "it is written that there are none", lambda g: _allergies(g) == (),
        needs="patient.allergies", only_2=True, shown={"patient.allergies": []},
        legal=(whenever(yes("no_allergies_known"), no("allergies_named"), "names or none",
                        LOADER),),
    ),
)  # fmt: skip

MEDICINES_SLOTS: tuple[Slot[Given], ...] = (
    slot(
        "allergy_names", "text", "what must not be given", _allergy_names,
        yes("allergies_named"),
    ),
)  # fmt: skip
MEDICINES_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "insulin", "uses insulin", lambda g: _matches(g, "insulin"), needs="medicines",
        legal=(
            whenever(_INSULIN, _SUGAR, "insulin lowers blood sugar"),
            whenever(_INSULIN, yes("other_route_medicines"), "insulin stays out of the tube",
                     "rule insulin-through-tube"),
        ),
    ),
    yes_no(
        "diabetes_medicine", "uses insulin or a sugar-lowering medicine",
        lambda g: _matches(g, "insulin") or _matches(g, "sulfonylurea"), needs="medicines",
        legal=(whenever(_SUGAR, some(_BY_TUBE, yes("other_route_medicines")),
                        "a medicine is on the list"),),
    ),
    _through("gastric"),
    _through("jejunal"),
    following(
        "medicines_by_tube", "a medicine goes through the tube",
        some(*(yes(f"medicines_through_{port}") for port in terms.PORTS)), needs="medicines",
    ),
    yes_no(
        "medicines_together", "two or more at one time and port", _together, needs="medicines",
        legal=(whenever(yes("medicines_together"), some(yes("timed_gastric"), yes("timed_jejunal")),
                        "they have a time in common"),),
    ),
    yes_no(
        "liquid_medicines", "a liquid goes through the tube",
        lambda g: any(m.answers["medicine_form"] == "liquid" for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("liquid_medicines"),
    ),
    yes_no(
        "crushed_medicines", "a tablet may be crushed, by the pharmacist",
        lambda g: any(_crushed(g, m) for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("crushed_medicines"),
    ),
    yes_no(
        "small_doses", "a dose below the policy's small dose",
        lambda g: any(m.answers["small_dose_medicine"] == "true" for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("small_doses"),
    ),
    yes_no(
        "as_needed_medicines", "a medicine without fixed times",
        lambda g: any(m.medicine.as_needed for m in g.by_tube),
        needs="medicines", legal=_is_by_tube("as_needed_medicines"),
    ),
    yes_no(
        "other_route_medicines", "a medicine that stays out of the tube",
        lambda g: len(g.by_tube) < len(g.medicines), needs="medicines",
    ),
    *_FORMAT_2,
)  # fmt: skip


def _timed(port: str) -> Asked[Given]:
    timed, has = yes(f"timed_{port}"), yes(f"medicines_through_{port}")
    return unasked(
        f"timed_{port}", f"a medicine with a time of day goes through the {port} port",
        whenever(timed, has, "what the fact means"),
        whenever(every(has, no("as_needed_medicines")), timed,
                 "a medicine has times or is as needed", LOADER),
    )  # fmt: skip


# What no condition asks, and yet decides whether a table has rows.
MEDICINES_UNASKED: tuple[Asked[Given], ...] = (
    _timed("gastric"),
    _timed("jejunal"),
    unasked(
        "timed_elsewhere", "a medicine with a time of day stays out of the tube",
        whenever(yes("timed_elsewhere"), yes("other_route_medicines"), "what the fact means"),
    ),
)  # fmt: skip
