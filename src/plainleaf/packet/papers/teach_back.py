"""The nurse's sheet: findings, learning needs, teach-back, show-back, sign-off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from plainleaf.compose.word import (
    Run,
    WordedPacket,
    WordedPrompt,
    WordedSkill,
    WordedStatement,
    Wording,
    Words,
)
from plainleaf.facts.derived import Typed
from plainleaf.packet.papers.handout import HANDOUT, Handout, handout_title
from plainleaf.packet.papers.paper import Paper
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import PaperKind, Shown
from plainleaf.packet.sheet import sheet_words
from plainleaf.packet.sheet.form_fields import field_name
from plainleaf.packet.sheet.loop import PLANS
from plainleaf.packet.sheet.sheet_parts import SheetPart, sheet_parts
from plainleaf.packet.sheet.sheet_person import person_rows, stand_in_lines
from plainleaf.packet.sheet.sheet_settled import signer_rows
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.inspection import inspect_sheet
from plainleaf.rules.decision import Decision

_PAGE_COUNT = "pages"


def page_numbers(packet: WordedPacket, handout: Handout) -> dict[str, str]:
    """What the sheet says of the handout's pages.

    Returns:
        Teach-back and skill id → page of the handout that covers it; `pages` → how many it has.
    """
    # What is not printed for everybody has its number all the same.
    labels = {name: str(number) for name, number in packet.numbers().items()} | handout.labels
    pages = {_PAGE_COUNT: str(handout.laid.pages)}
    for module in packet.modules:
        for prompt in module.prompts:
            pages[prompt.id] = labels[prompt.listen_for[0]] if prompt.listen_for else ""
        for skill in module.skills:
            pages[skill.id] = labels[skill.steps[0]]
    return pages


def statement_words(statement: WordedStatement) -> Words:
    """A statement in one line, a table row by row."""
    if statement.words is not None:
        return statement.words
    rows = statement.block.rows if statement.block else ()
    lines = [_between(", ", [line for cell in row for line in cell]) for row in rows]
    return _between("; ", lines)


def _between(mark: str, lines: Sequence[Words]) -> Words:
    """Some words in one line with a mark between them."""
    runs = [run for line in lines for run in (Run(mark), *line.runs)]
    return Words(tuple(runs[1:]))


def sheet_texts(packet: WordedPacket, parts: Sequence[SheetPart]) -> list[tuple[str, Words]]:
    """What the sheet must hold of the handout's teaching, in its order, each with its name."""
    lines = {name: statement_words(st) for name, st in packet.statements().items()}
    texts: list[tuple[str, Words]] = []
    for topic in (topic for part in parts for topic in part.topics):
        for asked in (*topic.prompts, *topic.skills):
            texts += _item_texts(asked.worded, lines)
    return texts


def _item_texts(
    worded: WordedPrompt | WordedSkill, lines: Mapping[str, Words]
) -> Iterator[tuple[str, Words]]:
    if isinstance(worded, WordedSkill):
        for name in worded.steps:
            yield f"'{name}' in the skill '{worded.id}'", lines[name]
        return
    question = f"the question '{worded.id}'"
    yield question, worded.ask
    for name in worded.listen_for:
        yield f"'{name}' in {question}", lines[name]
    yield question, worded.again


def make_teach_back(context: PaperContext, language: str) -> Paper:
    """The sheet in the language of staff.

    Raises:
        RenderError: The pages of the handout cannot be made.
    """
    wording, packet = context.staff.wording, context.staff.packet
    around = context.furniture(wording, wording.phrase("sheet-title"))
    parts = sheet_parts(context.outline, packet, context.decision.patient, wording)
    laid = context.room.lay(_html(context, around, parts), forms=True)
    return Paper(laid, lambda pdf: inspect_sheet(pdf, around, sheet_texts(packet, parts)))


def _handout(context: PaperContext) -> Handout:
    handout = context.paper(HANDOUT, context.decision.language)
    assert isinstance(handout, Handout)
    return handout


def _html(context: PaperContext, around: PageFurniture, parts: Sequence[SheetPart]) -> str:
    decision, outline = context.decision, context.outline
    wording, packet, printer = context.staff.wording, context.staff.packet, context.room.printer
    title = handout_title(decision, context.words[decision.language].wording)
    statements = packet.statements()
    pages = page_numbers(packet, _handout(context))
    return printer.html(
        TEACH_BACK.template,
        printer.css(TEACH_BACK.style, wording, around),
        wording,
        packet,
        around,
        phone_links=False,
        reminders=[wording.phrase("sheet-remind-1"), wording.phrase("sheet-remind-2")],
        needs=sheet_words.NEEDS,
        loop_lines=[
            wording.phrase("sheet-loop-1"),
            wording.phrase("sheet-plan-when", tries=Typed("count", outline.tries)),
            wording.phrase("sheet-steps-use"),
            wording.phrase("sheet-write"),
        ],
        outline=outline,
        parts=parts,
        field=field_name,
        plans=tuple(PLANS),
        pages=pages,
        says=lambda identity: statement_words(statements[identity]),
        sign_lines=[
            wording.phrase(
                "sign-given",
                title=str(title),
                pages=pages[_PAGE_COUNT],
                language=decision.language,
                version=outline.version,
            ),
            wording.phrase("sign-not-consent"),
        ],
        **sheet_case(decision, wording),
    )


def sheet_case(decision: Decision, wording: Wording) -> dict[str, Any]:
    """All that the sheet says of this patient besides the teaching and the sessions."""
    prepared = Typed("moment", decision.patient.prepared_on)
    return {
        "prepared": wording.phrase("prepared-by", by=decision.patient.prepared_by, on=prepared),
        "findings": sheet_words.sheet_findings(decision.findings, wording),
        "totals": sheet_words.totals_rows(decision.facts, wording),
        "dated": decision.patient.format != 1,
        "person": person_rows(decision.patient, wording),
        "signers": signer_rows(decision.patient, wording),
        "stand_ins": stand_in_lines(decision.patient, wording),
        "learners": sheet_words.sheet_learners(decision.patient, wording),
        "interpreter": sheet_words.interpreter_lines(
            decision.patient,
            decision.policy,
            decision.facts,
            decision.language,
            wording,
            decision.inputs.teaching.languages,
        ),
        "signatures": sheet_words.signature_rows(decision.patient, decision.facts, wording),
    }


TEACH_BACK: Kind = PaperKind(
    "teach-back.pdf",
    "the nurse",
    "Findings, learning needs, teach-back, show-back, sign-off. Fill it in on either.",
    Shown.BOTH,
    make_teach_back,
    template="teach-back.html.j2",
    style="teach-back.css",
)
