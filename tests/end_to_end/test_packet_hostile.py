"""Strange values print as the plain text they are; nothing is fetched, run or read because of them.

Names, notes and numbers come from outside. Markup, template code, addresses, quotes and very long
words must all come out of the printer as they were typed, or be refused with a clear message.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from builders import ROOT, text_with
from packets import Packet, context_of, decision_from, packet_of, packet_with, settled_text
from pdf_reading import READERS, Body, body, pages, sheets, squeezed
from test_packet_files import read_html
from test_packet_print import UNPRINTABLE, furniture, titles_above, words_of

from plainleaf.cli.main import main
from plainleaf.packet.papers.handout import make_good_to_know

HOSTILE = (
    "<b>Bo</b>",
    "<script>alert(1)</script>",
    "{{7*7}}",
    "{% raw %}",
    "{patient_name}",
    "%s %(name)s {0}",
    "file:///etc/passwd",
    "http://198.51.100.7/a.png",
    "url(http://198.51.100.7/b)",
    "see <img src=http://198.51.100.7/c> here",
    "a ]]> b",
    "--><!-- x",
    "</style><style>*{color:red}",
    "&lt;b&gt; &amp; &#65;",
    "'single' \"double\" `back`",
    "back\\slash \\0 \\n",
    "=1+1",
    "$(id) ; | &",
    "*bold* _low_ [a](b)",
    "Ünïcödé Ñandú Łódź",
)
# As many letters without a space as each field takes.
LONG = "W" * 60


def _hostile() -> dict[str, Any]:
    """One patient file that holds every strange value in many places."""
    return {
        "patient.name": "<b>Bo</b> {{7*7}} O'Neil",
        "patient.record_number": "]]>{% raw %}&lt;",
        "learners": [
            {"name": text, "relation": text, "language": "en", "hands_on": "true"}
            for text in HOSTILE[:4]
        ],
        "other_lines": list(HOSTILE),
        "tube.balloon_port_color": "<i>white</i>",
        "feeding.0.formula.name": "{{ 7*7 }} <u>http://198.51.100.7</u>",
        "medicines": [
            {
                "name": text, "form": "liquid", "dose": "5 mL", "times": ["09:00"],
                "through": "gastric", "prepare": f"Shake {text}", "for": text, "at_most": text,
            }
            for text in HOSTILE
        ],
        "if_feeding_stops": " ".join(HOSTILE),
        "contacts.clinic": {
            "name": "<b>Clinic</b>", "phone": "+1 555 010 0160, then <2>", "hours": "{{7*7}} to ]]>"
        },
        "contacts.after_hours": {"name": "file:///etc/passwd", "phone": "555 & 0161 \"x\""},
        "contacts.others": [{"name": text, "phone": "+1 555 010 0199"} for text in HOSTILE[4:5]],
        "visits": [
            {"what": text, "when": "2026-04-01 09:00", "where": text} for text in HOSTILE
        ],
        "prepared.by": "http://198.51.100.7/ <RN>",
    }  # fmt: skip


def _long() -> dict[str, Any]:
    """One patient file with words as long as each field takes."""
    return {
        "patient.name": LONG + "W" * 20,
        "patient.record_number": "M" * 40,
        "other_lines": [LONG],
        "feeding.0.formula.name": LONG,
        "medicines.1.name": LONG,
        "medicines.1.prepare": "W" * 200,
        "if_feeding_stops": "W" * 400,
        "contacts.clinic.hours": "W" * 40,
        "contacts.supplies.phone": "5" * 60,
        "visits": [{"what": "W" * 80, "when": "2026-04-01 09:00", "where": "W" * 80}],
        "prepared.by": "W" * 80,
    }


# Loaded by every Python process of a build, whichever starts it: writes down what is fetched.
WATCH = """
import os, sys

WITHIN = 1  # AF_UNIX: the program speaks with its own workers by sockets of this machine

def _reaches(event, arguments):
    if event == "socket.__new__":
        return arguments[1] not in (WITHIN, -1)  # -1: as what it is handed
    return event.startswith("socket.") and getattr(arguments[0], "family", None) != WITHIN

