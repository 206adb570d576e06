"""The command `plainleaf record`: what the nurse runs when the sheet comes back."""

from __future__ import annotations

import argparse
import json
import sys
from hashlib import sha256
from pathlib import Path

from plainleaf.case import Settings
from plainleaf.delivery import deliver
from plainleaf.errors import DeliveryError
from plainleaf.returned.run import FILES, PACKET, packet_file, read_back_sheet, told

STATUS = """exit status:
  0  everyone who gives care met everything critical: ready, as far as taught
  1  something critical is open, or a fault in the finished print
  2  a file cannot be read or written, or the sheet belongs to another packet"""
SHEET = "teach-back.pdf"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    parser.add_argument("file", type=Path, metavar="FILE.pdf", help=f"the filled {SHEET}")
    parser.add_argument(
        "--packet", type=Path, metavar="DIR",
        help="the packet's folder or its packet.json (else beside FILE.pdf)",
    )  # fmt: skip
    parser.add_argument(
        "--out", type=Path, metavar="DIR", help="folder to write into (else beside FILE.pdf)"
    )


def run(arguments: argparse.Namespace, settings: Settings) -> int:
    """Read, judge, write; the exit status.

    Raises:
        PlainleafError: As `read_back_sheet` and `deliver`; nothing was written.
    """
    packet = packet_file(arguments.file, arguments.packet)
    recorded = read_back_sheet(arguments.file, packet, settings)
    out = arguments.out or arguments.file.parent
    deliver(recorded.files, out, FILES.__contains__)
    sys.stderr.writelines(f"{remark}\n" for remark in recorded.remarks)
    sys.stdout.write(told(recorded))
    sys.stdout.write(f"Wrote {', '.join(sorted(recorded.files))} into {out}.\n")
    return 0 if recorded.ready else 1


def keep_filled_sheet(out: Path) -> None:
    """Refuse to build over a sheet that was filled in since it was built.

    Raises:
        DeliveryError: The folder holds one.
    """
    try:
        issued = json.loads((out / PACKET).read_bytes())["files"][SHEET]
        there = sha256((out / SHEET).read_bytes()).hexdigest()
    except (OSError, ValueError, KeyError, TypeError):
        return
    if there != issued:
        raise DeliveryError(
            f"{out / SHEET}: was filled in after it was built, and would be lost. Record it and "
            "move it away, or name another folder with --out."
        )
