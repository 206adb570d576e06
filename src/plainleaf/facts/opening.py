"""The opening: when it was made, and how old it is by the facility's days."""

from __future__ import annotations

from datetime import datetime, time, timedelta

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
    A licensed person's `opening_healed` makes it mature, and it is not before the day until which
    one said that it counts as new. Source: rows `redflag72`,
    `tract-safe-rule`; boundary days in tests/oracles.
    """
    now, opened = patient.prepared_on, opened_at(patient.tube)
    if now - opened <= span(policy.quantity("red_flag_time")):
        return "first-72-hours"
    if patient.tube.opening_healed is not None:
        return "mature"
    until = patient.tube.not_healed_until
    if until is not None and now.date() < until:
        return "new"
    age = (now.date() - opened.date()).days
    return "mature" if age >= healed_after(patient, policy, child=child) else "new"
