"""What the commands print: the review of one patient and the reasons for each statement."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from plainleaf import report, sheet
from plainleaf.conditions import Answer
from plainleaf.pipeline import Case

_WIDTH = 78


def _rule(title: str) -> str:
    return f"\n{title}\n{'-' * len(title)}"


def _findings(case: Case) -> Iterator[str]:
    yield _rule("Findings")
    if not case.findings:
        yield "None."
    for finding in case.findings:
        subject = f" ({finding.subject})" if finding.subject else ""
        yield f"{finding.level.upper():8}{finding.id}{subject}"
        yield f"        {finding.says}"
        yield f"        {finding.instead}"
        if finding.concerns:
            yield f"        Look at: {', '.join(finding.concerns)}"
        if finding.accepted is not None:
            by = finding.accepted
            yield f"        Accepted by {by.by} on {by.on.isoformat()}: {by.reason}"
        elif finding.blocks and finding.acceptable:
            yield f"        Can be accepted by {finding.settled_by}:"
            about = f", about: {finding.subject}" if finding.subject else ""
            entry = f"finding: {finding.id}, by: NAME, reason: TEXT, on: DATE{about}"
            yield f"        accepted: [{{{entry}}}]"


def _day(case: Case) -> Iterator[str]:
    yield _rule("The day")
    data = report.review_data(case.facts, case.findings, case.wording)
    for row in data["schedule"]:
        amount = "" if row["amount_ml"] is None else f"{row['amount_ml']:g} mL"
        yield f"{row['at']}  {amount:>9}  {row['what']}"
    yield _rule("Totals of the day, summed over the lines above")
    for label, value in sheet.totals_rows(case.facts.totals, case.wording):
        yield f"{label.plain:24}{value.plain}"
    yield "Food and drink by mouth is not counted."
    yield _rule("Dates, counted from placement")
    for row in data["timeline"]:
        until = f" until {row['until'].replace('T', ' ')}" if row["until"] else ""
        yield f"{row['from'].replace('T', ' ')}{until}  {row['what']}"


def review(case: Case) -> str:
    """The review of one patient, for a person to read."""
    person = case.patient.person
    verdict = (
        "A packet cannot be built yet: settle what blocks it below."
        if case.stopped
        else "A packet can be built."
    )
    lines = [
        f"{person.name}, record {person.record_number}, handout language {case.language}",
        verdict,
        *_findings(case),
        *_day(case),
    ]
    return "\n".join(lines) + "\n"


_SIGN = {Answer.TRUE: "IN ", Answer.FALSE: "out", Answer.UNKNOWN: "???"}


def why(case: Case) -> str:
    """For every statement: in or out, the condition, the facts that decided, the sources."""
    lines = []
    for decision in case.selection.decisions:
        facts = (
            ", ".join(f"{fact}={answer}" for fact, answer in decision.facts.items())
            or "nothing asked"
        )
        lines.append(f"{_SIGN[decision.answer]} {decision.statement}")
        lines.append(f"    when: {decision.condition}")
        lines.append(f"    facts: {facts}")
        lines.append(f"    sources: {', '.join(decision.sources)}")
    return "\n".join(lines) + "\n"


def blocked(case: Case) -> str:
    """Why nothing was written: what blocks the packet, and how to settle it."""
    lines = ["Nothing was written. What blocks the packet:", *list(_findings(case))[1:]]
    lines.append("Run plainleaf review for the whole day.")
    return "\n".join(lines) + "\n"


def delivered(case: Case, files: Mapping[str, bytes], out: Path) -> str:
    """What was written, and what the nurse should know before handing it over."""
    lines = [f"Wrote {len(files)} files into {out}: {', '.join(sorted(files))}."]
    if any(chosen.module.status == "draft" for chosen in case.selection.modules):
        lines.append("The teaching content is a DRAFT that no clinician has reviewed.")
    lines.append("Print handout.pdf at 100 percent; smaller is no longer large print.")
    return "\n".join(lines) + "\n"
