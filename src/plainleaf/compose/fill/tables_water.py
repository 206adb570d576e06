"""The flushes and the water of a file whose orders have dates."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of
from plainleaf.facts.derived import Event, Phrase, Typed, Value
from plainleaf.facts.feed_words import volume_range
from plainleaf.vocabulary.quantities import Quantity

Row = tuple[Cell, ...]
_WHYS = ("before-feed", "after-feed", "every", "medicine", "additive", "daily")
# Check → what is said of a flush that it asked about, where the order stands.
_STANDS = {
    "flush_under_dead_space": ("flush-under-dead-space", "flush-small-ordered"),
    "flush_large_child": ("flush-large-child", "flush-large-ordered"),
}


@dataclass(frozen=True)
class _Kind:
    """Flushes that are one line: why, through which port, by which order, and how much."""

    why: str
    through: str
    order: str
    amount: Quantity
    least: Quantity | None


def _kinds(source: SlotSource) -> list[_Kind]:
    found = dict.fromkeys(
        _Kind(event.why, event.through, event.order, event.amount, event.least)
        for event in _all_events(source)
        if event.kind == "flush" and event.amount is not None
    )
    return sorted(found, key=lambda kind: (_WHYS.index(kind.why), kind.through))


def _all_events(source: SlotSource) -> Iterator[Event]:
    for plan in source.facts.plans:
        yield from plan.events
        for weekday in plan.weekdays:
            yield from weekday.events
        for turn in plan.recurring:
            yield from turn.events


def flush_rows(source: SlotSource) -> tuple[Row, ...]:
    """Each kind of flush of any day, and the extra water at its times."""
    rows = [_row(source, _when(source, kind), kind.through, kind.amount, kind.least, kind.order)
            for kind in _kinds(source)]  # fmt: skip
    for number, extra in enumerate(source.patient.water.extras):
        for clock in extra.times:
            name = "flush-at" if extra.why == "flush" else "extra-water-at"
            when = say(name, time=Typed("clock-short", clock))
            order = f"water.extra[{number}]"
            rows.append(_row(source, when, extra.through, extra.amount, extra.amount_least, order))
    return tuple(rows)


def _row(
    source: SlotSource, when: Value, port: str, most: Quantity, least: Quantity | None, order: str
) -> Row:
    first: Cell = (when, port_phrase(port, True)) if source.two_ports else (when,)
    amount = volume_range(least, most)
    second: Value = amount if isinstance(amount, Phrase) else Typed("volume", amount)
    return first, (second, *_as_ordered(source, order))


def _when(source: SlotSource, kind: _Kind) -> Value:
    water = source.patient.water
    if kind.why == "every" and water.every is not None and water.starts is not None:
        return say(
            "flush-every-from",
            span=Typed("span", water.every), start=Typed("clock-short", water.starts),
        )  # fmt: skip
    if kind.why == "additive":
        number = int(kind.order.partition("[")[2].partition("]")[0])
        side = "before" if kind.order.endswith("flush_before") else "after"
        return say(f"flush-{side}-this", name=text_of(source.patient.additives[number].name))
    return Phrase(f"flush-{kind.why}")


def _as_ordered(source: SlotSource, order: str) -> Iterator[Phrase]:
    """That an amount that was asked about stands as ordered."""
    key = order.partition("[")[0] if order.startswith("water.extra") else order
    for check, (finding, words) in _STANDS.items():
        settled = any(outcome.finding == finding for outcome in source.patient.outcomes)
        if settled and key in _asked(source, check):
            yield Phrase(words)


def _asked(source: SlotSource, check: str) -> set[str]:
    checked = source.facts.checks[check]
    return {*checked.concerns, *(key for part in checked.parts for key in part.keys)}


def flush_kept_back(source: SlotSource) -> FilledBlock:
    """Ordered flushes that no day uses: they wait for our word."""
    water = source.patient.water
    amounts = {
        "water.each": (Phrase("flush-at-times"), water.each, None),
        "water.before_feed": (Phrase("flush-before-feed"), water.before_feed,
                              water.before_feed_least),
        "water.after_feed": (Phrase("flush-after-feed"), water.after_feed, water.after_feed_least),
    }  # fmt: skip
    asked = _asked(source, "flush_never_given")
    rows = []
    for key, (when, most, least) in amounts.items():
        if key in asked and most is not None:
            amount = volume_range(least, most)
            said = amount if isinstance(amount, Phrase) else Typed("volume", amount)
            rows.append(((when,), (said, Phrase("only-when-told"))))
    return FilledBlock(
        "flush_kept_back", "table", ("head-when", "head-how-much-water"), tuple(rows)
    )
