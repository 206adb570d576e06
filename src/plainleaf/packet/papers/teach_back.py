"""The nurse's sheet: before teaching, teach-back, show-back, open points and sign-off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plainleaf.compose.word import WordedPacket, Wording
from plainleaf.facts.derived import Typed
from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.handout import HANDOUT, Handout, handout_title
from plainleaf.packet.papers.paper import LanguageWords, Paper
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import PaperKind, Shown
from plainleaf.packet.sheet import sheet_words
from plainleaf.packet.sheet.form_fields import OPEN_LINES, OPEN_PARTS, SESSION_PARTS, field_name
from plainleaf.packet.sheet.loop import PLANS
from plainleaf.packet.sheet.sheet_person import need_lines, person_rows, stand_in_lines
from plainleaf.packet.sheet.sheet_rows import (
    SheetRow,
    fit_lines,
    row_texts,
    sheet_rows,
    sheet_sessions,
    turned_texts,
)
from plainleaf.packet.sheet.sheet_settled import signer_rows
from plainleaf.packet.sheet.sheet_signing import SignedIn, SigningRow, initials, signing_rows
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.inspection import inspect_sheet
from plainleaf.rules.decision import Decision
from plainleaf.vocabulary.languages import locale_name, own_name

_PAGE_COUNT = "pages"


def item_pages(packet: WordedPacket, labels: Mapping[str, str]) -> dict[str, str]:
    """Teach-back and skill id → pages of the handout that cover it, two at most; those that are
    printed for everybody have the lower numbers.
    """
    pages = {}
    for module in packet.modules:
        for prompt in module.prompts:
            pages[prompt.id] = _two(prompt.listen_for, labels)
        for skill in module.skills:
            pages[skill.id] = _two(skill.steps[:1], labels)
    return pages


def _two(points: tuple[str, ...], labels: Mapping[str, str]) -> str:
    pages = {labels[point] for point in points}
    return ", ".join(sorted(pages, key=_in_order)[:2])


def _in_order(page: str) -> tuple[int, str]:
    """A page's number and the letter of one that runs on, to sort by."""
    number = page.rstrip("abcdefghijklmnopqrstuvwxyz")
    return int(number), page.removeprefix(number)


def make_teach_back(context: PaperContext, language: str) -> Paper:
    """The sheet in the language of staff.

    Raises:
        RenderError: The pages of the handout cannot be made.
    """
    packet, handout = context.staff.packet, _handout(context)
    # What is not printed for everybody has its number all the same.
    labels = {name: str(number) for name, number in packet.numbers().items()} | handout.labels
    pages = {tag: context.paper(HANDOUT, tag).laid.pages for tag in context.languages}
    return lay_sheet(context, labels, pages)


def lay_sheet(context: PaperContext, labels: Mapping[str, str], pages: Mapping[str, int]) -> Paper:
    """The sheet from its words.

    Args:
        labels: Statement → its page in the handout.
        pages: Language → how many pages the handout in it has.
    """
    wording, packet = context.staff.wording, context.staff.packet
    around = context.furniture(wording, wording.phrase("sheet-title"))
    others = {tag: words.packet for tag, words in context.words.items() if tag != SOURCE}
    rows = sheet_rows(context.outline, packet, others, item_pages(packet, labels))
    laid = context.room.lay(_html(context, around, rows, pages), forms=True)
    return Paper(laid, lambda pdf: inspect_sheet(pdf, around, row_texts(rows), turned_texts(rows)))


def _handout(context: PaperContext) -> Handout:
    handout = context.paper(HANDOUT, context.decision.language)
    assert isinstance(handout, Handout)
    return handout


def _html(
    context: PaperContext, around: PageFurniture, rows: list[SheetRow], pages: Mapping[str, int]
) -> str:
    decision, outline = context.decision, context.outline
    wording, printer = context.staff.wording, context.room.printer
    return printer.html(
        TEACH_BACK.template,
        printer.css(TEACH_BACK.style, wording, around),
        wording,
        context.staff.packet,
        around,
        phone_links=False,
        outline=outline,
        critical=[row for row in rows if row.item.critical and row.says.runs],
        shown=[row for row in rows if row.steps],
        later=[row for row in rows if not row.item.critical and row.says.runs],
        field=field_name,
        plans=tuple(PLANS),
        session_parts=SESSION_PARTS,
        open_lines=range(1, OPEN_LINES + 1),
        open_parts=OPEN_PARTS,
        sessions=sheet_sessions(outline, decision.patient, wording),
        fit=fit_lines(outline, decision.patient, wording),
        tries_line=wording.phrase("sheet-tries", tries=Typed("count", outline.tries)),
        initials=initials(outline),
        signing=_signing(context, pages),
        **sheet_case(decision, wording),
        **_signatures(context),
    )


def _in_languages(context: PaperContext) -> dict[str, LanguageWords]:
    """The words of staff, then those of each handout that somebody reads."""
    read = {learner.handout for learner in context.outline.learners} | {context.decision.language}
    return {SOURCE: context.staff} | {t: w for t, w in context.words.items() if t in read}


def _signing(context: PaperContext, pages: Mapping[str, int]) -> list[SignedIn]:
    """What is signed in each language; it names the handout in it, else the patient's."""
    signed = []
    for tag, words in _in_languages(context).items():
        handout = tag if tag in context.words else context.decision.language
        title = handout_title(context.decision, context.words[handout].wording)
        given = words.wording.phrase(
            "sign-given",
            title=str(title),
            pages=str(pages[handout]),
            language=locale_name(handout) if tag == SOURCE else own_name(handout),
            version=context.outline.version,
        )
        lines = (given, words.wording.phrase("sign-not-consent"))
        signed.append(SignedIn(tag, words.wording, lines))
    return signed


def _signatures(context: PaperContext) -> dict[str, list[SigningRow]]:
    """Who signs, in the language of staff and in that which each of them reads."""
    decision = context.decision
    rows = {
        tag: sheet_words.signature_rows(decision.patient, decision.facts, words.wording)
        for tag, words in _in_languages(context).items()
    }
    return {"signatures": signing_rows(rows, context.outline, decision.language)}


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
        "to_tell": need_lines(decision.patient, wording, shown=False),
        "to_show": need_lines(decision.patient, wording, shown=True),
        "learners": sheet_words.sheet_learners(decision.patient, wording),
        "interpreter": sheet_words.interpreter_lines(
            decision.patient,
            decision.policy,
            decision.facts,
            decision.language,
            wording,
            decision.inputs.teaching.languages,
        ),
    }


TEACH_BACK: Kind = PaperKind(
    "teach-back.pdf",
    "the nurse",
    "What to settle first, teach-back, show-back, open points and sign-off. Fill it in on paper "
    "or on a screen.",
    Shown.BOTH,
    make_teach_back,
    template="teach-back.html.j2",
    style="teach-back.css",
)
