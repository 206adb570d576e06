"""Calls the stages in order; the only file that knows them all.

patient + policy + library → facts → findings · select → fill → word → render → check
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from plainleaf import report, sheet
from plainleaf.case import Case, Settings, open_case, program_version, shipped
from plainleaf.check import check_handout, check_sheet, first_page_complete
from plainleaf.digests import digests_of, packet_version
from plainleaf.errors import CheckError, ContentError, Fault
from plainleaf.facts.record import Typed
from plainleaf.fill import FilledPacket, fill
from plainleaf.fonts import use_own_fonts
from plainleaf.locales import SOURCE, best_language, languages, load_catalog
from plainleaf.press import Pressed, Presses
from plainleaf.render import PageFurniture, Printer
from plainleaf.traced import add_digests, traced_data
from plainleaf.typeset import Laid, Sheet
from plainleaf.word import WordedPacket, Wording, Words, word

__all__ = [
    "Case",
    "Settings",
    "build",
    "lay_out",
    "open_case",
    "packet_version",
    "program_version",
    "shipped",
    "word_only",
]


def _marks(case: Case, wording: Wording) -> str:
    """What the head of every page says: draft content, example settings."""
    draft = any(chosen.module.status == "draft" for chosen in case.selection.modules)
    lines = [wording.phrase("draft-mark")] if draft else []
    lines += [wording.phrase("example-policy")] if case.policy.example else []
    return ". ".join(str(line) for line in lines)


def _furniture(case: Case, wording: Wording, title: Words, version: str) -> PageFurniture:
    person = case.patient.person
    identity = wording.phrase("footer-identity", name=person.name, record=person.record_number)
    made = Typed("day-of-year", case.patient.prepared_on.date())
    foot = wording.phrase(
        "footer-version", version=version, language=wording.catalog.language, made=made
    )
    return PageFurniture(str(title), _marks(case, wording), str(identity), str(foot))


def _title(case: Case, wording: Wording) -> Words:
    child = case.facts.answers["child"] == "true"
    return wording.phrase("handout-title-child" if child else "handout-title")


def _cautions(case: Case, wording: Wording) -> list[Words]:
    emergency = case.facts.values["emergency_phone"]
    lines = [
        wording.phrase("caution-emergency", phone=emergency),
        wording.phrase("caution-care-team"),
        wording.phrase("caution-orders"),
        wording.phrase("caution-made-for"),
    ]
    if any(chosen.module.status == "draft" for chosen in case.selection.modules):
        lines.append(wording.phrase("caution-draft"))
    return lines


class Desk:
    """Templates, fonts and presses of one packet."""

    def __init__(self, case: Case, presses: Presses | None) -> None:
        fonts = use_own_fonts(case.settings.cache)
        self._font = fonts["Regular"]
        self._presses = presses or Presses()
        self.printer = Printer(case.settings.templates, case.policy.word("paper"), self._font)

    def lay_handout(self, html: str) -> Laid | Pressed:
        """A handout on the first press."""
        return self._presses.handout.lay(Sheet(html, self.printer.templates, self._font))

    def lay_sheet(self, html: str) -> Laid | Pressed:
        """The nurse's sheet on the second press."""
        sheet = Sheet(html, self.printer.templates, self._font, forms=True)
        return self._presses.sheet.lay(sheet)


@dataclass(frozen=True)
class Handout:
    """One language's handout: its words, its pages and the same for the phone."""

    words: WordedPacket
    laid: Laid | Pressed
    html: str
    furniture: PageFurniture
    cautions: tuple[Words, ...]


def _handout(case: Case, desk: Desk, filled: FilledPacket, language: str, version: str) -> Handout:
    catalog = load_catalog(case.settings.teaching / "locales", language)
    wording = Wording(case.library, catalog)
    packet = word(filled, wording)
    furniture = _furniture(case, wording, _title(case, wording), version)
    cautions = _cautions(case, wording)

    def page(css: str, *, phone_links: bool = False, tight: bool = False) -> str:
        style = desk.printer.css(css, wording, furniture)
        return desk.printer.html(
            "handout.html.j2",
            style,
            wording,
            packet,
            furniture,
            cautions=cautions,
            phone_links=phone_links,
            tight=tight,
        )

    laid = desk.lay_handout(page("print.css"))
    if not first_page_complete(laid, packet):
        laid = desk.lay_handout(page("print.css", tight=True))
    html = page("screen.css", phone_links=True)
    return Handout(packet, laid, html, furniture, tuple(cautions))


def _pages(packet: WordedPacket, anchors: Mapping[str, int]) -> dict[str, int]:
    """Teach-back and skill id → page of the handout that covers it."""
    pages = {}
    for module in packet.modules:
        for prompt in module.prompts:
            pages[prompt.id] = anchors[prompt.listen_for[0] if prompt.listen_for else module.id]
        for skill in module.skills:
            pages[skill.id] = anchors[skill.steps[0]]
    return pages


