"""`affected`: a change of teaching or settings finds the records it touches, and only those."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache, partial
from pathlib import Path
from typing import Any

import pytest
from builders import ROOT, library, policy, policy_with
from packets import decision_from, settled_text
from sample_records import packet_data
from word_patients import BASES

from plainleaf.authoring.affected import compare_records, comparison_lines, records_in
from plainleaf.authoring.provenance.why_sentence import places
from plainleaf.cli.main import main
from plainleaf.compose.word import wording_of
from plainleaf.facts import FACTS, SLOTS, Noting, settings_in
from plainleaf.inputs.policy import Policy
from plainleaf.inputs.setting_values import Range, Value
from plainleaf.packet.build import word_only
from plainleaf.packet.places import Places
from plainleaf.packet.record import review_data
from plainleaf.packet.record.fingerprints import add_digests, traced_data
from plainleaf.packet.record.settings_read import behind_statement, noting_of, settings_read
from plainleaf.rules.decision import Decision, decide
from plainleaf.vocabulary.errors import DeliveryError
from plainleaf.vocabulary.quantities import Quantity


def affected(folder: Path, where: Places) -> str:
    """The report over a folder of records."""
    return "".join(f"{line}\n" for line in comparison_lines(compare_records(folder, where)))


@cache
def case(base: str) -> Decision:
    return decision_from(settled_text(base=base))


def record(base: str) -> dict[str, Any]:
    """A packet.json with all of this patient's that is compared, without making a page."""
    one = case(base)
    child = one.facts.answers["child"] == "true"
    statements = review_data.statements_data(word_only(one)[0])
    decisions = review_data.rulings_data(one.selection)
    add_digests(statements, decisions, one.library, child=child)
    own = {
        **review_data.review_data(one.facts, one.findings, wording_of(one)),
        "settings_read": settings_read(one),
        "version": "0123456789",
        "digests": {
            **packet_data()["digests"],
            "teaching": one.library.digest,
            "policy": one.policy.digest,
        },
        "statements": statements,
        "decisions": decisions,
        **traced_data(one.library, one.policy, one.selection, child=child),
    }
    return packet_data(**own)


@pytest.fixture
def records(tmp_path: Path) -> Path:
    """A folder with the record of each example, each in a folder of its own."""
    for base in BASES:
        folder = tmp_path / "records" / base
        folder.mkdir(parents=True)
        (folder / "packet.json").write_text(json.dumps(record(base)), encoding="utf-8")
    return tmp_path / "records"


