"""Facts about what is done before help comes, and whom to call: low sugar, a feeding that is off,
checks at home, the first days of feeding again, the hospice."""

from __future__ import annotations

from datetime import date, timedelta

from plainleaf.facts.calls import (
    call_phrase,
    contact_called,
    first_called,
    is_for_emergency,
    is_hospice_first,
    joined_by,
    more_contacts,
    next_called,
)
from plainleaf.facts.declare import ORDER_SET, Asked, Slot, alike, slot, whenever, yes_no
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.duty_times import rescue_alone
from plainleaf.facts.feed_stages import all_stages
from plainleaf.facts.given import Given
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import FeedingStops, LowSugar
from plainleaf.vocabulary.conditions import every, some, yes
from plainleaf.vocabulary.quantities import Quantity, read_number

# refeed: changes within so many days of starting food again.
RESTART_DAYS = 5
_LOW_SUGAR = {
    "below": "70 mg/dL", "give": "120 mL apple juice", "route": "cheek", "recheck": "15 min",
    "tries": 2, "then_call": "after_hours",
}  # fmt: skip
_OTHER = {"name": "Example helper", "phone": "555 010 0104"}
_STOPS = {"after": "1 h", "check": ["blood sugar"], "call": "clinic"}


def _sugar_to_emergency(given: Given) -> bool:
    plan = given.patient.low_sugar
    return plan is not None and is_for_emergency(given.patient, plan.then_call)


_CHECK = {"what": "weight", "times": ["08:00"], "days": ["Mon"], "call_up": "1 kg",
          "call": "after_hours"}  # fmt: skip

CALLS_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "more_contacts", "there are others to call than those of the sheet and for supplies",
        lambda g: any(True for _ in more_contacts(g.patient)), needs="contacts",
        legal=(whenever(yes("hospice_first"), yes("more_contacts"),
                        "after the hospice others are called"),),
        shown={"contacts.others": [_OTHER]},
    ),
    yes_no(
        "hospice_first", "the hospice is called first", lambda g: is_hospice_first(g.patient),
        needs="contacts.first_call", only_2=True,
        shown={"contacts.first_call": "hospice"},
    ),
    yes_no(
        "low_sugar_plan", "a written plan for low sugar",
        lambda g: g.patient.low_sugar is not None, needs="low_sugar", only_2=True,
        shown={"low_sugar": _LOW_SUGAR},
        legal=(whenever(every(yes(ORDER_SET), yes("diabetes_medicine")), yes("low_sugar_plan"),
                        "a plan for low sugar", "rule low-sugar-plan-missing"),),
    ),
    yes_no(
        "low_sugar_to_emergency", "the plan for low sugar ends with the call of an emergency",
        _sugar_to_emergency, needs="low_sugar", only_2=True,
        legal=(whenever(yes("low_sugar_to_emergency"), yes("low_sugar_plan"),
                        "it is the end of such a plan"),),
        shown={"low_sugar.then_call": "emergency"},
    ),
    yes_no(
        "feed_stop_orders", "the plan for when feeding is off says what to check and whom to call",
        lambda g: g.patient.feeding_stops is not None, needs="if_feeding_stops", only_2=True,
        legal=(alike(yes("feed_stop_orders"), every(yes(ORDER_SET), yes("feed_stop_plan")),
                     "it is such a plan"),),
        shown={"if_feeding_stops": _STOPS},
    ),
    yes_no(
        "watched", "something is measured at home", lambda g: bool(g.patient.watch),
        needs="watch", only_2=True,
        legal=(alike(yes("watched"), some(yes("watch_calls_now"), yes("watch_calls_us")),
                     "each check has a limit, and whom to call beyond it"),),
    ),
    yes_no(
        "watch_calls_now", "beyond a limit of a check at home an emergency is called",
        lambda g: any(is_for_emergency(g.patient, check.call) for check in g.patient.watch),
        needs="watch", only_2=True, shown={"watch": [{**_CHECK, "call": "emergency"}]},
    ),
    yes_no(
        "watch_calls_us", "beyond a limit of a check at home somebody of the team is called",
        lambda g: any(not is_for_emergency(g.patient, check.call) for check in g.patient.watch),
        needs="watch", only_2=True, shown={"watch": [_CHECK]},
    ),
    yes_no(
        "rescue_alone", "at some hours nobody may help in what cannot wait: an emergency is called",
        lambda g: rescue_alone(g.patient) is not None,
        needs="settled", only_2=True, shown_outcome=("rescue-not-covered", "emergency-first", {}),
        legal=(whenever(yes("rescue_alone"), some(yes("low_sugar_plan"), yes("seizure_medicine")),
                        "what cannot wait is one of the two"),),
    ),
)  # fmt: skip


# --- the bands of page 1 ------------------------------------------------------------------------


def _help(given: Given, band: str) -> Phrase:
    """Whom to call and how soon. With the hospice first its call is the action of both upper bands,
    which are then one."""
    first = first_called(given.patient)
    if is_hospice_first(given.patient):
        name = "help-today-hospice" if band == "today" else "help-hospice"
        return Phrase(name, (("name", Typed("text", first.name or "")),))
    if band == "now":
        return Phrase("help-now", (("phone", Typed("phone", first.phone)),))
    return Phrase(f"help-{band}")


