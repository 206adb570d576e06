"""Facts about the tube: ports, what holds it, the opening, what may be done at home."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.facts.declare import (
    LOADER,
    Asked,
    Constraint,
    Slot,
    alike,
    following,
    slot,
    whenever,
    word,
    yes_no,
)
from plainleaf.facts.given import Given
from plainleaf.facts.opening import span
from plainleaf.inputs.policy import Policy
from plainleaf.vocabulary import terms, words_2
from plainleaf.vocabulary.conditions import (
    ALWAYS,
    NEVER,
    Condition,
    answers,
    every,
    never,
    no,
    some,
    yes,
)

_G = answers("tube_kind", "gastrostomy")
_J = answers("tube_kind", "jejunostomy")
_GJ = answers("tube_kind", "gastrojejunostomy")
_STANDARD = answers("build", "standard")
_MATURE = answers("opening_stage", "mature")
_HEALED_BALLOON = every(_G, answers("held_by", "balloon"), _MATURE)
_HEALED_BUMPER = every(_G, answers("held_by", "bumper"), _MATURE)
_BY_KIND = "ports by kind of tube"
# Port → the uses that a condition may ask about.
_USES = {
    "gastric": ("feeding", "medicines", "venting", "drainage"),
    "jejunal": ("feeding", "medicines"),
}
_RESTS = yes("tube_rests")


def _use(port: str, use: str) -> Asked[Given]:
    name = f"{port}_{use}"
    return yes_no(
        name, f"the {port} port is for {use}",
        lambda g: use in g.tube.ports.get(port, ()),
        needs=f"tube.ports.{port}",
        legal=(whenever(yes(name), yes(f"{port}_port"), "a use needs its port", LOADER),),
        plain="true" if name == "gastric_feeding" else "",
        shown={f"tube.ports.{port}": [use]},
    )  # fmt: skip


def _turned(name: str, means: str, key: str) -> Asked[Given]:
    return yes_no(
        name, means, lambda g: bool(getattr(g.tube, key)), needs=f"tube.{key}",
        legal=(whenever(
            yes(name), _HEALED_BUMPER,
            "only a healed bumper-held gastrostomy is turned or pushed in",
            "rule turn-or-push-refused",
        ),),
        shown={f"tube.{key}": True},
    )  # fmt: skip


def _healed_balloon(g: Given) -> bool:
    return (g.tube.kind, g.tube.held_by, g.stage) == ("gastrostomy", "balloon", "mature")


def _balloon_check(g: Given) -> bool:
    return (
        _healed_balloon(g)
        and g.tube.balloon_fill is not None
        and g.policy.flag("balloon_check_at_home")
        and (_checked_by_order(g) or _old_enough_to_check(g))
    )


def _checked_by_order(g: Given) -> bool:
    """Whether an order has the balloon checked at home, so that the facility's wait is over."""
    return balloon_by(g) in _AT_HOME


def balloon_by(g: Given) -> str:
    """Who checks the balloon by order, or that no order says it."""
    return str((g.patient.overrides or {}).get("balloon_check_by", _UNSAID))


def _old_enough_to_check(g: Given) -> bool:
    return g.prepared >= g.opened + span(g.policy.quantity("balloon_check_after"))


def _overridden(key: str, value: object, name: str, means: str, *legal: Constraint) -> Asked[Given]:
    """An order about the skin in the place of what is usual."""
    return yes_no(
        name, means, lambda g: (g.patient.overrides or {}).get(key) == value,
        needs=f"overrides.{key}", only_2=True, shown={f"overrides.{key}": value}, legal=legal,
    )  # fmt: skip


def _tube_back(g: Given) -> bool:
    return (
        _healed_balloon(g)
        and g.policy.flag("tube_back_at_home")
        and g.opened < g.tube.placed
        and g.tube.may_put_back is not None
        and any(learner.hands_on for learner in g.patient.learners)
    )


def _put_back_who(g: Given) -> str | None:
    order = g.tube.may_put_back
    return None if order is None else ", ".join(order.who) or None


def _at_home(name: str, policy: Policy, unordered: Condition = ALWAYS) -> Iterator[Constraint]:
    if not policy.flag(name):
        yield whenever(unordered, no(name), "the facility's setting")


