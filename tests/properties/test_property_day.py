"""The day adds up for every patient, and no order of writing changes it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from strategies import Data, Made, few, patients, wording

from plainleaf.compose.fill import FilledBlock
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.packet.record import review_data
from plainleaf.vocabulary.quantities import Quantity


def _sum(amounts: Iterator[Quantity]) -> Decimal:
    return sum((amount.to("mL").value for amount in amounts), Decimal(0))


def _of(made: Made, *kinds: str) -> Iterator[Quantity]:
    return (e.amount for e in made.facts.events if e.kind in kinds and e.amount is not None)


@few(45)
@given(patients())
def test_totals_are_the_sums_of_the_schedule(made: Made) -> None:
    totals = made.facts.totals
    assert totals.formula.value + totals.blended.value == _sum(_of(made, "feed", "pump-start"))
    assert totals.flush.value == _sum(_of(made, "flush"))
    assert totals.extra_water.value == _sum(_of(made, "extra-water"))
    parts = (totals.water_in_formula, totals.flush, totals.extra_water)
    assert totals.water.value == sum(part.value for part in parts)


def _litres(text: str) -> Decimal:
    number, unit = text.split(" ", 1)
    each = {"mL": Decimal(1), "L": Decimal(1000)}
    return Decimal(number) * each[unit]


@few(45)
@given(patients())
def test_feeding_totals_follow_from_the_file(made: Made) -> None:
    formula = blended = energy = water = Decimal(0)
    for feed in made.data["feeding"]:
        if feed["method"] == "pump":
            given_mL = Decimal(feed["rate"].split()[0]) * Decimal(feed["runs_for"].split()[0])
        else:
            given_mL = _litres(feed["amount"]) * len(feed["times"])
        if "formula" in feed:
            formula += given_mL
            energy += given_mL * Decimal(feed["formula"]["energy"].split()[0])
            water += given_mL * Decimal(feed["formula"]["water"].split()[0]) / 100
        else:
            blended += given_mL
    totals = made.facts.totals
    assert (totals.formula.value, totals.blended.value) == (formula, blended)
    assert totals.water_in_formula.value == water
    assert (None if totals.energy is None else totals.energy.value) == (None if blended else energy)


def _blocks(made: Made, name: str) -> Iterator[FilledBlock]:
    for module in made.filled.modules:
        for section in module.sections:
            for statement in section.statements:
                if statement.block is not None and statement.block.name == name:
                    yield statement.block


def _amounts(value: Value) -> Iterator[Decimal]:
    """Every amount of water or food in a line, in mL."""
    if isinstance(value, Phrase):
        for slot, inner in value.values:
            if slot == "amount" and isinstance(inner, Typed) and isinstance(inner.value, Quantity):
                yield inner.value.to("mL").value
            yield from _amounts(inner)


@few(45)
@given(patients())
def test_the_printed_day_holds_the_totals_and_nothing_else(made: Made) -> None:
    for block in _blocks(made, "day_schedule"):
        printed = Decimal(0)
        for times, lines in block.rows:
            clocks = [one for one in times if isinstance(one, Typed) and one.kind == "clock-short"]
            printed += len(clocks) * sum(a for line in lines for a in _amounts(line))
        totals = made.facts.totals
        parts = (totals.formula, totals.blended, totals.flush, totals.extra_water)
        assert printed == sum(part.value for part in parts)


@few(40)
@given(patients())
def test_the_record_s_totals_are_the_sums_of_its_schedule(made: Made) -> None:
    data = review_data.review_data(made.facts, made.findings, wording())
    lines = data["schedule"]

    def total(*kinds: str) -> float:
        return sum(line["amount_ml"] for line in lines if line["kind"] in kinds)

    totals = data["totals"]
    fed = totals["formula_ml"] + totals["blended_ml"]
    assert abs(fed - total("feed", "pump-start")) < 1e-6
    assert abs(totals["flush_ml"] - total("flush")) < 1e-6
    assert abs(totals["extra_water_ml"] - total("extra-water")) < 1e-6
    assert {line["kind"] for line in lines if line["amount_ml"] is not None} <= {
        "feed", "pump-start", "flush", "extra-water",
    }  # fmt: skip


@few(40)
@given(patients())
def test_the_schedule_is_one_day_in_order(made: Made) -> None:
    minutes = [event.minute for event in made.facts.events]
    assert minutes == sorted(minutes)
    if minutes:
        assert minutes[-1] - minutes[0] < 24 * 60
    timed = [m for m in made.patient.medicines for _ in m.times]
    assert len(timed) == sum(event.kind == "medicine" for event in made.facts.events)


def _shuffled(value: Any, order: random.Random, *, inside: str = "") -> Any:
    """The same file with the lines of every block in another order, and lists without meaning."""
    if isinstance(value, dict):
        keys = list(value)
        order.shuffle(keys)
        return {key: _shuffled(value[key], order, inside=key) for key in keys}
    if isinstance(value, list):
        items = [_shuffled(item, order) for item in value]
        if inside in ("medicines", "feeding", "times", "conditions", "accepted", "learners"):
            order.shuffle(items)
        return items
    return value


def _lines(made: Made) -> list[tuple[Any, ...]]:
    return sorted(
        (event.minute, event.kind, event.through, str(event.amount), event.why)
        for event in made.facts.events
    )


@few(40)
@given(patients(), st.randoms(use_true_random=False))
def test_the_order_of_writing_changes_nothing(made: Made, order: random.Random) -> None:
    data: Data = _shuffled(made.data, order)
    other = Made(data)
    assert other.facts.totals == made.facts.totals
    assert _lines(other) == _lines(made)
    assert other.facts.answers == made.facts.answers
    assert other.facts.timeline == made.facts.timeline
    assert sorted(other.facts.supplies, key=str) == sorted(made.facts.supplies, key=str)
    assert [d.answer for d in other.selection.rulings] == [d.answer for d in made.selection.rulings]
    assert sorted(f.id for f in other.findings) == sorted(f.id for f in made.findings)
    assert other.blocking == []
