"""A patient in whose language there is no handout: nothing is mixed, and what helps is said."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from packets import BASE, Packet, packet_with, settled_text
from pdf_reading import pages, squeezed, tag_tree

from plainleaf.cli.main import main
from plainleaf.vocabulary import terms

CHANGES = {"patient.language": "so"}


@pytest.fixture(scope="module", name="packet", params=terms.PRINT_SIZES)
def _packet(request: pytest.FixtureRequest) -> Packet:
    """The packet in English on request, for a reader of Somali, in every size of print."""
    return packet_with(settled_text({**CHANGES, "patient.print_size": request.param}, BASE))


def test_without_a_request_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "patient.yaml"
    file.write_text(settled_text(CHANGES, BASE), encoding="utf-8")
    assert main(["build", str(file), "--out", str(tmp_path / "out")]) == 1
    error = capsys.readouterr().err
    assert "There is no handout in 'so' yet. Handouts exist in: en, ar, es." in error
    assert "--language en" in error
    assert not (tmp_path / "out").exists()


def test_every_page_says_so(packet: Packet) -> None:
    for text in pages(packet.handout, "pypdf"):
        assert squeezed("No packet in Somali yet: use an interpreter") in text


def test_the_page_after_page_one_says_what_helps(packet: Packet) -> None:
    text = "".join(pages(packet.handout, "pypdf"))
    assert squeezed("There is no packet in Somali yet.") in text
    assert squeezed("Ask us for an interpreter at any time") in text
    assert squeezed("There are packets in: English, Arabic, Spanish.") in text


def test_the_pages_with_pictures_are_listed(packet: Packet) -> None:
    """On paper those that are printed for everybody, on the phone page all."""
    figures = [t for t in tag_tree(packet.handout).every() if t.kind == "/Figure"]
    printed = [s for s in packet.printed.statements().values() if s.picture is not None]
    assert len(figures) == len(printed)
    pictures = [s for s in packet.worded.statements().values() if s.picture is not None]
    assert len(pictures) > 3
    html = packet.files["handout.html"].decode()
    listed = html.partition("Pages with pictures</h2>")[2].partition("</ol>")[0]
    shown = re.findall('<figure class="picture" id="([^"]+)"', html)
    assert re.findall('href="#([^"]+)"', listed) == shown
    assert sorted(shown) == sorted(picture.id for picture in pictures)


def test_the_sheet_tells_the_nurse(packet: Packet) -> None:
    text = "".join(pages(packet.sheet, "pypdf"))
    assert squeezed("reads Somali, and there is no handout in it yet") in text
    assert not any(name.startswith("staff-copy") for name in packet.files)
