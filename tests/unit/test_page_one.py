"""Page 1 holds the emergencies of the program, whatever the teaching content says."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from builders import ROOT, facts_with, library
from packets import NAMES, decision_from, settled_text

from plainleaf.authoring.prove.due import weakened_for_somebody
from plainleaf.authoring.prove.legal import legal_model
from plainleaf.authoring.prove.search import Search
from plainleaf.cli.main import main
from plainleaf.facts import FACTS
from plainleaf.inputs.content import Library, Statement
from plainleaf.rules.emergencies import EMERGENCIES, WEAKENING
from plainleaf.rules.page_one import emergency_lines, holds_term, weakened_for, what_weakens

BREATHING = "getting-help.now.breathing"
# The line as it is shipped, and how it may be weakened: kind → (what stands there, what instead,
# part of the one line that says so).
_HEAD = f"      - id: {BREATHING}\n        call_now:"
_BLUE = "Blue or gray lips. "
_FOR = "choice: breathing-call\n        when: {not"
WEAKER: dict[str, tuple[str, str, str]] = {
    "narrowed": (_FOR, _FOR.replace("{not", "{child: true, not"),
                 f"'{BREATHING}' is not printed for"),
    "a sign taken out": (_BLUE, "", f"'{BREATHING}' no longer says 'blue'"),
    "reworded": ("Breathing: hard, fast or noisy.", "Breathing: a little different.",
                 f"'{BREATHING}' no longer says 'fast', 'noisy'"),
    "less haste": ("Choking that goes on.", "Choking that goes on: wait an hour.",
                   f"'{BREATHING}' says 'wait'"),
    "another tier": (_HEAD, _HEAD.replace("call_now", "call_us"),
                     f"'{BREATHING}' is no longer of the tier of emergencies"),
    "another band": ("    level: now\n", "    level: us\n",
                     "is no longer of the tier of emergencies"),
    "a heading without haste": ('heading: "{help_now}"', 'heading: "{help_today}"',
                                "the heading of 'getting-help.now' is not {help_now}"),
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A teaching folder of links to the shipped files, of which a test replaces one."""
    copy = tmp_path / "teaching"
    shutil.copytree(ROOT / "teaching", copy, copy_function=os.symlink)
    return copy


def rewrite(folder: Path, file: str, change: Callable[[str], str]) -> None:
    """Change one file of a folder of links."""
    path = folder / file
    text = path.read_text(encoding="utf-8")
    changed = change(text)
    assert changed != text
    path.unlink()
    path.write_text(changed, encoding="utf-8")


def without_line(text: str, identity: str) -> str:
    """A module without one statement, of which nobody is asked either."""
    text = text.replace(f"      - {identity}\n", "")
    text = re.sub(rf"(?m)^ *- say: .*\n *of: \[{re.escape(identity)}\]\n", "", text)
    before, _, rest = text.partition(f"      - id: {identity}\n")
    return before + "      - id: " + rest.partition("      - id: ")[2]


def refused_everywhere(folder: Path, capsys: pytest.CaptureFixture[str], says: str) -> None:
    """Lint, review and build each refuse a folder, with a line that says this."""
    patient = folder.parent / "patient.yaml"
    patient.write_text(settled_text(), encoding="utf-8")
    of_folder = ["--teaching", str(folder)]
    out = folder.parent / "packet"
    for asked in (
        ["lint"], ["review", str(patient)], ["build", str(patient), "--out", str(out)],
    ):  # fmt: skip
        assert main([*asked, *of_folder]) == 1
        written = capsys.readouterr()
        assert says in " ".join(f"{written.out} {written.err}".split()), asked
    assert not out.exists()


