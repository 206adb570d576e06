"""`plainleaf record`: from a filled sheet to its record, chart note and follow-up papers."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import page
import pytest
from fhir.resources.R4B.bundle import Bundle
from packets import packet_of, settled_text
from pdf_reading import document, sheets, squeezed, tag_text, tag_tree
from pdf_reading import pages as page_texts
from pdfium_filling import filled_in_a_viewer
from returned_sheets import Values, all_met, filled, open_line

from plainleaf.cli.main import main
from plainleaf.packet.record.packet_record import PACKET_RECORD
from plainleaf.packet.sheet.form_fields import field_name
from plainleaf.packet.sheet.outline import Outline
from plainleaf.packet.sheet.outline_json import outline_of
from plainleaf.printing.inspection import read_back
from plainleaf.printing.inspection.text_match import InAnyOrder
from plainleaf.teach_back.record_papers import RECORD_PAPERS

NAME = "gj-pump-overnight"
FLUSH, OUT, DATES = "flushing.tb.when", "problems.tb.out", "first-days.tb.dates"
FILES = tuple(sorted(kind.name for kind in RECORD_PAPERS))


@cache
def outline() -> Outline:
    return outline_of(PACKET_RECORD.of(packet_of(NAME).record))


def some_open() -> Values:
    """The daughter: one item met with a prompt, one three times not yet, one not asked."""
    values = all_met(outline())
    values |= {field_name(FLUSH, 1, "try-1", "code"): "3a",
               field_name(FLUSH, 1, "try-2", "code"): "2a"}  # fmt: skip
    values |= {field_name(OUT, 1, f"try-{n}", "code"): "3a" for n in (1, 2, 3)}
    row = next(outline().row(item) for item in outline().items if item.id == OUT)
    values |= open_line(1, row, 2, "B", "喂 home nurse")
    values[field_name(DATES, 1, "try-1", "code")] = ""
    values["sign/backup"] = "Chidi Okafor, +1 555 010 0177"
    return values


@cache
def sheet_bytes(which: str) -> bytes:
    values = {"met": all_met, "blank": lambda _: {}, "open": lambda _: some_open()}[which]
    return filled(packet_of(NAME).sheet, values(outline()))


def folder(tmp_path: Path, which: str) -> Path:
    """A packet's folder with a filled sheet beside its record."""
    out = tmp_path / which
    out.mkdir()
    (out / "packet.json").write_bytes(packet_of(NAME).files["packet.json"])
    (out / "handout.pdf").write_bytes(packet_of(NAME).handout)
    (out / "packet.fhir.json").write_bytes(packet_of(NAME).files["packet.fhir.json"])
    (out / "filled.pdf").write_bytes(sheet_bytes(which))
    return out


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], tuple[int, Path]]:
    """Runs the command on a kind of sheet, once."""
    done: dict[str, tuple[int, Path]] = {}

    def run(which: str) -> tuple[int, Path]:
        if which not in done:
            out = folder(tmp_path_factory.mktemp("record"), which)
            done[which] = (main(["record", str(out / "filled.pdf")]), out)
        return done[which]

    return run


Run = Callable[[str], tuple[int, Path]]


@pytest.mark.parametrize(("which", "status"), [("met", 0), ("open", 1), ("blank", 1)])
def test_the_status_says_whether_anything_critical_is_open(
    recorded: Run, which: str, status: int
) -> None:
    code, out = recorded(which)
    assert code == status
    assert {path.name for path in out.iterdir()} == {
        "packet.json", "packet.fhir.json", "handout.pdf", "filled.pdf", *FILES,
    }  # fmt: skip


def test_the_record_names_what_it_belongs_to(recorded: Run) -> None:
    _, out = recorded("open")
    record = json.loads((out / "record.json").read_bytes())
    assert record["packet"]["version"] == packet_of(NAME).record["version"]
    assert record["packet"]["sha256"] == sha256((out / "packet.json").read_bytes()).hexdigest()
    assert record["sheet"]["sha256"] == sha256((out / "filled.pdf").read_bytes()).hexdigest()
    assert record["packet"]["digests"] == packet_of(NAME).record["digests"]
    assert record["date"] == "2026-03-05"
    assert record["settings"]["tries_before_plan"] == 3


