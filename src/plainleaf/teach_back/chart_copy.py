"""`record.fhir.json`: the packet's copy for the chart, completed with what was taught."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from plainleaf.inputs.files import LARGEST_BUNDLE, STANDARD_INPUT, Unreadable, read_bytes
from plainleaf.packet.fhir import PACKET_FILE, RECORD_FILE, bundle_from_record
from plainleaf.packet.papers import PaperKind, Shown
from plainleaf.packet.record.record_file import record_data
from plainleaf.teach_back.follow_up import FOLLOW_UP
from plainleaf.teach_back.record_context import NotMade, RecordContext, RecordPaperKind
from plainleaf.vocabulary.errors import ExchangeError


def make_record_bundle(context: RecordContext, language: str) -> bytes | NotMade:
    """The completed bundle, where the packet's own copy is there.

    Raises:
        ExchangeError: The packet's copy was changed after it was built, or cannot be read.
        CheckError: The completed bundle would not be sound.
    """
    if context.packet == STANDARD_INPUT:
        return NotMade(f"The packet came by standard input, so {RECORD_FILE} was not written.")
    copy = context.packet.parent / PACKET_FILE
    if not copy.is_file():
        return NotMade(f"{copy}: is not there, so {RECORD_FILE} was not written.")
    if sha256(_bytes_of(copy)).hexdigest() != context.packet_record.files.get(PACKET_FILE):
        raise ExchangeError(
            f"{copy}: is not the file that {context.packet.name} tells of. Put that one back, or "
            "take this one away."
        )
    papers = {FOLLOW_UP.name: context.papers[FOLLOW_UP.name], context.sheet: context.pdf}
    return bundle_from_record(copy, record_data(context.record), papers)


def _bytes_of(copy: Path) -> bytes:
    try:
        return read_bytes(copy, LARGEST_BUNDLE)
    except Unreadable as error:
        raise ExchangeError(str(error.fault)) from error


RECORD_BUNDLE: RecordPaperKind = PaperKind(
    RECORD_FILE,
    "the chart",
    "The packet's Bundle, completed with each learner's answers and the teaching by topic.",
    Shown.PROGRAM,
    make_record_bundle,
)