@pytest.mark.parametrize("kind", WEAKER)
def test_a_weaker_breathing_line_is_refused(
    kind: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new, says = WEAKER[kind]
    rewrite(folder, "modules/getting-help.yaml", lambda text: text.replace(old, new))
    refused_everywhere(folder, capsys, says)


def test_a_deleted_breathing_line_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rewrite(folder, "modules/getting-help.yaml", lambda text: without_line(text, BREATHING))
    refused_everywhere(folder, capsys, f"'{BREATHING}' is gone")


def test_a_band_on_another_page_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def moved(text: str) -> str:
        text = text.replace("takes: [getting-help.now, ", "takes: [")
        return text.replace("takes: [your-day", "takes: [getting-help.now, your-day", 1)

    rewrite(folder, "pages.yaml", moved)
    refused_everywhere(folder, capsys, "does not stand on page 1")


def test_a_phrase_of_the_band_without_haste_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = "go to the emergency room now", "tell your nurse now"
    rewrite(folder, "phrases.yaml", lambda text: text.replace(old, new, 1))
    refused_everywhere(folder, capsys, "phrase 'help-now' no longer says 'emergency room'")


@pytest.mark.parametrize("tag", ["es", "ar"])
def test_an_emergency_without_words_in_the_language_is_refused(
    tag: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def emptied(text: str) -> str:
        before, head, rest = text.partition(f'msgctxt "{BREATHING}"\n')
        source, _, after = rest.partition("\nmsgstr ")
        following = after.partition("\n\n")[2]
        return f'{before}{head}{source}\nmsgstr ""\n\n{following}'

    rewrite(folder, f"locales/{tag}/getting-help.po", emptied)
    patient = folder.parent / "patient.yaml"
    patient.write_text(settled_text(), encoding="utf-8")
    of_folder = ["--teaching", str(folder), "--language", tag]
    out = folder.parent / "packet"
    for asked in (["review", str(patient)], ["build", str(patient), "--out", str(out)]):
        assert main([*asked, *of_folder]) == 1
        written = capsys.readouterr()
        assert f"'{BREATHING}' has no translation" in f"{written.out} {written.err}", asked
    assert main(["locales", "check", *of_folder]) == 1
    assert BREATHING in capsys.readouterr().out
    assert not out.exists()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("tag", ["en", "es", "ar"])
def test_page_one_of_every_example_is_whole(name: str, tag: str) -> None:
    decision = decision_from(settled_text(base=name), tag)
    assert not [f for f in decision.findings if f.id == "emergency-not-on-page-1"]


def test_the_shipped_page_one_is_whole_for_every_kind_of_patient() -> None:
    assert list(weakened_for_somebody(library(), every_kind())) == []


# --- the list itself ----------------------------------------------------------------------------


@cache
def every_kind() -> Search:
    """The search over every kind of patient; what it has learned serves the next question."""
    return Search(legal_model())


def lines_that_are_named() -> list[str]:
    return list(dict.fromkeys(name for emergency in EMERGENCIES for name in emergency.any_of))


def changed(identity: str, change: Callable[[Statement], Statement | None]) -> Library:
    """The shipped library with one statement changed, or without it."""

    def statements(every: tuple[Statement, ...]) -> Iterator[Statement]:
        for statement in every:
            kept = change(statement) if statement.id == identity else statement
            if kept is not None:
                yield kept

    shipped = library()
    modules = tuple(
        replace(module, sections=tuple(
            replace(section, statements=tuple(statements(section.statements)))
            for section in module.sections
        ))
        for module in shipped.modules
    )  # fmt: skip
    return replace(shipped, modules=modules)


@pytest.mark.parametrize("identity", lines_that_are_named())
def test_no_line_can_go_unseen(identity: str) -> None:
    lacking = list(weakened_for_somebody(changed(identity, lambda _: None), every_kind()))
    assert [entry for entry, _ in lacking if f"'{identity}' is gone" in entry.says]


def test_no_term_can_go_unseen() -> None:
    for emergency in EMERGENCIES:
        for identity in emergency.any_of:
            lines = emergency_lines(library())
            for term in emergency.terms:
                line = lines[identity]
                text = re.sub(re.escape(term), "…", line.statement.text, flags=re.I)
                bare = replace(line, statement=replace(line.statement, text=text))
                says = what_weakens(library(), bare, emergency) or ""
                assert says.startswith(f"'{identity}' no longer says ") and f"'{term}'" in says


def test_every_emergency_is_due_for_somebody_and_cites_a_claim() -> None:
    search = every_kind()
    for emergency in EMERGENCIES:
        assert set(emergency.when.facts()) <= set(FACTS)
        assert search.satisfy(emergency.when) is not None, emergency.id
        assert emergency.sources and set(emergency.sources) <= set(library().claims)
        assert emergency.terms and emergency.any_of
    assert len({emergency.id for emergency in EMERGENCIES}) == len(EMERGENCIES)


def test_every_line_of_the_first_band_is_named_by_an_emergency() -> None:
    band = next(s for s in library().modules[0].sections if s.level == "now")
    assert {statement.id for statement in band.statements} <= set(lines_that_are_named())


def test_an_emergency_of_which_it_is_not_known_whether_it_is_due_is_due() -> None:
    """What is not known is asked for; a line that is gone is lacking all the same."""
    answers = {**facts_with().answers, "weak_immunity": None}
    assert list(weakened_for(library(), answers)) == []
    bare = changed("getting-help.now.fever-weak", lambda _: None)
    said = [entry.emergency for entry in weakened_for(bare, answers)]
    assert said == ["fever-with-weak-immunity"]


def test_a_term_is_the_beginning_of_a_word() -> None:
    assert holds_term("Hard to wake, new confusion.", "confus")
    assert not holds_term("Nothing unhard.", "hard")
    assert not any(holds_term(library().phrases["help-now"][0], w) for w in WEAKENING)
