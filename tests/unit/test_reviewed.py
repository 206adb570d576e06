"""Reviewed is a record of a facility: who, credential, when, until when, of exactly which words.

Every reviewer here is invented and every record stands in a temporary folder; none ships.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from builders import ROOT, library, patient_with, policy, teaching

from plainleaf.cli.main import main
from plainleaf.cli.screen_text import delivery_remarks
from plainleaf.compose.word import wording_of
from plainleaf.inputs.load_inputs import Teaching, inputs_for
from plainleaf.inputs.policy import Policy, load_policy
from plainleaf.inputs.reviews import Review, reviews_text
from plainleaf.packet.papers.paper import marks
from plainleaf.rules.decision import Decision, decide
from plainleaf.rules.reviewed import readable, unapproved
from plainleaf.vocabulary.errors import PolicyError

DAY = date(2026, 3, 4)
BY = ["--by", "A. Example", "--credential", "RN", "--on", "2026-01-15", "--again-by", "2027-01-15"]
MARK, SETTINGS_MARK = "DRAFT: not reviewed by a clinician", "DRAFT: settings not approved"


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """The settings of an invented facility that are no example any more."""
    path = tmp_path / "harbor.yaml"
    text = (ROOT / "teaching/policy/example-facility.yaml").read_text(encoding="utf-8")
    path.write_text(text.replace("example: true", "example: false"), encoding="utf-8")
    return path


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def record(name: str, digest: str, **changed: Any) -> Review:
    review = Review(name, "A. Example", "RN", date(2026, 1, 15), date(2027, 1, 15), digest)
    return replace(review, **changed)


def all_read(own: Path, **changed: Any) -> Path:
    """Write a record of everything that can be read or approved, as it stands; where."""
    whole = {**readable(library()), **load_policy(own).lines}
    path = own.with_name("harbor.reviews.yaml")
    records = {name: record(name, digest, **changed) for name, digest in whole.items()}
    path.write_text(reviews_text(records), encoding="utf-8")
    return path


def decided(rules: Policy, words: Teaching | None = None) -> Decision:
    """A patient prepared on a day of spring 2026."""
    patient = replace(patient_with(), prepared_on=replace_day(patient_with().prepared_on))
    return decide(inputs_for(patient, rules, words or teaching(), "en"))


def replace_day(moment: Any) -> Any:
    return moment.replace(year=DAY.year, month=DAY.month, day=DAY.day)


def lapsed_in(decision: Decision) -> list[str]:
    return [finding.says for finding in decision.findings if finding.id == "review-lapsed"]


def head(decision: Decision) -> str:
    return marks(decision, wording_of(decision))


def test_no_record_ships() -> None:
    assert list((ROOT / "teaching").rglob("*reviews.yaml")) == []
    assert policy().reviews == {}
    assert decided(policy()).draft_teaching


def test_what_is_read_whole_loses_its_mark_and_settings_are_asked_apart(own: Path) -> None:
    before = decided(load_policy(own))
    assert MARK in head(before) and SETTINGS_MARK in head(before)
    path = all_read(own)
    after = decided(load_policy(own))
    assert "DRAFT" not in head(after) and lapsed_in(after) == []
    assert not [line for line in delivery_remarks(after) if "DRAFT" in line]
    assert after.reviewed("feeding")
    edit(path, "of: policy.bath_after", "of: policy.bath_later")
    settings = decided(load_policy(own))
    assert SETTINGS_MARK in head(settings) and MARK not in head(settings)
    assert lapsed_in(settings) == [
        "'policy.bath_later' is a draft again: A. Example, RN, read it on 2026-01-15, and it is "
        "gone."
    ]


def test_the_example_is_an_example_whoever_approves_it(tmp_path: Path) -> None:
    copy = tmp_path / "harbor.yaml"
    copy.write_bytes((ROOT / "teaching/policy/example-facility.yaml").read_bytes())
    all_read(copy)
    assert "Example settings" in head(decided(load_policy(copy)))


@pytest.mark.parametrize(
    "file", ["modules/feeding.yaml", "phrases.yaml", "rules/safety-rules.yaml"]
)
def test_one_changed_word_makes_a_draft_again(file: str, own: Path) -> None:
    all_read(own)
    shipped = library()
    words = replace(shipped, files={**shipped.files, file: "another digest"})
    changed = decided(load_policy(own), replace(teaching(), library=words))
    assert MARK in head(changed)
    (says,) = lapsed_in(changed)
    assert f"'{Path(file).stem}' is a draft again" in says and "it was changed since" in says


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("bath_after: {value: 28 d", "bath_after: {value: 29 d"),
        ('bath_after: {value: 28 d, source: "row', 'bath_after: {value: 28 d, source: "a row'),
        ('"+1 555 010 0140"', '"+1 555 010 0149"'),
    ],
    ids=["value", "source", "phone"],
)
def test_one_changed_line_of_the_settings_is_not_approved(old: str, new: str, own: Path) -> None:
    all_read(own)
    assert unapproved(load_policy(own), DAY) == ()
    edit(own, old, new)
    changed = load_policy(own)
    (name,) = unapproved(changed, DAY)
    assert name in ("policy.bath_after", "directory.tube-clinic")
    assert SETTINGS_MARK in head(decided(changed))


def test_who_approved_a_setting_comes_from_its_record(own: Path) -> None:
    all_read(own)
    assert load_policy(own).entries["bath_after"].approved_by == "A. Example, RN"
    edit(own, "bath_after: {value: 28 d", "bath_after: {value: 29 d")
    assert load_policy(own).entries["bath_after"].approved_by is None


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"again_by": date(2026, 3, 3)}, "it was to be read again by 2026-03-03"),
        ({"on": date(2026, 3, 5)}, "it was read after 2026-03-04"),
    ],
    ids=["past", "to come"],
)
def test_a_review_counts_from_its_day_to_its_last(
    changed: dict[str, date], why: str, own: Path
) -> None:
    all_read(own, **changed)
    decision = decided(load_policy(own))
    assert MARK in head(decision) and SETTINGS_MARK in head(decision)
    assert all(why in says for says in lapsed_in(decision)) and lapsed_in(decision)


def test_the_last_day_counts(own: Path) -> None:
    all_read(own, on=DAY, again_by=DAY)
    assert "DRAFT" not in head(decided(load_policy(own)))


def test_a_record_changes_the_digest_that_packets_name(own: Path) -> None:
    before = load_policy(own).digest
    all_read(own)
    assert load_policy(own).digest != before


def test_no_word_lifts_the_mark(own: Path) -> None:
    """Neither a status of a module nor a name in the settings is a review."""
    edit(own, "bath_after: {value: 28 d,", "bath_after: {value: 28 d, approved_by: A. Example,")
    with pytest.raises(PolicyError, match=r"an approval is no word here.*policy\.bath_after"):
        load_policy(own)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("reviews: [{of: feeding}]\n", "reviews[0].by is missing"),
        ("reviewed: []\n", "reviews is missing"),
        ("reviews: [{of: a, by: b, credential: c, on: soon, read: d}]\n", "'soon'"),
        ("reviews: [\n", "cannot be read as YAML"),
    ],
    ids=["half", "unknown key", "no date", "no YAML"],
)
def test_a_broken_file_is_named_and_never_passed_over(text: str, wrong: str, own: Path) -> None:
    own.with_name("harbor.reviews.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(PolicyError) as error:
        load_policy(own)
    assert "harbor.reviews.yaml" in str(error.value) and wrong in str(error.value)


def test_the_command_writes_a_record_beside_the_settings(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["--policy", str(own)]
    assert main(["reviewed", "feeding", "policy.bath_after", *BY, *asked]) == 0
    assert capsys.readouterr().out.splitlines() == [
        f"{name:32}reviewed (A. Example, RN, 2026-01-15, again by 2027-01-15)"
        for name in ("feeding", "policy.bath_after")
    ]
    rows = yaml.safe_load(own.with_name("harbor.reviews.yaml").read_text())["reviews"]
    assert [row["of"] for row in rows] == ["feeding", "policy.bath_after"]
    assert rows[0]["read"] == library().files["modules/feeding.yaml"]
    assert decided(load_policy(own)).reviewed("phrases") is False


@pytest.mark.parametrize(
    ("arguments", "wrong"),
    [
        (["feeding"], "Write also: --by --credential --on --again-by."),
        (["feding", *BY], "There is no 'feding' to be reviewed. Did you mean 'feeding'?"),
        (["feeding", *BY, "--credential", "friend"], "'friend' is no credential that is known."),
        (["feeding", *BY, "--on", "03/04/2026"], "--on: '03/04/2026' is not a date."),
        (["feeding", *BY, "--on", "2099-01-01"], "--on 2099-01-01 is a day to come."),
        (["feeding", *BY, "--again-by", "2026-01-15"], "is not after 2026-01-15."),
    ],
    ids=["lacking", "no such name", "no credential", "no date", "to come", "over at once"],
)
def test_the_command_says_what_is_wrong(
    arguments: list[str], wrong: str, own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["reviewed", *arguments, "--policy", str(own)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert wrong in line
    assert not own.with_name("harbor.reviews.yaml").exists()


def test_a_name_typed_at_an_entry_is_a_remark_and_approves_nothing(own: Path) -> None:
    """The published form of a facility file has the key; the mark goes by the record alone."""
    all_read(own)
    edit(own, 'phone: "+1 555 010 0140",', 'phone: "+1 555 010 0140", approved_by: "A. Example",')
    assert unapproved(load_policy(own), DAY) == ("directory.tube-clinic",)
