"""Which records of a folder the present teaching and settings touch, and what changed in each.

A record holds no patient file, so nothing is worded again: statements are compared by id and
digest, and their conditions are asked again with the answers that the record kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from plainleaf.authoring.provenance.why_sentence import places
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import Library, load_library
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.packet.places import Places
from plainleaf.packet.record import fingerprints
from plainleaf.packet.record.packet_record import (
    PacketRecord,
    StatementRow,
    read_packet_record,
)
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.errors import DeliveryError, RecordError


@dataclass(frozen=True)
class HeldRecord:
    """One packet.json that is held against the present teaching and settings."""

    data: PacketRecord

    @cached_property
    def answers(self) -> dict[str, str | None]:
        """Every fact that a condition asked when the packet was made, with its answer."""
        return {
            fact: None if answer == "unknown" else answer
            for decision in self.data.ruled
            for fact, answer in decision.facts.items()
        }

    @cached_property
    def printed(self) -> Mapping[str, StatementRow]:
        """Statement id → its row."""
        return {row.id: row for row in self.data.statements}

    @property
    def child(self) -> bool:
        """Whether the words were those for a child's parent."""
        return self.answers.get("child") == "true"


@dataclass(frozen=True)
class Present:
    """The teaching and the settings as they are now."""

    library: Library
    policy: Policy


def changed_settings(record: HeldRecord, now: Present) -> dict[str, str]:
    """Setting → what changed, for each whose value differs."""
    then = record.data.policy.values
    changed = {}
    for name, row in fingerprints.policy_data(now.policy)["values"].items():
        old = then.get(name)
        if old is None:
            changed[name] = f"new, now {row['value']}"
        elif old.value != row["value"]:
            changed[name] = f"was {old.value}, now {row['value']} ({row['origin']})"
    return changed


def _statement_changes(record: HeldRecord, now: Present) -> Iterator[str]:
    present = places(now.library)
    for identity, row in record.printed.items():
        place = present.get(identity)
        if place is None or place.module.status == "retired":
            yield f'removed: {identity}: "{row.says}"'
            continue
        answer = now.library.conditions[identity].ask(record.answers)
        if answer is Answer.FALSE:
            yield f'removed, its rule no longer holds: {identity}: "{row.says}"'
            continue
        if answer is Answer.UNKNOWN:
            yield f"may go, its rule asks what the record does not hold: {identity}"
        statement = place.statement
        if fingerprints.text_digest(statement, child=record.child) != row.text_digest:
            words = statement.words(child=record.child)
            yield f'reworded: {identity}: was "{row.says}", now "{words}"'
        if statement.sources != row.sources:
            was, are = ", ".join(row.sources), ", ".join(statement.sources)
            yield f"other sources: {identity}: was {was}; now {are}"


def _added(record: HeldRecord, now: Present) -> Iterator[str]:
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


def _setting_changes(record: HeldRecord, now: Present) -> Iterator[str]:
    """What the changed settings were read for when the packet was made; nothing else can change."""
    read, remaining = record.data.settings_read, places(now.library)
    for name, what in changed_settings(record, now).items():
        if read is None:
            yield f"setting {name} {what}; the record does not say what it was read for"
            continue
        touched = [i for i, names in read.statements.items() if name in names and i in remaining]
        asked = [fact for fact, names in read.facts.items() if name in names]
        if touched:
            yield f"setting {name} {what}; touches: {', '.join(touched)}"
        if asked:
            yield f"setting {name} {what}; may decide anew: {', '.join(asked)}"
        if name in read.findings:
            yield f"setting {name} {what}; the findings are to be judged again"
        if name in read.totals:
            yield f"setting {name} {what}; totals are to be summed again: {_totals(record)}"
        if name in read.reminders:
            yield f"setting {name} {what}; the reminders for the phone are to be made again"


def _totals(record: HeldRecord) -> str:
    totals = dict(record.data.totals)
    return ", ".join(f"{key} was {value}" for key, value in totals.items() if value is not None)


def _source_changes(record: HeldRecord, now: Present) -> Iterator[str]:
    for name, row in record.data.sources.items():
        fact = now.library.claims.get(name)
        users = ", ".join(i for i, r in record.printed.items() if name in r.sources)
        if fact is None:
            yield f"source {name} is gone; cited by: {users}"
        elif fact.status != row.status:
            yield f"source {name} was {row.status}, now {fact.status}; cited by: {users}"
        elif fingerprints.source_digest(fact, now.library) != row.digest:
            yield f"source {name} says something else now; cited by: {users}"


def _around_changes(record: HeldRecord, now: Present) -> Iterator[str]:
    modules = {module.id: module for module in now.library.modules}
    present = fingerprints.around_digests(modules, child=record.child)
    for identity, was in record.data.around.items():
        if identity not in present:
            yield f"gone: title, heading or question {identity}"
        elif present[identity] != was:
            yield f"reworded: title, heading or question {identity}"
    if record.data.phrases != fingerprints.phrases_digest(now.library):
        yield "the words of tables and labels changed (phrases.yaml)"


def changes(record: HeldRecord, now: Present) -> list[str]:
    """What changed for the patient of one record; empty when nothing did."""
    lines: list[str] = []
    if record.data.digests.teaching != now.library.digest:
        lines += [
            *_statement_changes(record, now),
            *_added(record, now),
            *_source_changes(record, now),
            *_around_changes(record, now),
        ]
    if record.data.digests.policy != now.policy.digest:
        lines += _setting_changes(record, now)
    return lines


def records_in(folder: Path) -> list[Path]:
    """Every packet.json below a folder, and every other .json that lies in the folder itself.

    Copies for other systems (.fhir.json) are no records.
    """
    files = {*folder.glob("*.json"), *folder.rglob("packet.json")}
    return sorted(path for path in files if not path.name.endswith(".fhir.json"))


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
        record = HeldRecord(read_packet_record(file)[1])
    except RecordError as error:
        return Comparison(file, None, trouble=str(error))
    return Comparison(file, record.data.version, tuple(changes(record, now)))


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
