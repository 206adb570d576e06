"""The box for low sugar, and the tables of what is measured at home with whom to call when."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, say, text_of
from plainleaf.facts.about_calls import sugar_food, sugar_way
from plainleaf.facts.calls import (
    call_for,
    call_phrase,
    contact_called,
    days_phrase,
    first_called,
    is_for_emergency,
    joined_by,
    outcomes_of,
)
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.inputs.patient import Patient
from plainleaf.inputs.patient.order_values import Check, LowSugar
from plainleaf.vocabulary.quantities import Quantity

Row = tuple[Cell, ...]
# Kind of an amount → the kind it is worded as; a weight is not rounded to half a pound here.
_WORDED = {
    "blood sugar": "blood-sugar", "weight": "weight-exact", "temperature": "temperature",
    "volume": "volume",
}  # fmt: skip


# --- low sugar -----------------------------------------------------------------------------------


def _measured_by(patient: Patient) -> Iterator[Row]:
    """Who measures, where nobody at home does."""
    for outcome in outcomes_of(patient, "insulin-without-sugar-checks", "checked-by"):
        cell: Cell = (text_of(str(outcome.fields["who"])),)
        if outcome.fields.get("phone"):
            cell += (Typed("phone", str(outcome.fields["phone"])),)
        yield (Phrase("low-sugar-measured-by"),), cell


def _sugar_rows(patient: Patient, plan: LowSugar) -> Iterator[Row]:
    below = Typed("blood-sugar", plan.below)
    yield (Phrase("low-sugar-below"),), (below,)
    yield from _measured_by(patient)
    yield (Phrase("low-sugar-give"),), (sugar_food(plan.give), sugar_way(patient))
    yield (Phrase("low-sugar-recheck"),), (Typed("span", plan.recheck),)
    if plan.tries > 1:
        tries = Typed("times", plan.tries)
        yield (say("low-sugar-still", below=below),), (say("low-sugar-again", tries=tries),)
    call = call_phrase(patient, contact_called(patient, plan.then_call))
    yield (say("low-sugar-then", below=below),), (call,)
    phone = Typed("phone", first_called(patient).phone)
    yield (Phrase("low-sugar-asleep"),), (say("low-sugar-asleep-do", phone=phone),)


def low_sugar_box(source: SlotSource) -> FilledBlock:
    """The plan for low sugar as ordered, from the number to the call."""
    patient = source.patient
    plan = patient.low_sugar
    rows = () if plan is None else tuple(_sugar_rows(patient, plan))
    return FilledBlock("low_sugar_box", "plan", ("head-item", "head-value"), rows)


# --- checks at home ------------------------------------------------------------------------------


def _name(check: Check) -> Phrase:
    return Phrase(f"watch-{check.what.replace(' ', '-')}")


def amount_worded(amount: Quantity) -> Value:
    """A limit with its unit: of a share, so many percent."""
    if amount.kind == "share":
        return say("percent", number=Typed("count", str(amount.to("%").value)))
    return Typed(_WORDED[amount.kind], amount)


def weight_at(weight: Quantity, down: Quantity) -> Quantity:
    """The weight that is so large a share less, exact.

    >>> from plainleaf.vocabulary.quantities import read_quantity as read
    >>> str(weight_at(read("71 kg", "weight"), read("3 %", "share")))
    '68.87 kg'
    """
    return Quantity(weight.value * (100 - down.to("%").value) / 100, weight.unit)


def _down(patient: Patient, check: Check, down: Quantity) -> Phrase:
    share, weight = amount_worded(down), patient.person.weight
    if weight is None:
        return say("watch-down", what=_name(check), share=share)
    limit = Typed("weight-exact", weight_at(weight, down))
    return say("watch-down-to", what=_name(check), share=share, weight=limit)


def _limits(source: SlotSource, check: Check) -> Iterator[tuple[Phrase, Value | None]]:
    """Each limit in words, and what is done before anybody is called."""
    patient, what = source.patient, _name(check)
    if check.call_below is not None:
        low = check.what == "blood sugar" and patient.low_sugar is not None
        first = Phrase("watch-low-first") if low else None
        yield say("watch-below", what=what, limit=amount_worded(check.call_below)), first
    if check.call_above is not None:
        limit = amount_worded(check.call_above)
        yield say("watch-above", what=what, limit=limit), _fever_first(source, check)
    if check.call_down is not None:
        yield _down(patient, check, check.call_down), None
    if check.call_up is not None:
        yield say("watch-up", what=what, amount=amount_worded(check.call_up)), None
    if check.call_none_for is not None:
        yield say("watch-none", what=what, span=Typed("interval", check.call_none_for)), None


def _fever_first(source: SlotSource, check: Check) -> Value | None:
    """That a fever of this height is an emergency for this patient, whoever else is called."""
    answers, limit = source.facts.answers, check.call_above
    fever = source.facts.values["fever"].value
    grave = answers["weak_immunity"] == "true" or answers["age_group"] == "infant"
    if check.what != "temperature" or not grave or limit is None:
        return None
    assert isinstance(fever, Quantity)
    page = Typed("count", source.pages.get("help", 1))
    return say("watch-fever-first", page=page) if limit.to(fever.unit) >= fever else None


def _call_rows(source: SlotSource, *, emergency: bool) -> Iterator[Row]:
    patient = source.patient
    for check in patient.watch:
        if is_for_emergency(patient, check.call) is not emergency:
            continue
        call = call_for(patient, check.call, check.what)
        for limit, first in _limits(source, check):
            whom = call if first is None or emergency else say("say-two", first=first, second=call)
            yield (limit,), (whom,)


def watch_calls(source: SlotSource) -> FilledBlock:
    """Each limit of what is measured at home for which the team is called, with whom to call."""
    rows = tuple(_call_rows(source, emergency=False))
    return FilledBlock("watch_calls", "plan", ("head-what", "head-call"), rows)


def watch_calls_now(source: SlotSource) -> FilledBlock:
    """Each limit of what is measured at home for which an emergency is called."""
    rows = tuple(_call_rows(source, emergency=True))
    return FilledBlock("watch_calls_now", "plan", ("head-what", "head-call"), rows)


def _times(check: Check) -> Iterator[Value]:
    """When it is measured."""
    if check.tied is not None:
        yield Phrase(f"watch-{check.tied.replace(' ', '-')}")
    days = days_phrase(check.days) if check.days else Phrase("hours-each-day")
    if check.times:
        clocks = joined_by("list-two", [Typed("clock-short", clock) for clock in check.times])
        yield say("hours-at", days=days, time=clocks)
    elif check.days:
        yield days
    if check.every is not None and check.next is not None:
        kind = "moment" if isinstance(check.next, datetime) else "date"
        every = Typed("interval", check.every)
        yield say("watch-every", span=every, next=Typed(kind, check.next))
    if check.begins is not None:
        yield say("when-from", first=Typed("date", check.begins))
    if check.ends is not None:
        yield say("when-until", last=Typed("date", check.ends))


def watch_table(source: SlotSource) -> FilledBlock:
    """What is measured at home, when, and at which limit somebody is called."""
    patient = source.patient
    rows = []
    for check in patient.watch:
        limits: Cell = tuple(limit for limit, _ in _limits(source, check))
        fever = _fever_first(source, check)
        first = () if fever is None else (fever,)
        call = call_for(patient, check.call, check.what)
        rows.append(((_name(check),), tuple(_times(check)), (*limits, *first, call)))
    return FilledBlock("watch_table", "table", ("head-what", "head-when", "head-call"), tuple(rows))
