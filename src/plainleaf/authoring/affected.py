"""Which records of a folder the present teaching and settings touch, and what changed in each.

A record holds no patient file, so nothing is worded again: statements are compared by id and
digest, and their conditions are asked again with the answers that the record kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from plainleaf.authoring.provenance.why_sentence import places
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import Library, load_library
from plainleaf.inputs.files import LARGEST_RECORD, Unreadable, read_json
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.packet.places import Places
from plainleaf.packet.record import fingerprints
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.errors import DeliveryError, RecordError

# Keys without which a record cannot be held against anything.
_NEEDED = (
    "version", "digests", "statements", "decisions", "policy", "sources", "around",
    "settings_read",
)  # fmt: skip


@dataclass(frozen=True)
class Record:
    """One packet.json as data."""

    file: Path
    data: Mapping[str, Any]

    @cached_property
    def answers(self) -> dict[str, str | None]:
        """Every fact that a condition asked when the packet was made, with its answer."""
        found: dict[str, str | None] = {}
        for decision in self.data["decisions"]:
            for fact, answer in decision["facts"].items():
                found[fact] = None if answer == "unknown" else answer
        return found

    @cached_property
    def printed(self) -> dict[str, Mapping[str, Any]]:
        """Statement id → its row."""
        return {row["id"]: row for row in self.data["statements"]}

    @property
    def child(self) -> bool:
        """Whether the words were those for a child's parent."""
        return self.answers.get("child") == "true"


def read_record(file: Path) -> Record:
    """A packet.json of this format.

    Raises:
        RecordError: It is no record, or one of an older program.
    """
    try:
        _, data = read_json(file, LARGEST_RECORD)
    except Unreadable as error:
        raise RecordError(str(error.fault)) from error
    missing = [key for key in _NEEDED if not isinstance(data, dict) or key not in data]
    if missing:
        raise RecordError(f"{file}: lacks {', '.join(missing)}: build this packet again")
    return Record(file, data)


@dataclass(frozen=True)
class Present:
    """The teaching and the settings as they are now."""

    library: Library
    policy: Policy


def changed_settings(record: Record, now: Present) -> dict[str, str]:
    """Setting → what changed, for each whose value differs."""
    then = record.data["policy"]["values"]
    found = {}
    for name, row in fingerprints.policy_data(now.policy)["values"].items():
        old = then.get(name)
        if old is None:
            found[name] = f"new, now {row['value']}"
        elif old["value"] != row["value"]:
            found[name] = f"was {old['value']}, now {row['value']} ({row['origin']})"
    return found


def _statement_changes(record: Record, now: Present) -> Iterator[str]:
    known = places(now.library)
    for identity, row in record.printed.items():
        place = known.get(identity)
        if place is None or place.module.status == "retired":
            yield f'removed: {identity}: "{row["says"]}"'
            continue
        answer = now.library.conditions[identity].ask(record.answers)
        if answer is Answer.FALSE:
            yield f'removed, its rule no longer holds: {identity}: "{row["says"]}"'
            continue
        if answer is Answer.UNKNOWN:
            yield f"may go, its rule asks what the record does not hold: {identity}"
        statement = place.statement
        if fingerprints.text_digest(statement, child=record.child) != row["text_digest"]:
            words = statement.words(child=record.child)
            yield f'reworded: {identity}: was "{row["says"]}", now "{words}"'
        if list(statement.sources) != row["sources"]:
            was, are = ", ".join(row["sources"]), ", ".join(statement.sources)
            yield f"other sources: {identity}: was {was}; now {are}"


def _added(record: Record, now: Present) -> Iterator[str]:
    for identity, place in places(now.library).items():
        if identity in record.printed or place.module.status == "retired":
            continue
        condition = now.library.conditions[identity]
        answer = condition.ask(record.answers)
        words = place.statement.words(child=record.child)
        if answer is Answer.TRUE:
            yield f'added: {identity}: "{words}"'
        elif answer is Answer.UNKNOWN and set(condition.facts()) - set(record.answers):
            asks = "may be added, its rule asks what the record does not hold"
            yield f'{asks}: {identity}: "{words}"'


