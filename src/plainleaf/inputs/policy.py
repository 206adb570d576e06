"""One facility's settings: everything that differs from place to place, typed and bounded.

A setting is `{value, source or owner, review_by}`; who approved it is a record beside the file.
A setting that is missing is an error that names it, but for the few that may be left out; none has
a default in code. Ranges are what published pages and practice show (rows of
`teaching/sources/facts.yaml` named beside each); a value outside is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.facility_entries import read_entries
from plainleaf.inputs.patient import Facility
from plainleaf.inputs.reviews import BrokenReviewsError, Review, load_reviews, reviews_beside
from plainleaf.inputs.seal import Seal, load_seal, seal_path
from plainleaf.inputs.setting_values import Range, Value, read_value
from plainleaf.inputs.strict_yaml import (
    Node,
    Reader,
    Unreadable,
    digest_of,
    parse,
    read_date,
    read_text,
)
from plainleaf.vocabulary.errors import Fault, PolicyError, UnitError
from plainleaf.vocabulary.quantities import Quantity
from plainleaf.vocabulary.settings import SETTINGS, Setting
from plainleaf.vocabulary.settling import ROLES


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
    read. `reviews`: who has read which module or approved which line; `lines`: each setting
    and entry, as `policy.NAME`, `directory.NAME` and `formulary.NAME` → digest of its line.
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
    reviews: Mapping[str, Review] = field(default_factory=dict)
    lines: Mapping[str, str] = field(default_factory=dict)

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
    reviews = _reviews(path)
    digest = sha256((text + "".join(map(repr, reviews.values()))).encode()).hexdigest()
    entries = _approved(policy, reviews)
    seal = load_seal(seal_path(path))
    return replace(policy, seal=seal, reviews=reviews, entries=entries, digest=digest)


def _reviews(path: Path) -> Mapping[str, Review]:
    beside = reviews_beside(path)
    try:
        return load_reviews(beside, beside.name)
    except BrokenReviewsError as error:
        raise PolicyError(error.faults) from error


def _approved(policy: Policy, reviews: Mapping[str, Review]) -> Mapping[str, PolicyEntry]:
    """The settings, each with who approved it as it stands."""

    def by(name: str) -> str | None:
        review = reviews.get(f"policy.{name}")
        same = review is not None and review.read == policy.lines[f"policy.{name}"]
        return f"{review.by}, {review.credential}" if review and same else None

    return {name: replace(entry, approved_by=by(name)) for name, entry in policy.entries.items()}


def _lines(root: Node) -> Mapping[str, str]:
    """Each line that is approved by itself → digest of what it says."""
    blocks = {"settings": "policy", "directory": "directory", "formulary": "formulary"}
    keys = root.value if isinstance(root.value, Mapping) else {}
    held = {called: keys[block].value for block, called in blocks.items() if block in keys}
    return {
        f"{called}.{name}": digest_of(node)
        for called, lines in held.items()
        if isinstance(lines, Mapping)
        for name, node in lines.items()
    }


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
    return Policy(
        file, facility, example, holds_from, digest, kept, named, named_until, roles,
        lines=_lines(reader.node),
    )  # fmt: skip


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
    if reader.get("approved_by") is not None:
        reader.note(reader.mapping["approved_by"], f"{reader.where}: an approval is no word here.",
                    f"Take it out, and write plainleaf reviewed policy.{name}.")  # fmt: skip
    review_by = reader.convert("review_by", read_date, required=True)
    reader.close()
    if node is None or review_by is None:
        return None
    try:
        value = read_value(node, setting)
    except UnitError as error:
        reader.note(node, f"{reader.where}: {error.wrong}", error.instead)
        return None
    origin = " ".join(part for part in (source, f"owner: {owner}" if owner else None) if part)
    return PolicyEntry(name, value, origin, None, review_by)


def overdue(policy: Policy, today: date) -> tuple[str, ...]:
    """Names of settings whose review date lies before a day, in order of the file's settings."""
    return tuple(name for name, entry in policy.entries.items() if entry.review_by < today)


def days(quantity: Quantity) -> int:
    """A time span in whole days, exact.

    >>> from plainleaf.vocabulary.quantities import read_quantity
    >>> days(read_quantity("48 h", "time span"))
    2
    """
    value = quantity.to("d").value
    if value != value.to_integral_value():
        raise UnitError(f"{quantity} is not a number of whole days.", "")
    return int(value)
