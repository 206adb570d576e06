"""The command `plainleaf affected`: which records of packets a change of content touches."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from plainleaf.authoring.affected import Comparison, compare_records, comparison_lines
from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import FORMAT, Data
from plainleaf.cli.streams import print_json, say


def run(arguments: argparse.Namespace) -> int:
    """Print the table; the exit status.

    Raises:
        PlainleafError: A file cannot be read or written, or the content does not load.
    """
    comparisons = compare_records(arguments.folder, places_of(arguments))
    if arguments.json:
        print_json(_data(comparisons))
    else:
        say(comparison_lines(comparisons))
    return 0


def _data(comparisons: Sequence[Comparison]) -> Data:
    """Each record with its changes; null, with the trouble, where they cannot be told."""
    rows = [
        {
            "file": str(row.file),
            "version": row.version,
            "changes": None if row.trouble else list(row.changes),
            "trouble": row.trouble,
        }
        for row in comparisons
    ]
    touched = sum(row.affected for row in comparisons)
    return {"format": FORMAT, "affected": touched, "records": rows}