_MEASURED = yes("outside_measured")
# Who checks the balloon at home, and is taught it.
_AT_HOME = ("family", "staff")
_NOT_ORDERED = never(answers("balloon_by", *_AT_HOME))
_UNSAID = "unsaid"
_REFUSED = "rule balloon-check-refused"
_ONLY_HEALED = "only with a healed balloon gastrostomy"

TUBE_FACTS: tuple[Asked[Given], ...] = (
    word(
        "tube_kind", terms.TUBE_KINDS, "where the tube leads", lambda g: g.tube.kind,
        needs="tube.kind", shown={"tube.kind": "{answer}"},
    ),
    word(
        "build", terms.BUILDS, "long tube or skin-level button", lambda g: g.tube.build,
        needs="tube.build", shown={"tube.build": "{answer}"},
    ),
    word(
        "held_by", terms.RETENTIONS, "what holds the tube inside", lambda g: g.tube.held_by,
        needs="tube.held_by", plain="bumper", shown={"tube.held_by": "{answer}"},
        legal=(Constraint(
            some(_STANDARD, answers("held_by", "balloon", "bumper")),
            "a button is never held by stitches", "rule button-with-stitches",
        ),),
    ),
    word(
        "placed_by", terms.PLACED_BY, "who placed the tube", lambda g: g.tube.placed_by,
        needs="tube.placed_by", shown={"tube.placed_by": "{answer}"},
    ),
    word(
        "opening_stage", terms.STAGES, "age of the opening, by policy", lambda g: g.stage,
        needs="tube.opening_made", plain="mature",
    ),
    yes_no(
        "tube_replaced", "this tube went into an older opening",
        lambda g: g.opened < g.tube.placed, needs="tube.opening_made",
    ),
    yes_no(
        "gastric_port", "a port leads to the stomach", lambda g: "gastric" in g.tube.ports,
        needs="tube.ports", plain="true",
        legal=(
            alike(yes("gastric_port"), some(_G, _GJ), _BY_KIND, LOADER),
            whenever(
                yes("gastric_port"),
                some(*(yes(f"gastric_{u}") for u in _USES["gastric"]), _RESTS),
                "a port is for something", LOADER,
            ),
        ),
    ),
    yes_no(
        "jejunal_port", "a port leads to the jejunum", lambda g: "jejunal" in g.tube.ports,
        needs="tube.ports",
        legal=(alike(yes("jejunal_port"), some(_J, _GJ), _BY_KIND, LOADER),),
    ),
    yes_no(
        "two_ports", "one tube with a gastric and a jejunal port", lambda g: len(g.tube.ports) == 2,
        needs="tube.ports", legal=(alike(yes("two_ports"), _GJ, _BY_KIND, LOADER),),
    ),
    *(_use(port, use) for port, uses in _USES.items() for use in uses),
    following(
        "outer_disc", "an outer disc lies on the skin",
        every(_STANDARD, never(answers("held_by", "stitches"))),
        needs="tube.build", plain="true",
    ),
    yes_no(
        "skin_buttons", "stitched buttons stand round the opening",
        lambda g: g.tube.skin_buttons > 0,
        needs="tube.skin_buttons", shown={"tube.skin_buttons": 3},
    ),
    yes_no(
        "mark_known", "the mark at the skin is recorded", lambda g: g.tube.mark_at_skin is not None,
        needs="tube.mark_at_skin", plain="true", shown={"tube.mark_at_skin": "3 cm"},
        legal=(
            whenever(_STANDARD, some(yes("mark_known"), _MEASURED),
                     "a long tube has its mark or its measured length", "rule mark-missing"),
            whenever(yes("mark_known"), _STANDARD, "a button has no mark", "rule mark-on-button"),
        ),
    ),
    yes_no(
        "outside_measured", "a tube without marks: its length outside the skin is measured",
        lambda g: g.tube.outside_length is not None,
        needs="tube.outside_length", only_2=True, shown={"tube.outside_length": "14 cm"},
        legal=(whenever(_MEASURED, every(_STANDARD, no("mark_known")),
                        "it stands in the place of the mark of a long tube", LOADER),),
    ),
    yes_no(
        "length_known", "the length of the button is recorded", lambda g: g.tube.length is not None,
        needs="tube.length", shown={"tube.length": "2 cm"},
    ),
    _turned("turn_ordered", "turning the healed tube is ordered", "turn_daily"),
    _turned("push_in_ordered", "pushing the healed tube in is ordered", "push_in_weekly"),
    yes_no(
        "balloon_check_at_home", "the family checks the balloon water", _balloon_check,
        needs="tube.held_by",
        legal=(
            whenever(yes("balloon_check_at_home"), _HEALED_BALLOON, _ONLY_HEALED),
            whenever(
                every(yes("balloon_check_at_home"), _NOT_ORDERED), yes("soreness_time_passed"),
                "the first balloon check comes later than any soreness (bounds of the policy)",
            ),
        ),
        legal_at=lambda policy: _at_home("balloon_check_at_home", policy, _NOT_ORDERED),
    ),
    yes_no(
        "tube_back_at_home", "a trained person may put a spare tube in", _tube_back,
        needs="tube.may_put_back",
        legal=(
            whenever(yes("tube_back_at_home"), _HEALED_BALLOON, _ONLY_HEALED),
            whenever(yes("tube_back_at_home"), yes("tube_replaced"),
                     "a first tube is put back in hospital alone"),
        ),
        legal_at=lambda policy: _at_home("tube_back_at_home", policy),
        shown={"tube.may_put_back": {"by": "Dr. Invented", "on": "{day}"}},
    ),
    yes_no(
        "put_back_named", "it is ordered by name who may put a spare tube in",
        lambda g: _tube_back(g) and bool(_put_back_who(g)),
        needs="tube.may_put_back.who", only_2=True,
        legal=(
            whenever(yes("put_back_named"), yes("tube_back_at_home"), "only where it is taught"),
            whenever(every(yes("order_set"), yes("tube_back_at_home")), yes("put_back_named"),
                     "an order of format 2 names them", LOADER),
        ),
    ),
    word(
        "balloon_by", (_UNSAID, *words_2.BALLOON_BY), "who checks the balloon, by order",
        balloon_by, needs="overrides.balloon_check_by", only_2=True,
        shown={"overrides.balloon_check_by": "{answer}"},
        legal=(
            whenever(never(answers("balloon_by", _UNSAID)), answers("held_by", "balloon"),
                     "only a balloon is checked", _REFUSED),
            whenever(answers("balloon_by", *_AT_HOME), yes("balloon_check_at_home"),
                     "what the order means", _REFUSED),
            whenever(answers("balloon_by", "nurse", "nobody"), no("balloon_check_at_home"),
                     "what others do is not taught"),
        ),
    ),
    _overridden("dressing", "none", "dressing_none", "no dressing, by order"),
    _overridden("dressing", "daily", "dressing_daily", "a dressing each day, by order",
                whenever(yes("dressing_daily"), no("dressing_none"), "one order", LOADER)),
    _overridden("barrier_cream", True, "barrier_cream", "a cream for the skin is ordered"),
    following(
        "spare_tube_at_home", "a spare tube belongs in the kit", _HEALED_BALLOON,
        needs="tube.held_by",
    ),
)  # fmt: skip


TUBE_SLOTS: tuple[Slot[Given], ...] = (
    slot("tube_size", "size", "outside width of the tube", lambda g: g.tube.size),
    slot("mark_at_skin", "length", "number on the tube at the skin",
         lambda g: g.tube.mark_at_skin, yes("mark_known")),
    slot("button_length", "length", "length of the button",
         lambda g: g.tube.length, yes("length_known")),
    slot("balloon_fill", "balloon-volume", "water in the balloon",
         lambda g: g.tube.balloon_fill, answers("held_by", "balloon")),
    slot("balloon_port_color", "text", "colour of the balloon port",
         lambda g: g.tube.balloon_port_color, NEVER),
    slot("skin_button_count", "count", "how many skin buttons",
         lambda g: g.tube.skin_buttons, yes("skin_buttons")),
    slot("outside_length", "length", "length of the tube from skin to hub",
         lambda g: g.tube.outside_length, _MEASURED),
    slot("put_back_who", "text", "who may put a spare tube in, by order",
         _put_back_who, yes("put_back_named")),
    slot("placed_on", "date", "day this tube went in", lambda g: g.tube.placed.date()),
    slot("opening_made_on", "date", "day the opening was made", lambda g: g.opened.date()),
)  # fmt: skip
