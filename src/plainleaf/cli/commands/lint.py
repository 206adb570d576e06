"""The command `plainleaf lint`: every fault of the teaching content."""

from __future__ import annotations

import argparse

from plainleaf.authoring.lint import lint
from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import faults_data
from plainleaf.cli.streams import print_json, say


def run(arguments: argparse.Namespace) -> int:
    """Print every fault; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    library, faults = lint(places_of(arguments).teaching)
    modules = () if library is None else library.modules
    statements = sum(1 for module in modules for _ in module.statements())
    if arguments.json:
        print_json({**faults_data(faults), "modules": len(modules), "statements": statements})
    else:
        say(map(str, faults))
        if not faults:
            say([f"{len(modules)} modules, {statements} statements, no faults."])
    return 1 if faults else 0
