"""What the nurse's sheet says of decisions, and of who ordered or checked which block."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from plainleaf.compose.word import Wording, Words
from plainleaf.facts.derived import TextByLanguage, Typed
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Decided, WordedOrder
from plainleaf.rules.findings import Settlement
from plainleaf.rules.outcomes import shown
from plainleaf.vocabulary.languages import locale_name
from plainleaf.vocabulary.patient_file.scalars_2 import Mix
from plainleaf.vocabulary.quantities import Quantity

# Fields whose values are words of a closed list, each with a phrase of its own.
_OF_A_LIST = ("prepare", "as", "watch", "water", "why", "contact", "keep_away")


def settled_line(settled: Settlement, wording: Wording) -> Words:
    """Who decided, with whom and when."""
    on = Typed("date", settled.on)
    if settled.other is None:
        return wording.phrase("settled-by", by=settled.by, on=on)
    return wording.phrase("settled-by-two", by=settled.by, other=settled.other, on=on)


def decided_line(decided: Decided, wording: Wording) -> Words:
    """One outcome in words, with its fields."""
    fields = [
        wording.say(f"field-{key.replace('_', '-')}", value=_value(key, value, wording))
        for key, value in decided.fields.items()
    ]
    done = f"done-{decided.do}"
    if not fields:
        return wording.phrase(done)
    return wording.phrase("done-with", done=wording.phrase(done), fields=wording.listed(fields))


def settled_lines(settled: Settlement, wording: Wording) -> list[Words]:
    """Everything that was decided of a finding, with the notes for staff."""
    lines = [settled_line(settled, wording)]
    for decided in settled.decisions:
        lines.append(decided_line(decided, wording))
        if decided.note is not None:
            lines.append(wording.phrase("settled-note", note=decided.note))
    return lines


def _value(key: str, value: object, wording: Wording) -> str:
    if isinstance(value, (tuple, list, frozenset)):
        return wording.listed([_value(key, one, wording) for one in value])
    if isinstance(value, bool):
        return wording.say("yes" if value else "no")
    if key in _OF_A_LIST:
        return wording.say(f"field-word-{str(value).replace(' ', '-').replace('_', '-')}")
    if key == "language":
        return locale_name(str(value))
    return wording.value(_typed(value)).plain


def _typed(value: object) -> Typed:
    """A value with its kind; what has none is printed as it stands in the file."""
    if isinstance(value, date):
        return Typed("date", value)
    if isinstance(value, Quantity) and value.kind in ("volume", "time span"):
        return Typed("dose-volume" if value.kind == "volume" else "span", value)
    if isinstance(value, Mix):
        return Typed("text", shown(value))
    return Typed("text", str(value))


# --- who ordered what ----------------------------------------------------------------------------

_Signed = tuple[str, Words | None, str, date | None]


def _blocks(patient: Patient) -> Iterator[tuple[str, object]]:
    """Blocks that carry their own signer, by the name of their phrase."""
    tube = patient.tube
    yield "signed-ordered", patient.ordered
    yield "signed-drainage", patient.drainage
    yield "signed-venting", patient.venting
    yield "signed-low-sugar", patient.low_sugar
    yield "signed-feeding-stops", patient.feeding_stops
    yield "signed-resting", tube.resting
    yield "signed-healed", tube.opening_healed
    yield "signed-put-back", tube.may_put_back


def _signers(patient: Patient, wording: Wording) -> Iterator[_Signed]:
    for name, block in _blocks(patient):
        by = getattr(block, "by", None)
        if by:
            yield name, None, by, getattr(block, "on", None)
    check = patient.tube.position_checked
    if check is not None:
        how = wording.phrase(f"position-{check.how.lower().replace(' ', '-')}")
        yield "signed-position", how, check.by, check.on
    if patient.person.mouth_by is not None:
        yield "signed-mouth", None, patient.person.mouth_by, None
    overrides: Mapping[str, object] = patient.overrides or {}
    if "by" in overrides:
        day = overrides.get("date")
        yield "signed-overrides", None, str(overrides["by"]), day if isinstance(day, date) else None
    yield from _of_lists(patient, wording)


def _of_lists(patient: Patient, wording: Wording) -> Iterator[_Signed]:
    """Signers of feedings, recipes, orders in words and blood tests."""
    for formula in (patient.formulas or {}).values():
        if formula.recipe is not None:
            text = wording.value(Typed("text", formula.name))
            yield "signed-recipe", text, formula.recipe.by, formula.recipe.on
    for feed in patient.feeding:
        if feed.ordered_by is not None:
            yield "signed-feed", None, feed.ordered_by, None
    for visit in patient.visits:
        if visit.read_by is not None:
            tests = [wording.say(f"blood-{test.replace(' ', '-')}") for test in visit.tests]
            day = visit.when.date() if visit.when is not None else visit.day or visit.begins
            listed = wording.value(Typed("text", wording.listed(tests)))
            yield "signed-blood", listed, visit.read_by, day


def signer_rows(patient: Patient, wording: Wording) -> list[tuple[Words, Words]]:
    """What was ordered or checked → by whom, and on which day where that is written."""
    if patient.format == 1:
        return []
    rows = []
    for name, what, by, on in _signers(patient, wording):
        label = wording.phrase(name) if what is None else wording.phrase(name, what=what)
        said = wording.value(Typed("text", by))
        if on is not None:
            said = wording.phrase("signed-on", by=by, on=Typed("date", on))
        rows.append((label, said))
    return rows + [_order_row(order, patient, wording) for order in patient.orders]


def _order_row(order: WordedOrder, patient: Patient, wording: Wording) -> tuple[Words, Words]:
    """An order in words with its text: of its own signer, else of the whole order set's."""
    label = wording.phrase("signed-words", what=wording.phrase(f"topic-{order.topic}"))
    text = Typed("said", TextByLanguage(tuple(order.say.items())))
    whole = patient.ordered
    by = order.by or (whole.by if whole is not None else "")
    on = order.on or (whole.on if whole is not None else None)
    if on is None:
        return label, wording.phrase("signed-words-text", text=text, by=by)
    return label, wording.phrase("signed-words-said", text=text, by=by, on=Typed("date", on))
