"""What an outcome fills in, and what it must agree with, in the patient file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from plainleaf.inputs.patient import Medicine, Patient
from plainleaf.inputs.patient.order_values import Decided, SettledOutcome
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.patient_file.scalars_2 import Mix
from plainleaf.vocabulary.settling import SETTLED_BY
from plainleaf.vocabulary.written import same_text

# How the pharmacy gives it out → how it is made ready at home then.
_PHARMACY = {
    "packets": "pharmacy packets",
    "liquid": "pharmacy liquid",
    "syringes": "as it is",
}
_READY = ("prepare", "mix", "gloves")
# SettledOutcome → fields of a medicine that it fills, or is held against.
_OF_MEDICINE: dict[str, tuple[str, ...]] = {
    "prepare": _READY,
    "pharmacy-prepares": _READY,
    "hold": ("hold_before", "hold_after"),
    "no-hold": ("hold_before", "hold_after"),
    "by-mouth": ("route", "mix"),
    "both": ("strength", "dose", "scale", "steps", "times", "tied", "as_needed", "days"),
}
# Finding → the key whose value is read again; several keys where any of them may be meant.
READ_AGAIN: dict[str, tuple[str, ...]] = {
    "balloon-fill-unusual": ("tube.balloon_fill",),
    "size-unusual": ("tube.size",),
    "weight-implausible": ("person.weight",),
    "label-doubtful": ("formula.energy", "formula.water"),
    "liquid-dose-not-in-ml": ("dose",),
}


@dataclass(frozen=True)
class FilledKey:
    """A key that an outcome gives a value: of a medicine by its number, the person or the tube."""

    owner: str
    number: int | None
    field: str
    value: Any

    @property
    def key(self) -> str:
        """The key of the patient file."""
        place = {"person": "patient", "medicines": f"medicines[{self.number}]"}
        name = {"mix": "in"}.get(self.field, self.field)
        return f"{place.get(self.owner, self.owner)}.{name}"

    def written(self, patient: Patient) -> Any:
        """What the file says there."""
        return getattr(self.owner_in(patient), self.field)

    def owner_in(self, patient: Patient) -> Any:
        """The record that it fills."""
        if self.number is not None:
            return patient.medicines[self.number]
        return getattr(patient, self.owner)


def medicine_fields(finding: str) -> tuple[str, ...]:
    """Fields of a medicine that the outcomes of a finding fill or are held against."""
    settling = SETTLED_BY.get(finding)
    outcomes = settling.outcomes if settling is not None else ()
    return tuple(dict.fromkeys(f for do in outcomes for f in _OF_MEDICINE.get(do, ())))


def fillings(
    decision: Decided | SettledOutcome, medicines: Sequence[Medicine]
) -> Iterator[FilledKey]:
    """What a decision fills, of the medicines that it is about, the person and the tube."""
    fields = decision.fields
    if decision.do == "drink":
        yield FilledKey("person", None, "drink", fields["amount"])
    if decision.do == "not-healed":
        yield FilledKey("tube", None, "not_healed_until", fields["until"])
    for medicine in medicines:
        for field, value in _of_medicine(decision).items():
            if value is not None:
                yield FilledKey("medicines", medicine.number, field, value)


def _of_medicine(decision: Decided | SettledOutcome) -> Mapping[str, Any]:
    fields = decision.fields
    made_ready = {
        "mix": fields.get("in"),
        "gloves": fields.get("gloves"),
        "wait": fields.get("wait"),
        "keep_away": fields.get("keep_away"),
    }
    if decision.do == "prepare":
        return {"prepare": fields["prepare"], **made_ready}
    if decision.do == "pharmacy-prepares":
        return {"prepare": _PHARMACY[str(fields["as"])], **made_ready}
    if decision.do == "hold":
        return {"hold_before": fields["before"], "hold_after": fields["after"]}
    if decision.do == "by-mouth":
        return {"route": "mouth", "mix": fields.get("in")}
    return {}


def differing(filling: FilledKey, patient: Patient) -> str | None:
    """What the file says where an outcome says something else, or None."""
    written = filling.written(patient)
    if written in (None, False, ()) or same_text(written) == same_text(filling.value):
        return None
    return shown(written)


def shown(value: object) -> str:
    """A value as the file would say it."""
    if isinstance(value, Mix):
        amount = value.amount
        if amount is None:
            return value.liquid
        least = "" if amount.least == amount.most else f"{same_text(amount.least.value)} to "
        return f"{least}{same_text(amount.most)} {value.liquid}"
    return "true" if value is True else same_text(value)


def resolved(patient: Patient, outcomes: Sequence[SettledOutcome]) -> Patient:
    """The patient with each key filled that an outcome fills, and the outcomes beside it; nothing
    written is changed.

    A dose that is given with feeding, although the order holds feeding around it, holds it no
    more.
    """
    for outcome in outcomes:
        medicines = [patient.medicines[number] for number in outcome.medicines]
        for filling in fillings(outcome, medicines):
            patient = _filled(patient, filling)
        for medicine in medicines if outcome.do == "no-hold" else ():
            for field in ("hold_before", "hold_after"):
                patient = _filled(patient, FilledKey("medicines", medicine.number, field, None))
    return replace(patient, outcomes=tuple(outcomes)) if outcomes else patient


def _filled(patient: Patient, filling: FilledKey) -> Patient:
    new = replace(filling.owner_in(patient), **{filling.field: filling.value})
    if filling.number is None:
        return replace(patient, **{filling.owner: new})
    lines = list(patient.medicines)
    lines[filling.number] = new
    return replace(patient, medicines=tuple(lines))


def says_everything(medicine: Medicine) -> bool:
    """Whether an order says how a medicine is made ready, so that it can stand as ordered."""
    if medicine.through is None or medicine.form in words_2.LIQUID_FORMS:
        return True
    if medicine.prepare is None:
        return False
    return medicine.prepare not in words_2.MIXED or medicine.mix is not None


def why_two(decision: Decided, medicines: Sequence[Medicine]) -> bool:
    """Whether lines of one name differ as `both` says they do."""
    why = decision.fields.get("why")
    if why == "one as needed":
        return {line.as_needed for line in medicines} == {True, False}
    if why == "different times":
        times = [(line.times, line.tied, line.days, line.as_needed) for line in medicines]
        return len(set(times)) == len(times)
    strengths = {same_text((line.strength, line.dose, line.scale)) for line in medicines}
    return len(strengths) > 1
