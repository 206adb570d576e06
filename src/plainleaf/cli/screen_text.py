"""What the commands print: the review of one patient and the reasons for each statement."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from plainleaf.cli.plan_text import plans_text, rule
from plainleaf.cli.settling_text import settling_lines
from plainleaf.compose.word import wording_of
from plainleaf.packet.record import review_data
from plainleaf.packet.sheet import sheet_words
from plainleaf.rules.decision import Decision
from plainleaf.rules.findings import Finding
from plainleaf.vocabulary.conditions import Answer
from plainleaf.vocabulary.languages import locale_name

_WIDTH = 78


def _findings(findings: Sequence[Finding]) -> Iterator[str]:
    for finding in findings:
        subject = f" ({finding.subject})" if finding.subject else ""
        yield f"{finding.level.upper():8}{finding.id}{subject}"
        yield f"        {finding.says}"
        yield f"        {finding.instead}"
        if finding.concerns:
            yield f"        Look at: {', '.join(finding.concerns)}"
        if finding.code is not None:
            yield from (f"        {line}" for line in settling_lines(finding))
        elif finding.accepted is not None:
            by = finding.accepted
            yield f"        Accepted by {by.by} on {by.on.isoformat()}: {by.reason}"
        elif finding.blocks and finding.acceptable:
            yield f"        Can be accepted by {finding.settled_by}:"
            about = f", about: {finding.subject}" if finding.subject else ""
            entry = f"finding: {finding.id}, by: NAME, reason: TEXT, on: DATE{about}"
            yield f"        accepted: [{{{entry}}}]"


def _origins(decision: Decision) -> dict[str, str]:
    """Where each total comes from."""
    formulas = {f.formula for f in decision.patient.feeding if f.formula is not None}
    energy = ", ".join(sorted(str(formula.energy) for formula in formulas))
    water = ", ".join(sorted(str(formula.water) for formula in formulas))
    flushes = sum(1 for event in decision.facts.events if event.kind == "flush")
    return {
        "total-formula": "the feedings above",
        "total-blended": "the feedings above; its water is not known",
        "total-energy": f"formula at {energy}, from its label" if energy else "no formula",
        "total-water-in-formula": f"formula at {water} water, from its label",
        "total-flush": f"the {flushes} flushes above",
        "total-extra-water": "the extra water above",
        "total-water": "water in formula, flushes and extra water",
        "total-goal": "water.goal",
        "total-limit": "water.limit",
    }


def _supplies(decision: Decision) -> Iterator[str]:
    """What a month needs, what a day uses and leaves over, and how much to pour at once."""
    yield rule("Supplies for a month, with the reserve")
    for supply in decision.facts.supplies:
        name = f"{supply.name}, {supply.size} each" if supply.size else supply.id.replace("-", " ")
        daily = f"{supply.a_day} a day" if supply.a_day is not None else ""
        if supply.left_over is not None and supply.left_over.value > 0:
            daily += f", {supply.left_over} thrown away in all"
        yield f"{supply.count:>5}  {name:44}{daily}".rstrip()
    values, wording = decision.facts.values, wording_of(decision)
    if "pour_at_most" in values:
        most = wording.value(values["pour_at_most"]).plain
        again = wording.value(values["refill_every"]).plain
        yield f"Pour at most {most} at once; again after {again}."


def _day(decision: Decision) -> Iterator[str]:
    yield rule("The day")
    data = review_data.review_data(decision.facts, decision.findings, wording_of(decision))
    for row in data["schedule"]:
        amount = "" if row["amount_ml"] is None else f"{row['amount_ml']:g} mL"
        yield f"{row['at']}  {amount:>9}  {row['what']}"
    yield rule("Totals of the day, summed over the lines above")
    origins = _origins(decision)
    for name, label, value in sheet_words.totals_lines(decision.facts.totals, wording_of(decision)):
        yield f"{label.plain:22}{value.plain:28}{origins[name]}"
    yield "Food and drink by mouth is not counted."
    yield from _supplies(decision)
    yield rule("Dates, counted from placement")
    for row in data["timeline"]:
        until = f" until {row['until'].replace('T', ' ')}" if row["until"] else ""
        yield f"{row['from'].replace('T', ' ')}{until}  {row['what']}"


def _verdict(decision: Decision) -> str:
    """Whether a packet can be built."""
    if decision.stopped:
        return "A packet cannot be built yet: settle what blocks it below."
    return "A packet can be built."


def review(decision: Decision) -> str:
    """The review of one patient, for a person to read."""
    person = decision.patient.person
    dated = decision.patient.format != 1
    lines = [
        f"{person.name}, record {person.record_number}, handout language {decision.language}",
        _verdict(decision),
        rule("Findings"),
        *(_findings(decision.findings) if decision.findings else ["None."]),
        *(plans_text(decision) if dated else _day(decision)),
    ]
    return "\n".join(lines) + "\n"


_SIGN = {Answer.TRUE: "IN ", Answer.FALSE: "out", Answer.UNKNOWN: "???"}


def why(decision: Decision) -> str:
    """For every statement: in or out, the condition, the facts that decided, the sources."""
    lines = []
    for ruling in decision.selection.rulings:
        facts = (
            ", ".join(f"{fact}={answer}" for fact, answer in ruling.facts.items())
            or "nothing asked"
        )
        lines.append(f"{_SIGN[ruling.answer]} {ruling.statement}")
        lines.append(f"    when: {ruling.condition}")
        lines.append(f"    facts: {facts}")
        lines.append(f"    sources: {', '.join(ruling.sources)}")
    return "\n".join(lines) + "\n"


def blocked(blocking: Sequence[Finding]) -> Iterator[str]:
    """Why nothing was written: what blocks the packet, and how to settle it."""
    yield from ("Nothing was written. What blocks the packet:", "", *_findings(blocking), "")
    yield "Run plainleaf review for the whole day."


def written(readers: Mapping[str, str], out: Path) -> Iterator[str]:
    """The files that were written, each with whom it is for.

    Args:
        readers: Name of a file → its readers, in words.
    """
    width = max(map(len, readers))
    yield f"Wrote {len(readers)} files into {out}:"
    for name, reader in readers.items():
        yield f"  {name:{width}}  for {reader}"


def delivery_remarks(decision: Decision) -> Iterator[str]:
    """What the nurse should know before handing a packet over."""
    if decision.draft_teaching:
        yield "The teaching content is a DRAFT that no clinician has reviewed."
    if decision.draft_settings:
        yield "The settings are a DRAFT: not every line of them was approved."
    for tag in decision.draft_languages:
        words = f"The words in {locale_name(tag)} are a DRAFT"
        yield f"{words} that no qualified translator has reviewed."
    yield "Print handout.pdf at 100 percent; smaller is no longer large print."
