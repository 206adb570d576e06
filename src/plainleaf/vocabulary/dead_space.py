"""What tubes hold with their extension set, as a facility's setting lists it by build and size."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity
from plainleaf.vocabulary.terms import BUILDS

_ROW = re.compile(rf"({'|'.join(BUILDS)}) (.+ Fr) (.+ mL)")
EXAMPLE = "low-profile 14 Fr 1.5 mL; standard 18 Fr 3 mL"


@dataclass(frozen=True)
class DeadSpace:
    """What a tube of one build and size holds."""

    build: str
    size: Quantity
    holds: Quantity


def read_dead_spaces(text: str) -> tuple[DeadSpace, ...]:
    """The rows of the setting.

    Raises:
        UnitError: A row that cannot be read, or a tube that stands twice.

    >>> read_dead_spaces("low-profile 14 Fr 1.5 mL; standard 18 Fr 3 mL")[1].holds
    Quantity('3 mL')
    """
    rows = []
    for row in text.split("; "):
        match = _ROW.fullmatch(row)
        if match is None:
            raise UnitError(f"'{row}' is not a build, a size and a volume.", f"Write: {EXAMPLE}")
        size, holds = read_quantity(match[2], "tube size"), read_quantity(match[3], "volume")
        rows.append(DeadSpace(match[1], size, holds))
    if len({(row.build, row.size) for row in rows}) < len(rows):
        raise UnitError(f"'{text}' names a tube twice.", "Write each build and size once.")
    return tuple(rows)


def dead_space_of(text: str, build: str, size: Quantity) -> DeadSpace | None:
    """The row of one tube, if there is one."""
    rows = read_dead_spaces(text)
    return next((row for row in rows if row.build == build and row.size == size), None)
