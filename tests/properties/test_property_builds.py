"""What the review lets pass, a build does not refuse: handout, sheet and phone page.

Random order sets with strange values, in every language and print size. A run by hand tries more:

    PLAINLEAF_MORE_EXAMPLES=20 pytest tests/properties/test_property_builds.py
"""

from __future__ import annotations

import pytest
from packets import PLACES
from strange_files import strange
from strategies import MORE

from plainleaf.packet.build import PressRoom, open_context
from plainleaf.packet.papers.handout import HANDOUT, make_handout
from plainleaf.packet.papers.phone_page import make_phone_page
from plainleaf.packet.papers.teach_back import make_teach_back
from plainleaf.printing.inspection import Untidy
from plainleaf.rules.decision import Decision

pytestmark = pytest.mark.thorough
# Files of which each run prints the papers: what printed badly once, then so many others.
ONCE = (100, 110, 131, 140, 143, 192, 293)
MANY = 3


def _passed(seed: int) -> Decision | None:
    decision = strange(seed).decided()
    return None if decision is None or decision.stopped else decision


def _refused(decision: Decision) -> list[str]:
    """What a build would refuse in the papers that everybody gets."""
    language = decision.language
    context = open_context(decision, PressRoom(decision, PLACES, None), "0" * 10)
    papers = {tag: make_handout(context, tag) for tag in context.languages}
    for tag, paper in papers.items():
        context = context.with_paper(HANDOUT.file("" if tag == language else tag), paper)
    assert make_phone_page(context, language)
    sheet = make_teach_back(context, "en")
    checked = (*papers.values(), sheet)
    faults = [fault for paper in checked for fault in paper.faults(paper.laid.pdf())]
    return [fault for fault in faults if not isinstance(fault, Untidy)]


SEEDS = (*ONCE, *range(1000, 1000 + MANY * MORE))


@pytest.mark.parametrize("seed", SEEDS)
def test_what_the_review_lets_pass_is_not_refused(seed: int, fonts: object) -> None:
    # Another file, where this one is refused or stopped.
    seeds = range(seed, seed + 1_000_000, 10_000)
    decision = next(d for n in seeds if (d := _passed(n)) is not None)
    assert _refused(decision) == []
