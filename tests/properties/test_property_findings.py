"""Stops, questions and notes never contradict one another, and each is said once."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from builders import EXAMPLES, findings_with
from format_2 import NAMES, data_with, judged, with_codes
from hypothesis import given
from strategies import Made, few, files

from plainleaf.rules.findings import Finding

# Of each group at most one can be true of one patient.
EITHER = (
    ("water-below-goal", "water-above-goal", "water-goal-unclear"),
    ("water-over-limit", "limit-and-drinks"),
    ("child-water-high", "child-water-figure", "child-water-unclear"),
    ("adult-water-question", "adult-water-question-drinks"),
    ("balloon-fill-missing", "balloon-fill-too-much", "balloon-fill-unusual",
     "balloon-fill-without-balloon"),
    ("mark-missing", "mark-on-button"),
    ("child-weight-missing", "adult-weight-missing", "weight-implausible"),
    ("nobody-hands-on", "one-trained-helper"),
    ("put-back-refused", "put-back-against-policy"),
    ("healing-not-certain", "healed-entered-early"),
    ("flush-large-adult", "flush-large-child"),
    ("bolus-large-adult", "bolus-large-child"),
)  # fmt: skip
# Of one medicine at most one.
EITHER_OF_ONE = (
    ("crush-not-cleared", "crush-modified-release", "never-crush-no-way-given"),
    ("crush-not-cleared", "never-through-tube"),
    ("crush-not-cleared", "dispersible-form"),
    ("insulin-through-tube", "injection-through-tube"),
    ("clashes-with-feeding", "levodopa-and-feeding"),
    ("route-not-said", "insulin-through-tube"),
)


def check(findings: Sequence[Finding]) -> None:
    """Whether all findings of one patient can be true together, and none says what another does."""
    ids = {finding.id for finding in findings}
    for group in EITHER:
        assert len(ids.intersection(group)) <= 1, group
    for group in EITHER_OF_ONE:
        named = [f.subject for f in findings if f.id in group]
        assert len(named) == len(set(named)), group
    said = [(f.id, f.subject, f.concerns) for f in findings]
    assert len(said) == len(set(said))
    words = [(f.subject, f.says) for f in findings]
    assert len(words) == len(set(words)), words
    for finding in findings:
        assert finding.level != "note" or not finding.blocks
        assert finding.accepted is None or finding.settled is None
    # What is written is not said to be missing, and what is missing is asked by one finding alone.
    missing = [f.concerns for f in findings if f.id.startswith("missing-")]
    assert len(missing) == len(set(missing))


@pytest.mark.parametrize("name", EXAMPLES)
def test_of_an_example(name: str) -> None:
    check(findings_with(base=name))


@pytest.mark.parametrize("name", NAMES)
def test_of_a_file_of_format_2_before_and_after_it_is_settled(name: str) -> None:
    data = data_with(base=name)
    check(judged(data).findings)
    check(judged(with_codes(data)).findings)


def test_of_any_patient() -> None:
    @few(60)
    @given(files())
    def holds(data: dict[str, object]) -> None:
        check(Made(data).findings)

    holds()
