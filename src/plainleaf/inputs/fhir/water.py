"""Water orders and visits out of a plan of our own making, as lines of a patient file.

R4 has no field for flushes, so they stand in the CarePlan under codes of ours; a plan from
another system has none of these codes, and nothing is read out of its words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.codes import OWN, PERIODS, code_in, read_amount
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.people import Bundle, moment_text, quoted
from plainleaf.inputs.fhir.validate import named
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import UnitError

_PLAIN = ("before-feed", "after-feed", "medicine", "daily", "unclog", "goal", "limit")


def details(bundle: Bundle) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Code of ours → detail, for every active plan."""
    for _, plan in named(bundle):
        if plan.get("resourceType") != "CarePlan" or plan.get("status") != "active":
            continue
        for activity in plan.get("activity", ()):
            detail = activity.get("detail") or {}
            code = code_in(detail.get("code"), OWN)
            if code is not None:
                yield code, detail


def water_lines(bundle: Bundle, notes: Notes) -> dict[str, str]:
    """Key → value of the water orders."""
    water_keys: dict[str, str] = {}
    for code, detail in details(bundle):
        name = code.removeprefix("water-")
        if name == code:
            continue
        try:
            water_keys |= _line(name, detail)
        except UnitError as error:
            notes.add("CarePlan", f"{code} {error.wrong} It was not taken.")
    return water_keys


def _line(name: str, detail: Mapping[str, Any]) -> dict[str, str]:
    amount = detail.get("quantity")
    repeat = (detail.get("scheduledTiming") or {}).get("repeat") or {}
    times = [str(text)[:5] for text in repeat.get("timeOfDay", ())]
    if name == "starts" and times:
        return {"water.starts": f'"{times[0]}"'}
    if not isinstance(amount, Mapping):
        return {}
    volume = str(read_amount(amount, "volume"))
    if name in _PLAIN:
        return {f"water.{name.replace('-', '_')}": volume}
    if name == "every" and str(repeat.get("periodUnit")) in PERIODS:
        return {"water.every": f"{repeat['period']} {repeat['periodUnit']}", "water.each": volume}
    port = code_in(detail.get("productCodeableConcept"), OWN)
    if name == "extra" and times and port in terms.PORTS:
        clocks = ", ".join(f'"{clock}"' for clock in times)
        return {"water.extra": f"{{amount: {volume}, times: [{clocks}], through: {port}}}"}
    return {}


def visit_lines(bundle: Bundle, zone: ZoneInfo) -> Iterator[str]:
    """One line for each visit with its time."""
    for code, detail in details(bundle):
        for text in (detail.get("scheduledTiming") or {}).get("event", ()):
            when = moment_text(str(text), zone)
            if code == "visit" and when is not None:
                yield f"  - {{what: {quoted(detail.get('description') or '')}, when: {when}}}"


def stop_plan(bundle: Bundle) -> str | None:
    """What to do if feeding stops."""
    says = (d.get("description") for code, d in details(bundle) if code == "if-feeding-stops")
    return next((quoted(text) for text in says if text), None)
