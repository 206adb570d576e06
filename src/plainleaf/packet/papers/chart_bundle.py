"""The packet in HL7 FHIR, for the chart of the patient."""

from __future__ import annotations

from collections.abc import Iterator

from plainleaf.packet.fhir import PACKET_FILE, Document, bundle_for
from plainleaf.packet.papers.handout import HANDOUT, handout_title
from plainleaf.packet.papers.paper_context import Kind, PaperContext
from plainleaf.packet.papers.paper_kind import PaperKind, Shown


def make_chart_bundle(context: PaperContext, language: str) -> bytes:
    """The bundle of the packet.

    Raises:
        CheckError: The bundle would not be sound.
        RenderError: The pages of a handout cannot be made.
    """
    return bundle_for(context.decision, context.version, tuple(_documents(context)))


def _documents(context: PaperContext) -> Iterator[Document]:
    """The handouts, as the bundle tells of them; a draft of the words is not final either."""
    decision = context.decision
    for name, tag in HANDOUT.files(context.languages, context.staff.packet.language).items():
        yield Document(
            name,
            context.paper(HANDOUT, tag).laid.pdf().data,
            str(handout_title(decision, context.words[tag].wording)),
            tag,
            not decision.draft_teaching and tag not in decision.draft_languages,
        )


CHART_BUNDLE: Kind = PaperKind(
    PACKET_FILE,
    "the chart",
    "Patient, tube, feeding and water orders and the handout's hash as an HL7 FHIR R4 Bundle. It "
    "names the patient, like the chart it is for; nothing is sent anywhere.",
    Shown.PROGRAM,
    make_chart_bundle,
)
