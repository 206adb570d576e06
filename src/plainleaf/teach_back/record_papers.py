"""The register of what is written when a teaching is recorded, in the order of making."""

from __future__ import annotations

from plainleaf.teach_back.chart_copy import RECORD_BUNDLE
from plainleaf.teach_back.chart_note import CHART_NOTE
from plainleaf.teach_back.follow_up import FOLLOW_UP
from plainleaf.teach_back.recording import RECORD

# The one that says what the others belong to is the last.
RECORD_PAPERS = (CHART_NOTE, FOLLOW_UP, RECORD_BUNDLE, RECORD)
