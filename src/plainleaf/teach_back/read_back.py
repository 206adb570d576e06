"""Reads a filled teach-back sheet back: paths in, the files of the record out."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from plainleaf.facts import VOCABULARY
from plainleaf.inputs.content import load_library
from plainleaf.inputs.files import (
    LARGEST_PAPER,
    STANDARD_INPUT,
    Unreadable,
    read_bytes,
)
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.packet.delivery import PACKET
from plainleaf.packet.places import Places
from plainleaf.packet.record.packet_record import PacketRecord, read_packet_record
from plainleaf.packet.record.record_file import record_data
from plainleaf.packet.sheet.outline import Outline
from plainleaf.packet.sheet.outline_json import outline_of
from plainleaf.teach_back.answers import Returned, read_answers
from plainleaf.teach_back.call_time import call_time
from plainleaf.teach_back.follow_up_paper import FollowUpMaking
from plainleaf.teach_back.read_form import read_filled
from plainleaf.teach_back.record_context import NotMade, RecordContext
from plainleaf.teach_back.record_papers import RECORD_PAPERS
from plainleaf.teach_back.recording import record_of
from plainleaf.teach_back.verdict import Verdict, judge_sheet, ready_to_go_home
from plainleaf.vocabulary.errors import RecordError, SheetError


@dataclass(frozen=True)
class Recorded:
    """A sheet that was read: its files, whether all is met, and what the nurse should know."""

    files: dict[str, bytes]
    ready: bool
    outline: Outline
    verdicts: tuple[Verdict, ...]
    remarks: tuple[str, ...]


def packet_file(sheet: Path, packet: Path | None) -> Path:
    """The record of the packet: the one that was named, else the one beside the sheet.

    Raises:
        RecordError: There is none.
    """
    named = sheet.parent if packet is None else packet
    file = named / PACKET if named.is_dir() else named
    if file != STANDARD_INPUT and not file.exists():
        raise RecordError(
            f"{file}: is not there. Name the packet's folder or its {PACKET} with --packet."
        )
    return file


def read_back_sheet(sheet: Path, packet: Path, settings: Places) -> Recorded:
    """Everything that follows from a filled sheet; nothing is written here.

    Raises:
        SheetError, RecordError: A file cannot be read, or they do not belong together.
        PolicyError, ContentError: The settings or the phrases cannot be read.
        ExchangeError: The packet's copy for the chart is not the one that was built.
        RenderError, CheckError, LocaleError: The follow-up papers cannot be made.
    """
    raw, packet_record = read_packet_record(packet)
    outline = outline_of(packet_record)
    pdf = _bytes(sheet)
    returned = read_answers(read_filled(pdf, str(sheet)), outline, str(sheet), str(packet))
    policy = load_policy(settings.policy)
    call = call_time(policy, returned.discharge)
    verdicts = judge_sheet(returned, outline)
    belongs = _belongs(packet_record, raw, pdf) | {"settings": _settings(policy, outline)}
    making = FollowUpMaking(
        settings, load_library(settings.teaching, VOCABULARY), policy.word("paper"), outline
    )
    record = record_of(returned, outline, verdicts, belongs)
    context = RecordContext(
        returned, verdicts, call, making, record, packet, packet_record, sheet.name, pdf
    )
    files, without = _made(context)
    remarks = (*_remarks(returned, str(sheet)), *without)
    return Recorded(files, ready_to_go_home(verdicts), outline, verdicts, remarks)


def _made(context: RecordContext) -> tuple[dict[str, bytes], list[str]]:
    """Every paper of the register, in its order, and what is said of those that are not made."""
    remarks = []
    for kind in RECORD_PAPERS:
        content = kind.make(context, context.outline.staff)
        if isinstance(content, NotMade):
            remarks.append(content.remark)
        else:
            context = context.with_paper(kind.name, content)
    return dict(context.papers), remarks


def _belongs(packet: PacketRecord, raw: bytes, pdf: bytes) -> dict[str, Any]:
    """Digests of the packet's record and of the sheet that was read."""
    return {
        "packet": {
            "version": packet.version,
            "language": packet.language,
            "made": packet.made.isoformat(timespec="minutes"),
            "sha256": sha256(raw).hexdigest(),
            "digests": record_data(packet.digests),
        },
        "sheet": {"sha256": sha256(pdf).hexdigest()},
    }


def _settings(policy: Policy, outline: Outline) -> dict[str, Any]:
    return {
        "policy": policy.digest,
        "tries_before_plan": outline.tries,
        "follow_up_call_from": str(policy.quantity("follow_up_call_from")),
        "follow_up_within": str(policy.quantity("follow_up_within")),
    }


def _bytes(sheet: Path) -> bytes:
    try:
        return read_bytes(sheet, LARGEST_PAPER)
    except Unreadable as error:
        raise SheetError(error.naming("Name the filled teach-back.pdf.")) from error


def _remarks(returned: Returned, file: str) -> list[str]:
    """One line each, naming the field and never the patient."""
    return [
        *(
            f"{file}: field {name}: is gone from the file; it counts as blank, never as no. "
            "Look at the paper."
            for name in returned.missing
        ),
        *(
            f"{file}: field {name}: is not one of this sheet; its value is not read."
            for name in returned.unknown
        ),
        *(f"{file}: {line}" for line in returned.troubles),
    ]


def told(recorded: Recorded) -> str:
    """What the command prints: the verdict and what is missing, by learner."""
    lines = []
    for verdict in recorded.verdicts:
        who = f"learner {verdict.number + 1} ({verdict.learner.relation})"
        done = len(verdict.standings) - len(verdict.open)
        lines.append(f"{who}: {done} of {len(verdict.standings)} met.")
        label = recorded.outline.label
        lines += [f"  critical, open: {label(s.item)}: {s.to_do}" for s in verdict.critical]
        rest = len(verdict.open) - len(verdict.critical)
        lines += [f"  not critical, open: {rest}"] if rest else []
    if recorded.ready:
        lines.append("Everyone who gives care met everything critical: ready, as far as taught.")
    else:
        lines.append("NOT READY to go home on this alone.")
    return "\n".join(lines) + "\n"