class Changed:
    """A copy of the teaching folder with some words changed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "teaching"
        shutil.copytree(ROOT / "teaching", self.folder)

    def words(self, file: str, old: str, new: str) -> None:
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, (file, old, text.count(old))
        path.write_text(text.replace(old, new), encoding="utf-8")

    def item(self, identity: str, key: str, value: str) -> None:
        """Another value of a one-line key of a statement."""
        place = places(library())[identity]
        path = self.folder / place.module.file
        lines = path.read_text(encoding="utf-8").splitlines()
        at = place.statement.line - 1
        for number in range(at + 1, len(lines)):
            if lines[number].strip().startswith("- id:"):
                break
            if lines[number].strip().startswith(f"{key}:"):
                indent = lines[number][: len(lines[number]) - len(lines[number].lstrip())]
                lines[number] = f"{indent}{key}: {value}"
                break
        else:
            raise AssertionError(f"{identity} has no {key}")
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")

    def report(self, records: Path) -> str:
        return affected(records, Places.default(self.folder))


@pytest.fixture
def changed(tmp_path: Path) -> Changed:
    return Changed(tmp_path)


def block_of(report_text: str, base: str) -> str:
    """The lines of one record."""
    start = report_text.index(f"{base}{'/'}packet.json")
    rest = report_text[start:]
    lines = rest.splitlines()
    kept = [lines[0]]
    for line in lines[1:]:
        if not line.startswith("  "):
            break
        kept.append(line)
    return "\n".join(kept)


def test_without_a_change_nobody_is_affected(records: Path) -> None:
    shown = affected(records, Places.default())
    assert "0 of 5 records are affected" in shown
    assert shown.count("not affected") == 5


def test_a_reworded_statement_touches_those_who_got_it(records: Path, changed: Changed) -> None:
    changed.item("your-tube.where.both", "say", '"Other words for the tube with two paths."')
    changed.item("your-tube.where.both", "child", '"Other words for the tube with two paths."')
    shown = changed.report(records)
    assert "1 of 5 records" in shown
    touched = block_of(shown, "gj-pump-overnight")
    assert "reworded: your-tube.where.both: was " in touched
    assert 'now "Other words for the tube with two paths."' in touched
    assert "not affected" in block_of(shown, "g-button-child")


def test_words_for_a_child_touch_children_only(records: Path, changed: Changed) -> None:
    old = "goes through a small hole in the skin of your child's belly"
    changed.words("modules/your-tube.yaml", old, "goes through the skin of your child's belly")
    shown = changed.report(records)
    assert "1 of 5 records" in shown
    assert "reworded: your-tube.where.opening" in block_of(shown, "g-button-child")


def test_a_rule_that_no_longer_holds_removes(records: Path, changed: Changed) -> None:
    changed.item("your-tube.where.both", "when", "{tube_kind: jejunostomy}")
    shown = changed.report(records)
    assert "removed, its rule no longer holds: your-tube.where.both" in block_of(
        shown, "gj-pump-overnight"
    )
    assert "added: your-tube.where.both" in block_of(shown, "j-surgical-continuous")
    assert "2 of 5 records" in shown


def test_other_sources_are_told(records: Path, changed: Changed) -> None:
    changed.item("your-tube.where.both", "sources", "[practice]")
    touched = block_of(changed.report(records), "gj-pump-overnight")
    assert "other sources: your-tube.where.both: was " in touched
    assert "now practice" in touched


def test_a_statement_taken_out_is_removed(records: Path, changed: Changed) -> None:
    path = changed.folder / "modules" / "living.yaml"
    text = path.read_text(encoding="utf-8")
    start = text.index("      - id: living.feelings.talk")
    end = text.index("      - id: living.feelings.help")
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    shown = changed.report(records)
    assert "removed: living.feelings.talk" in shown
    assert "5 of 5 records" in shown


def test_a_source_that_loses_its_standing_touches_its_statements(
    records: Path, changed: Changed
) -> None:
    cited = next(n for n, row in record("j-surgical-continuous")["sources"].items()
                 if row["status"] == "seen" and n != "patient-file")  # fmt: skip
    path = changed.folder / "sources" / "facts.yaml"
    head, _, tail = path.read_text(encoding="utf-8").partition(f"\n{cited}:\n")
    path.write_text(
        f"{head}\n{cited}:\n" + tail.replace("status: seen", "status: disputed", 1), "utf-8"
    )
    shown = block_of(changed.report(records), "j-surgical-continuous")
    assert f"source {cited} was seen, now disputed; cited by: " in shown


def test_headings_and_labels_are_told(records: Path, changed: Changed) -> None:
    changed.words("phrases.yaml", 'head-notes: "Notes"', 'head-notes: "Your notes"')
    path = changed.folder / "modules" / "flushing.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('heading: "A flush:', 'heading: "Flush:', 1), "utf-8")
    shown = changed.report(records)
    assert "reworded: title, heading or question flushing.give" in shown
    assert "the words of tables and labels changed" in shown


def _policy_file(folder: Path, name: str, value: str) -> Path:
    text = (ROOT / "teaching" / "policy" / "example-facility.yaml").read_text(encoding="utf-8")
    lines = [
        f"  {name}: {{value: {value}, owner: test, review_by: 2027-12-31}}"
        if line.startswith(f"  {name}:")
        else line
        for line in text.splitlines()
    ]
    path = folder / "facility.yaml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_a_changed_setting_touches_only_those_it_speaks_to(records: Path, tmp_path: Path) -> None:
    file = _policy_file(tmp_path, "gj_change", "90 d to 120 d")
    shown = affected(records, Places.default(policy=file))
    touched = block_of(shown, "gj-pump-overnight")
    assert (
        "setting gj_change was 60 d to 90 d, now 90 d to 120 d (owner: test); touches: " in touched
    )
    assert "not affected" in block_of(shown, "g-button-child")


def test_a_setting_of_the_day_says_that_totals_are_summed_again(
    records: Path, tmp_path: Path
) -> None:
    file = _policy_file(tmp_path, "medicine_flushes", "before-and-after-each")
    shown = block_of(affected(records, Places.default(policy=file)), "gj-pump-overnight")
    assert "totals are to be summed again" in shown and "flush_ml was" in shown


def test_a_setting_that_decides_a_rule_says_which_facts(records: Path, tmp_path: Path) -> None:
    file = _policy_file(tmp_path, "healed_after_adult", "42 d")
    shown = affected(records, Places.default(policy=file))
    assert "may decide anew: opening_stage" in shown
    assert "the findings are to be judged again" in shown


def test_a_setting_of_the_phones_calendar_says_so(records: Path, tmp_path: Path) -> None:
    file = _policy_file(tmp_path, "time_zone", "America/Denver")
    shown = block_of(affected(records, Places.default(policy=file)), "g-button-child")
    assert "was America/New_York, now America/Denver" in shown
    assert "the reminders for the phone are to be made again" in shown


def test_a_record_that_cannot_be_read_is_named(records: Path) -> None:
    (records / "broken.json").write_text("{", encoding="utf-8")
    (records / "old.json").write_text('{"version": "1"}', encoding="utf-8")
    shown = affected(records, Places.default())
    assert "broken.json:1: is not JSON" in shown
    assert "old.json: lacks format" in shown and "Build that packet again" in shown
    assert "2 of 7 records are affected or cannot be told" in shown


def test_a_record_with_other_things_in_its_keys_is_named(records: Path) -> None:
    file = next(records.rglob("packet.json"))
    data = json.loads(file.read_text(encoding="utf-8"))
    for key in ("digests", "statements", "decisions", "policy", "sources", "around"):
        (records / f"{key}.json").write_text(json.dumps(data | {key: 3}), encoding="utf-8")
    lines = affected(records, Places.default()).splitlines()
    whole = f"{records / 'digests.json'}: is not a whole packet.json: digests "
    assert sum(line.startswith(whole) for line in lines) == 1
    assert lines[-1].startswith("6 of 11 records")
    assert not any("Error" in line for line in lines)


def test_copies_for_other_systems_are_no_records(records: Path) -> None:
    (records / "packet.fhir.json").write_text("{}", encoding="utf-8")
    assert len(records_in(records)) == 5


def test_a_folder_without_records_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DeliveryError, match=r"holds no packet\.json"):
        affected(tmp_path, Places.default())
    assert main(["affected", str(tmp_path / "nowhere")]) == 2


def test_the_command_reports(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["affected", str(records)]) == 0
    assert "0 of 5 records" in capsys.readouterr().out
    assert len(records_in(records)) == 5


# --- what stands behind what --------------------------------------------------------------------

_OTHER_WORDS = {
    "paper": "A4", "dressing_place": "under", "medicine_flushes": "before-and-after-each",
    "flush_by": "plunger", "water_for_most": "boiled", "water_for_weak_immunity": "tap",
    "water_for_jejunum": "boiled", "water_for_infants": "sterile", "day_starts": "09:30",
    "resting_flush_at": "11:00", "head_up_angle": "45 to 60",
}  # fmt: skip


def _other_value(name: str, value: Value) -> Value:
    """Another value of a setting; amounts grow by more than rounding hides."""
    if name in _OTHER_WORDS:
        return _OTHER_WORDS[name]
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    if isinstance(value, Range):
        return Range(value.low * 2, value.high * 2)
    if isinstance(value, Quantity):
        return value * Decimal(2)
    return None


def _perturbed() -> Iterator[tuple[str, Policy]]:
    for name, entry in policy().entries.items():
        value = _other_value(name, entry.value)
        if value is not None:
            yield name, policy_with(**{name: value})


def read_for(noted: Noting, work: Callable[[], object]) -> tuple[str, ...]:
    return settings_in(noted.behind(work))


def _levels(one: Decision) -> set[tuple[str, str, str]]:
    return {(finding.id, finding.level, finding.subject) for finding in one.findings}


@pytest.mark.thorough
@pytest.mark.parametrize("base", BASES)
def test_nothing_changes_that_a_setting_is_not_behind(base: str) -> None:
    """Each setting changed in turn: facts, values, words, totals change only where foretold."""
    before = case(base)
    said = word_only(before)[0].statements()
    known, noted = places(before.library), noting_of(before)
    read = settings_read(before)
    behind_fact = {fact: read_for(noted, partial(noted.facts.answers.get, fact)) for fact in FACTS}
    behind_slot = {slot: read_for(noted, partial(noted.facts.values.get, slot)) for slot in SLOTS}
    library, selection = before.library, before.selection
    behind = {i: settings_in(behind_statement(noted, library, selection, place.statement))
              for i, place in known.items()}  # fmt: skip
    for name, rules in _perturbed():
        after = decide(replace(before.inputs, policy=rules))
        for fact, answer in after.facts.answers.items():
            if answer != before.facts.answers[fact]:
                assert name in behind_fact[fact], (name, fact)
        for slot, value in after.facts.values.items():
            if value != before.facts.values.get(slot):
                assert name in behind_slot[slot], (name, slot)
        if after.facts.totals != before.facts.totals:
            assert name in read["totals"], name
        if _levels(after) != _levels(before):
            assert name in read["findings"], (name, _levels(after) ^ _levels(before))
        now = word_only(after)[0].statements()
        for identity in said.keys() | now.keys():
            if said.get(identity) != now.get(identity):
                assert name in behind[identity], (name, identity)