def test_the_record_says_what_is_missing_of_whom(recorded: Run) -> None:
    record = json.loads((recorded("open")[1] / "record.json").read_bytes())
    (missing,) = record["verdict"]["not_ready"]
    assert missing["learner"] == "Ifeoma Okafor"
    assert {one["id"] for one in missing["missing"]} == {FLUSH, OUT}
    (item,) = (
        one for one in record["learners"][1]["items"] if one["id"] == OUT
    )  # fmt: skip
    assert [one["code"] for one in item["tries"]] == [3, 3, 3]
    assert item["plan"] == {"choice": "home-nurse", "words": "喂 home nurse", "by": None}


def test_the_same_sheet_gives_the_same_files(recorded: Run, tmp_path: Path) -> None:
    _, out = recorded("open")
    assert main(["record", str(out / "filled.pdf"), "--out", str(tmp_path / "again")]) == 1
    for name in ("record.json", "chart-note.txt", "record.fhir.json"):
        assert (tmp_path / "again" / name).read_bytes() == (out / name).read_bytes()


def test_the_copy_for_the_chart_tells_what_the_record_tells(recorded: Run) -> None:
    _, out = recorded("open")
    record = json.loads((out / "record.json").read_bytes())
    bundle = json.loads((out / "record.fhir.json").read_bytes())
    Bundle.model_validate(bundle)
    found: dict[str, list[Any]] = {}
    for entry in bundle["entry"]:
        found.setdefault(entry["resource"]["resourceType"], []).append(entry["resource"])
    assert len(found["QuestionnaireResponse"]) == len(record["learners"])
    topics = {item["id"].partition(".")[0] for one in record["learners"] for item in one["items"]
              if item["tries"]}  # fmt: skip
    assert {one["code"]["text"].removeprefix("Teach-back: ").replace(" ", "-")
            for one in found["Procedure"]} == topics  # fmt: skip
    assert {one["status"] for one in found["Procedure"]} == {"completed", "in-progress"}
    names = {one["content"][0]["attachment"]["url"] for one in found["DocumentReference"]}
    assert names == {"handout.pdf", "follow-up.pdf", "filled.pdf"}


def test_a_chart_copy_that_is_gone_or_changed_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = folder(tmp_path, "met")
    copy = out / "packet.fhir.json"
    copy.write_bytes(copy.read_bytes().replace(b"75", b"57"))
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert main(["record", str(out / "filled.pdf")]) == 2
    assert "is not the file that packet.json tells of" in capsys.readouterr().err
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before
    copy.unlink()
    assert main(["record", str(out / "filled.pdf")]) == 0
    assert "record.fhir.json was not written" in capsys.readouterr().err
    assert (out / "record.json").is_file()


