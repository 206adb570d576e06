"""What was proved is what is built: the seal that ships, and seals that are not of today."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from builders import ROOT, policy, teaching
from packets import settled_text
from sealing import SHIPPED_POLICY, seal_copy

from plainleaf.authoring.prove import prove
from plainleaf.authoring.sealing import write_seal
from plainleaf.cli.main import main
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import load_teaching
from plainleaf.inputs.policy import load_policy
from plainleaf.inputs.seal import Seal, seal_path
from plainleaf.packet.places import Places
from plainleaf.rules.proved import unproved
from plainleaf.vocabulary.errors import DeliveryError, Fault

RUN = "Run: plainleaf prove --seal"


def test_the_seal_that_ships_is_of_today() -> None:
    faults = [str(fault) for fault in unproved(teaching(), load_policy(SHIPPED_POLICY))]
    assert faults == [], f"Prove the content as it is now. {RUN}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A facility's own teaching folder, sealed as it stands: no link, nothing shared."""
    own = tmp_path / "teaching"
    shutil.copytree(ROOT / "teaching", own)
    seal_copy(own)
    return own


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text, old
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def faults_of(folder: Path, *languages: str) -> list[str]:
    """What is not as it was proved, with the words of these languages and in English."""
    own = load_teaching(folder, VOCABULARY, languages)
    return [str(fault) for fault in unproved(own, load_policy(own_settings(folder)))]


def own_settings(folder: Path) -> Path:
    return folder / "policy" / SHIPPED_POLICY.name


# --- what asks for a new proof, and what does not -----------------------------------------------

