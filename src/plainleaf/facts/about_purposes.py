"""Facts about a port that drains, lets air out or rests, by order."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import reduce
from typing import Any

from plainleaf.facts.about_feeding import port_phrase_of
from plainleaf.facts.declare import (
    LOADER,
    ORDER_SET,
    Asked,
    Slot,
    slot,
    unasked,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.derived import Phrase, SlotValue, Typed
from plainleaf.facts.given import Given
from plainleaf.inputs.patient.order_values import Drainage
from plainleaf.vocabulary import words_2
from plainleaf.vocabulary.conditions import Condition, answers, every, never, no, some, yes
from plainleaf.vocabulary.quantities import Quantity

_NONE = "none"
_DRAINS = never(answers("drain_into", _NONE))
_VENTS = never(answers("vent_with", _NONE))
_RESTS = yes("tube_rests")
_MISSING = "rule drain-order-missing"


def _no_use(*uses: str) -> Condition:
    return every(*(no(use) for use in uses))


# A port of this tube for nothing of what a condition asks of its uses.
_FREE_BOWEL = every(yes("jejunal_port"), _no_use("jejunal_feeding", "jejunal_medicines"))
_FREE_STOMACH = every(
    yes("gastric_port"),
    _no_use("gastric_feeding", "gastric_medicines", "gastric_venting", "gastric_drainage"),
)

# Which port drains or vents is told by the uses of the gastric one: the order names one port.
_BOWEL_DRAINS = every(_DRAINS, no("gastric_drainage"))
_BOWEL_VENTS = every(_VENTS, no("gastric_venting"))


def resting_port(g: Given) -> str | None:
    """The port that rests by order, if one does."""
    return next((port for port, uses in g.tube.ports.items() if "resting" in uses), None)


def _drain_into(g: Given) -> str:
    return _NONE if g.patient.drainage is None else g.patient.drainage.into


def _vent_with(g: Given) -> str:
    return _NONE if g.patient.venting is None else g.patient.venting.how


def _of_drainage(
    name: str, means: str, ask: Callable[[Drainage], bool], shown: Mapping[str, Any]
) -> Asked[Given]:
    """What holds of the order for a draining port."""
    return yes_no(
        name, means, lambda g: g.patient.drainage is not None and ask(g.patient.drainage),
        needs="drainage", only_2=True, shown=shown,
        legal=(whenever(yes(name), _DRAINS, "only a draining port has such an order"),),
    )  # fmt: skip


_DRAIN_ORDER = {
    "through": "gastric", "into": "{answer}", "times": ["20:00"], "for": "10 h",
    "may_close": {"after-medicines": "60 min"}, "open_if": ["nausea"], "empty_at": "1/2 full",
    "change_bag": "3 d", "record": "not needed", "call_over": "1000 mL",
}  # fmt: skip
_VENT_ORDER = {"through": "gastric", "how": "{answer}", "when": ["bloating"], "for": "5 min"}

PURPOSE_FACTS: tuple[Asked[Given], ...] = (
    yes_no(
        "tube_rests", "a port rests by order: nothing goes in but a flush",
        lambda g: resting_port(g) is not None,
        needs="tube.resting", only_2=True, shown={"tube.resting": {"ask": ["surgeon"]}},
        legal=(whenever(_RESTS, some(_FREE_STOMACH, every(
            _FREE_BOWEL, never(_BOWEL_DRAINS), never(_BOWEL_VENTS),
        )), "a resting port is for nothing else", "rule resting-and-used"),),
    ),
    yes_no(
        "rest_calls", "it is written what starts the call about a resting port",
        lambda g: g.tube.resting is not None and bool(g.tube.resting.call_if),
        needs="tube.resting.call_if", only_2=True, shown={"tube.resting.call_if": ["choking"]},
        legal=(whenever(yes("rest_calls"), _RESTS, "only a resting port waits for a call"),),
    ),
    word(
        "drain_into", (_NONE, *words_2.DRAIN_INTO), "what a port drains into, by order",
        _drain_into, needs="drainage", only_2=True, shown={"drainage": _DRAIN_ORDER},
        legal=(whenever(_DRAINS, some(yes("gastric_drainage"), yes("jejunal_port")),
                        "what drains is a port for draining", _MISSING),),
    ),
    _of_drainage("drain_quiet_limit", "a drain that gives nothing is a call after a time",
                 lambda d: d.call_none is not None, {"drainage.call_none": "6 h"}),
    _of_drainage("drain_recorded", "what drains is written down",
                 lambda d: d.record != "not needed", {"drainage.record": "daily"}),
    word(
        "vent_with", (_NONE, *words_2.VENT_HOW), "with what air is let out, by order",
        _vent_with, needs="venting", only_2=True, shown={"venting": _VENT_ORDER},
        legal=(whenever(_VENTS, some(yes("gastric_venting"), yes("jejunal_port")),
                        "air is let out through a port for it", _MISSING),),
    ),
)  # fmt: skip

# Whether a class can be written in format 2: only `prove` considers it.
PURPOSES_UNASKED: tuple[Asked[Given], ...] = (
    unasked(
        ORDER_SET, "the file is of format 2, which says of each use of a port how it is meant",
        whenever(every(yes(ORDER_SET), yes("gastric_drainage")), _DRAINS,
                 "what drains has its order", _MISSING),
        whenever(every(yes(ORDER_SET), yes("gastric_venting")), _VENTS,
                 "what vents has its order", _MISSING),
        whenever(every(yes(ORDER_SET), _FREE_BOWEL), some(_RESTS, _BOWEL_DRAINS, _BOWEL_VENTS),
                 "a port is for something", LOADER),
    ),
)  # fmt: skip


# --- values --------------------------------------------------------------------------------------


def _named_port(g: Given, port: str | None) -> Phrase | None:
    return None if port is None else port_phrase_of(g, port)


def _of_block(
    block: str, value: Callable[[Given, Any], SlotValue | None]
) -> Callable[[Given], SlotValue | None]:
    def derive(g: Given) -> SlotValue | None:
        order = getattr(g.patient, block)
        return None if order is None else value(g, order)

    return derive


def _listed(prefix: str, words: Sequence[str]) -> Phrase | None:
    """Words of a closed list one after the other, the last one behind an `or`."""
    named = [Phrase(f"{prefix}-{one.replace(' ', '-')}") for one in words]
    if len(named) < 2:
        return next(iter(named), None)
    row = reduce(lambda one, other: _two("two", one, other), named[:-1])
    return _two("or", row, named[-1])


def _two(between: str, first: Phrase, second: Phrase) -> Phrase:
    return Phrase(f"list-{between}", (("first", first), ("second", second)))


def _of_rest(value: Callable[[Any], SlotValue | None]) -> Callable[[Given], SlotValue | None]:
    return lambda g: None if g.tube.resting is None else value(g.tube.resting)


def _empty_at(drainage: Drainage) -> Phrase:
    at = drainage.empty_at
    if isinstance(at, str):
        return Phrase(f"drain-full-{at.split()[0].replace('/', '-')}")
    return Phrase("drain-holds", (("amount", Typed("dose-volume", at)),))


def _in_days(every: Quantity) -> SlotValue:
    """Whole days as days; one day as hours."""
    days = every.to("d").value
    if days < 2 or days % 1:
        return every
    return Phrase("span-days", (("count", Typed("count", int(days))),))


PURPOSE_SLOTS: tuple[Slot[Given], ...] = (
    slot("rest_port_name", "phrase", "the port that rests",
         lambda g: _named_port(g, resting_port(g)), _RESTS),
    slot("rest_ask", "phrase", "who says when a resting port is used",
         _of_rest(lambda r: _listed("rest-ask", r.ask)), _RESTS),
    slot("rest_calls_if", "phrase", "what starts the call about a resting port",
         _of_rest(lambda r: _listed("rest-call", r.call_if)), yes("rest_calls")),
    slot("drain_open_if", "phrase", "what opens the draining port at any hour",
         _of_block("drainage", lambda g, d: _listed("open-if", d.open_if)), _DRAINS),
    slot("drain_port_name", "phrase", "the port that drains",
         _of_block("drainage", lambda g, d: _named_port(g, d.through)), _DRAINS),
    slot("drain_empty_at", "phrase", "when the bag is emptied",
         _of_block("drainage", lambda g, d: _empty_at(d)), _DRAINS),
    slot("drain_change_every", "span", "how often the drain bag is changed",
         _of_block("drainage", lambda g, d: _in_days(d.change_bag)), _DRAINS),
    slot("drain_call_over", "dose-volume", "more than this drains in a day: call",
         _of_block("drainage", lambda g, d: d.call_over), _DRAINS),
    slot("drain_call_none", "span", "nothing drains for so long: call",
         _of_block("drainage", lambda g, d: d.call_none), yes("drain_quiet_limit")),
    slot("vent_port_name", "phrase", "the port that lets air out",
         _of_block("venting", lambda g, v: _named_port(g, v.through)), _VENTS),
    slot("vent_for", "span", "how long air is let out, by order",
         _of_block("venting", lambda g, v: v.lasts), _VENTS),
)  # fmt: skip
