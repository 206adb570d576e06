"""The orders of a patient file: tube, feedings and water."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from plainleaf.inputs.patient.records import (
    ExtraWater,
    Feed,
    Formula,
    Order,
    PositionCheck,
    Tube,
    Water,
)
from plainleaf.inputs.patient.values import amount_of, maybe, must, times_of
from plainleaf.inputs.strict_yaml import Reader, read_clock, read_date, read_moment
from plainleaf.vocabulary import terms
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity

# Nobody flushes more often at home; common practice, no source.
LEAST_BETWEEN_FLUSHES = Quantity(Decimal(30), "min")


def order_of(reader: Reader) -> Order:
    """Who settled something, and when."""
    return Order(
        by=must(reader.text("by", required=True, longest=80)),
        on=must(reader.convert("on", read_date, required=True)),
    )


def _position(reader: Reader) -> PositionCheck:
    return PositionCheck(
        by=must(reader.text("by", required=True, longest=80)),
        how=must(reader.text("how", required=True, longest=80)),
        on=must(reader.convert("on", read_date, required=True)),
    )


def read_tube(reader: Reader) -> Tube:
    """The tube as it lies, with the orders that belong to it."""
    kind = reader.choice("kind", terms.TUBE_KINDS, required=True)
    return Tube(
        kind=must(kind),
        build=must(reader.choice("build", terms.BUILDS, required=True)),
        held_by=must(reader.choice("held_by", terms.RETENTIONS, required=True)),
        placed=must(reader.convert("placed", read_moment, required=True)),
        opening_made=reader.convert("opening_made", read_date),
        placed_by=must(reader.choice("placed_by", terms.PLACED_BY, required=True)),
        size=must(amount_of(reader, "size", "tube size", required=True)),
        length=amount_of(reader, "length", "length"),
        mark_at_skin=amount_of(reader, "mark_at_skin", "length"),
        skin_buttons=must(reader.count("skin_buttons", low=0, high=8, required=True)),
        balloon_fill=amount_of(reader, "balloon_fill", "volume"),
        balloon_port_color=reader.text("balloon_port_color", longest=30),
        ports=_ports(reader, kind),
        turn_daily=reader.flag("turn_daily"),
        push_in_weekly=reader.flag("push_in_weekly"),
        opening_healed=maybe(reader, "opening_healed", order_of),
        may_put_back=maybe(reader, "may_put_back", order_of),
        position_checked=maybe(reader, "position_checked", _position),
    )


def _ports(reader: Reader, kind: str | None) -> Mapping[str, tuple[str, ...]]:
    block = reader.child("ports", required=True)
    if block is None:
        return {}
    allowed = terms.PORTS_OF_KIND[kind] if kind else terms.PORTS
    ports = {}
    for name in terms.PORTS:
        if block.get(name, required=name in allowed and kind is not None) is None:
            continue
        ports[name] = block.words(name, terms.PORT_USES)
        if name not in allowed:
            block.note(
                block.mapping[name],
                f"tube.ports: a {kind} has no {name} port.",
                "Check tube.kind, or take this port out.",
            )
        elif not ports[name]:
            block.note(
                block.mapping[name], f"tube.ports.{name} has no use.", "Write what it is for."
            )
    block.close()
    return ports


def _share(text: str) -> Quantity:
    quantity = read_quantity(text, "share")
    if quantity.value > 100:
        raise UnitError(f"'{text}' is more than all of it.", "Write 0 % to 100 %.")
    return quantity


def _formula(reader: Reader) -> Formula:
    return Formula(
        name=must(reader.text("name", required=True, longest=60)),
        energy=must(amount_of(reader, "energy", "energy density", required=True)),
        water=must(reader.convert("water", _share, required=True)),
        container=amount_of(reader, "container", "volume"),
        system=must(reader.choice("system", terms.FORMULA_SYSTEMS, required=True)),
    )


# Keys that each method needs; a key of another method is refused, so that none is dropped.
_METHOD_KEYS = {
    "syringe": ("amount", "times"),
    "gravity": ("amount", "over", "times"),
    "pump": ("rate", "starts", "runs_for"),
}


def read_feed(reader: Reader, number: int) -> Feed:
    """One feeding order; the keys of its method must be there, and no others."""
    method = reader.choice("method", terms.METHODS, required=True)
    wanted = _METHOD_KEYS.get(method or "", ())
    feed = Feed(
        number=number,
        method=must(method),
        through=must(reader.choice("through", terms.PORTS, required=True)),
        blended=reader.flag("blended"),
        formula=maybe(reader, "formula", _formula),
        amount=amount_of(reader, "amount", "volume", required="amount" in wanted),
        over=amount_of(reader, "over", "time span", required="over" in wanted),
        times=times_of(reader, "times", required="times" in wanted),
        rate=amount_of(reader, "rate", "rate", required="rate" in wanted),
        starts=reader.convert("starts", read_clock, required="starts" in wanted),
        runs_for=amount_of(reader, "runs_for", "time span", required="runs_for" in wanted),
        daily_total=amount_of(reader, "daily_total", "volume"),
        ordered_by=reader.text("ordered_by", longest=80),
    )
    _check_feed(reader, feed, wanted)
    return feed


def _check_feed(reader: Reader, feed: Feed, wanted: tuple[str, ...]) -> None:
    others = {key for keys in _METHOD_KEYS.values() for key in keys} - set(wanted) - {"over"}
    for key in sorted(others & set(reader.mapping)) if wanted else ():
        reader.note(
            reader.mapping[key], f"{reader.name(key)} does not belong to a {feed.method} feeding."
        )
    if feed.method is not None and feed.formula is None and not feed.blended:
        reader.note(
            reader.node, f"{reader.where} has no formula.", "Write formula: …, or blended: true."
        )
    if feed.formula is not None and feed.blended:
        reader.note(
            reader.node, f"{reader.where} is both formula and blended.", "Write two feedings."
        )
    if feed.runs_for is not None and feed.runs_for > Quantity(Decimal(24), "h"):
        reader.note(
            reader.mapping["runs_for"],
            f"{reader.name('runs_for')} is longer than a day.",
            "Write 24 h or less.",
        )


def _extra(reader: Reader) -> ExtraWater:
    return ExtraWater(
        amount=must(amount_of(reader, "amount", "volume", required=True)),
        times=times_of(reader, "times", required=True),
        through=must(reader.choice("through", terms.PORTS, required=True)),
    )


def read_water(reader: Reader) -> Water:
    """Flush and water orders; a missing order stays None."""
    every = amount_of(reader, "every", "time span")
    if every is not None and every < LEAST_BETWEEN_FLUSHES:
        wrong = f"{reader.name('every')}: {every} is too often."
        reader.note(reader.mapping["every"], wrong, f"Write {LEAST_BETWEEN_FLUSHES} or more.")
    return Water(
        before_feed=amount_of(reader, "before_feed", "volume"),
        after_feed=amount_of(reader, "after_feed", "volume"),
        medicine=amount_of(reader, "medicine", "volume"),
        daily=amount_of(reader, "daily", "volume"),
        every=every,
        each=amount_of(reader, "each", "volume", required=every is not None),
        starts=reader.convert("starts", read_clock),
        extra=maybe(reader, "extra", _extra),
        unclog=amount_of(reader, "unclog", "volume"),
        by=reader.choice("by", terms.FLUSH_BY),
        goal=amount_of(reader, "goal", "volume"),
        limit=amount_of(reader, "limit", "volume"),
    )
