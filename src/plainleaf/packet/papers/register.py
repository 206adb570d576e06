"""The register: every file that a packet can hold, in the order in which they are made.

A paper that names the pages of another one stands after it. The longest go first, so that all
workers are busy; the record vouches for all others and is the last.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.card import CARD
from plainleaf.packet.papers.chart_bundle import CHART_BUNDLE
from plainleaf.packet.papers.decision_record import DECISION_RECORD
from plainleaf.packet.papers.handout import HANDOUT
from plainleaf.packet.papers.paper_context import Kind
from plainleaf.packet.papers.phone_page import PHONE_PAGE
from plainleaf.packet.papers.reminders import REMINDERS
from plainleaf.packet.papers.staff_copy import STAFF_COPY
from plainleaf.packet.papers.teach_back import TEACH_BACK

PAPERS = (
    HANDOUT,
    TEACH_BACK,
    CARD,
    STAFF_COPY,
    PHONE_PAGE,
    REMINDERS,
    CHART_BUNDLE,
    DECISION_RECORD,
)


def files_for(languages: Sequence[str]) -> Iterator[tuple[str, Kind, str]]:
    """The files of one packet in the order of making: name, declaration, language.

    Args:
        languages: Those of its handouts, the patient's own first.

    >>> [name for name, _, _ in files_for(["es"])][:4]
    ['handout.pdf', 'teach-back.pdf', 'card.pdf', 'staff-copy.es.pdf']
    """
    for kind in PAPERS:
        for name, language in kind.files(languages, SOURCE).items():
            yield name, kind, language
