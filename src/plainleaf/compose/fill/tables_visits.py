"""The table of visits, calls and blood tests."""

from __future__ import annotations

from plainleaf.compose.fill.filled_packet import FilledBlock
from plainleaf.compose.fill.source import SlotSource, text_of
from plainleaf.facts.derived import Phrase, Typed


def visits_table(source: SlotSource) -> FilledBlock:
    """Visits to come, earliest first."""
    coming = sorted(
        (v for v in source.patient.visits if v.when >= source.patient.prepared_on),
        key=lambda visit: visit.when,
    )
    rows = tuple(
        (
            (Typed("moment", visit.when),),
            (text_of(visit.what),),
            (text_of(visit.where) if visit.where else Phrase("ask-where"),),
        )
        for visit in coming
    )
    return FilledBlock("visits_table", "table", ("head-when", "head-what", "head-where"), rows)
