"""The model of a checklist: items, verdicts, scores.

What a program decides is an aid, not an official rating: two named people rate the rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["agree", "disagree", "not applicable", "a person"]
AID = "An aid, not an official rating. Two named people rate what is left open."


class NotApplicableError(ValueError):
    """An item was scored as not applicable that the checklist always scores."""


@dataclass(frozen=True)
class Item:
    """One item, in our own words. `domain`: what it is scored under."""

    id: str
    domain: str
    says: str
    optional: bool = False


@dataclass(frozen=True)
class Result:
    """What the program found on one item.

    `checked`: what it looked at. `found`: where the item is not met, or what a person should see.
    """

    verdict: Verdict
    checked: str
    found: tuple[str, ...] = ()


def met(good: bool, checked: str, evidence: Sequence[str] = ()) -> Result:
    """An item that a program decides alone."""
    return Result("agree" if good else "disagree", checked, tuple(evidence))


def not_failed(good: bool, checked: str, evidence: Sequence[str] = ()) -> Result:
    """An item that a program can fail and only a person can pass."""
    return Result("a person" if good else "disagree", checked, tuple(evidence))


def person(checked: str, evidence: Sequence[str] = ()) -> Result:
    """An item for a person; `found` is what to look at."""
    return Result("a person", checked, tuple(evidence))


def not_applicable(checked: str) -> Result:
    """An item that the material gives no reason to score."""
    return Result("not applicable", checked)


def score(verdicts: Sequence[Verdict]) -> float | None:
    """Share of agreed items in percent; what is open or not applicable counts nowhere (PM-S1).

    >>> round(score(["agree"] * 16 + ["disagree"]), 1)
    94.1
    """
    decided = [verdict for verdict in verdicts if verdict in ("agree", "disagree")]
    if not decided:
        return None
    return 100 * sum(verdict == "agree" for verdict in decided) / len(decided)


@dataclass(frozen=True)
class Rating:
    """A checklist filled in for one packet: item → result."""

    name: str
    results: Mapping[Item, Result]

    def verdicts(self, domain: str) -> list[Verdict]:
        """The verdicts of one domain, in order."""
        return [result.verdict for item, result in self.results.items() if item.domain == domain]

    def score(self, domain: str) -> float | None:
        """Score of a domain over what the program decided."""
        return score(self.verdicts(domain))

    def lines(self) -> list[str]:
        """The report: a score for each domain apart, then every item."""
        domains = dict.fromkeys(item.domain for item in self.results)
        lines = [self._score_line(domain) for domain in domains]
        for item, result in self.results.items():
            lines.append(f"  {item.id} {result.verdict:14} {item.says}: {result.checked}")
            lines += [f"        {found}" for found in result.found[:5]]
            if len(result.found) > 5:
                lines.append(f"        and {len(result.found) - 5} more")
        return lines

    def _score_line(self, domain: str) -> str:
        verdicts = self.verdicts(domain)
        value = self.score(domain)
        shown = "nothing decided" if value is None else f"{value:.1f}"
        decided = sum(verdict in ("agree", "disagree") for verdict in verdicts)
        open_items = verdicts.count("a person")
        return (
            f"{self.name}, {domain}: {shown} over the {decided} items that a program decides; "
            f"{open_items} need a person, {verdicts.count('not applicable')} not applicable"
        )


def rate(name: str, items: Sequence[Item], results: Mapping[str, Result]) -> Rating:
    """A checklist with the result of every item, by item id.

    Raises:
        NotApplicableError: An item that is always scored came back as not applicable (PM-S3).
    """
    for item in items:
        if results[item.id].verdict == "not applicable" and not item.optional:
            raise NotApplicableError(f"{item.id} is always scored: {item.says}")
    return Rating(name, {item: results[item.id] for item in items})
