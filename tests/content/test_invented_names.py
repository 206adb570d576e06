"""Everybody in tests, teaching and examples is invented, and no trade name is printed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from builders import ROOT, findings_with, library

FOLDERS = ("examples", "teaching", "tests", "src", "templates")
WRITTEN = (".yaml", ".py", ".md", ".txt", ".json", ".po", ".html")
_PHONE = re.compile(r"(?<![\d.])(?:\+1[ .-]?)?\(?\d{3}\)?[ .-]\d{3}[ .-]\d{4}(?!\d)")
# A suffix that comes from a trade name: it raises a finding and is never printed.
OF_A_TRADE = "contin"


def written_files() -> list[Path]:
    """Every file of words in the folders of the project; a fingerprint of looks holds none."""
    files = [file for name in FOLDERS for file in sorted((ROOT / name).rglob("*"))]
    return [file for file in files if file.suffix in WRITTEN and file.name != "looks.txt"]


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_phone_is_of_the_numbers_that_belong_to_nobody(folder: str) -> None:
    strange = [
        (file.relative_to(ROOT).as_posix(), phone)
        for file in written_files()
        if file.is_relative_to(ROOT / folder)
        for phone in _PHONE.findall(file.read_text(encoding="utf-8"))
        if not re.sub(r"\D", "", phone).removeprefix("1").startswith("55501001")
    ]
    assert not strange


def test_the_suffix_of_a_trade_name_raises_what_any_long_acting_form_does() -> None:
    typed = {"medicines.0.name": "morphine Contin", "medicines.0.form": "tablet"}
    plain = {"medicines.0.name": "morphine ER", "medicines.0.form": "tablet"}
    assert "crush-modified-release" in {finding.id for finding in findings_with(typed)}
    assert [finding.id for finding in findings_with(typed)] == [
        finding.id for finding in findings_with(plain)
    ]


def test_the_suffix_of_a_trade_name_is_never_printed() -> None:
    typed = {"medicines.0.name": "morphine CONTIN", "medicines.0.form": "tablet"}
    told = [f"{f.says} {f.instead}".replace("morphine CONTIN", "") for f in findings_with(typed)]
    shipped = [text.says for text in library().claims.values()]
    shipped += [word for entry in library().phrases.values() for word in entry if word]
    shipped += [st.text for module in library().modules for _, st in module.statements()]
    assert not [text for text in told + shipped if re.search(rf"\b{OF_A_TRADE}\b", text, re.I)]
