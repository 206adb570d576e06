"""The same decisions as data: the keys of `packet.json` and `review --json`.

Totals are exact numbers; rounding happens only in print.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plainleaf.compose.fill import event_words
from plainleaf.compose.word import WordedPacket, Wording
from plainleaf.facts.derived import Event, Facts, TimelineEntry, Totals
from plainleaf.packet.record.exact_numbers import exact
from plainleaf.packet.record.plans_data import dated_entry_data, plans_data
from plainleaf.rules.decision import Decision
from plainleaf.rules.findings import Finding, Settlement
from plainleaf.rules.select import Selection
from plainleaf.rules.settle import SettledLine
from plainleaf.vocabulary.written import same_text

FORMAT = 1
_DAY = {"date": "day"}


def totals_data(totals: Totals) -> dict[str, int | float | None]:
    """The day's totals by the contract's keys."""
    return {
        "formula_ml": exact(totals.formula),
        "blended_ml": exact(totals.blended),
        "energy_kcal": exact(totals.energy, "kcal"),
        "water_in_formula_ml": exact(totals.water_in_formula),
        "flush_ml": exact(totals.flush),
        "extra_water_ml": exact(totals.extra_water),
        "water_ml": exact(totals.water),
        "goal_ml": exact(totals.goal),
        "limit_ml": exact(totals.limit),
    }


def event_data(event: Event, wording: Wording, two_ports: bool) -> dict[str, Any]:
    """One line of the schedule."""
    return {
        "at": event.at.strftime("%H:%M"),
        "what": wording.value(event_words(event, two_ports)).plain,
        "kind": event.kind,
        "through": None if event.through == "none" else event.through,
        "amount_ml": exact(event.amount),
    }


def timeline_data(entry: TimelineEntry, wording: Wording) -> dict[str, Any]:
    """One line of the timeline; local times without zone."""
    what = wording.phrase(f"timeline-{entry.id}").plain
    if entry.text is not None:
        what = f"{what}: {wording.value(entry.text).plain}"
    return {
        "id": entry.id,
        "what": what,
        "from": entry.starts.strftime("%Y-%m-%dT%H:%M"),
        "until": None if entry.ends is None else entry.ends.strftime("%Y-%m-%dT%H:%M"),
    }


def finding_data(finding: Finding, file_format: int = FORMAT) -> dict[str, Any]:
    """One finding; `accepted` is null or who, why and when, and of format 2 `settled` is null or
    who, with whom, when and what; further outcomes of one finding stand in `also`.
    """
    if file_format == FORMAT:
        return _finding_row(finding)
    settled = finding.settled
    row = {"code": finding.code, "settled": None if settled is None else _settlement(settled)}
    return _finding_row(finding) | row


def _settlement(settled: Settlement) -> dict[str, Any]:
    """`date` is the day of the decision; a day that the outcome itself names is `day`."""
    outcomes = [
        {"do": line.do}
        | {_DAY.get(key, key): same_text(value) for key, value in line.fields.items()}
        for line in settled.decisions
    ]
    signed = {"by": settled.by, "with": settled.other, "date": settled.on.isoformat()}
    return {**outcomes[0], **signed, **({"also": outcomes[1:]} if len(outcomes) > 1 else {})}


def settled_lines_data(lines: Sequence[SettledLine]) -> list[dict[str, Any]]:
    """The lines of `settled`, in file order: the code that each should have now."""
    return [
        {
            "finding": line.finding,
            "about": list(line.about),
            "code": line.code,
            "right": line.right,
        }
        for line in lines
    ]


def _finding_row(finding: Finding) -> dict[str, Any]:
    accepted = finding.accepted
    return {
        "id": finding.id,
        "level": finding.level,
        "says": finding.says,
        "instead": finding.instead,
        "settled_by": finding.settled_by,
        "acceptable": finding.acceptable,
        "about": finding.subject or None,
        "concerns": list(finding.concerns),
        "sources": list(finding.sources),
        "accepted": None
        if accepted is None
        else {"by": accepted.by, "reason": accepted.reason, "on": accepted.on.isoformat()},
    }


def review_data(facts: Facts, findings: Sequence[Finding], wording: Wording) -> dict[str, Any]:
    """What `review --json` prints."""
    two_ports = facts.answers["two_ports"] == "true"
    return {
        "format": FORMAT,
        "stopped": any(finding.blocks for finding in findings),
        "findings": [finding_data(finding) for finding in findings],
        "totals": totals_data(facts.totals),
        "schedule": [event_data(event, wording, two_ports) for event in facts.events],
        "timeline": [timeline_data(entry, wording) for entry in facts.timeline],
        "supplies": [
            {
                "id": supply.id,
                "count": supply.count,
                "a_day": supply.a_day,
                "left_over_ml": exact(supply.left_over),
            }
            for supply in facts.supplies
        ],
    }


def decision_data(decision: Decision, wording: Wording) -> dict[str, Any]:
    """What `review --json` prints of a decision, by the format of the patient's file."""
    facts, written = decision.facts, decision.patient.format
    if written == FORMAT:
        return review_data(facts, decision.findings, wording)
    return {
        "format": written,
        "stopped": decision.stopped,
        "findings": [finding_data(finding, written) for finding in decision.findings],
        "decisions": settled_lines_data(decision.settled_lines),
        **plans_data(facts, wording),
        "timeline": [timeline_data(e, wording) | dated_entry_data(e) for e in facts.timeline],
        "typed": [{"key": t.key, "prints": list(t.prints)} for t in decision.typed],
    }


def statements_data(packet: WordedPacket) -> list[dict[str, Any]]:
    """Every statement of the handout with its words and sources; tables as lines."""
    rows = []
    for module in packet.modules:
        for section in module.sections:
            for statement in section.statements:
                says = statement.words.plain if statement.words else _block_text(statement.block)
                rows.append(
                    {
                        "id": statement.id,
                        "module": module.id,
                        "says": says,
                        "sources": list(statement.sources),
                    }
                )
    return rows


def _block_text(block: Any) -> str:
    """A table as lines; cards and contacts print without a line of headings."""
    headed = block.look not in ("card", "contacts", "plan")
    lines = [" | ".join(head.plain for head in block.head)] if headed else []
    lines += [
        " | ".join(" / ".join(line.plain for line in cell) for cell in row) for row in block.rows
    ]
    return "\n".join(lines)


def rulings_data(selection: Selection) -> list[dict[str, Any]]:
    """Why each statement is in or out."""
    return [
        {
            "id": ruling.statement,
            "in": ruling.answer.value == "true",
            "condition": str(ruling.condition),
            "facts": ruling.facts,
        }
        for ruling in selection.rulings
    ]


__all__ = ["decision_data", "finding_data", "review_data", "rulings_data", "statements_data"]
