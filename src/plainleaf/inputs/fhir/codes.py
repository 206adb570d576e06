"""Codes and units of the exchange, each with where it comes from.

Codes that were not seen in a public file of their owner are left out; the text stands alone
then. Unit codes are UCUM; all are from memory, and all are the plain metric ones but the French
gauge and the fluid ounce.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.unit_words import says
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity

# What R4 has no field for; a name of our own under a domain that belongs to nobody (RFC 2606).
OWN = "https://plainleaf.example/fhir"
UCUM = "http://unitsofmeasure.org"
SNOMED = "http://snomed.info/sct"
ROUTES = "http://terminology.hl7.org/CodeSystem/v3-RouteOfAdministration"
LANGUAGES = "urn:ietf:bcp:47"
URIS = "urn:ietf:rfc:3986"

# Category of a Procedure that is teaching: rows FH-01 and FH-09 of the print reference, seen.
EDUCATION = {
    "coding": [{"system": SNOMED, "code": "311401005", "display": "Patient education (procedure)"}],
    "text": "Patient education",
}
# Kind of tube → device code: row FH-07, seen; the value set has no code for the others.
DEVICES = {"gastrostomy": ("470571004", "gastrostomy tube")}
# Kind of tube → code of the route: row FH-06, seen; displays are left out (row FH-09).
ROUTE_OF_KIND = {"gastrostomy": "GT", "jejunostomy": "JJTINSTL", "gastrojejunostomy": "GJT"}
KIND_OF_ROUTE = {code: kind for kind, code in ROUTE_OF_KIND.items()}
BY_MOUTH = "PO"

# Our unit → UCUM code.
_UCUM_OF = {
    "mL": "mL", "L": "L", "fl oz": "[foz_us]", "mL/h": "mL/h", "kcal/mL": "kcal/mL", "kcal": "kcal",
    "kcal/fl oz": "kcal/[foz_us]", "mg/dL": "mg/dL", "mmol/L": "mmol/L", "wk": "wk", "mo": "mo",
    "Fr": "[Ch]", "mm": "mm", "cm": "cm", "in": "[in_i]", "h": "h", "min": "min", "d": "d",
    "%": "%",
}  # fmt: skip
_OURS_OF = {code: unit for unit, code in _UCUM_OF.items()}
# What a code means and what to write instead, for units that have led to errors.
_REFUSED = {
    "cal/mL": "cal is the small calorie; a label means the kilocalorie, kcal/mL, 1000 times it",
    "cal/[foz_us]": "cal is the small calorie; a label means the kilocalorie, 1000 times it",
    "[oz_av]": "this ounce is a weight; the fluid ounce is [foz_us]",
}
# Periods of a schedule (FHIR value set units-of-time).
PERIODS = {"min": "min", "h": "h", "d": "d"}


def quantity(amount: Quantity) -> dict[str, Any]:
    """An amount as a FHIR Quantity with its UCUM code."""
    return {
        "value": amount.value,
        "unit": amount.unit,
        "system": UCUM,
        "code": _UCUM_OF[amount.unit],
    }


def printable(text: str, longest: int = 300) -> str:
    """A text from outside in one line, without signs that a terminal or a file would obey."""
    line = " ".join(text.split())
    shown = "".join(sign if sign.isprintable() else "?" for sign in line)
    return shown if len(shown) <= longest else shown[:longest] + " …"


def written(value: Mapping[str, Any]) -> str:
    """A Quantity as it stands in a file, for messages."""
    return f"{value.get('value')} {value.get('code') or value.get('unit') or ''}".strip()


def read_amount(value: Mapping[str, Any], kind: str, per_day: bool = False) -> Quantity:
    """A FHIR Quantity as an amount of one kind.

    Args:
        per_day: A volume may be written as one of a day (mL/d).
    Raises:
        UnitError: No value, a comparator, no unit that is known, or one of another kind.
    """
    if value.get("value") is None or value.get("comparator"):
        raise UnitError(f"'{written(value)}' is not one amount.", "")
    code = value.get("code") if value.get("system") in (UCUM, None) else None
    code = str(code or _UCUM_OF.get(str(value.get("unit")), value.get("unit")) or "")
    unit_text = str(value.get("unit") or "")
    if unit_text and _UCUM_OF.get(unit_text) != code and not says(unit_text, code):
        raise UnitError(f"'{written(value)}': its unit is '{unit_text}' and its code '{code}'.", "")
    if per_day:
        code = code.removesuffix("/d")
    if code in _REFUSED:
        raise UnitError(f"'{written(value)}': {_REFUSED[code]}.", "")
    unit = _OURS_OF.get(code, "")
    if not unit:
        raise UnitError(f"'{written(value)}': the unit is not known here.", "")
    return read_quantity(f"{value['value']} {unit}", kind)


def text_of(concept: Any) -> str:
    """The words of a CodeableConcept: its text, else the first display or code."""
    if not isinstance(concept, Mapping):
        return ""
    codings = [coding for coding in concept.get("coding", ()) if isinstance(coding, Mapping)]
    words = [concept.get("text"), *(coding.get("display") for coding in codings)]
    words += [coding.get("code") for coding in codings]
    return next((str(word) for word in words if word), "")


def code_in(concept: Any, system: str) -> str | None:
    """The code of one system in a CodeableConcept."""
    for coding in (concept or {}).get("coding", ()):
        if coding.get("system") == system:
            return str(coding.get("code") or "") or None
    return None


def own(name: str) -> dict[str, Any]:
    """A CodeableConcept of our own."""
    return {"coding": [{"system": OWN, "code": name}], "text": name.replace("-", " ")}


def extension(name: str, **value: Any) -> dict[str, Any]:
    """An extension of our own, as in `extension("system", valueCode="open")`."""
    return {"url": f"{OWN}/{name}", **value}


def extensions_of(element: Mapping[str, Any]) -> dict[str, Any]:
    """Our own extensions of an element: name → value."""
    extensions = {}
    for extension in element.get("extension", ()):
        name = str(extension.get("url", ""))
        if name.startswith(f"{OWN}/"):
            values = [value for key, value in extension.items() if key.startswith("value")]
            extensions[name.removeprefix(f"{OWN}/")] = values[0] if values else None
    return extensions


def local_moment(text: str, zone: ZoneInfo) -> datetime | None:
    """A date with time and offset on the clinic's clocks, to the minute; None for any other text.

    >>> from plainleaf.vocabulary.time_zones import zone
    >>> local_moment("2014-09-17T16:00:00Z", zone("America/New_York"))
    datetime.datetime(2014, 9, 17, 12, 0)
    """
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is None or "T" not in text:
            return None
        return moment.astimezone(zone).replace(tzinfo=None, second=0, microsecond=0)
    except (ValueError, OverflowError):
        return None
