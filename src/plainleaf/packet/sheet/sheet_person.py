"""What the nurse's sheet says of the patient and the learners, from a file of format 2."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from plainleaf.compose.word import Wording, Words
from plainleaf.facts.calls import hours_phrase
from plainleaf.facts.derived import Typed
from plainleaf.inputs.patient import Learner, Patient, Person
from plainleaf.inputs.patient.order_values import SettledOutcome
from plainleaf.vocabulary.languages import locale_name
from plainleaf.vocabulary.words_2 import DUTIES

# Which needs of a learner matter where something is told, and where it is shown.
_TO_TELL = ("glasses", "hearing-aid", "large-print", "reads-little", "sign-language", "low-vision")
_TO_SHOW = ("glasses", "hands", "one-hand", "low-vision")


@dataclass(frozen=True)
class PersonRow:
    """A line about the patient; without a value it is a line to fill in."""

    label: Words
    value: Words | None


def phrase_of(prefix: str, word: str) -> str:
    """The phrase of a word of a closed list."""
    return f"{prefix}-{word.replace(' ', '-')}"


def words_of(prefix: str, words: tuple[str, ...], wording: Wording) -> str:
    """Words of a closed list in one line."""
    return wording.listed([wording.say(phrase_of(prefix, word)) for word in words])


def _text(text: str, wording: Wording) -> Words:
    return wording.value(Typed("text", text))


def person_rows(patient: Patient, wording: Wording) -> list[PersonRow]:
    """Weight, height, losses, allergies, conditions, setting, then orders that staff look up here;
    nothing of a file of format 1."""
    if patient.format == 1:
        return []
    return [
        PersonRow(wording.phrase(name), value)
        for name, value in (*_person(patient.person, wording), *_orders(patient, wording))
    ]  # fmt: skip


def _person(person: Person, wording: Wording) -> Iterator[tuple[str, Words | None]]:
    if person.weight is not None:
        yield "person-weight", wording.value(Typed("weight", person.weight))
    if person.height is not None:
        yield "person-height", wording.value(Typed("length", person.height))
    if person.weight_loss is not None:
        yield "person-weight-loss", _text(str(person.weight_loss), wording)
    if person.ate_little_for is not None:
        yield "person-ate-little", wording.value(Typed("span", person.ate_little_for))
    yield "person-allergies", _allergies(person, wording)
    yield "person-conditions", _conditions(person, wording)
    yield "person-setting", _text(words_of("setting", person.setting, wording), wording)
    if person.address is not None:
        yield "person-address", wording.phrase(f"address-{person.address}")


def _orders(patient: Patient, wording: Wording) -> Iterator[tuple[str, Words]]:
    """What is ordered and has no page of its own for every patient."""
    yield "person-placed-by", wording.phrase(f"placed-by-{patient.tube.placed_by}")
    if patient.water.unclog is not None:
        yield "person-unclog", wording.value(Typed("dose-volume", patient.water.unclog))
    for feed in patient.feeding:
        if feed.daily_total is not None:
            yield "person-daily-total", wording.value(Typed("dose-volume", feed.daily_total))


def _allergies(person: Person, wording: Wording) -> Words | None:
    if person.allergies is None:
        return None
    if not person.allergies:
        return wording.phrase("allergies-none")
    return _text(wording.listed(list(person.allergies)), wording)


def _conditions(person: Person, wording: Wording) -> Words:
    if not person.conditions_recorded:
        return wording.phrase("conditions-not-recorded")
    if not person.conditions:
        return wording.phrase("conditions-none")
    return _text(words_of("condition", tuple(sorted(person.conditions)), wording), wording)


# --- learners ------------------------------------------------------------------------------------


def duty_lines(learner: Learner, wording: Wording) -> list[Words]:
    """What a learner may do, why not all, and when this person is there."""
    duties = learner.duties or ()
    if not duties:
        return [wording.phrase("duties-none")]
    whole = set(duties) >= set(DUTIES)
    lines = [
        wording.phrase("duties-all")
        if whole
        else _text(words_of("duty", duties, wording), wording)
    ]  # fmt: skip
    if learner.limit is not None:
        why = wording.phrase(phrase_of("limit", learner.limit))
        lines.append(wording.phrase("duties-limit", why=why))
    if learner.there is not None:
        lines.append(wording.phrase("duties-there", hours=hours_phrase(learner.there)))
    return lines


def more_lines(learner: Learner, patient: Patient, wording: Wording) -> list[Words]:
    """How a learner is addressed and phoned, and what was shown back."""
    lines = []
    if learner.address is not None:
        how = wording.phrase(f"address-{learner.address}")
        lines.append(wording.phrase("learner-address", how=how))
    if learner.phone is not None:
        lines.append(wording.phrase("learner-phone", phone=Typed("phone", learner.phone)))
    for outcome in _outcomes(patient, "self-care-doubtful"):
        if learner.relation == "self":
            lines.append(wording.phrase("learner-shown", on=_day(outcome.fields["date"])))
    return lines


def need_lines(patient: Patient, wording: Wording, *, shown: bool) -> list[Words]:
    """What each learner needs, before the questions, or before what is `shown`."""
    which, phrase = (_TO_SHOW, "sheet-needs-show") if shown else (_TO_TELL, "sheet-needs-tell")
    lines = []
    for learner in patient.learners:
        needs = tuple(need for need in learner.needs if need in which)
        if needs:
            text = words_of("learns", needs, wording)
            lines.append(wording.phrase(phrase, name=learner.name, needs=text))
    return lines


def _day(value: object) -> Typed:
    """A day of an outcome."""
    assert isinstance(value, date)
    return Typed("date", value)


def _outcomes(patient: Patient, finding: str) -> tuple[SettledOutcome, ...]:
    return tuple(outcome for outcome in patient.outcomes if outcome.finding == finding)


def stand_in_lines(patient: Patient, wording: Wording) -> list[Words]:
    """Who steps in where a duty is not covered, or where only one is trained."""
    return [
        wording.phrase(
            "stand-in",
            duties=words_of("duty", tuple(d for d in outcome.about if d in DUTIES), wording),
            who=str(outcome.fields["who"]),
            phone=Typed("phone", str(outcome.fields["phone"])),
        )
        if set(outcome.about) & set(DUTIES)
        else wording.phrase(
            "stand-in-all",
            who=str(outcome.fields["who"]),
            phone=Typed("phone", str(outcome.fields["phone"])),
        )
        for finding in ("one-trained-helper", "duty-not-covered")
        for outcome in _outcomes(patient, finding)
    ]


def taught_in_language(patient: Patient, wording: Wording) -> list[Words]:
    """Who of staff teaches in a learner's language, where that was decided."""
    return [
        wording.phrase(
            "taught-in-language",
            who=str(outcome.fields["who"]),
            language=locale_name(str(outcome.fields["language"])),
        )
        for outcome in _outcomes(patient, "interpreter-missing")
    ]
