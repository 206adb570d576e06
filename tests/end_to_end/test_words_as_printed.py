"""The words of the examples on their finished pages."""

from __future__ import annotations

import pytest
from builders import ROOT, library
from packets import PLACES, decision_from, settled_text
from word_patients import BASES

from plainleaf.authoring.proofread import laid_out
from plainleaf.authoring.readability import PacketProof, prove_packet
from plainleaf.authoring.readability.glossary import load_glossary
from plainleaf.authoring.readability.reading_level import MOST_GRADE


@pytest.fixture(scope="module", params=BASES)
def proof(request: pytest.FixtureRequest) -> PacketProof:
    printed = laid_out(decision_from(settled_text(base=request.param)), request.param, PLACES)
    return prove_packet(printed, load_glossary(ROOT / "teaching"))


def test_no_page_is_above_the_gate(proof: PacketProof) -> None:
    assert proof.level is not None
    assert len(proof.level.pages) > 10
    assert all(page.where.startswith("page ") for page in proof.level.pages)
    assert max(page.grade for page in proof.level.pages) <= MOST_GRADE


def test_nothing_that_a_program_decides_fails(proof: PacketProof) -> None:
    assert [str(remark) for remark in proof.remarks if remark.level == "fault"] == []


def test_every_call_and_warning_stands_out(proof: PacketProof) -> None:
    verdicts = {item.id: result.verdict for item, result in proof.pemat.results.items()}
    assert verdicts["PM-12"] == "agree"


def test_every_cited_source_is_in_the_library() -> None:
    for module in library().modules:
        for _, statement in module.statements():
            assert statement.sources
