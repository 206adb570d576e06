"""Facts about the tube: ports, age of the opening, what may be done at home."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from plainleaf.facts.person import person_answers
from plainleaf.facts.record import Typed
from plainleaf.inputs.patient import Patient, Tube
from plainleaf.inputs.policy import Policy, days
from plainleaf.vocabulary.quantities import Quantity


def span(quantity: Quantity) -> timedelta:
    """A time span as a timedelta, exact to the second.

    >>> from decimal import Decimal
    >>> span(Quantity(Decimal(72), "h"))
    datetime.timedelta(days=3)
    """
    return timedelta(seconds=int(quantity.to("min").value * 60))


def opened_at(tube: Tube) -> datetime:
    """When the opening was first made: the earlier of `placed` and `opening_made`.

    A date without a time counts from the end of that day, so that the first hours are never cut
    short.
    """
    if tube.opening_made is None or tube.opening_made >= tube.placed.date():
        return tube.placed
    return datetime.combine(tube.opening_made, time(23, 59))


def healed_after(patient: Patient, policy: Policy, *, child: bool) -> int:
    """Days until an opening counts as healed, by policy (row `tract-safe-rule`)."""
    return days(policy.quantity("healed_after_child" if child else "healed_after_adult"))


def opening_stage(patient: Patient, policy: Policy, *, child: bool) -> str:
    """first-72-hours, new or mature, on the day of the packet.

    The limit itself still belongs to the first hours; the day count must reach the policy's days.
    A licensed person's `opening_healed` makes it mature. Source: rows `redflag72`,
    `tract-safe-rule`; boundary days in tests/oracles.
    """
    now, opened = patient.prepared_on, opened_at(patient.tube)
    if now - opened <= span(policy.quantity("red_flag_time")):
        return "first-72-hours"
    if patient.tube.opening_healed is not None:
        return "mature"
    age = (now.date() - opened.date()).days
    return "mature" if age >= healed_after(patient, policy, child=child) else "new"


def ports_used(tube: Tube, use: str) -> tuple[str, ...]:
    """Ports that have a use, in the order of the trade."""
    return tuple(port for port, uses in tube.ports.items() if use in uses)


def tube_answers(patient: Patient, policy: Policy) -> dict[str, str | bool | None]:
    """Answers to the facts about the tube."""
    tube = patient.tube
    child = bool(person_answers(patient, policy)["child"])
    stage = opening_stage(patient, policy, child=child)
    healed_balloon = tube.kind == "gastrostomy" and tube.held_by == "balloon" and stage == "mature"
    check_from = opened_at(tube) + span(policy.quantity("balloon_check_after"))
    trained = any(learner.hands_on for learner in patient.learners)
    uses = {
        f"{port}_{use}": use in tube.ports.get(port, ())
        for port in ("gastric", "jejunal")
        for use in ("feeding", "medicines", "venting", "drainage")
    }
    return {
        "tube_kind": tube.kind,
        "build": tube.build,
        "held_by": tube.held_by,
        "placed_by": tube.placed_by,
        "opening_stage": stage,
        "tube_replaced": opened_at(tube) < tube.placed,
        "gastric_port": "gastric" in tube.ports,
        "jejunal_port": "jejunal" in tube.ports,
        "two_ports": len(tube.ports) == 2,
        **{name: uses[name] for name in _PORT_FACTS},
        "outer_disc": tube.build == "standard" and tube.held_by != "stitches",
        "skin_buttons": tube.skin_buttons > 0,
        "mark_known": tube.mark_at_skin is not None,
        "length_known": tube.length is not None,
        "turn_ordered": tube.turn_daily,
        "push_in_ordered": tube.push_in_weekly,
        "balloon_check_at_home": healed_balloon
        and tube.balloon_fill is not None
        and policy.flag("balloon_check_at_home")
        and patient.prepared_on >= check_from,
        "tube_back_at_home": healed_balloon
        and policy.flag("tube_back_at_home")
        and tube.may_put_back is not None
        and trained,
        "spare_tube_at_home": healed_balloon,
    }


_PORT_FACTS = (
    "gastric_feeding",
    "gastric_medicines",
    "gastric_venting",
    "gastric_drainage",
    "jejunal_feeding",
    "jejunal_medicines",
)


def tube_values(patient: Patient, policy: Policy) -> dict[str, Typed]:
    """Values of the slots about the tube."""
    tube = patient.tube
    values = {
        "tube_size": Typed("size", tube.size),
        "skin_button_count": Typed("count", tube.skin_buttons),
        "placed_on": Typed("date", tube.placed.date()),
        "opening_made_on": Typed("date", opened_at(tube).date()),
        "disc_gap": Typed("length-range", policy.range("disc_gap")),
    }
    if tube.mark_at_skin is not None:
        values["mark_at_skin"] = Typed("length", tube.mark_at_skin)
    if tube.length is not None:
        values["button_length"] = Typed("length", tube.length)
    if tube.balloon_fill is not None:
        values["balloon_fill"] = Typed("balloon-volume", tube.balloon_fill)
    if tube.balloon_port_color is not None:
        values["balloon_port_color"] = Typed("text", tube.balloon_port_color)
    return values
