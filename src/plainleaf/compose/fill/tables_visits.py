"""The table of visits, calls and blood tests."""

from __future__ import annotations

from plainleaf.compose.fill.filled_packet import FilledBlock
from plainleaf.compose.fill.source import SlotSource
from plainleaf.facts.visit_words import (
    blood_tests,
    visit_what,
    visit_when,
    visit_where,
    visits_to_come,
)


def visits_table(source: SlotSource) -> FilledBlock:
    """Visits to come, earliest first."""
    rows = tuple(
        (
            (visit_when(visit, moment),),
            (visit_what(visit), *blood_tests(visit)),
            visit_where(visit),
        )
        for moment, visit in visits_to_come(source.patient.visits, source.patient.prepared_on)
    )
    return FilledBlock("visits_table", "table", ("head-when", "head-what", "head-where"), rows)
