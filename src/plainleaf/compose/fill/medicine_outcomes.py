"""Lines of a medicine's row that say what was decided about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from plainleaf.compose.fill.medicine_words import slug
from plainleaf.compose.fill.source import SlotSource, say, text_of
from plainleaf.facts.calls import first_called
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.duty_times import rescue_alone
from plainleaf.inputs.patient import Medicine
from plainleaf.inputs.patient.order_values import SettledOutcome

Lines = Iterator[Value]
# That a feeding pauses for a dose; said only of doses that fall into one.
PAUSES = Phrase("pause-feed")


def _no_hold(outcome: SettledOutcome) -> Lines:
    """Given with feeding: what is checked instead, and when."""
    watch = Phrase(f"checked-{slug(str(outcome.fields['watch']))}")
    day = outcome.fields.get("check_date")
    if day is None:
        yield say("no-hold", watch=watch)
    else:
        yield say("no-hold-by", watch=watch, day=Typed("date", day))  # type: ignore[arg-type]


def _both(outcome: SettledOutcome) -> Lines:
    yield Phrase(f"both-{slug(str(outcome.fields['why']))}")


def _by_mouth(outcome: SettledOutcome) -> Lines:
    yield Phrase("by-mouth-nothing-else")
    yield say("by-mouth-cleared", name=text_of(str(outcome.fields["cleared_by"])))


def _measured_by(outcome: SettledOutcome) -> Lines:
    """Who measures the blood sugar, where nobody at home does."""
    name, phone = text_of(str(outcome.fields["who"])), outcome.fields.get("phone")
    if phone is None:
        yield say("sugar-measured-by", name=name)
    else:
        yield say("sugar-measured-by-phone", name=name, phone=Typed("phone", str(phone)))


def _phrase(identity: str) -> Callable[[SettledOutcome], Lines]:
    return lambda _: iter((Phrase(identity),))


# Finding and outcome, or an outcome of any finding → what the row says of it.
_SAYS: dict[tuple[str, str], Callable[[SettledOutcome], Lines]] = {
    ("", "no-hold"): _no_hold,
    ("", "both"): _both,
    ("", "by-mouth"): _by_mouth,
    ("", "pause-feed"): lambda _: iter((PAUSES,)),
    ("", "use-other-thickener"): _phrase("other-thickener"),
    ("weekly-medicine-daily", "as-ordered"): _phrase("checked-with-pharmacist"),
    ("injection-through-tube", "as-ordered"): _phrase("injection-by-tube"),
    ("injection-through-tube", "pharmacy-prepares"): _phrase("injection-by-tube"),
    ("scale-without-sugar-check", "as-ordered"): _phrase("measure-sugar-first"),
    ("insulin-without-sugar-checks", "checked-by"): _measured_by,
}
# Finding → what the row says whatever was decided.
_WHATEVER = {
    "levodopa-and-feeding": "never-stop-suddenly",
    "opioid-modified-release": "crushing-stops-breathing",
}


def _said_of(outcome: SettledOutcome) -> Lines:
    says = _SAYS.get((outcome.finding, outcome.do)) or _SAYS.get(("", outcome.do))
    if says is not None:
        yield from says(outcome)
    if outcome.finding in _WHATEVER:
        yield Phrase(_WHATEVER[outcome.finding])


def _held_with_feeding(source: SlotSource, medicine: Medicine) -> Lines:
    """A medicine that is left out while feeding is off."""
    stops = source.patient.feeding_stops
    if stops is not None and medicine.name in stops.hold:
        yield say("no-dose-while-off", span=Typed("span", stops.after))


def _nobody_there(source: SlotSource, medicine: Medicine) -> Lines:
    """What is done, and at which hours, where nobody is there who may give it for a seizure."""
    hours = rescue_alone(source.patient) if "seizure" in medicine.reasons else None
    if hours is not None:
        phone = Typed("phone", first_called(source.patient).phone)
        yield say("nobody-may-give", hours=hours, phone=phone)


def decided_lines(source: SlotSource, medicine: Medicine) -> Lines:
    """What was decided about a medicine, each thing once."""
    lines: dict[Value, None] = {}
    for outcome in source.patient.outcomes:
        if medicine.number in outcome.medicines:
            lines |= dict.fromkeys(_said_of(outcome))
    yield from lines
    yield from _held_with_feeding(source, medicine)
    yield from _nobody_there(source, medicine)
