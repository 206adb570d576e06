"""`packet.json`: what was decided, from which facts and sources, and what the packet holds."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import PaperKind, Shown
from plainleaf.packet.record import review_data
from plainleaf.packet.record.fingerprints import add_digests, traced_data
from plainleaf.packet.record.packet_digests import person_digest
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.record.record_file import record_bytes
from plainleaf.packet.record.replaces import replaced_data
from plainleaf.packet.record.settings_read import settings_read
from plainleaf.packet.sheet.outline_json import outline_data


def make_decision_record(context: PaperContext, language: str) -> bytes:
    """The record, with the digests of all that is made before it.

    Raises:
        RenderError: The pages of a paper cannot be made.
    """
    files = sorted(context.content().items())
    digests = {name: sha256(content).hexdigest() for name, content in files}
    return record_bytes(PACKET_RECORD.of(_record(context) | {"files": digests}))


def _record(context: PaperContext) -> dict[str, Any]:
    """What is recorded of a packet, without the digests of its files."""
    decision = context.decision
    data: dict[str, Any] = review_data.decision_data(decision, context.staff.wording)
    child = decision.facts.answers["child"] == "true"
    statements = review_data.statements_data(context.words[decision.language].packet)
    rulings = review_data.rulings_data(decision.selection)
    add_digests(statements, rulings, decision.library, child=child)
    return data | {
        "version": context.version,
        "language": decision.language,
        "made": decision.patient.prepared_on.isoformat(timespec="minutes"),
        "prepared_by": decision.patient.prepared_by,
        "person": person_digest(decision.patient),
        "replaces": replaced_data(decision.inputs.replaces),
        "digests": dict(context.digests),
        "statements": statements,
        # Of format 2, what people decided bears that name.
        "rulings" if "decisions" in data else "decisions": rulings,
        "teach_back": outline_data(context.outline),
        "settings_read": settings_read(decision),
        **traced_data(decision.library, decision.policy, decision.selection, child=child),
    }


DECISION_RECORD: Kind = PaperKind(
    "packet.json",
    "the record",
    "What was decided, from which facts and sources, and the digest of every other file.",
    Shown.PROGRAM,
    make_decision_record,
)
