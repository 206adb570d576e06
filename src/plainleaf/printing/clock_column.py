"""How wide the times of the day stand in the table of the day by the clock."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.compose.word import Run, WordedPages, kept
from plainleaf.printing.page_format import Format


def clock_column(pages: WordedPages, format: Format) -> float:
    """Percent of a line for the first column of the day by the clock.

    Args:
        pages: What is printed.
    """
    cells = list(_times(pages))
    times = [piece for runs in cells for run in runs for piece in kept(run)]
    return format.clock_column(times, boxes=any(len(runs) > 1 for runs in cells))


def _times(pages: WordedPages) -> Iterator[list[Run]]:
    """The times of each row."""
    for statement in pages.statements().values():
        block = statement.block
        if block is not None and block.name == "day_schedule":
            for row in block.rows:
                yield [run for line in row[0] for run in line.runs if run.kind == "clock-short"]
