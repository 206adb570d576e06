"""Medicines of format 2 as MedicationRequest: dose, way, times, steps and a scale.

What R4 has no field for stands in extensions of ours. Of the routes only codes that were seen in
the published value set are written; of the others the words alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal

from plainleaf.facts.as_needed import most_needed
from plainleaf.facts.plans import step_spans
from plainleaf.inputs.fhir.codes import SNOMED, UCUM, extension, quantity
from plainleaf.inputs.patient import Medicine
from plainleaf.packet.fhir.context import Making, Resource, clock
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.doses import HALF_TABLET, Dose
from plainleaf.vocabulary.quantities import Quantity

_ROUTES = {
    "mouth": "26643006", "injection": "34206005", "rectal": "37161004", "skin": "6064005",
    "ear": "10547007",
}  # fmt: skip
# FHIR value set event-timing.
_WHEN = {"before each feed": "AC", "with each feed": "C", "after each feed": "PC"}
# UCUM, from memory; units of insulin and the like have no code that is the same for all.
_DOSE_CODES = {"mL": "mL", "mg": "mg", "mcg": "ug", "g": "g", "mEq": "meq", "mmol": "mmol"}
_NO_CODE = ("unit", "units")


def medication_request(making: Making, medicine: Medicine) -> Resource:
    """The order of one medicine."""
    request: Resource = {
        "resourceType": "MedicationRequest",
        "extension": list(_notes(medicine)),
        "status": "active",
        "intent": "order",
        "medicationCodeableConcept": {"text": medicine.name},
        "subject": making.ref("patient"),
        "dosageInstruction": _dosages(making, medicine),
    }
    ordered = making.patient.ordered
    if ordered is not None:
        request["authoredOn"] = ordered.on.isoformat()
        request["requester"] = {"display": ordered.by}
    return request


def _notes(medicine: Medicine) -> Iterator[Resource]:
    """What R4 has no field for."""
    words = {"form": medicine.form, "strength": medicine.strength, "prepare": medicine.prepare}
    yield from (extension(name, valueString=word) for name, word in words.items() if word)
    if medicine.mix is not None:
        yield extension("mixed-in", valueString=medicine.mix.liquid)
        if medicine.mix.amount is not None:
            yield extension("mixed-in-amount", valueQuantity=quantity(medicine.mix.amount.most))
    spans = {
        "feeding-off-before": medicine.hold_before, "feeding-off-after": medicine.hold_after,
        "stay-upright": medicine.sit_up, "apart-by": medicine.away_by, "let-stand": medicine.wait,
        "lasts-first": medicine.after, "least-time-between": medicine.between,
    }  # fmt: skip
    for name, span in spans.items():
        if span is not None:
            yield extension(name, valueQuantity=_time(span))
    yield from (extension("apart-from", valueString=name) for name in medicine.away_from)
    if medicine.gloves:
        yield extension("gloves", valueBoolean=True)
    yield from (extension("keep-away", valueString=who) for who in medicine.keep_away)


def _time(span: Quantity) -> Resource:
    """A span as a Quantity; weeks and months have UCUM codes that a schedule has too."""
    return {"value": span.value, "unit": span.unit, "system": UCUM, "code": span.unit}


def _dosages(making: Making, medicine: Medicine) -> list[Resource]:
    """One for each step in order, or the only one."""
    if not medicine.steps:
        dosage = _dosage(medicine, medicine.begins, medicine.ends, medicine.times)
        if medicine.scale is not None:
            dosage |= _scale(medicine)
        elif medicine.dose is not None:
            dosage["doseAndRate"] = [_amount(medicine.dose)]
        return [dosage]
    spans = step_spans(medicine, making.patient.file)
    return [
        {
            "sequence": number,
            **_dosage(medicine, first, last, step.times or medicine.times),
            "doseAndRate": [_amount(step.dose)],
        }
        for number, ((first, last), step) in enumerate(
            zip(spans, medicine.steps, strict=True), start=1
        )
    ]


def _dosage(
    medicine: Medicine, first: date | None, last: date | None, times: tuple[object, ...]
) -> Resource:
    """When, for what and which way."""
    dosage: Resource = {"route": _route(medicine)}
    repeat = _repeat(medicine, first, last, times)
    if repeat:
        dosage["timing"] = {"repeat": repeat}
    if medicine.site is not None:
        dosage["site"] = {"text": medicine.site}
    if medicine.as_needed:
        dosage["asNeededCodeableConcept"] = {"text": ", ".join(medicine.reasons)}
    most = most_needed(medicine)
    if most is not None:
        doses = most.doses
        numerator = _dose(most.amount) if most.amount is not None else _counted(doses, "dose")
        dosage["maxDosePerPeriod"] = {"numerator": numerator, "denominator": _time(most.within)}
    return dosage


def _repeat(
    medicine: Medicine, first: date | None, last: date | None, times: tuple[object, ...]
) -> Resource:
    repeat: Resource = {}
    starts = medicine.next if medicine.every is not None else first
    bounds = {"start": starts, "end": last}
    if any(day is not None for day in bounds.values()):
        repeat["boundsPeriod"] = {
            name: _day(day) for name, day in bounds.items() if day is not None
        }
    if times:
        repeat["timeOfDay"] = [clock(time) for time in times]  # type: ignore[arg-type]
    elif isinstance(medicine.next, datetime):
        repeat["timeOfDay"] = [clock(medicine.next.time())]
    if medicine.days:
        repeat["dayOfWeek"] = [day.lower() for day in medicine.days]
    if medicine.tied is not None:
        repeat["when"] = [_WHEN[medicine.tied]]
    if medicine.every is not None:
        every = medicine.every
        repeat |= {"frequency": 1, "period": every.value, "periodUnit": every.unit}
    return repeat


def _day(day: date) -> str:
    """A day without its time, which the schedule holds."""
    return (day.date() if isinstance(day, datetime) else day).isoformat()


def _route(medicine: Medicine) -> Resource:
    route = medicine.through or medicine.route
    assert route is not None
    if route in terms.PORTS:
        return {"text": f"{route} port of the feeding tube"}
    words: Resource = {"text": route}
    if route in _ROUTES:
        words["coding"] = [{"system": SNOMED, "code": _ROUTES[route]}]
    return words


def _amount(dose: Dose) -> Resource:
    """A dose; what it equals stands beside it."""
    amount: Resource = {"doseQuantity": _dose(dose)}
    if dose.equals is not None:
        amount["extension"] = [extension("equals", valueQuantity=_dose(dose.equals))]
    return amount


def _dose(dose: Dose) -> Resource:
    if dose.unit == HALF_TABLET:
        return _counted(dose.value / 2, "tablet")
    if dose.unit in _DOSE_CODES:
        code = _DOSE_CODES[dose.unit]
        return {"value": dose.value, "unit": dose.unit, "system": UCUM, "code": code}
    if dose.unit in _NO_CODE:
        return {"value": dose.value, "unit": dose.unit}
    return _counted(dose.value, dose.unit)


def _counted(number: Decimal | None, unit: str) -> Resource:
    """So many of something, as UCUM writes what it has no unit for."""
    return {"value": number, "unit": unit, "system": UCUM, "code": f"{{{unit}}}"}


def _scale(medicine: Medicine) -> Resource:
    """A dose by the blood sugar, line by line, in words."""
    lines = [f"{sugar}: {does}" for sugar, does in (medicine.scale or {}).items()]
    return {
        "text": "By the blood sugar. " + "; ".join(lines),
        "extension": [extension("scale-line", valueString=line) for line in lines],
    }
