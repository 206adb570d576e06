"""The facility's settings for one patient: what is ordered in the place of one stands there.

Whatever reads a setting of the givens, be it a slot, a fact, a check or a plan, reads the order.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from plainleaf.inputs.patient import Patient
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.setting_values import Value
from plainleaf.vocabulary.quantities import Quantity

# Who checks the balloon → whether it is checked at home, by those who are taught.
_BALLOON_AT_HOME = {"family": True, "staff": True, "nurse": False, "nobody": False}

_CLOSED, _THROWN = "hang_closed", "throw-away"


def settings_for(patient: Patient, policy: Policy) -> Policy:
    """The settings with each order of `overrides` in its place, and the shortest time that was
    decided for a ready-to-hang container.

    Args:
        patient: As it is read, not a view that notes.
    """
    ordered = dict(_ordered(patient.overrides or {}, policy))
    ordered |= _thrown_away(patient, ordered.get(_CLOSED, ("", policy.quantity(_CLOSED)))[1])
    if not ordered:
        return policy
    entries = dict(policy.entries)
    for name, (_, value) in ordered.items():
        entries[name] = replace(entries[name], value=value)
    return replace(policy, entries=entries, ordered={n: key for n, (key, _) in ordered.items()})


def _thrown_away(patient: Patient, hangs: Value) -> dict[str, tuple[str, Value]]:
    """A shorter time than it may hang, after which what is left was decided to be thrown away."""
    assert isinstance(hangs, Quantity)
    decided = [outcome.fields["after"] for outcome in patient.outcomes if outcome.do == _THROWN]
    least = min([hangs, *(after for after in decided if isinstance(after, Quantity))])
    return {_CLOSED: ("settled", least)} if least < hangs else {}


def _ordered(
    overrides: Mapping[str, object], policy: Policy
) -> Iterator[tuple[str, tuple[str, Value]]]:
    """Setting → the key of its order, and what is ordered."""
    for name, value in overrides.items():
        if name == "balloon_check_by":
            yield "balloon_check_at_home", (f"overrides.{name}", _BALLOON_AT_HOME[str(value)])
        elif name == "head_up_angle":
            yield name, (f"overrides.{name}", str(value).removesuffix(" degrees"))
        elif name in policy.entries:
            assert isinstance(value, Quantity), name
            yield name, (f"overrides.{name}", value)
