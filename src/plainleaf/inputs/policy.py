"""One facility's settings: everything that differs from place to place, typed and bounded.

A setting is `{value, source or owner, approved_by, review_by}`. A setting that is missing is an
error that names it, but for the few that may be left out; none has a default in code. Ranges are
what published pages and practice show (rows of `teaching/sources/facts.yaml` named beside each); a
value outside is refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.facility_entries import read_entries
from plainleaf.inputs.patient import Facility
from plainleaf.inputs.seal import Seal, load_seal, seal_path
from plainleaf.inputs.strict_yaml import (
    Node,
    Reader,
    Unreadable,
    parse,
    read_clock,
    read_date,
    read_text,
)
from plainleaf.vocabulary.dead_space import read_dead_spaces
from plainleaf.vocabulary.errors import Fault, PolicyError, UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity
from plainleaf.vocabulary.settings import SETTINGS, Setting
from plainleaf.vocabulary.settling import ROLES
from plainleaf.vocabulary.time_zones import zone_names


@dataclass(frozen=True)
class Range:
    """From one amount to another, both in one unit."""

    low: Quantity
    high: Quantity


Value = Quantity | Range | str | bool | int | None


@dataclass(frozen=True)
class PolicyEntry:
    """One setting with what stands behind it."""

    name: str
    value: Value
    origin: str
    approved_by: str | None
    review_by: date


@dataclass(frozen=True)
class Policy:
    """A facility's settings, every one of `SETTINGS` that is required present.

    `named`: what its directory and formulary hold; `named_until`: the review date of each entry.
    `roles`: the credentials of each role that may settle a finding here.
    `ordered`: setting to the key of a patient's order that stands in its place.
    `seal`: what was proved with these settings; None without a seal, a fault where it cannot be
    read.
    """

    file: str
    facility: str
    example: bool
    holds_from: date
    digest: str
    entries: Mapping[str, PolicyEntry]
    named: Facility = field(default_factory=Facility)
    named_until: Mapping[str, date] = field(default_factory=dict)
    roles: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: ROLES)
    ordered: Mapping[str, str] = field(default_factory=dict)
    seal: Seal | Fault | None = None

    def quantity(self, name: str) -> Quantity:
        """A setting that holds one amount."""
        value = self.entries[name].value
        assert isinstance(value, Quantity), name
        return value

    def range(self, name: str) -> Range:
        """A setting that holds a range."""
        value = self.entries[name].value
        assert isinstance(value, Range), name
        return value

    def word(self, name: str) -> str:
        """A setting that holds a word."""
        value = self.entries[name].value
        assert isinstance(value, str), name
        return value

    def flag(self, name: str) -> bool:
        """A setting that holds true or false."""
        value = self.entries[name].value
        assert isinstance(value, bool), name
        return value

    def count(self, name: str) -> int:
        """A setting that holds a whole number."""
        value = self.entries[name].value
        assert isinstance(value, int), name
        return value


def value_text(value: Value) -> str:
    """A setting's value as a policy file holds it."""
    if isinstance(value, Range):
        return f"{value.low} to {value.high}"
    if isinstance(value, bool):
        return str(value).lower()
    return "none" if value is None else str(value)


def load_policy(path: Path) -> Policy:
    """The policy file at a path.

    Raises:
        PolicyError: With every fault found, in file order.
    """
    try:
        text = read_text(path)
        root = parse(text, path.name)
    except Unreadable as error:
        raise PolicyError([error.fault]) from error
    faults: list[Fault] = []
    reader = Reader(root, faults)
    policy = _policy(reader, root.file, sha256(text.encode()).hexdigest())
    reader.close()
    if faults or policy is None:
        raise PolicyError(sorted(faults, key=lambda fault: fault.line))
    return replace(policy, seal=load_seal(seal_path(path)))


def _policy(reader: Reader, file: str, digest: str) -> Policy | None:
    facility = reader.text("facility", required=True)
    example = reader.flag("example")
    holds_from = reader.convert("holds_from", read_date, required=True)
    settings = reader.child("settings", required=True)
    named, named_until = read_entries(reader)
    roles = _roles(reader)
    if settings is None or facility is None or holds_from is None:
        return None
    entries = {name: _entry(settings, name, kind) for name, kind in SETTINGS.items()}
    settings.close()
    kept = {name: entry for name, entry in entries.items() if entry is not None}
    return Policy(file, facility, example, holds_from, digest, kept, named, named_until, roles)


def _roles(reader: Reader) -> Mapping[str, tuple[str, ...]]:
    """The credentials of each role, where the facility has fewer for some of them."""
    fewer = reader.child("may_settle")
    if fewer is None:
        return ROLES
    narrowed = {
        role: fewer.words(role, every) if role in fewer.mapping else every
        for role, every in ROLES.items()
    }
    fewer.close()
    return narrowed


