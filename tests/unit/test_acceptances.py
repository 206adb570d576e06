"""Format 1: an acceptance says what was decided, by somebody whom the rule names."""

from __future__ import annotations

from typing import Any

import pytest
from builders import findings_with
from folding import each

from plainleaf.vocabulary.errors import PatientError

FINDING = "crush-modified-release"
ENTRY = {"finding": FINDING, "by": "O. Duarte, PharmD", "on": "2026-03-04",
         "reason": "Changed to the liquid."}  # fmt: skip
SAYS_NOTHING = ("ok", "OK.", "Looked at.", "seen", "Checked and approved!", "accepted as is")


def empty(**entry: str) -> list[str]:
    """What is said of an acceptance that leaves something out."""
    found = findings_with({"accepted": [{**ENTRY, **entry}]})
    assert next(f for f in found if f.id == FINDING).accepted is not None
    questions = [f for f in found if f.id == "acceptance-empty"]
    assert all(f.level == "confirm" and f.blocks and not f.acceptable for f in questions)
    return [f.says for f in questions]


def test_a_dash_for_a_reason_is_refused_when_the_file_is_read() -> None:
    with pytest.raises(PatientError, match=r"accepted\[0\]\.reason: '-' says nothing"):
        empty(reason="-")


@pytest.mark.parametrize("reason", SAYS_NOTHING)
def test_a_reason_that_says_nothing_is_asked_again(reason: str) -> None:
    says = "accepted[0] accepts 'crush-modified-release', and its reason says nothing."
    assert empty(reason=reason) == [says]


WHO: dict[str, tuple[str, bool]] = {
    "a pharmacist": ("O. Duarte, PharmD", True),
    "with several": ("O. Duarte, RN, RPh", True),
    "in other writing": ("Duarte PharmD", True),
    "a nurse": ("S. Park, RN", False),
    "a doctor without one": ("Dr. Ames", False),
    "a name that holds the letters": ("O. RPharmD", False),
}


@each(WHO)
def test_a_credential_that_the_rule_names_is_asked_for(by: str, right: bool) -> None:
    assert (empty(by=by) == []) is right


def test_one_of_two_is_enough_in_format_1() -> None:
    opioid: dict[str, Any] = {
        "medicines.1.name": "morphine", "medicines.1.form": "extended-release tablet",
        "accepted": [{**ENTRY, "finding": "opioid-modified-release", "reason": "Given by day."}],
    }  # fmt: skip
    ids = [f.id for f in findings_with(opioid)]
    assert "opioid-modified-release" in ids and "acceptance-empty" not in ids


def test_a_good_acceptance_is_asked_once() -> None:
    assert empty() == []
    found = findings_with({"accepted": [ENTRY]})
    assert not next(f for f in found if f.id == FINDING).blocks


def test_a_medicine_without_a_port_is_asked_by_which_way_it_goes() -> None:
    found = findings_with({"medicines.1.through": "REMOVE"})
    [finding] = [f for f in found if f.id == "route-not-said"]
    assert (finding.level, finding.subject, finding.acceptable) == (
        "confirm",
        "acetaminophen",
        True,
    )
    assert not [f for f in findings_with() if f.id == "route-not-said"]
