"""The command `plainleaf record`: what the nurse runs when the sheet comes back."""

from __future__ import annotations

import argparse
import sys

from plainleaf.cli.commands.opened import places_of
from plainleaf.packet.delivery import deliver
from plainleaf.teach_back.read_back import FILES, packet_file, read_back_sheet, told


def run(arguments: argparse.Namespace) -> int:
    """Read, judge, write; the exit status.

    Raises:
        PlainleafError: As `read_back_sheet` and `deliver`; nothing was written.
    """
    packet = packet_file(arguments.file, arguments.packet)
    recorded = read_back_sheet(arguments.file, packet, places_of(arguments))
    out = arguments.out or arguments.file.parent
    deliver(recorded.files, out, FILES.__contains__)
    sys.stderr.writelines(f"{remark}\n" for remark in recorded.remarks)
    sys.stdout.write(told(recorded))
    sys.stdout.write(f"Wrote {', '.join(sorted(recorded.files))} into {out}.\n")
    return 0 if recorded.ready else 1
