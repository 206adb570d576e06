"""A language nobody has heard of goes through without touching code.

English with accents, every text 40 percent longer, under a private tag: begun with `plainleaf
locales update`, filled in as a translator would, checked, proved and printed.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from babel.messages.pofile import read_po, write_po
from builders import ROOT
from packets import settled_text
from pdf_reading import document, squeezed
from sealing import seal

from plainleaf.authoring.translation import english_messages
from plainleaf.cli.main import main

TAG = "en-x-stretch"
_ACCENTS = str.maketrans("aeiouAEIOUnsc", "áéíóúÁÉÍÓÚñšç")
_SLOT = re.compile(r"(\{[a-z_]+\})")
# Values that stand in narrow columns, and what is read aloud, which has a limit of its own.
_AS_LONG = re.compile(r"phrase:clock-|/alt$")


def stretched(identity: str, text: str) -> str:
    """The text with accents and 40 percent more letters; slots, numbers and marks are kept."""
    parts = _SLOT.split(text)
    out = "".join(p if p.startswith("{") else p.translate(_ACCENTS) for p in parts)
    more = 0 if _AS_LONG.search(identity) else round(len(_SLOT.sub("", text)) * 0.4)
    ends = re.search(r"[.?!:]?$", out)
    assert ends is not None
    pad = " ".join(["óóó"] * (more // 4))
    return out[: ends.start()] + (f" {pad}" if pad else "") + ends[0]


def fill_in(folder: Path) -> None:
    """Every message of the language, as a PO editor writes them."""
    for path in sorted((folder / "locales" / TAG).glob("*.po")):
        with path.open("rb") as stream:
            catalog = read_po(stream)
        for message in catalog:
            if message.id and isinstance(message.id, str):
                message.string = stretched(message.context or "", message.id)
            elif message.id:
                one, other = (stretched(message.context or "", text) for text in message.id)
                # English may leave the number out where it is one; a translation may not.
                one = one if _SLOT.findall(one) == _SLOT.findall(other) else other
                message.string = (one, *[other] * (catalog.num_plurals - 1))
        with path.open("wb") as stream:
            write_po(stream, catalog, width=0)


@pytest.fixture(scope="module", name="teaching")
def _teaching(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("stretch") / "teaching"
    shutil.copytree(ROOT / "teaching", folder)
    assert main(["locales", "update", "--language", TAG, "--teaching", str(folder)]) == 0
    fill_in(folder)
    assert main(["locales", "update", "--language", TAG, "--teaching", str(folder)]) == 0
    seal(folder)
    return folder


def test_it_is_longer() -> None:
    texts = [(m.id, m.source[0]) for found in english_messages(ROOT / "teaching").values()
             for m in found]  # fmt: skip
    before = sum(len(text) for _, text in texts)
    after = sum(len(stretched(identity, text)) for identity, text in texts)
    assert 1.25 < after / before < 1.45


def test_an_update_keeps_every_word(teaching: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["locales", "--language", TAG, "--teaching", str(teaching)]) == 0
    last = capsys.readouterr().out.splitlines()[-1].split()
    many = sum(len(found) for found in english_messages(teaching).values())
    assert last[:6] == [TAG, str(many), str(many), "0", "0", "0"]


def test_its_checks_find_what_is_too_long_and_nothing_else(
    teaching: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["locales", "check", "--language", TAG, "--teaching", str(teaching)])
    lines = [line for line in capsys.readouterr().out.splitlines() if "no faults" not in line]
    assert all("caption of more than 10 words" in line or "label of" in line for line in lines)


@pytest.mark.parametrize("name", ["g-bumper-blended", "gj-pump-overnight"])
def test_a_packet_is_built(
    name: str, teaching: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "patient.yaml"
    file.write_text(settled_text(base=name), encoding="utf-8")
    out = tmp_path / "out"
    asked = ["build", str(file), "--language", TAG, "--teaching", str(teaching), "--out", str(out)]
    assert main(asked) == 0, capsys.readouterr().err
    data = (out / "handout.pdf").read_bytes()
    assert str(document(data).trailer["/Root"]["/Lang"]) == TAG
    first = squeezed(document(data).pages[0].extract_text())
    assert squeezed("Whéñ tó gét hélp".replace("s", "š")) in first
    assert (out / f"staff-copy.{TAG}.pdf").exists()
    assert not re.search(r"\bthe\b", " ".join(p.extract_text() for p in document(data).pages[5:9]))
