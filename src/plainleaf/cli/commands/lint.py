"""The command `plainleaf lint`: every fault of the teaching content."""

from __future__ import annotations

import argparse
import sys

from plainleaf.authoring.lint import lint
from plainleaf.packet.places import shipped


def run(arguments: argparse.Namespace) -> int:
    """Print every fault; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    folder = arguments.teaching or shipped("teaching")
    library, faults = lint(folder)
    for fault in faults:
        sys.stdout.write(f"{fault}\n")
    if library is None or faults:
        return 1
    count = sum(1 for module in library.modules for _ in module.statements())
    sys.stdout.write(f"{len(library.modules)} modules, {count} statements, no faults.\n")
    return 0
