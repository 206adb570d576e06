"""What is said of feeding orders beside their times: steps, additives, who ordered the unusual."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource, port_phrase, say, text_of, volume_of
from plainleaf.facts.derived import Phrase, Typed, Value
from plainleaf.facts.feed_words import volume_range
from plainleaf.inputs.patient import Feed
from plainleaf.inputs.patient.order_values import Additive
from plainleaf.vocabulary.opening_hours import DAYS
from plainleaf.vocabulary.patient_file.scalars_2 import Amounts

Row = tuple[Cell, ...]


def _word(prefix: str, word: str) -> Phrase:
    return Phrase(f"{prefix}-{word.replace(' ', '-')}")


# --- steps ---------------------------------------------------------------------------------------


def step_rules(source: SlotSource) -> FilledBlock:
    """When to go on to the next step, and what to do if not; the same of several orders once."""
    stepped = [feed for feed in source.patient.feeding if feed.steps]
    rows = dict.fromkeys(row for feed in stepped for row in _step_rows(feed))
    return FilledBlock("step_rules", "table", ("head-when", "head-what"), tuple(rows))


def _step_rows(feed: Feed) -> Iterator[Row]:
    if feed.step_only_if:
        words: Cell = tuple(_word("step-if", word) for word in feed.step_only_if)
        yield (Phrase("step-only-if"),), words
    if feed.otherwise is not None:
        yield (Phrase("step-otherwise"),), (_word("step-else", feed.otherwise),)


# --- against the usual ---------------------------------------------------------------------------


def feeds_by_order(source: SlotSource) -> FilledBlock:
    """Feedings against the usual port or food, with who ordered them."""
    rows = dict.fromkeys(
        ((_called(source, feed), say("ordered-for-you", name=text_of(feed.ordered_by))),)
        for feed in source.patient.feeding
        if feed.ordered_by is not None
    )
    return FilledBlock("feeds_by_order", "list", ("head-what",), tuple(rows))


def _called(source: SlotSource, feed: Feed) -> Phrase:
    port = port_phrase(feed.through, source.two_ports)
    return say("feed-through", method=Phrase(f"method-{feed.method}"), port=port)


# --- additives -----------------------------------------------------------------------------------


def additives_table(source: SlotSource) -> FilledBlock:
    """Each powder or fiber that is given apart: how much, in what, when, with which flushes."""
    rows = tuple((_added(one), tuple(_given(source, one))) for one in source.patient.additives)
    return FilledBlock("additives_table", "table", ("head-what", "head-how"), rows)


def _added(additive: Additive) -> Cell:
    kind = say("add-kind", name=text_of(additive.name), kind=_word("add", additive.kind))
    amount: Value = Typed("dose", additive.amount)
    if additive.amount.equals is not None:
        amount = say("recipe-weighed", amount=amount, weight=Typed("dose", additive.amount.equals))
    return kind, amount


def _given(source: SlotSource, additive: Additive) -> Iterator[Value]:
    for clock in additive.times:
        yield say("add-at", time=Typed("clock-short", clock))
    yield from _days(additive)
    if additive.mix.amount is not None:
        liquid = _word("mix", additive.mix.liquid)
        yield say("add-in", amount=_amount(additive.mix.amount), liquid=liquid)
    yield _word("add", additive.place)
    if source.two_ports:
        yield port_phrase(additive.through, True)
    for side in ("before", "after"):
        flush: Amounts | None = getattr(additive, f"flush_{side}")
        if flush is not None:
            yield say(f"add-flush-{side}", amount=_amount(flush))


def _days(additive: Additive) -> Iterator[Value]:
    if additive.days:
        first, *others = (Phrase(f"weekday-{DAYS.index(day) + 1}") for day in additive.days)
        for other in others:
            first = say("list-two", first=first, second=other)
        yield say("add-days", days=first)
    if additive.begins is not None:
        yield say("when-from", first=Typed("date", additive.begins))
    if additive.ends is not None:
        yield say("when-until", last=Typed("date", additive.ends))


def _amount(amounts: Amounts) -> Value:
    amount = volume_range(amounts.least, amounts.most)
    return amount if isinstance(amount, Phrase) else volume_of(amount)