def _setting_changes(record: Record, now: Present) -> Iterator[str]:
    """What the changed settings were read for when the packet was made; nothing else can change."""
    read, stay = record.data["settings_read"], places(now.library)
    for name, what in changed_settings(record, now).items():
        touched = [i for i, names in read["statements"].items() if name in names and i in stay]
        asked = [fact for fact, names in read["facts"].items() if name in names]
        if touched:
            yield f"setting {name} {what}; touches: {', '.join(touched)}"
        if asked:
            yield f"setting {name} {what}; may decide anew: {', '.join(asked)}"
        if name in read["findings"]:
            yield f"setting {name} {what}; the findings are to be judged again"
        if name in read["totals"]:
            yield f"setting {name} {what}; totals are to be summed again: {_totals(record)}"
        if name in read["reminders"]:
            yield f"setting {name} {what}; the reminders for the phone are to be made again"


def _totals(record: Record) -> str:
    totals = record.data.get("totals", {})
    return ", ".join(f"{key} was {value}" for key, value in totals.items() if value is not None)


def _source_changes(record: Record, now: Present) -> Iterator[str]:
    for name, row in record.data["sources"].items():
        fact = now.library.facts.get(name)
        users = ", ".join(i for i, r in record.printed.items() if name in r["sources"])
        if fact is None:
            yield f"source {name} is gone; cited by: {users}"
        elif fact.status != row["status"]:
            yield f"source {name} was {row['status']}, now {fact.status}; cited by: {users}"
        elif fingerprints.source_digest(fact, now.library) != row["digest"]:
            yield f"source {name} says something else now; cited by: {users}"


def _around_changes(record: Record, now: Present) -> Iterator[str]:
    modules = {module.id: module for module in now.library.modules}
    present = fingerprints.around_digests(modules, child=record.child)
    for identity, was in record.data["around"].items():
        if identity not in present:
            yield f"gone: title, heading or question {identity}"
        elif present[identity] != was:
            yield f"reworded: title, heading or question {identity}"
    if record.data.get("phrases") != fingerprints.phrases_digest(now.library):
        yield "the words of tables and labels changed (phrases.yaml)"


def changes(record: Record, now: Present) -> list[str]:
    """What changed for the patient of one record; empty when nothing did."""
    found: list[str] = []
    if record.data["digests"]["teaching"] != now.library.digest:
        found += [
            *_statement_changes(record, now),
            *_added(record, now),
            *_source_changes(record, now),
            *_around_changes(record, now),
        ]
    if record.data["digests"]["policy"] != now.policy.digest:
        found += _setting_changes(record, now)
    return found


def records_in(folder: Path) -> list[Path]:
    """Every packet.json below a folder, and every other .json that lies in the folder itself.

    Copies for other systems (.fhir.json) are no records.
    """
    found = {*folder.glob("*.json"), *folder.rglob("packet.json")}
    return sorted(path for path in found if not path.name.endswith(".fhir.json"))


@dataclass(frozen=True)
class Comparison:
    """One record held against the present: what changed since, or why that cannot be told."""

    file: Path
    version: str | None
    changes: tuple[str, ...] = ()
    trouble: str | None = None

    @property
    def affected(self) -> bool:
        """Whether a change touches this packet, or might."""
        return bool(self.changes) or self.trouble is not None


def compare_records(folder: Path, places: Places) -> list[Comparison]:
    """Every record of a folder, held against the teaching and the settings as they are now.

    Raises:
        DeliveryError: The folder cannot be read or holds no record.
        ContentError, PolicyError: The present teaching or settings cannot be read.
    """
    files = records_in(folder) if folder.is_dir() else []
    if not files:
        raise DeliveryError(f"{folder}: holds no packet.json; name the folder of the records")
    now = Present(load_library(places.teaching, VOCABULARY), load_policy(places.policy))
    return [_compare(file, now) for file in files]


def _compare(file: Path, now: Present) -> Comparison:
    try:
        record = read_record(file)
        return Comparison(file, str(record.data["version"]), tuple(changes(record, now)))
    except RecordError as error:
        return Comparison(file, None, trouble=str(error))
    except (AttributeError, KeyError, TypeError, ValueError):
        # A key holds what no packet.json of this program holds there.
        trouble = f"{file}: is not a whole packet.json: build this packet again"
        return Comparison(file, None, trouble=trouble)


def comparison_lines(comparisons: Sequence[Comparison]) -> Iterator[str]:
    """The report over a folder of records, line by line."""
    for row in comparisons:
        if row.trouble is not None:
            yield row.trouble
            continue
        verdict = f"{len(row.changes)} changes" if row.changes else "not affected"
        yield f"{row.file}: version {row.version}: {verdict}"
        yield from (f"  {line}" for line in row.changes)
    touched = sum(row.affected for row in comparisons)
    yield f"{touched} of {len(comparisons)} records are affected or cannot be told."