def _watch(event, arguments):
    fetches = _reaches(event, arguments) or event in ("urllib.Request", "os.system", "os.exec")
    own = os.path.basename(sys.executable)
    runs = event == "subprocess.Popen" and os.path.basename(arguments[0]) != own
    reads = event == "open" and str(arguments[0]) == "/etc/passwd"
    if fetches or runs or reads:
        _note(f"{event} {arguments}")

def _note(line):
    number = os.open(os.environ["WATCH_FILE"], os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.write(number, (line + chr(10)).encode())
    os.close(number)

_note("watching")
sys.addaudithook(_watch)
"""


def _watched(folder: Path, arguments: list[str]) -> list[str]:
    """Run Python with the watch in it and in all Python that it starts; what was noted."""
    (folder / "watch").mkdir()
    (folder / "watch" / "sitecustomize.py").write_text(WATCH, encoding="utf-8")
    env = {
        **os.environ,
        "PYTHONPATH": f"{folder / 'watch'}{os.pathsep}{ROOT / 'src'}",
        "WATCH_FILE": str(folder / "noted"),
    }
    done = subprocess.run([sys.executable, *arguments], env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return (folder / "noted").read_text(encoding="utf-8").splitlines()


@pytest.fixture(scope="module")
def noted(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """The folder with the packet of the strange values, and what was noted while it was built."""
    folder = tmp_path_factory.mktemp("hostile")
    path, out = folder / "patient.yaml", folder / "out"
    path.write_text(settled_text(_hostile()), encoding="utf-8")
    return out, _watched(folder, ["-m", "plainleaf", "build", str(path), "--out", str(out)])


@pytest.fixture(scope="module")
def hostile(noted: tuple[Path, list[str]]) -> Packet:
    """The packet of the strange values."""
    text = settled_text(_hostile())
    files = {path.name: path.read_bytes() for path in noted[0].iterdir()}
    return Packet("hostile", text, decision_from(text), files)


@pytest.fixture(scope="module")
def stretched() -> Packet:
    """The packet of the long words."""
    return packet_with(settled_text(_long()), "stretched")


def _typed(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from _typed(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _typed(inner)
    else:
        yield value


def test_nothing_is_fetched_or_run(noted: tuple[Path, list[str]]) -> None:
    assert set(noted[1]) == {"watching"}


def test_the_watch_would_see_it(tmp_path: Path) -> None:
    reads = "open('/etc/passwd')"
    fetches = "socket.socket(); socket.gethostbyname('127.0.0.1')"
    lines = _watched(tmp_path, ["-c", f"import socket; {reads}; {fetches}"])
    assert lines[0] == "watching"
    assert [line.split()[0] for line in lines[1:]] == [
        "open", "socket.__new__", "socket.gethostbyname",
    ]  # fmt: skip


def _handout(packet: Packet, reader: str = "pdfium") -> Body:
    """The handout's pages without what stands around them."""
    around = tuple((*furniture(packet), *above.split("|")) for above in titles_above(packet))
    return body(packet.handout, around, reader)


@cache
def _requested(text: str) -> bytes:
    """The pages that are printed on request for a patient file's text."""
    paper = make_good_to_know(context_of(decision_from(text)), "en")
    pdf = paper.laid.pdf()
    assert paper.faults(pdf) == []
    return pdf.data


def _on_request(packet: Packet, reader: str) -> str:
    """The text of the pages that are printed on request."""
    return "".join(pages(_requested(packet.text), reader))


def _sheet(packet: Packet, reader: str) -> str:
    """The sheet's text, with the foot of each page."""
    return "".join(pages(packet.sheet, reader))


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("text", HOSTILE)
def test_it_prints_as_it_was_typed(hostile: Packet, text: str, reader: str) -> None:
    assert text in _handout(hostile, reader)


@pytest.mark.parametrize("reader", READERS)
def test_every_field_prints_as_it_was_typed(hostile: Packet, reader: str) -> None:
    both = "".join(
        (_handout(hostile, reader).text, _on_request(hostile, reader), _sheet(hostile, reader))
    )
    skipped = ("true", "en", "gastric", "2026-04-01 09:00", "09:00", "5 mL")
    for text in set(_typed(_hostile())) - set(skipped):
        assert squeezed(text) in both, text


@pytest.mark.parametrize("text", HOSTILE)
def test_the_phone_page_shows_it_as_it_was_typed(hostile: Packet, text: str) -> None:
    page = read_html(hostile.files["handout.html"])
    assert squeezed(text) in squeezed("".join(page.words))


def test_the_phone_page_holds_no_tag_and_no_address_of_it(hostile: Packet) -> None:
    page = read_html(hostile.files["handout.html"])
    usual = read_html(packet_of("g-balloon-syringe").files["handout.html"])
    assert page.tags <= usual.tags | {"i", "b"}
    assert "<script" not in hostile.files["handout.html"].decode()
    assert not [address for address in page.addresses if "198.51" in address or "file" in address]


def test_the_record_holds_it_as_it_was_typed(hostile: Packet) -> None:
    statements = "\n".join(statement["says"] for statement in hostile.record["statements"])
    for text in HOSTILE:
        assert text in statements


def test_every_statement_is_still_whole(hostile: Packet) -> None:
    print_out = _handout(hostile)
    for statement in hostile.printed.statements().values():
        assert all(words in print_out for words in words_of(statement))


def test_long_words_stay_on_the_paper(stretched: Packet) -> None:
    for data in (stretched.handout, stretched.sheet):
        for sheet in sheets(data):
            for letter in sheet.letters:
                assert letter.right <= sheet.width - UNPRINTABLE
                assert letter.bottom <= sheet.height - UNPRINTABLE


@pytest.mark.parametrize("reader", READERS)
def test_long_words_are_printed_whole(stretched: Packet, reader: str) -> None:
    both = "".join(
        (
            _handout(stretched, reader).text,
            _on_request(stretched, reader),
            _sheet(stretched, reader),
        )
    )
    for text in _typed(_long()):
        if text != "2026-04-01 09:00":
            assert squeezed(text) in both, text


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        pytest.param({"patient.name": "Ona \N{GRINNING FACE}"}, "U+1F600", id="emoji-name"),
        pytest.param({"prepared.by": "RN \N{GRINNING FACE}"}, "U+1F600", id="emoji-on-the-sheet"),
        pytest.param({"medicines.1.name": "תרופה"}, "U+05EA", id="letters-the-font-lacks"),
    ],
)
def test_letters_that_cannot_be_printed_are_refused(
    changes: dict[str, Any], code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "patient.yaml"
    path.write_text(text_with(changes), encoding="utf-8")
    out = str(tmp_path / "out")
    for command in (["build", str(path), "--out", out], ["review", str(path)]):
        assert main(command) == 2
        assert code in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["patient.yaml"]


@pytest.mark.parametrize(
    "name", ["Ona \u202eenO", "Ona\u0007", "Ona \u2067x", "O\u200ena"], ids=ascii
)
def test_hidden_characters_are_refused(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "patient.yaml"
    text = settled_text().replace("name: Walter Brandvold", f'name: "{ascii(name)[1:-1]}"', 1)
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path), "--out", str(tmp_path / "out")]) == 2
    assert "hidden control character" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["patient.yaml"]


