"""The command `plainleaf build`: the packet of a patient file."""

from __future__ import annotations

import argparse
import json
import sys
from hashlib import sha256
from pathlib import Path

from plainleaf.cli import screen_text
from plainleaf.cli.commands.opened import decided, places_of
from plainleaf.packet import build
from plainleaf.packet.delivery import deliver
from plainleaf.packet.record.replaces import replacing
from plainleaf.printing.fonts import default_cache, use_own_fonts
from plainleaf.vocabulary.errors import DeliveryError

_PACKET, _SHEET = "packet.json", "teach-back.pdf"


def run(arguments: argparse.Namespace) -> int:
    """Build and write; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    _keep_filled_sheet(arguments.out)
    use_own_fonts(default_cache())
    with arguments.presses as presses:
        places, decision = places_of(arguments), decided(arguments)
        if decision.stopped:
            sys.stderr.write(screen_text.blocked(decision))
            return 1
        if arguments.replaces is not None:
            decision, says = replacing(decision, arguments.replaces, places.templates)
            sys.stdout.write(f"{says}\n")
        files = build.build(decision, places, presses)
    deliver(files, arguments.out)
    sys.stdout.write(screen_text.delivered(decision, files, arguments.out))
    return 0


def _keep_filled_sheet(out: Path) -> None:
    """Refuse to build over a sheet that was filled in since it was built.

    Raises:
        DeliveryError: The folder holds one.
    """
    try:
        issued = json.loads((out / _PACKET).read_bytes())["files"][_SHEET]
        there = sha256((out / _SHEET).read_bytes()).hexdigest()
    except (OSError, ValueError, KeyError, TypeError):
        return
    if there != issued:
        raise DeliveryError(
            f"{out / _SHEET}: was filled in after it was built, and would be lost. Record it and "
            "move it away, or name another folder with --out."
        )