def _entry(settings: Reader, name: str, setting: Setting) -> PolicyEntry | None:
    reader = settings.child(name, required=setting.required)
    if reader is None:
        return None
    node = reader.get("value", required=True)
    source, owner = reader.text("source"), reader.text("owner")
    if source is None and owner is None:
        reader.note(reader.node, f"{reader.where} has no source and no owner.", "Write one.")
    approved = reader.text("approved_by")
    review_by = reader.convert("review_by", read_date, required=True)
    reader.close()
    if node is None or review_by is None:
        return None
    try:
        value = _value(node, setting)
    except UnitError as error:
        reader.note(node, f"{reader.where}: {error.wrong}", error.instead)
        return None
    origin = " ".join(part for part in (source, f"owner: {owner}" if owner else None) if part)
    return PolicyEntry(name, value, origin, approved, review_by)


def _value(node: Node, setting: Setting) -> Value:
    if not isinstance(node.value, str):
        raise UnitError("is not one value.", "Write one value.")
    text = node.value
    if setting.kind == "words":
        if text not in setting.words:
            raise UnitError(f"'{text}' is not known.", f"Write one of: {', '.join(setting.words)}.")
        return text
    if setting.kind == "yes-no":
        if text not in ("true", "false"):
            raise UnitError(f"'{text}'.", "Write true or false.")
        return text == "true"
    if setting.kind in _WORDS_OF_KIND:
        return _WORDS_OF_KIND[setting.kind](text)
    if setting.kind == "count":
        return _count(text, setting)
    if setting.kind == "angles":
        return _angles(text, setting)
    if setting.kind.startswith("range "):
        return _range(text, setting)
    return _bounded(read_quantity(text, setting.kind), setting)


def _count(text: str, setting: Setting) -> int:
    if not re.fullmatch("[0-9]{1,4}", text) or not int(setting.low) <= int(text) <= int(
        setting.high
    ):
        raise UnitError(f"'{text}'.", f"Write a number from {setting.low} to {setting.high}.")
    return int(text)


def _zone(text: str) -> str:
    if text not in zone_names():
        close = get_close_matches(text, zone_names(), n=1)
        hint = f"Did you mean '{close[0]}'? " if close else ""
        raise UnitError(
            f"'{text}' is not a place of the time zone list.",
            f"{hint}Write Area/City, as in America/New_York.",
        )
    return text


def _dead_space(text: str) -> str:
    read_dead_spaces(text)
    return text


_WORDS_OF_KIND: dict[str, Callable[[str], str]] = {
    "clock": lambda text: read_clock(text).strftime("%H:%M"),
    "zone": _zone,
    "dead space": _dead_space,
}


def _angles(text: str, setting: Setting) -> str:
    match = re.fullmatch("([0-9]{2}) to ([0-9]{2})", text)
    if match is None or not int(setting.low) <= int(match[1]) <= int(match[2]) <= int(setting.high):
        raise UnitError(f"'{text}'.", f"Write degrees as {setting.low} to {setting.high}.")
    return text


def _range(text: str, setting: Setting) -> Range:
    kind = setting.kind.removeprefix("range ")
    parts = text.split(" to ")
    if len(parts) != 2:
        raise UnitError(f"'{text}' is not a range.", f"Write: {setting.low} to {setting.high}.")
    low = _bounded(read_quantity(parts[0], kind), setting)
    high = _bounded(read_quantity(parts[1], kind), setting)
    if low.unit != high.unit or low > high:
        raise UnitError(f"'{text}': the first must be the smaller, in one unit.", "")
    return Range(low, high)


def _bounded(quantity: Quantity, setting: Setting) -> Quantity:
    kind = quantity.kind
    low, high = read_quantity(setting.low, kind), read_quantity(setting.high, kind)
    if not low.to(quantity.unit).value <= quantity.value <= high.to(quantity.unit).value:
        raise UnitError(f"{quantity} is outside what is in use.", f"Write {low} to {high}.")
    if setting.whole_days and quantity.to("d").value % 1:
        raise UnitError(f"{quantity} is not a number of whole days.", "Write days, such as 28 d.")
    return quantity


def overdue(policy: Policy, today: date) -> tuple[str, ...]:
    """Names of settings whose review date lies before a day, in order of the file's settings."""
    return tuple(name for name, entry in policy.entries.items() if entry.review_by < today)


def days(quantity: Quantity) -> int:
    """A time span in whole days, exact.

    >>> days(read_quantity("48 h", "time span"))
    2
    """
    value = quantity.to("d").value
    if value != value.to_integral_value():
        raise UnitError(f"{quantity} is not a number of whole days.", "")
    return int(value)
