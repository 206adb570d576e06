"""The table of visits, calls and blood tests."""

from __future__ import annotations

from plainleaf.compose.fill.filled_packet import Cell, FilledBlock
from plainleaf.compose.fill.source import SlotSource
from plainleaf.facts.calls import settled_visit
from plainleaf.facts.visit_words import (
    blood_tests,
    visit_what,
    visit_when,
    visit_where,
    visits_to_come,
)
from plainleaf.inputs.patient import Patient, Visit


def visit_place(patient: Patient, visit: Visit) -> Cell:
    """Where a visit is, or how; of a call outside hours what was decided, not its number."""
    settled = settled_visit(patient, visit) if visit.how in ("phone", "video") else None
    return visit_where(visit) if settled is None else (visit_where(visit)[0], settled)


def visits_table(source: SlotSource) -> FilledBlock:
    """Visits to come, earliest first."""
    rows = tuple(
        (
            (visit_when(visit, moment),),
            (visit_what(visit), *blood_tests(visit)),
            visit_place(source.patient, visit),
        )
        for moment, visit in visits_to_come(source.patient.visits, source.patient.prepared_on)
    )
    return FilledBlock("visits_table", "table", ("head-when", "head-what", "head-where"), rows)