def test_the_screen_names_no_patient(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = folder(tmp_path, "open")
    main(["record", str(out / "filled.pdf"), "--out", str(tmp_path / "x")])
    said = "".join(capsys.readouterr())
    assert "learner 2 (daughter)" in said
    assert "NOT READY to go home on this alone." in said
    for name in ("Okafor", "Ifeoma", "Marguerite", "DEMO-0417"):
        assert name not in said


def test_a_sheet_from_a_viewer_goes_all_the_way(tmp_path: Path) -> None:
    out = tmp_path / "ward"
    out.mkdir()
    (out / "packet.json").write_bytes(packet_of(NAME).files["packet.json"])
    row = next(outline().row(item) for item in outline().items if item.id == FLUSH)
    values: Values = {field_name(FLUSH, 1, "try-1", "code"): "3a",
                      **open_line(1, row, 2, words="Señora: «no»")}  # fmt: skip
    (out / "sheet.pdf").write_bytes(filled_in_a_viewer(packet_of(NAME).sheet, values))
    assert main(["record", str(out / "sheet.pdf")]) == 1
    assert "Señora: «no»" in (out / "chart-note.txt").read_text("utf-8")


def test_a_packet_is_not_built_over_a_sheet_that_was_filled_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = folder(tmp_path, "open")
    patient_file = tmp_path / "patient.yaml"
    patient_file.write_text(settled_text(base=NAME), encoding="utf-8")
    (out / "filled.pdf").rename(out / "teach-back.pdf")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert main(["build", str(patient_file), "--out", str(out)]) == 2
    said = capsys.readouterr().err
    assert "teach-back.pdf: was filled in or changed after it was built" in said
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


# --- faults of the call ---------------------------------------------------------------------------


def test_the_packet_may_lie_elsewhere(tmp_path: Path) -> None:
    out = folder(tmp_path, "met")
    elsewhere = tmp_path / "desk" / "scan.pdf"
    elsewhere.parent.mkdir()
    (out / "filled.pdf").rename(elsewhere)
    for packet in (out, out / "packet.json"):
        assert main(["record", str(elsewhere), "--packet", str(packet)]) == 0


FAULTS: list[tuple[str, Callable[[Path], None], str]] = [
    ("no sheet", lambda out: (out / "filled.pdf").unlink(), "filled.pdf: cannot be read"),
    ("no record", lambda out: (out / "packet.json").unlink(), "packet.json: is not there"),
    ("not JSON", lambda out: _write(out, "{"), "packet.json:1: is not JSON"),
    ("another JSON", lambda out: _write(out, "[]"), "packet.json: is no packet.json. Name one."),
    ("an older record", lambda out: _without(out, "teach_back"), "an older program wrote it"),
    ("another version", lambda out: _reissue(out), "filled.pdf: belongs to packet version"),
]


def _write(out: Path, text: str) -> None:
    (out / "packet.json").write_text(text, "utf-8")


def _change(out: Path, **keys: Any) -> None:
    data = json.loads((out / "packet.json").read_bytes())
    _write(out, json.dumps({**data, **keys}))


def _without(out: Path, key: str) -> None:
    data = json.loads((out / "packet.json").read_bytes())
    _write(out, json.dumps({name: value for name, value in data.items() if name != key}))


def _reissue(out: Path) -> None:
    data = json.loads((out / "packet.json").read_bytes())
    _change(out, version="0123456789", teach_back={**data["teach_back"], "version": "0123456789"})


@pytest.mark.parametrize(("spoil", "part"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS])
def test_faults_are_one_line_and_write_nothing(
    tmp_path: Path, spoil: Callable[[Path], None], part: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = folder(tmp_path, "met")
    spoil(out)
    assert main(["record", str(out / "filled.pdf")]) == 2
    said = capsys.readouterr().err
    assert part in said
    assert said.count("\n") == 1
    assert not {path.name for path in out.iterdir()} & set(FILES)


# --- the follow-up papers -------------------------------------------------------------------------


@pytest.mark.parametrize("which", ["met", "open", "blank"])
def test_the_papers_are_sound(recorded: Run, which: str) -> None:
    data = (recorded(which)[1] / "follow-up.pdf").read_bytes()
    report = page.validate_pdf_bytes(data, profile="ua1")
    assert [str(failure) for failure in report.failures] == []
    texts = page_texts(data)
    for number, text in enumerate(texts, 1):
        assert "DRAFT:notreviewedbyaclinician" in text
        assert squeezed("DEMO-0417") in text
        assert f"{packet_of(NAME).record['version']},en,March5,2026" in text
        assert f"Page{number}of{len(texts)}" in text


@pytest.mark.parametrize("which", ["met", "open", "blank"])
def test_print_is_large_for_the_family_and_not_small_for_the_nurse(
    recorded: Run, which: str
) -> None:
    data = (recorded(which)[1] / "follow-up.pdf").read_bytes()
    for number, one in enumerate(sheets(data)):
        least = min(letter.size for letter in one.letters if letter.text.strip())
        assert least >= (12 if number == 0 else 18) - 0.01


@pytest.mark.parametrize("which", ["met", "open", "blank"])
def test_the_call_script_is_one_page(recorded: Run, which: str) -> None:
    first, *rest = page_texts((recorded(which)[1] / "follow-up.pdf").read_bytes())
    assert "Calledby,date,time:" in first
    assert not any("Calledby" in text for text in rest)
    assert bool(rest) is (which != "met")


def test_the_script_holds_this_patient_s_danger_signs_and_open_items(recorded: Run) -> None:
    first = page_texts((recorded("open")[1] / "follow-up.pdf").read_bytes())[0]
    speech = outline().speeches["en"]
    for identity in (*outline().danger["now"], *outline().danger["today"]):
        assert squeezed(str(speech.statements[identity].words)) in first
    for item in (FLUSH, OUT):
        assert squeezed(str(speech.asks[item])) in first
    for part in ("Call between Saturday, March 7, 2026, at 4 pm and Sunday, March 8, 2026",
                 "Chidi Okafor, +1 555 010 0177", 'a home nurse does this: "[?] home nurse"',
                 "Call 911", "+1 555 010 0142"):  # fmt: skip
        assert squeezed(part) in first
    assert squeezed(str(speech.asks["getting-help.tb.help"])) not in first
    # What was answered wrong three times comes before what was met with a prompt.
    asked = [first.index(squeezed(str(speech.asks[item]))) for item in (OUT, FLUSH, DATES)]
    assert asked == sorted(asked)


def test_the_sheet_to_go_over_again_holds_what_is_open_and_nothing_else(recorded: Run) -> None:
    _, *rest = page_texts((recorded("open")[1] / "follow-up.pdf").read_bytes())
    body = re.sub(r"Page\d+of\d+", "", "".join(rest))
    speech = outline().speeches["en"]
    for item in outline().items:
        open_ = item.id in (FLUSH, OUT, DATES)
        if item.id in speech.again:
            in_full = open_ and item.id != DATES
            assert (squeezed(str(speech.again[item.id])) in body) is in_full, item.id
    headings = [
        tag_text((recorded("open")[1] / "follow-up.pdf").read_bytes(), tag)
        for tag in tag_tree((recorded("open")[1] / "follow-up.pdf").read_bytes()).every()
        if tag.kind == "/H2"
    ]
    topics = {squeezed(str(title)) for title in speech.titles.values()}
    # The last, which is not critical, stands with its page: two pages hold no more in full.
    assert [h for h in headings if h in topics] == [
        squeezed(str(speech.titles[item.split(".")[0]])) for item in (FLUSH, OUT)
    ]
    (dates,) = (item for item in outline().items if item.id == DATES)
    assert squeezed(f"Page {dates.page}: {speech.asks[DATES]}") in body


@pytest.mark.parametrize("which", ["open", "blank"])
def test_the_sheet_to_go_over_again_has_two_pages_at_most(recorded: Run, which: str) -> None:
    _, *rest = page_texts((recorded(which)[1] / "follow-up.pdf").read_bytes())
    assert 1 <= len(rest) <= 2
    body, speech = "".join(rest), outline().speeches["en"]
    wanted = outline().items if which == "blank" else ()
    assert all(squeezed(str(speech.asks[item.id])) in body for item in wanted)


def test_a_family_of_two_languages_goes_over_it_in_both(tmp_path: Path) -> None:
    """The mother reads Arabic, the father English; each row is open for one of them."""
    packet = packet_of("g-button-child")
    given = outline_of(PACKET_RECORD.of(packet.record))
    assert {learner.handout for learner in given.learners} == {"ar", "en"}
    values = all_met(given)
    values[field_name(FLUSH, 0, "try-1", "code")] = "3a"
    values[field_name(OUT, 1, "try-1", "code")] = "3a"
    for name in ("packet.json", "packet.fhir.json"):
        (tmp_path / name).write_bytes(packet.files[name])
    (tmp_path / "filled.pdf").write_bytes(filled(packet.sheet, values))
    assert main(["record", str(tmp_path / "filled.pdf")]) == 1
    record = json.loads((tmp_path / "record.json").read_bytes())
    missing = [[row["id"] for row in one["missing"]] for one in record["verdict"]["not_ready"]]
    assert missing == [[FLUSH], [OUT]]
    note = (tmp_path / "chart-note.txt").read_text(encoding="utf-8")
    assert "Tell me when you will flush the tube at home today" in note
    script, *family = page_texts((tmp_path / "follow-up.pdf").read_bytes())
    assert 2 <= len(family) <= 4
    english = "".join(family)
    assert squeezed(str(given.speeches["en"].again[OUT])) in english
    assert squeezed(str(given.speeches["en"].again[FLUSH])) not in english
    arabic = InAnyOrder("\n".join(page.text for page in read_back(
        (tmp_path / "follow-up.pdf").read_bytes()).pages))  # fmt: skip
    assert arabic.lacking(given.speeches["ar"].again[FLUSH].plain) == []
    assert arabic.lacking(given.speeches["ar"].again[OUT].plain) != []
    assert squeezed("Tell me when you will flush the tube") in script


def test_with_all_met_the_script_says_that_nothing_is_open(recorded: Run) -> None:
    texts = page_texts((recorded("met")[1] / "follow-up.pdf").read_bytes())
    assert len(texts) == 1
    assert squeezed("Nothing is open from the teaching sheet. There is no sheet") in texts[0]


def test_the_papers_name_their_language(recorded: Run) -> None:
    pdf = document((recorded("open")[1] / "follow-up.pdf").read_bytes())
    assert pdf.trailer["/Root"]["/Lang"] == "en"
    assert pdf.metadata.title == "Follow-up call"
