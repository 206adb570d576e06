"""Facts about the person and the people around: age, mouth, conditions, learners, contacts."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from plainleaf.facts.ages import CHILDREN, YOUNG_BABY_DAYS, is_small_infant
from plainleaf.facts.calls import is_hospice_first
from plainleaf.facts.declare import (
    Asked,
    Constraint,
    Slot,
    alike,
    following,
    slot,
    unasked,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.derived import Phrase, SlotValue, Typed, Value
from plainleaf.facts.given import Given
from plainleaf.inputs.patient.order_values import FeedingStops
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.conditions import NEVER, answers, every, never, no, some, yes

# A licensed person who accepts this finding says that there is no other line or tube.
OTHER_LINES_FINDING = "other-lines-not-recorded"


def has_other_lines(given: Given) -> bool | None:
    """Whether another line or tube is recorded; None until it is written or accepted as none."""
    if given.patient.other_lines is not None:
        return bool(given.patient.other_lines)
    accepted = any(entry.finding == OTHER_LINES_FINDING for entry in given.patient.accepted)
    return False if accepted else None


def interpreter_needed(given: Given) -> bool:
    """A learner reads another language than staff, or an interpreter is named."""
    staff = given.policy.word("staff_language")
    return given.patient.interpreter is not None or any(
        learner.language.split("-")[0] != staff for learner in given.patient.learners
    )


def _no_young_children(policy: Policy) -> Iterator[Constraint]:
    if days(policy.quantity("tangle_below_age")) <= 365:
        yield Constraint(never(answers("age_group", "young-child")), "the facility's ages", "fact")


def _condition(name: str, means: str, condition: str, shown: str = "") -> Asked[Given]:
    return yes_no(
        name, means, lambda g: condition in g.person.conditions,
        needs="patient.conditions", shown={"patient.conditions": [shown or condition]},
    )  # fmt: skip


# Words of format 2 that allow no more than sips.
_SIPS = frozenset({"ice chips", "sips of water", "sips of clear liquids"})


def eats(given: Given) -> str:
    """How much may be taken by mouth; of format 2, whatever is more than sips is `full`."""
    mouth = given.person.mouth
    if not mouth:
        return given.person.by_mouth
    if mouth == ("nothing",):
        return "nothing"
    return "sips" if _SIPS.issuperset(mouth) else "full"


def mouth_is_listed(given: Given) -> bool:
    """Whether a list says what may go in the mouth, until when, or by whose plan."""
    person = given.person
    if not person.mouth:
        return False
    more = (person.mouth_until, person.mouth_each, person.mouth_by, person.thickness)
    return person.mouth != ("nothing",) or any(value is not None for value in more)


def _for_seizures(given: Given) -> tuple[str, ...]:
    """Names of the as-needed medicines for a seizure, each once."""
    names = (m.name for m in given.patient.medicines if m.as_needed and "seizure" in m.reasons)
    return tuple(dict.fromkeys(names))


def _seizure_names(given: Given) -> SlotValue | None:
    """Those names in one value."""
    first, *others = _for_seizures(given) or ("",)
    said: Value = Typed("text", first)
    for name in others:
        said = Phrase("or-two", (("first", said), ("second", Typed("text", name))))
    if not first:
        return None
    return said if isinstance(said, Phrase) else first


def feeding_off_plan(given: Given) -> str | FeedingStops | None:
    """The plan for when feeding is off: words in format 1, a block in format 2."""
    return given.patient.if_feeding_stops if given.undated else given.patient.feeding_stops


_HOSPICE = {"name": "Example Hospice", "phone": "555 010 0103"}
# Only format 1 says how much is eaten without a list.
PERSON_UNASKED: tuple[Asked[Given], ...] = (
    unasked(
        "mouth_unlisted", "something is eaten or thickened, and no list says what",
        alike(yes("mouth_unlisted"),
              every(some(answers("eats", "sips", "full"), yes("thickened_fluids")),
                    no("mouth_listed")), "what the fact means"),
        only_1=True, plain="true",
    ),
    unasked(
        "insulin_route_unsaid", "insulin, and no route says that it is injected",
        alike(yes("insulin_route_unsaid"), every(yes("insulin"), no("injections_ordered")),
              "what the fact means"),
        only_1=True,
    ),
)  # fmt: skip

PERSON_FACTS: tuple[Asked[Given], ...] = (
    word(
        "age_group", terms.AGE_GROUPS, "age on the day of the packet", lambda g: g.age_group,
        needs="patient.born", plain="adult", legal_at=_no_young_children,
    ),
    word(
        "eats", terms.BY_MOUTH, "what may be taken by mouth", eats,
        needs="patient.by_mouth", plain="full", shown={"patient.by_mouth": "{answer}"},
    ),
    yes_no(
        "mouth_listed", "a list says what may go in the mouth", mouth_is_listed,
        needs="patient.by_mouth", only_2=True,
        shown={"patient.mouth_each": "10 mL"},
    ),
    yes_no(
        "seizure_medicine", "a medicine is given as needed for a seizure",
        lambda g: bool(_for_seizures(g)), needs="medicines", only_2=True,
        legal=(whenever(yes("seizure_medicine"), some(
            yes("other_route_medicines"), yes("as_needed_medicines")
        ), "it is listed"),),
    ),
    yes_no(
        "injections_ordered", "a medicine is injected",
        lambda g: any(m.route == "injection" for m in g.patient.medicines),
        needs="medicines", only_2=True,
        legal=(whenever(yes("injections_ordered"), yes("other_route_medicines"), "it is listed"),),
    ),
    yes_no(
        "lives_alone", "lives alone", lambda g: "alone" in g.person.setting,
        needs="patient.setting", only_2=True, shown={"patient.setting": ["alone"]},
    ),
    yes_no(
        "group_home", "lives in a group home", lambda g: "group-home" in g.person.setting,
        needs="patient.setting", only_2=True, shown={"patient.setting": ["group-home"]},
    ),
    yes_no(
        "hospice_care", "is cared for by a hospice",
        lambda g: "hospice" in g.person.setting or is_hospice_first(g.patient),
        needs="patient.setting", only_2=True,
        shown={"patient.setting": ["hospice"], "contacts.hospice": _HOSPICE,
               "contacts.first_call": "emergency"},
        legal=(whenever(
            yes("hospice_first"), yes("hospice_care"), "what the fact means", "fact",
        ),),
    ),
    yes_no(
        "child", "under 18 years", lambda g: g.child, needs="patient.born",
        legal=(alike(yes("child"), answers("age_group", *CHILDREN), "age groups under 18 years"),),
    ),
    _condition("confused", "confusion is recorded", "confusion"),
    following(
        "tangle_risk", "could be caught in tubing",
        some(answers("age_group", "infant", "young-child"), yes("confused")),
        needs="patient.born",
    ),
    yes_no(
        "weak_immunity", "weak immune system",
        lambda g: bool(g.person.conditions & terms.WEAK_IMMUNITY),
        needs="patient.conditions", shown={"patient.conditions": ["immune-suppressed"]},
    ),
    _condition("thickened_fluids", "drinks thickened fluids", "thickened-fluids"),
    _condition("refeeding_risk", "at risk of refeeding problems", "refeeding-risk"),
    yes_no(
        "other_lines", "has another line or tube", has_other_lines,
        needs="other_lines", shown={"other_lines": ["PICC line"]},
    ),
    yes_no(
        "interpreter_needed", "a learner reads another language than staff", interpreter_needed,
        needs="learners",
        shown={"interpreter": {"language": "es", "mode": "video", "id": "0000"}},
    ),
    yes_no(
        "several_learners", "more than one person is taught",
        lambda g: len(g.patient.learners) > 1, needs="learners",
        shown={"learners": [{"name": "Second Helper", "relation": "family", "language": "en",
                             "hands_on": True}]},
    ),
    yes_no(
        "small_infant", "under 6 months or under 6 kg",
        lambda g: is_small_infant(g.person, g.day), needs="patient.weight",
    ),
    yes_no(
        "young_baby", "under 3 months", lambda g: g.age_days < YOUNG_BABY_DAYS,
        needs="patient.born",
        legal=(whenever(yes("young_baby"),
                        every(answers("age_group", "infant"), yes("small_infant")), "ages"),),
    ),
    following(
        "baby_fever_now", "a baby whose fever is an emergency: under 3 months, or small with a "
        "tube into stomach and bowel (fever-infant, gj-perf)",
        some(yes("young_baby"), every(answers("age_group", "infant"), yes("small_infant"),
                                      answers("tube_kind", "gastrojejunostomy"))),
        needs="patient.born",
    ),
    yes_no(
        "feed_stop_plan", "a written plan for when feeding stops",
        lambda g: feeding_off_plan(g) is not None, needs="if_feeding_stops",
        legal=(whenever(
            every(yes("diabetes_medicine"), yes("fed_by_tube")), yes("feed_stop_plan"),
            "a plan for when feeding stops", "rule feed-stop-plan-missing",
        ),),
        shown={"if_feeding_stops": "Check the blood sugar and call the clinic."},
    ),
    yes_no(
        "supplies_contact", "a supply company is named",
        lambda g: g.patient.contacts.supplies is not None, needs="contacts.supplies",
        shown={"contacts.supplies": {"name": "Example Supplies", "phone": "555 010 0102"}},
    ),
)  # fmt: skip


def _supplies(key: str) -> Callable[[Given], str | None]:
    return lambda g: getattr(g.patient.contacts.supplies, key, None)


_SUPPLIES = yes("supplies_contact")

PERSON_SLOTS: tuple[Slot[Given], ...] = (
    slot("patient_name", "text", "the patient's name", lambda g: g.person.name),
    slot("clinic_name", "text", "the clinic", lambda g: g.patient.contacts.clinic.name),
    slot("clinic_hours", "text", "its hours", lambda g: g.patient.contacts.clinic.hours, NEVER),
    slot("after_hours_name", "text", "who answers out of hours",
         lambda g: g.patient.contacts.after_hours.name),
    slot("supplies_name", "text", "the supply company",
         _supplies("name"), _SUPPLIES),
    slot("feed_stop_plan_text", "text", "the plan for when feeding stops, as ordered",
         lambda g: g.patient.if_feeding_stops,
         every(yes("feed_stop_plan"), no("feed_stop_orders"))),
    slot("seizure_medicine_name", "text", "the medicine for a seizure",
         _seizure_names, yes("seizure_medicine")),
    slot("clinic_phone", "phone", "clinic, by day", lambda g: g.patient.contacts.clinic.phone),
    slot("after_hours_phone", "phone", "out of hours",
         lambda g: g.patient.contacts.after_hours.phone),
)  # fmt: skip
