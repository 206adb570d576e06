"""Seals for tests: the shipped content counts as proved, and content of a test can be sealed.

Whoever changes a word runs tests before the content is proved again. Whether the seal that ships is
of today is the question of one test alone (tests/content/test_seal.py); a program that a test
starts looks for itself.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from builders import ROOT
from builders import policy as shipped_policy
from builders import teaching as shipped_teaching

from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import Teaching, load_teaching
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.inputs.seal import Seal, seal_path, seal_text
from plainleaf.rules import decision
from plainleaf.rules.proved import seal_of_today, unproved
from plainleaf.vocabulary.errors import Fault

SHIPPED = ROOT / "teaching"
SHIPPED_POLICY = SHIPPED / "policy" / "example-facility.yaml"


def shipped_is_proved() -> None:
    """Let decisions take the shipped content with the example's settings, changed or not."""
    decision.unproved = _unproved


def _unproved(teaching: Teaching, policy: Policy) -> tuple[Fault, ...]:
    shipped = teaching.library.folder == SHIPPED and policy.file == SHIPPED_POLICY.name
    return () if shipped else unproved(teaching, policy)


def seal(teaching: Path, policy: Path | None = None) -> Path:
    """Seal a test's own content as it stands, without a proof; where the seal is.

    Args:
        policy: The settings; without them, the example of the teaching folder.
    """
    file = policy or teaching / "policy" / SHIPPED_POLICY.name
    return _write(file, seal_of_today(load_teaching(teaching, VOCABULARY), load_policy(file), "1"))


def seal_copy(teaching: Path) -> Path:
    """As `seal`, for an unchanged copy of the shipped folder: quick, nothing is read."""
    return _write(teaching / "policy" / SHIPPED_POLICY.name, _shipped_seal())


@cache
def _shipped_seal() -> Seal:
    return seal_of_today(shipped_teaching(), shipped_policy(), "1")


def _write(policy: Path, today: Seal) -> Path:
    path = seal_path(policy)
    path.unlink(missing_ok=True)  # it may be a link to the one that ships
    path.write_text(seal_text(today), encoding="utf-8")
    return path
