"""The two long sweeps of the words: over many patients, and over those who show every sentence."""

from __future__ import annotations

from functools import cache

import pytest
from builders import library, policy, teaching
from word_patients import broad_decisions

from plainleaf.authoring.proofread import covering, worded
from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.search import Search
from plainleaf.authoring.readability import Printed, prove_words
from plainleaf.inputs.catalog import SOURCE

SHARES = 3


@pytest.mark.parametrize("share", range(SHARES))
def test_the_words_hold_for_a_broad_set_of_patients(share: int) -> None:
    decisions = broad_decisions(every=15 * SHARES, first=15 * share)
    proof = prove_words(library(), (worded(case, name) for name, case in decisions))
    assert proof.packets > 30 / SHARES
    assert [str(remark) for remark in proof.faults] == []


@cache
def covered() -> tuple[Printed, ...]:
    """Patients who together are told every sentence, each worded in every language."""
    return tuple(covering(teaching(), policy(), Search(legal_model(None))))


@pytest.mark.parametrize("language", teaching().languages)
def test_the_words_hold_for_patients_who_show_every_sentence(language: str) -> None:
    packets = [packet for packet in covered() if packet.packet.language == language]
    every = {s.id for module in library().modules for _, s in module.statements()}
    assert every - {name for packet in packets for name in packet.packet.statements()} == set()
    proof = prove_words(library(), packets)
    assert [str(remark) for remark in proof.faults] == []
    if language == SOURCE:
        assert every - set(proof.printed) == set()


def test_the_languages_are_those_that_ship() -> None:
    assert set(teaching().languages) == {packet.packet.language for packet in covered()}
