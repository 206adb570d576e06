"""Handouts in Spanish and Arabic, read back by other programs than the one that made them.

Marks of drafts, the staff copy beside them, the language of every passage, and that no amount,
phone or time turns round on a page that runs from right to left: letters are compared by where
they stand (rows TR-30 to TR-34 of the print reference).
"""

from __future__ import annotations

import re
import shutil
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import page as validator
import pytest
from builders import ROOT, policy
from laying import laid
from packets import files_of, settled_text
from pdf_reading import Letter, document, pages, sheets, squeezed, tag_tree
from pdf_reading import texts as texts_as_read
from sealing import seal

from plainleaf.cli.main import main
from plainleaf.cli.screen_text import delivery_remarks
from plainleaf.compose.fill import fill
from plainleaf.compose.word import WordedPages, word, wording_of
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.load_inputs import inputs_for, load_teaching
from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.packet.build import lay_out
from plainleaf.packet.papers.handout import PRINTED
from plainleaf.packet.places import Places
from plainleaf.rules.decision import Decision, decide

TAGS = ("es", "ar")
BASE = "g-bumper-blended"
DRAFT = "DRAFT: not reviewed by a qualified translator"
OWN_DRAFT = {
    "es": "BORRADOR: sin revisión clínica ni de un traductor calificado",
    "ar": "مسودة: لم يراجعها مختص صحي ولا مترجم مؤهل",
}
_ISOLATES = re.compile("[\u2066-\u2069]")


@dataclass(frozen=True)
class Made:
    """A packet in one language."""

    decision: Decision
    files: Mapping[str, bytes]

    @property
    def handout(self) -> bytes:
        return self.files["handout.pdf"]

    @property
    def words(self) -> WordedPages:
        packet = word(fill(self.decision), wording_of(self.decision, self.decision.language))
        return packet.printed(*PRINTED)


def decision_in(tag: str, teaching: Path = ROOT / "teaching") -> Decision:
    patient = read_patient(parse(settled_text(base=BASE), "patient.yaml"))
    return decide(inputs_for(patient, policy(), load_teaching(teaching, VOCABULARY), tag))


@cache
def made(tag: str) -> Made:
    decision = decision_in(tag)
    return Made(decision, files_of(decision, settled_text(base=BASE)))


# --- drafts and reviews


@pytest.mark.parametrize("tag", TAGS)
def test_every_page_of_a_draft_says_so_in_both_languages(tag: str) -> None:
    packet = made(tag)
    for name in ("handout.pdf",):
        for text in texts(packet.files[name]):
            assert squeezed(DRAFT) in text, name
            assert Counter(squeezed(OWN_DRAFT[tag])) <= Counter(text), name
    for text in texts(packet.files[f"staff-copy.{tag}.pdf"]):
        assert squeezed(DRAFT) in text
    html = packet.files["handout.html"].decode()
    assert DRAFT in html
    assert OWN_DRAFT[tag] in html


def texts(data: bytes) -> list[str]:
    return [text for text in pages(data, "pypdf") if text]


@pytest.mark.parametrize("tag", TAGS)
def test_build_says_that_the_words_are_a_draft(tag: str) -> None:
    packet = made(tag)
    name = {"es": "Spanish", "ar": "Arabic"}[tag]
    remarks = list(delivery_remarks(packet.decision))
    assert f"The words in {name} are a DRAFT that no qualified translator has reviewed." in remarks