@pytest.mark.thorough
def test_a_review_with_its_pages_says_what_a_build_refuses(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "patient.yaml"
    path.write_text(settled_text(), encoding="utf-8")
    assert main(["review", "--pages", str(path)]) == 0
    assert "nothing is wrong with them" in capsys.readouterr().out
    monkeypatch.setattr("plainleaf.printing.inspection.pages.LEAST_LETTERS", 10_000)
    out = str(tmp_path / "out")
    for command in (["review", "--pages", str(path)], ["build", str(path), "--out", out]):
        assert main(command) == 0
        assert "is nearly empty" in capsys.readouterr().out
    monkeypatch.setattr("plainleaf.printing.inspection.contrast.LEAST_PRINT", 30.0)
    assert main(["review", "--pages", str(path)]) == 1
    assert "30 is the least" in capsys.readouterr().out
    assert main(["build", str(path), "--out", out]) == 1
    assert "30 is the least" in capsys.readouterr().err


@pytest.mark.parametrize("pages", [[], ["--pages"]])
def test_a_review_that_findings_stop_lays_out_nothing(
    pages: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "patient.yaml"
    path.write_text(text_with(), encoding="utf-8")
    assert main(["review", *pages, str(path)]) == 1
    assert "laid out" not in capsys.readouterr().out
