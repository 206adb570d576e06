"""What stands behind one printed sentence: as values, as lines for people, as data for programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from plainleaf.inputs.policy import PolicyEntry
from plainleaf.inputs.setting_values import value_text


def shown(entry: PolicyEntry) -> str:
    """The value of a setting as the policy file holds it."""
    return value_text(entry.value)


def setting_line(entry: PolicyEntry) -> str:
    """One setting with its value, its origin and who approved it."""
    by = f"approved by {entry.approved_by}" if entry.approved_by else "approved by nobody yet"
    return f"{entry.name} = {shown(entry)} ({entry.origin}; {by}; review by {entry.review_by})"


@dataclass(frozen=True)
class Traced:
    """A fact or a value of this patient: what it means, and what keys and settings give it."""

    name: str
    value: str
    means: str
    behind: tuple[str, ...]

    def line(self, name: str) -> str:
        """For people, under the name by which the text calls it."""
        return f"  {name} = {self.value} ({self.means}; {'; '.join(self.behind)})"


@dataclass(frozen=True)
class Cited:
    """A source of a statement: a clinical fact with the papers it comes from, or a setting.

    `status` is that of the fact's record, empty for a setting.
    """

    name: str
    status: str
    says: str
    papers: tuple[str, ...] = ()

    def lines(self) -> Iterator[str]:
        """For people."""
        status = f" [{self.status}]" if self.status else ""
        yield f"  {self.name}{status}: {self.says}"
        yield from (f"    {paper}" for paper in self.papers)


@dataclass(frozen=True)
class Explanation:
    """All that stands behind one printed sentence for one patient.

    `role`: `statement`, or what else of the print it is. `line` is 0, and `rule` empty, where a
    file as a whole holds the words.
    """

    says: str
    role: str
    id: str
    file: str
    line: int = 0
    kind: str = ""
    topic: str = ""
    status: str = ""
    rule: str = ""
    advice: Mapping[str, str] | None = None
    facts: tuple[Traced, ...] = ()
    values: tuple[Traced, ...] = ()
    settings: tuple[PolicyEntry, ...] = ()
    sources: tuple[Cited, ...] = ()

    def lines(self) -> Iterator[str]:
        """For people."""
        yield f'"{self.says}"'
        yield f"{self.role}: {self.id}" + (f" ({self.kind})" if self.kind else "")
        if self.topic:
            yield f"topic: {self.topic} ({self.status})"
        yield f"file: {self.file}" + (f":{self.line}" if self.line else "")
        if self.rule:
            yield f"rule: {self.rule}"
        if self.advice:
            yield "advice: " + ", ".join(f"{act}: {way}" for act, way in self.advice.items())
        yield from _titled("facts that decided:", (fact.line(fact.name) for fact in self.facts))
        yield from _titled("values:", (one.line(f"{{{one.name}}}") for one in self.values))
        yield from _titled("settings:", (f"  {setting_line(entry)}" for entry in self.settings))
        yield from _titled("sources:", (line for cited in self.sources for line in cited.lines()))

    def data(self) -> dict[str, Any]:
        """For programs; every key is always there."""
        return {
            "says": self.says,
            "role": self.role,
            "id": self.id,
            "kind": self.kind or None,
            "topic": self.topic or None,
            "status": self.status or None,
            "file": self.file,
            "line": self.line or None,
            "rule": self.rule or None,
            "advice": dict(self.advice or {}),
            "facts": [_traced_row(fact) for fact in self.facts],
            "values": [_traced_row(value) for value in self.values],
            "settings": [_setting_data(entry) for entry in self.settings],
            "sources": [_cited_data(cited) for cited in self.sources],
        }


@dataclass(frozen=True)
class SentenceAnswer:
    """Where a sentence comes from.

    `prints`: whether this patient gets it; if not, the explanation says what kept it out.
    `more`: how many places are not explained. `close`: where no place holds the words, the
    nearest that print, each with its id.
    """

    asked: str
    prints: bool
    explanations: tuple[Explanation, ...]
    more: int = 0
    close: tuple[tuple[str, str], ...] = ()

    def lines(self) -> Iterator[str]:
        """For people."""
        if not self.explanations:
            yield f'No printed sentence holds "{self.asked}". The nearest:'
            yield from (f'  {where}: "{says}"' for says, where in self.close)
        elif not self.prints:
            yield "Not printed for this patient. It stands in the teaching:"
        for number, explanation in enumerate(self.explanations):
            if number:
                yield ""
            yield from explanation.lines()
        if self.more:
            yield ""
            yield f"and {self.more} places more; give more of the words."

    def data(self) -> dict[str, Any]:
        """For programs."""
        return {
            "prints": self.prints,
            "places": [explanation.data() for explanation in self.explanations],
            "more": self.more,
            "nearest": [{"says": says, "id": where} for says, where in self.close],
        }


def _titled(title: str, lines: Iterable[str]) -> Iterator[str]:
    """A title above its lines; nothing where there are none."""
    for number, line in enumerate(lines):
        if number == 0:
            yield title
        yield line


def _traced_row(given: Traced) -> dict[str, Any]:
    return {
        "name": given.name,
        "value": given.value,
        "means": given.means,
        "behind": list(given.behind),
    }


def _setting_data(entry: PolicyEntry) -> dict[str, Any]:
    return {
        "name": entry.name,
        "value": shown(entry),
        "origin": entry.origin,
        "approved_by": entry.approved_by,
        "review_by": entry.review_by.isoformat(),
    }


def _cited_data(cited: Cited) -> dict[str, Any]:
    return {
        "id": cited.name,
        "status": cited.status or None,
        "says": cited.says,
        "papers": list(cited.papers),
    }
