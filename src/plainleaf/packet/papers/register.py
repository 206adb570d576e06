"""The register: every file that a packet can hold, in the order in which they are made.

A paper that names the pages of another one stands after it. The longest go first, so that all
workers are busy; the record vouches for all others and is the last.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plainleaf.inputs.catalog import SOURCE
from plainleaf.packet.papers.chart_bundle import CHART_BUNDLE
from plainleaf.packet.papers.decision_record import DECISION_RECORD
from plainleaf.packet.papers.handout import GOOD_TO_KNOW, HANDOUT
from plainleaf.packet.papers.paper_context import Kind
from plainleaf.packet.papers.phone_page import PHONE_PAGE
from plainleaf.packet.papers.reminders import REMINDERS
from plainleaf.packet.papers.staff_copy import STAFF_COPY
from plainleaf.packet.papers.teach_back import TEACH_BACK

PAPERS = (
    HANDOUT,
    GOOD_TO_KNOW,
    TEACH_BACK,
    STAFF_COPY,
    PHONE_PAGE,
    REMINDERS,
    CHART_BUNDLE,
    DECISION_RECORD,
)


def files_for(languages: Sequence[str], *, more: bool = False) -> Iterator[tuple[str, Kind, str]]:
    """The files of one packet in the order of making: name, declaration, language.

    Args:
        languages: Those of its handouts, the patient's own first.
        more: With what is made only on request.

    >>> [name for name, _, _ in files_for(["es"])][:3]
    ['handout.pdf', 'teach-back.pdf', 'staff-copy.es.pdf']
    """
    for kind in PAPERS if more else (kind for kind in PAPERS if not kind.on_request):
        for name, language in kind.files(languages, SOURCE).items():
            yield name, kind, language
