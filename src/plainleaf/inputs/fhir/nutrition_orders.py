"""Feeding orders of a bundle, as far as they are sure; whatever is not stays open and is told.

Nothing is filled in by likelihood. A rate is taken in mL/h alone, an amount with a unit that is
known, a schedule only where it gives clock times.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from plainleaf.inputs.fhir.codes import (
    BY_MOUTH,
    KIND_OF_ROUTE,
    ROUTES,
    code_in,
    extensions_of,
    read_amount,
    text_of,
)
from plainleaf.inputs.fhir.notes import Notes
from plainleaf.inputs.fhir.schedule import duration_of, times_of
from plainleaf.inputs.fhir.validate import named
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity

A_DAY = Quantity(Decimal(24), "h")
_MINUTES = 1440
# Orders that hold now; any other status is a plan, a pause or the past.
_HOLDS = {"status": "active", "intent": ("order", "original-order", "instance-order",
                                         "filler-order", "reflex-order")}  # fmt: skip


def volume_in(rate: Quantity, span: Quantity) -> Quantity:
    """What a rate in mL/h gives in a time; minutes are divided last, so that hours stay exact."""
    return Quantity(rate.value * span.to("min").value / 60, "mL")


def span_of(minutes: int) -> Quantity:
    """A time span in whole hours where it is one, else in minutes."""
    if minutes % 60:
        return Quantity(Decimal(minutes), "min")
    return Quantity(Decimal(minutes // 60), "h")


@dataclass(frozen=True)
class Draft:
    """One feeding order as far as a bundle says it; None and empty where it does not.

    `where` names the resource, `most` is the most volume of a day, `coded_energy` the strength as
    written. `open_end`: a rate that runs from `starts` until nobody says when.
    """

    where: str
    kind: str | None = None
    through: str | None = None
    by_mouth: bool = False
    method: str | None = None
    blended: bool = False
    formula: str | None = None
    energy: Quantity | None = None
    coded_energy: Mapping[str, Any] | None = None
    water: Quantity | None = None
    container: Quantity | None = None
    system: str | None = None
    amount: Quantity | None = None
    over: Quantity | None = None
    times: tuple[time, ...] = ()
    rate: Quantity | None = None
    starts: time | None = None
    runs_for: Quantity | None = None
    most: Quantity | None = None
    ordered_by: str | None = None
    instruction: str = ""

    @property
    def open_end(self) -> bool:
        """A rate whose end the order does not say."""
        return self.rate is not None and self.runs_for is None

    @property
    def a_day(self) -> Quantity | None:
        """What one day adds up to; None where the order leaves that open."""
        if self.rate is not None:
            return None if self.runs_for is None else volume_in(self.rate, self.runs_for)
        return self.amount * len(self.times) if self.amount is not None and self.times else None


def drafts(bundle: Mapping[str, Any], where_clocks: ZoneInfo, notes: Notes) -> list[Draft]:
    """Every feeding order of a bundle, in file order; one with several rates becomes several."""
    all_drafts: list[Draft] = []
    for name, resource in named(bundle):
        if resource.get("resourceType") == "NutritionOrder":
            all_drafts += _order(name, resource, where_clocks, notes)
    return all_drafts


def _order(name: str, resource: Mapping[str, Any], zone: ZoneInfo, notes: Notes) -> Iterator[Draft]:
    formula = resource.get("enteralFormula")
    if resource.get("modifierExtension") or (formula or {}).get("modifierExtension"):
        notes.add(name, "holds something that changes its meaning. It was not taken.")
        return
    if resource.get("status") != _HOLDS["status"] or resource.get("intent") not in _HOLDS["intent"]:
        says = f"is '{resource.get('status')}' and '{resource.get('intent')}', not an active order."
        notes.add(name, f"{says} It was not taken.")
        return
    if formula is None:
        notes.add(name, "is no order for tube feeding. It was not taken.")
        return
    if formula.get("additiveType") or formula.get("additiveProductName"):
        notes.add(name, "orders something to add to the formula. Ask how; it was not taken.")
    base = _base(name, resource, formula, notes)
    steps = [
        _step(base, administration, zone, notes)
        for administration in formula.get("administration", ())
    ] or [base]
    yield from _chained(steps, notes)


def _base(
    name: str, resource: Mapping[str, Any], formula: Mapping[str, Any], notes: Notes
) -> Draft:
    ours = extensions_of(formula)
    route = code_in(formula.get("routeofAdministration"), ROUTES)
    kind = KIND_OF_ROUTE.get(route or "")
    if route is not None and kind is None and route != BY_MOUTH:
        says = f"its route '{route}' is no tube through the skin that is known here."
        notes.add(name, says)
    ports = terms.PORTS_OF_KIND.get(kind or "", ())
    energy = _amount(name, "caloricDensity", formula, "energy density", notes)
    return Draft(
        where=name,
        kind=kind,
        through=_word(ours.get("port"), terms.PORTS) or (ports[0] if len(ports) == 1 else None),
        by_mouth=route == BY_MOUTH,
        method=_word(ours.get("method"), terms.METHODS),
        blended=ours.get("blended") is True,
        formula=formula.get("baseFormulaProductName")
        or text_of(formula.get("baseFormulaType")) or None,
        energy=energy,
        coded_energy=formula.get("caloricDensity"),
        water=_amount(name, "water", ours, "share", notes),
        container=_amount(name, "container", ours, "volume", notes),
        system=_word(ours.get("system"), terms.FORMULA_SYSTEMS),
        most=_amount(name, "maxVolumeToDeliver", formula, "volume", notes, per_day=True),
        ordered_by=(resource.get("orderer") or {}).get("display"),
        instruction=" ".join(_texts(resource, formula)),
    )  # fmt: skip


def _texts(resource: Mapping[str, Any], formula: Mapping[str, Any]) -> Iterator[str]:
    yield str(formula.get("administrationInstruction") or "")
    for note in resource.get("note", ()):
        yield str(note.get("text") or "")


def _word(value: Any, words: Sequence[str]) -> str | None:
    return value if value in words else None


def _amount(
    name: str, key: str, holder: Mapping[str, Any], kind: str, notes: Notes, per_day: bool = False
) -> Quantity | None:
    """An amount under a key; one that cannot be taken is told and stays open."""
    value = holder.get(key)
    if not isinstance(value, Mapping):
        return None
    try:
        return read_amount(value, kind, per_day)
    except UnitError as error:
        notes.add(name, f"{key} {error.wrong} {error.instead} It was not taken.".replace("  ", " "))
        return None


# --- one administration -------------------------------------------------------------------


def _step(base: Draft, given: Mapping[str, Any], zone: ZoneInfo, notes: Notes) -> Draft:
    repeat = (given.get("schedule") or {}).get("repeat") or {}
    events = (given.get("schedule") or {}).get("event") or ()
    amount = _amount(base.where, "quantity", given, "volume", notes)
    rate = _rate(base.where, given, notes)
    times = times_of(base.where, repeat, events, zone, notes)
    span = duration_of(base.where, repeat, notes)
    if rate is None:
        if given.get("rateQuantity") or given.get("rateRatio"):
            return replace(base, times=times)
        return replace(base, amount=amount, times=times, over=span)
    if len(times) > 1:
        notes.add(base.where, "its rate begins several times a day. Write one feeding for each.")
    starts = times[0] if len(times) == 1 else None
    step = replace(base, method="pump", rate=rate, starts=starts, runs_for=span)
    if amount is not None and step.a_day is not None and step.a_day != amount:
        says = f"{rate} for {span} is {step.a_day}, and the order says {amount}."
        notes.add(base.where, says)
    return step


def _rate(name: str, given: Mapping[str, Any], notes: Notes) -> Quantity | None:
    """A rate in mL/h, or one as so many mL in one hour; any other is refused."""
    ratio = given.get("rateRatio")
    if not isinstance(ratio, Mapping):
        return _amount(name, "rateQuantity", given, "rate", notes)
    try:
        volume = read_amount(ratio.get("numerator") or {}, "volume")
        span = read_amount(ratio.get("denominator") or {}, "time span")
    except UnitError as error:
        notes.add(name, f"rateRatio {error.wrong} Write the rate in mL/h.")
        return None
    if volume.unit != "mL" or span != Quantity(Decimal(1), "h"):
        notes.add(name, f"the rate '{volume} in {span}' is not in mL/h. It was not taken.")
        return None
    return Quantity(volume.value, "mL/h")


def _chained(steps: Sequence[Draft], notes: Notes) -> Iterator[Draft]:
    """Rates that follow each other: each runs until the next begins; the last stays open."""
    for number, step in enumerate(steps):
        following = steps[number + 1 :]
        if step.open_end and following and step.starts and following[0].starts:
            begins, ends = (_minute(clock) for clock in (step.starts, following[0].starts))
            if ends > begins:
                span = span_of(ends - begins)
                notes.add(step.where, f"{step.rate} runs until the next rate begins, {span} later.")
                yield replace(step, runs_for=span)
                continue
        yield step


def _minute(clock: time) -> int:
    return clock.hour * 60 + clock.minute
