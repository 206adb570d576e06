"""`follow-up.pdf`: the nurse's call script, and for the family a sheet of what is still open.

Words of the teaching come from the packet's record, so they are those of the handout in hand. The
script is one page; what does not fit in full is asked by topic, the least urgent first. The
family's sheet has two pages at most in each language.
"""

from __future__ import annotations

from collections.abc import Sequence

from plainleaf.packet.papers import PaperKind, Shown
from plainleaf.printing.furniture import PageFurniture
from plainleaf.printing.html import Printer
from plainleaf.printing.inspection import Part, inspect_parts
from plainleaf.printing.page_format import Format
from plainleaf.printing.renderer.layout import Pdf, Sheet, lay
from plainleaf.teach_back.answers import Returned
from plainleaf.teach_back.call_script import Script, script_lines, scripts
from plainleaf.teach_back.call_time import CallTime
from plainleaf.teach_back.follow_up_paper import FollowUpMaking, around
from plainleaf.teach_back.record_context import RecordContext, RecordPaperKind
from plainleaf.teach_back.reteach_sheet import Family, families, family_lines
from plainleaf.teach_back.verdict import Verdict
from plainleaf.vocabulary.errors import CheckError

# The script is read by staff, at arm's length from a phone.
SCRIPT_PRINT = 12.0
# More is not gone over again by anybody.
FAMILY_PAGES = 2


def follow_up(
    making: FollowUpMaking, returned: Returned, verdicts: Sequence[Verdict], call: CallTime
) -> bytes:
    """The finished PDF, checked.

    Raises:
        RenderError, CheckError, LocaleError: The pages cannot be made or are not as meant.
    """
    fonts, outline = making.fonts, making.outline
    staff = making.wording(outline.staff)
    choices = tuple(families(making, verdicts))
    printer = Printer(
        making.settings.templates,
        Format(paper=making.paper, size=outline.print_size),
    )
    title = str(staff.phrase("call-title"))
    head = around(outline.speeches[outline.staff], title)
    css = printer.css(FOLLOW_UP.style, staff, head)
    for family, *_ in choices:
        words = making.wording(family.tag)
        css += printer.css("reteach.css", words, family.furniture, tag=family.tag)

    def laid(script: Script, readers: Sequence[Family]) -> Pdf:
        html = printer.html(
            FOLLOW_UP.template, css, staff, outline.speeches[outline.staff], head,
            phone_links=False, script=script, families=readers,
        )  # fmt: skip
        return lay(Sheet(html, printer.templates, fonts))

    for script in scripts(making, staff, returned, verdicts, call):
        if laid(script, ()).pages == 1:
            break
    parts = [
        next((part for part in fewer if laid(script, [part]).pages <= 1 + FAMILY_PAGES), fewer[-1])
        for fewer in choices
    ]
    return _checked(laid(script, parts), outline.staff, head, script, parts)


def _checked(
    pdf: Pdf,
    staff: str,
    head: PageFurniture,
    script: Script,
    readers: Sequence[Family],
) -> bytes:
    parts = [Part(1, head, SCRIPT_PRINT, "ltr", tuple(script_lines(script)))]
    for family in readers:
        first = pdf.anchors[f"family-{family.tag}"]
        lines = tuple(family_lines(family))
        way = family.speech.direction
        parts.append(Part(first, family.furniture, family.size, way, lines))
    faults = inspect_parts(pdf, staff, parts)
    if faults:
        raise CheckError([f"{FOLLOW_UP.name}: {fault}" for fault in faults])
    return pdf.data


def make_follow_up(context: RecordContext, language: str) -> bytes:
    """The papers of one sheet; errors as `follow_up`."""
    return follow_up(context.making, context.returned, context.verdicts, context.call)


FOLLOW_UP: RecordPaperKind = PaperKind(
    "follow-up.pdf",
    "the nurse who calls, the family",
    "For the nurse one page with this patient's danger signs and open items; for the family a "
    "large-print sheet with only what is still open, in their handout's language.",
    Shown.PAPER,
    make_follow_up,
    template="follow-up.html.j2",
    style="follow-up.css",
)