CHANGES: dict[str, tuple[str, str, str, str]] = {
    "a word": ("modules/flushing.yaml", "order: ", "order: 9",
               "modules/flushing.yaml: was changed"),
    "a phrase": ("phrases.yaml", "Example settings", "Our settings", "phrases.yaml: was changed"),
    "a rule": ("rules/safety-rules.yaml", "\n    level: stop", "\n    level: note",
               "rules/safety-rules.yaml: was changed"),
    "a duty": ("rules/proof.yaml", "when: always", "when: {child: true}",
               "rules/proof.yaml: was changed"),
    "a term": ("glossary.yaml", "means:", "means:  ", "glossary.yaml: was changed"),
    "a translation": ("locales/es/phrases.po", 'msgstr "Valores de', 'msgstr "Otros valores de',
                      "locales/es: was changed"),
    "a setting": (f"policy/{SHIPPED_POLICY.name}", "bath_after: {value: 28 d",
                  "bath_after: {value: 30 d",
                  "example-facility.yaml: bath_after is 30 d and was proved as 28 d."),
    "who may settle": (f"policy/{SHIPPED_POLICY.name}", "settings:\n",
                       "may_settle: {pharmacist: [RPh]}\nsettings:\n",
                       "may_settle.pharmacist is RPh and was proved as PharmD, RPh."),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_what_the_proof_reads_asks_for_a_new_proof(change: str, folder: Path) -> None:
    file, old, new, says = CHANGES[change]
    edit(folder / file, old, new)
    (fault,) = faults_of(folder, "es")
    assert says in fault


DAILY: dict[str, tuple[str, str, str]] = {
    "a comment": ("modules/flushing.yaml", "status: ", "# read on Monday\nstatus: "),
    "quotes": (f"policy/{SHIPPED_POLICY.name}", "region: {value: US", 'region: {value: "US"'),
    "a review date": (f"policy/{SHIPPED_POLICY.name}", "review_by: 2027-12-31",
                      "review_by: 2028-12-31"),
    "an owner": (f"policy/{SHIPPED_POLICY.name}", 'owner: "print shop"', 'owner: "the press"'),
    "the name": (f"policy/{SHIPPED_POLICY.name}", "Example Regional", "Example Harbor"),
    "from when": (f"policy/{SHIPPED_POLICY.name}", "holds_from: 2026-01-01",
                  "holds_from: 2026-01-02"),
    "a phone": (f"policy/{SHIPPED_POLICY.name}", "+1 555 010 0140", "+1 555 010 0177"),
    "a translator's comment": ("locales/es/phrases.po", "msgctxt ", "# read aloud\nmsgctxt "),
}  # fmt: skip


@pytest.mark.parametrize("change", DAILY)
def test_what_the_proof_does_not_read_changes_from_day_to_day(change: str, folder: Path) -> None:
    file, old, new = DAILY[change]
    edit(folder / file, old, new)
    assert faults_of(folder, "es") == []


def test_a_file_that_is_gone_or_new_is_named(folder: Path) -> None:
    own = load_policy(own_settings(folder))
    assert isinstance(own.seal, Seal)
    content = {"modules/of-old.yaml": "0", **own.seal.content}
    del content["acts.yaml"]
    faults = unproved(teaching(), replace(own, seal=replace(own.seal, content=content)))
    assert [str(fault) for fault in faults] == [
        "acts.yaml: is new since the proof.",
        "modules/of-old.yaml: is gone since the proof.",
    ]


def test_only_the_languages_that_are_needed_are_looked_at(folder: Path) -> None:
    edit(folder / "locales/es/phrases.po", 'msgstr "Valores de', 'msgstr "Otros valores de')
    assert faults_of(folder, "ar") == []
    assert faults_of(folder, "es") == ["locales/es: was changed since the proof."]


# --- a seal that is none -------------------------------------------------------------------------


def of_another_policy(path: Path) -> None:
    """The seal of other settings, copied here."""
    edit(path, 'bath_after: "28 d"', 'bath_after: "42 d"')


def half(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(lines[: len(lines) // 3]), encoding="utf-8")


BROKEN: dict[str, tuple[Callable[[Path], None], str]] = {
    "none": (Path.unlink, "example-facility.yaml: was not proved with this teaching content."),
    "of other settings": (of_another_policy, "bath_after is 28 d and was proved as 42 d."),
    "of another program": (lambda p: edit(p, "program: ", 'program: "0.0.9" # '),
                           "was proved by plainleaf 0.0.9; this is"),
    "of other patients": (lambda p: edit(p, "kinds: ", "kinds: 0"),
                          "was proved for other kinds of patient"),
    "half written": (half, "The seal cannot be read: settings is missing."),
    "empty": (lambda p: p.write_text(""), "example-facility.seal.yaml:1: The seal cannot be read"),
    "no text": (lambda p: p.write_bytes(b"\xff\x00\xfe"), "The seal cannot be read"),
    "a folder": (lambda p: (p.unlink(), p.mkdir())[0], "The seal cannot be read: is a folder."),
    "with more": (lambda p: edit(p, "program:", "trust: me\nprogram:"), "unknown key 'trust'"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BROKEN)
def test_a_seal_that_is_none_builds_nothing(
    kind: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoil, says = BROKEN[kind]
    spoil(seal_path(own_settings(folder)))
    patient, out = folder.parent / "patient.yaml", folder.parent / "packet"
    patient.write_text(settled_text(), encoding="utf-8")
    for asked in (["review", str(patient)], ["build", str(patient), "--out", str(out)]):
        assert main([*asked, "--teaching", str(folder)]) == 1
        printed = "".join(capsys.readouterr())
        line = next(line for line in printed.splitlines() if "is not what was proved" in line)
        assert says in line and RUN in printed
        assert printed.index("content-not-proved") < 250, "it is said first"
    assert not out.exists()


def test_many_changes_are_one_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for module in (folder / "modules").glob("*.yaml"):
        edit(module, '\ntitle: "', '\ntitle: "Now: ')
    patient = folder.parent / "patient.yaml"
    patient.write_text(settled_text(), encoding="utf-8")
    assert main(["review", str(patient), "--teaching", str(folder)]) == 1
    printed = capsys.readouterr().out
    assert printed.count("was changed since the proof.") == 3 and "And 14 more." in printed


# --- sealing -------------------------------------------------------------------------------------


def test_what_holds_is_sealed_the_same_each_time_and_of_a_stable_text(folder: Path) -> None:
    places = Places.default(folder)
    path = seal_path(places.policy)
    path.unlink()
    own, rules = load_teaching(folder, VOCABULARY), load_policy(places.policy)
    outcome = prove(own.library)
    assert write_seal(outcome, own, rules, places) == str(path)
    first = path.read_bytes()
    assert re.search(rb"(?m)^kinds_of_patient: [1-9][0-9]{18,}$", first)
    assert faults_of(folder) == []
    path.unlink()
    write_seal(outcome, own, rules, places)
    assert path.read_bytes() == first
    assert path.stat().st_mode == places.policy.stat().st_mode


def test_a_proof_with_a_counter_example_seals_nothing(folder: Path) -> None:
    places = Places.default(folder)
    path = seal_path(places.policy)
    before = path.read_bytes()
    after = "\n        event: [breathing]"
    grown = "when: {not: {age_group: infant}}"
    edit(folder / "modules/getting-help.yaml", grown + after, "when: {child: true}" + after)
    own, rules = load_teaching(folder, VOCABULARY), load_policy(places.policy)
    outcome = prove(own.library)
    assert not outcome.proved
    with pytest.raises(DeliveryError, match="no seal was written, because the proof has"):
        write_seal(outcome, own, rules, places)
    assert path.read_bytes() == before and faults_of(folder) != []


def test_a_file_that_changes_while_it_is_proved_is_not_sealed(folder: Path) -> None:
    places = Places.default(folder)
    own, rules = load_teaching(folder, VOCABULARY), load_policy(places.policy)
    outcome = prove(own.library)
    edit(own_settings(folder), "bath_after: {value: 28 d", "bath_after: {value: 30 d")
    with pytest.raises(DeliveryError, match="a file was changed while it was proved"):
        write_seal(outcome, own, rules, places)


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is read-only for root")
def test_a_folder_that_nobody_may_write_is_told_in_one_line(folder: Path) -> None:
    places = Places.default(folder)
    path = seal_path(places.policy)
    path.unlink()
    path.parent.chmod(0o500)
    own, rules = load_teaching(folder, VOCABULARY), load_policy(places.policy)
    with pytest.raises(DeliveryError, match=r"cannot be written: .* Nothing has changed"):
        write_seal(prove(own.library), own, rules, places)


KILLED = """
import os, signal, sys
from pathlib import Path
from plainleaf.packet.delivery import disk
number, path = int(sys.argv[1]), Path(sys.argv[2])
calls = 0
def stopping(function):
    def call(*given, **named):
        global calls
        calls += 1
        if calls == number:
            os.kill(os.getpid(), signal.SIGKILL)
        return function(*given, **named)
    return call
for name in ("open", "write", "fsync", "close", "chmod", "replace", "unlink"):
    setattr(os, name, stopping(getattr(os, name)))
disk.replace_file(path, "new" * 1000, path)
"""


def test_a_write_that_is_killed_leaves_the_old_or_the_new(tmp_path: Path) -> None:
    """Stopped at each of its steps; the next run sweeps what is there."""
    path, states = tmp_path / "x.seal.yaml", set()
    for number in range(1, 40):
        path.write_text("old")
        done = subprocess.run([sys.executable, "-c", KILLED, str(number), str(path)], check=False)
        states.add(path.read_text())
        if done.returncode == 0:
            break
    assert done.returncode == 0 and number > 5
    assert states == {"old", "new" * 1000}
    assert [file.name for file in tmp_path.iterdir()] == ["x.seal.yaml"]


def test_a_link_to_a_seal_is_replaced_and_not_what_it_leads_to(folder: Path) -> None:
    places = Places.default(folder)
    path, other = seal_path(places.policy), folder.parent / "other.yaml"
    path.unlink()
    other.write_text("keep", encoding="utf-8")
    path.symlink_to(other)
    own, rules = load_teaching(folder, VOCABULARY), load_policy(places.policy)
    assert isinstance(rules.seal, Fault)
    write_seal(prove(own.library), own, rules, places)
    assert other.read_text(encoding="utf-8") == "keep" and not path.is_symlink()


def test_the_command_for_one_facility_with_its_own_settings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The settings alone are copied, and the teaching is the one that ships."""
    monkeypatch.setattr("plainleaf.cli.commands.prove.covering", lambda *_: iter(()))
    own = tmp_path / "harbor.yaml"
    own.write_text(SHIPPED_POLICY.read_text(encoding="utf-8"), encoding="utf-8")
    edit(own, "bath_after: {value: 28 d", "bath_after: {value: 30 d")
    patient = tmp_path / "patient.yaml"
    patient.write_text(settled_text(), encoding="utf-8")
    asked = ["review", str(patient), "--policy", str(own)]
    assert main(asked) == 1
    assert main(["prove", "--seal", "--policy", str(own)]) == 0
    assert f"Sealed: {tmp_path / 'harbor.seal.yaml'}" in capsys.readouterr().out
    assert main(asked) == 0
    edit(own, "bath_after: {value: 30 d", "bath_after: {value: 31 d")
    assert main(asked) == 1
    assert policy().seal != load_policy(own).seal
