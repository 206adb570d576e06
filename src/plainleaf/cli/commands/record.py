"""The command `plainleaf record`: what the nurse runs when the sheet comes back."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import Data, written_data
from plainleaf.cli.screen_text import written
from plainleaf.cli.streams import complain, print_json, say, say_text
from plainleaf.packet.delivery import deliver, settle
from plainleaf.teach_back.read_back import Recorded, packet_file, read_back_sheet, told
from plainleaf.teach_back.record_owner import record_ownership
from plainleaf.teach_back.record_papers import RECORD_PAPERS
from plainleaf.teach_back.recording import RECORD

_REPLACED = "These files replace what was recorded of this packet before."


def run(arguments: argparse.Namespace) -> int:
    """Read, judge, write; the exit status.

    Raises:
        PlainleafError: As `read_back_sheet` and `deliver`; nothing was written.
    """
    for path in (arguments.file, arguments.packet or arguments.file):
        settle(path if path.is_dir() else path.parent)
    packet = packet_file(arguments.file, arguments.packet)
    arguments.progress("reading the sheet and laying out the papers for the call")
    recorded = read_back_sheet(arguments.file, packet, places_of(arguments))
    out = arguments.out or arguments.file.parent
    replaced = deliver(recorded.files, out, record_ownership(recorded.files[RECORD.name]))
    remarks = [*recorded.remarks, *([_REPLACED] if replaced else [])]
    if arguments.json:
        print_json(_data(recorded, out, remarks))
    else:
        complain(remarks)
        say_text(told(recorded))
        readers = {k.name: k.reader for k in RECORD_PAPERS if k.name in recorded.files}
        say(written(readers, out))
    return 0 if recorded.ready else 1


def _data(recorded: Recorded, out: Path, remarks: Sequence[str]) -> Data:
    """What was written, and of each learner what was met and what is open."""
    label = recorded.outline.label
    learners = [
        {
            "number": verdict.number + 1,
            "relation": verdict.learner.relation,
            "items": len(verdict.standings),
            "open": len(verdict.open),
            "critical_open": [
                {"item": label(standing.item), "to_do": standing.to_do}
                for standing in verdict.critical
            ],
        }
        for verdict in recorded.verdicts
    ]
    written = written_data(recorded.files, out, remarks)
    return {**written, "ready": recorded.ready, "learners": learners}