@pytest.fixture(scope="session", name="reviewed")
def _reviewed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The teaching folder with an invented review of all Spanish words; it never ships."""
    folder = tmp_path_factory.mktemp("reviewed") / "teaching"
    shutil.copytree(ROOT / "teaching", folder)
    for path in sorted((folder / "locales/es").glob("*.po")):
        assert main(
            ["locales", "reviewed", path.stem, "--language", "es", "--by", "A. Example",
             "--qualification", "an invented one", "--on", "2026-01-15", "--teaching", str(folder)]
        ) == 0  # fmt: skip
    return folder


def test_reviewed_words_print_clean(reviewed: Path) -> None:
    decision = decision_in("es", reviewed)
    _, handout = lay_out(decision, Places.default(reviewed))
    pdf = handout.laid.pdf()
    assert handout.faults(pdf) == []
    for text in texts(pdf.data):
        assert squeezed(DRAFT) not in text
        assert squeezed(OWN_DRAFT["es"]) not in text
        assert "Spanishpaper" in text
    assert "qualified translator" not in " ".join(delivery_remarks(decision))


def test_one_changed_message_makes_a_draft_again(reviewed: Path, tmp_path: Path) -> None:
    folder = tmp_path / "teaching"
    shutil.copytree(reviewed, folder)
    path = folder / "locales/es/flushing.po"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("Enjuague la sonda con agua", "Enjuague con agua la sonda", 1))
    patient = read_patient(parse(settled_text(base=BASE), "patient.yaml"))
    changed = decide(inputs_for(patient, policy(), load_teaching(folder, VOCABULARY), "es"))
    assert changed.draft_languages == ("es",)
    first = decide(inputs_for(patient, policy(), load_teaching(reviewed, VOCABULARY), "es"))
    assert first.draft_languages == ()


@pytest.mark.parametrize("state", ["fuzzy", "missing", "stale"])
def test_a_message_that_waits_stops_the_build(
    state: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, patient = tmp_path / "teaching", tmp_path / "patient.yaml"
    shutil.copytree(ROOT / "teaching", folder)
    patient.write_text(settled_text(base=BASE), encoding="utf-8")
    path = folder / "locales/es/getting-help.po"
    text = path.read_text(encoding="utf-8")
    old = re.search(r'msgctxt "(getting-help/title)"\nmsgid "(.+)"\nmsgstr ".+"', text)
    assert old is not None
    new = {
        "fuzzy": "#, fuzzy\n" + old[0],
        "missing": f'msgctxt "{old[1]}"\nmsgid "{old[2]}"\nmsgstr ""',
        "stale": old[0].replace(old[2], "Another text"),
    }[state]
    path.write_text(text.replace(old[0], new), encoding="utf-8")
    seal(folder)
    asked = ["build", str(patient), "--language", "es", "--teaching", str(folder)]
    assert main([*asked, "--out", str(tmp_path / "out")]) == 1
    (line,) = capsys.readouterr().err.strip().splitlines()
    assert "'getting-help/title'" in line
    assert not (tmp_path / "out").exists()


# --- amounts on pages that run from right to left


def printed_lines(data: bytes) -> Iterator[str]:
    """Every line as the eye sees it: its letters from left to right."""
    for sheet in sheets(data):
        rows: dict[int, list[Letter]] = {}
        for letter in sheet.letters:
            rows.setdefault(round(letter.bottom), []).append(letter)
        for row in rows.values():
            yield squeezed("".join(o.text for o in sorted(row, key=lambda o: o.left)))


def ltr_values(packet: WordedPages) -> Iterator[str]:
    """Values that run from left to right, and the numbers with units inside Arabic values."""
    for statement in packet.statements().values():
        lines = [statement.words] if statement.words is not None else []
        for row in statement.block.rows if statement.block is not None else ():
            lines += [line for cell in row for line in cell]
        for line in lines:
            for run in line.runs:
                if run.kind and run.kind != "text":
                    inner = re.findall("\u2066([^\u2069]*)\u2069", run.text)
                    # Names and several values in one may break, at an ordinary space alone.
                    yield from inner or (run.text.split(" ") if run.side == "ltr" else [])


@pytest.mark.parametrize("tag", TAGS)
def test_no_amount_phone_or_time_turns_round_or_breaks(tag: str) -> None:
    packet = made(tag)
    lines = list(printed_lines(packet.handout))
    values = [squeezed(value) for value in ltr_values(packet.words)]
    assert sum("mL" in value for value in values) > 10
    assert any(value.startswith("+1") for value in values)
    assert [v for v in values if not any(v in line for line in lines)] == []


def test_a_page_that_would_turn_round_is_seen() -> None:
    """The measure itself: without isolates an Arabic line prints an amount the other way round."""

    def first(words: str) -> list[str]:
        html = (
            '<html lang="ar" dir="rtl"><head><title>t</title><style>html { font-family: '
            '"Source Sans 3", "Almarai" }</style></head><body><p>'
            f"{words}</p></body></html>"
        )
        return list(printed_lines(laid(html).data))

    assert not any("237mL" in line for line in first("أعط 237\u00a0mL ماء"))
    assert any("237mL" in line for line in first('أعط <bdi dir="ltr">237\u00a0mL</bdi> ماء'))
    assert any("237mL" in line for line in first("أعط \u2066237\u00a0mL\u2069 ماء"))


@pytest.mark.parametrize("tag", TAGS)
def test_every_word_reads_back_from_the_pages(tag: str) -> None:
    """By pypdf, which gives the pair lam-alef in its order; other words in any order."""
    packet = made(tag)
    read = " ".join(texts_as_read(packet.handout, "pypdf"))
    there = set(re.findall(r"[^\W\d_]+", read))
    for statement in packet.words.statements().values():
        if statement.words is not None:
            for wanted in re.findall(r"[^\W\d_]+", statement.words.plain):
                assert wanted in there or wanted in squeezed(read), (statement.id, wanted)


# --- right to left


def test_an_arabic_page_is_mirrored() -> None:
    """Text, list signs and the first column of tables stand at the right; pictures do not turn."""
    data = made("ar").handout
    first = sheets(data)[0]
    heading = [o for o in first.letters if o.size > 18.4]
    assert min(first.width - o.right for o in heading) < 60
    signs = [o for s in sheets(data) for o in s.letters if "•" in o.text]
    assert signs
    assert all(o.left > first.width * 0.7 for o in signs)
    phones = [o for o in first.letters if o.text == "+"]
    assert phones
    assert all(o.left < first.width / 2 for o in phones), "the phone column is the second one"


def test_the_phone_page_runs_from_right_to_left() -> None:
    html = made("ar").files["handout.html"].decode()
    assert html.lstrip().startswith('<!DOCTYPE html>\n<html lang="ar" dir="rtl">')
    css = html.partition("<style>")[2].partition("</style>")[0]
    sided = re.findall(r"(?:margin|padding|border)-(?:left|right)|text-align: (?:left|right)", css)
    assert sided == []


# --- the language of every passage


@pytest.mark.parametrize("tag", TAGS)
def test_the_document_and_its_passages_name_their_language(tag: str) -> None:
    packet = made(tag)
    assert str(document(packet.handout).trailer["/Root"]["/Lang"]) == tag
    marked = {str(t.entries["/Lang"]) for t in tag_tree(packet.handout).every()
              if "/Lang" in t.entries}  # fmt: skip
    assert marked == {"en"}, "words of the patient file are in the language of staff"
    copy = packet.files[f"staff-copy.{tag}.pdf"]
    assert str(document(copy).trailer["/Root"]["/Lang"]) == "en"
    cells = [t for t in tag_tree(copy).every() if t.kind == "/TD"]
    named = [t for t in cells if str(t.entries.get("/Lang", "")) == tag]
    assert len(named) == len(cells) / 2 > 100


@pytest.mark.parametrize("tag", TAGS)
def test_the_papers_are_accessible(tag: str) -> None:
    for name in ("handout.pdf", f"staff-copy.{tag}.pdf"):
        report = validator.validate_pdf_bytes(made(tag).files[name], profile="ua1")
        assert report.is_compliant, (name, [str(failure) for failure in report.failures])


# --- the staff copy


@pytest.mark.parametrize("tag", TAGS)
def test_the_staff_copy_is_large_enough_to_point_at(tag: str) -> None:
    data = made(tag).files[f"staff-copy.{tag}.pdf"]
    assert min(letter.size for sheet in sheets(data) for letter in sheet.letters) > 11.99


@pytest.mark.parametrize("tag", TAGS)
def test_each_reader_gets_their_own_language(tag: str) -> None:
    """A nurse who is taught too reads English: her handout stands beside the family's."""
    packet = made(tag)
    languages = {learner.language for learner in packet.decision.patient.learners}
    assert packet.decision.inputs.handout_languages[0] == tag
    for other in packet.decision.inputs.handout_languages[1:]:
        assert any(language.split("-")[0] == other for language in languages)
        data = packet.files[f"handout.{other}.pdf"]
        assert str(document(data).trailer["/Root"]["/Lang"]) == other
    assert not any(name.startswith("staff-copy.en") for name in packet.files)