def _sheet_html(
    case: Case, printer: Printer, packet: WordedPacket, handout: Handout, version: str
) -> tuple[str, PageFurniture]:
    wording = case.wording
    furniture = _furniture(case, wording, wording.phrase("sheet-title"), version)
    statements = packet.statements()
    prepared = Typed("moment", case.patient.prepared_on)

    def says(identity: str) -> str:
        statement = statements[identity]
        if statement.words is not None:
            return statement.words.plain
        return "; ".join(
            ", ".join(line.plain for cell in row for line in cell)
            for row in (statement.block.rows if statement.block else ())
        )

    return printer.html(
        "teach-back.html.j2",
        printer.css("teach-back.css", wording, furniture),
        wording,
        packet,
        furniture,
        phone_links=False,
        prepared=wording.phrase("prepared-by", by=case.patient.prepared_by, on=prepared),
        reminders=[wording.phrase("sheet-remind-1"), wording.phrase("sheet-remind-2")],
        findings=sheet.sheet_findings(case.findings, wording),
        totals=sheet.totals_rows(case.facts.totals, wording),
        learners=sheet.sheet_learners(case.patient),
        needs=sheet.NEEDS,
        interpreter=sheet.interpreter_lines(
            case.patient, case.policy, case.facts, case.language, wording
        ),
        loop_lines=[wording.phrase("sheet-loop-1"), wording.phrase("sheet-loop-2")],
        pages=_pages(packet, handout.laid.anchors),
        says=says,
        sign_lines=[
            wording.phrase(
                "sign-given",
                title=handout.furniture.title,
                pages=str(handout.laid.pages),
                language=case.language,
                version=version,
            ),
            wording.phrase("sign-not-consent"),
        ],
        signatures=sheet.signature_rows(case.patient, case.facts, wording),
    ), furniture


def _extra_languages(case: Case) -> list[str]:
    have = languages(case.settings.teaching / "locales")
    wanted = dict.fromkeys(best_language(lr.language, have) for lr in case.patient.learners)
    return [tag for tag in wanted if tag in have and tag != case.language]


def _refuse_split_choices(case: Case) -> None:
    faults = [
        Fault(str(case.settings.teaching), 0, f"choice '{choice}' has {len(ids)} variants: {ids}.")
        for choice, ids in case.selection.split_choices
    ]
    if faults:
        raise ContentError(faults)


def build(case: Case, presses: Presses | None = None) -> dict[str, bytes]:
    """The files of the packet, checked; nothing is written here.

    Args:
        presses: Processes to lay the pages out on; without them it is done in this one.
    Raises:
        RenderError, CheckError, LocaleError, ContentError: The packet is not fit to hand out.
    """
    assert not case.stopped, "a stopped case is never built"
    _refuse_split_choices(case)
    desk = Desk(case, presses)
    filled = fill(case.selection, case.patient, case.facts)
    digests = digests_of(case)
    version = packet_version(digests, case.language)
    main = _handout(case, desk, filled, case.language, version)
    others = {tag: _handout(case, desk, filled, tag, version) for tag in _extra_languages(case)}
    staff = main.words if case.language == SOURCE else word(filled, case.wording)
    html, furniture = _sheet_html(case, desk.printer, staff, main, version)
    sheet_laid = desk.lay_sheet(html)
    files: dict[str, bytes] = {}
    faults: list[str] = []
    for tag, handout in {"": main, **{f".{t}": h for t, h in others.items()}}.items():
        pdf = handout.laid.pdf()
        faults += check_handout(pdf, handout.words, handout.furniture)
        files[f"handout{tag}.pdf"] = pdf.data
        files[f"handout{tag}.html"] = handout.html.encode()
    teach_back = sheet_laid.pdf()
    faults += check_sheet(teach_back, furniture)
    files["teach-back.pdf"] = teach_back.data
    if faults:
        raise CheckError(faults)
    files["packet.json"] = _record(case, main, digests, version, files)
    return files


def lay_out(case: Case) -> Handout:
    """The handout alone, laid out and not checked: for the proof of its words.

    Raises:
        RenderError, LocaleError: The pages cannot be made.
    """
    filled = fill(case.selection, case.patient, case.facts)
    return _handout(case, Desk(case, None), filled, case.language, "0000000000")


def word_only(case: Case) -> tuple[WordedPacket, tuple[Words, ...]]:
    """The worded packet and its cautions, without a page.

    Raises:
        LocaleError: A message has no current translation.
    """
    catalog = load_catalog(case.settings.teaching / "locales", case.language)
    wording = Wording(case.library, catalog)
    filled = fill(case.selection, case.patient, case.facts)
    return word(filled, wording), tuple(_cautions(case, wording))


def _record(
    case: Case,
    main: Handout,
    digests: Mapping[str, str],
    version: str,
    files: Mapping[str, bytes],
) -> bytes:
    data: dict[str, Any] = report.review_data(case.facts, case.findings, case.wording)
    child = case.facts.answers["child"] == "true"
    statements = report.statements_data(main.words)
    decisions = report.decisions_data(case.selection)
    add_digests(statements, decisions, case.library, child=child)
    data |= {
        "version": version,
        "language": case.language,
        "made": case.patient.prepared_on.isoformat(timespec="minutes"),
        "prepared_by": case.patient.prepared_by,
        "digests": dict(digests),
        "files": {name: sha256(content).hexdigest() for name, content in sorted(files.items())},
        "statements": statements,
        "decisions": decisions,
        **traced_data(case.library, case.policy, case.selection, child=child),
    }
    return (json.dumps(data, ensure_ascii=False, indent=1) + "\n").encode()