# --- low sugar -----------------------------------------------------------------------------------


def sugar_food(give: str) -> Phrase:
    """What is given for low sugar, in words: 120 mL (4 oz) of apple juice."""
    number, unit, food = give.split(" ", 2)
    amount = Typed("volume" if unit == "mL" else "grams", Quantity(read_number(number), unit))
    return Phrase(f"sugar-{food.replace(' ', '-')}", (("amount", amount),))


def sugar_way(patient: Patient) -> Phrase:
    """Which way it is given: the port by where it leads, by mouth, inside the cheek."""
    plan = patient.low_sugar
    assert plan is not None
    if plan.route in ("mouth", "cheek"):
        return Phrase(f"sugar-way-{plan.route}")
    alone = "" if len(patient.tube.ports) == 2 else "-alone"
    return Phrase(f"sugar-way-{plan.route}{alone}")


def _sugar(given: Given) -> LowSugar | None:
    return given.patient.low_sugar


def _sugar_first(given: Given) -> Phrase | None:
    plan = _sugar(given)
    if plan is None:
        return None
    return Phrase(
        "sugar-first", (("food", sugar_food(plan.give)), ("way", sugar_way(given.patient)))
    )


# --- a feeding that is off -----------------------------------------------------------------------


def feed_off_words(patient: Patient, plan: FeedingStops) -> Value:
    """What to check, which medicines are held and whom to call, each a sentence."""
    sentences: list[Value] = [
        Phrase(f"stops-check-{word.replace(' ', '-')}") for word in plan.check
    ]
    if plan.hold:
        names = joined_by("list-two", [Typed("text", name) for name in plan.hold])
        sentences.append(Phrase("stops-hold", (("medicines", names),)))
    sentences.append(call_phrase(patient, contact_called(patient, plan.call)))
    return joined_by("say-two", sentences)


def _stops_do(given: Given) -> Phrase | None:
    plan = given.patient.feeding_stops
    if plan is None:
        return None
    words = feed_off_words(given.patient, plan)
    assert isinstance(words, Phrase)
    return words


# --- the first days of feeding again -------------------------------------------------------------


def restart_until(given: Given) -> date | Phrase:
    """The last day of the days in which salts can fall: counted from the last written start or
    step of feeding; where none is written, or it lies back, somebody says when it is over."""
    starts = [s.begins for s in all_stages(given.patient) if s.begins is not None]
    last = max(starts).date() + timedelta(days=RESTART_DAYS) if starts else None
    return Phrase("restart-we-say") if last is None or last < given.day else last


def _alone_hours(given: Given) -> Phrase | None:
    hours = rescue_alone(given.patient)
    assert not isinstance(hours, Typed)
    return hours


def _supplies_call(given: Given) -> Phrase | None:
    supplies = given.patient.contacts.supplies
    return None if supplies is None else call_phrase(given.patient, supplies)


CALLS_SLOTS: tuple[Slot[Given], ...] = (
    slot("emergency_phone", "phone", "who is called first in an emergency",
         lambda g: first_called(g.patient).phone),
    slot("first_called_name", "text", "the hospice, where it is called first",
         lambda g: first_called(g.patient).name, yes("hospice_first")),
    slot("help_now", "phrase", "the head of the first band of page 1: where to go or call now",
         lambda g: _help(g, "now")),
    slot("help_us", "phrase", "the head of the second band: the call of the team now",
         lambda g: _help(g, "us")),
    slot("help_today", "phrase", "the head of the third band: the call today",
         lambda g: _help(g, "today")),
    slot("next_phone", "phone", "who is called where the first gives no answer",
         lambda g: next_called(g.patient).phone),
    slot("rescue_alone_hours", "phrase", "hours at which nobody may help in what cannot wait",
         _alone_hours, yes("rescue_alone")),
    slot("supplies_call", "phrase", "a sentence: call the supply company, with its hours",
         _supplies_call, yes("supplies_contact")),
    slot("low_sugar_below", "blood-sugar", "blood sugar below which the plan for low sugar is done",
         lambda g: getattr(_sugar(g), "below", None), yes("low_sugar_plan")),
    slot("low_sugar_recheck", "span", "after so long blood sugar is measured again",
         lambda g: getattr(_sugar(g), "recheck", None), yes("low_sugar_plan")),
    slot("low_sugar_first", "phrase", "what is given first for low sugar, as a sentence",
         _sugar_first, yes("low_sugar_plan")),
    slot("feed_stop_after", "span", "after so long without feeding the plan is done",
         lambda g: getattr(g.patient.feeding_stops, "after", None), yes("feed_stop_orders")),
    slot("feed_stop_do", "phrase", "the plan for when feeding is off, as sentences",
         _stops_do, yes("feed_stop_orders")),
    slot("restart_until", "date", "last of the first days of feeding again", restart_until),
)  # fmt: skip
