"""The list of letters that print, against a print of every letter of the packet's fonts."""

from __future__ import annotations

import unicodedata
from html import escape

import pytest
from builders import text_with
from packets import PLACES

from plainleaf.inputs.patient import read_patient
from plainleaf.inputs.strict_yaml import parse
from plainleaf.printing.fonts import FAMILIES, own_fonts
from plainleaf.printing.inspection import read_back
from plainleaf.printing.renderer.layout import Sheet, lay
from plainleaf.vocabulary.errors import PatientError
from plainleaf.vocabulary.printable import PRINTABLE, named, unprintable

FONTS = own_fonts(PLACES.cache)
# Nothing of these is typed into a name: private use, marks of direction, spaces, dingbats.
NOT_ASKED = {"Co", "Cf", "Zs"}
SHAPES = {"So", "Sk"}


def letters_of_the_fonts() -> list[str]:
    from plainleaf.printing.fonts import missing_letters

    every = "".join(map(chr, range(0x21, 0x10000)))
    lacking = set(missing_letters(every, *FONTS.letters))
    return [
        letter for letter in every
        if letter not in lacking and not letter.isspace()
        and unicodedata.category(letter) not in NOT_ASKED | {"Cs", "Cn", "Cc"}
        and (unicodedata.category(letter) not in SHAPES or letter < "\u0180")
    ]  # fmt: skip


def given_back(letters: list[str], tag: str) -> set[str]:
    """Those that the finished print gives back as they were set."""
    rows = (f"<p><{tag}>x{escape(c)}z</{tag}> q{n}q</p>" for n, c in enumerate(letters))
    families = ", ".join(f"'{family}'" for family in FAMILIES)
    html = (
        "<html lang='en'><head><title>t</title><style>body {font-family: " + families + "}</style>"
        f"</head><body>{''.join(rows)}</body></html>"
    )
    pdf = lay(Sheet(html, PLACES.templates, FONTS))
    text = "".join("".join(page.text.split()) for page in read_back(pdf.data).pages)
    return {c for n, c in enumerate(letters) if f"x{c}zq{n}q" in text}


def test_each_letter_prints_in_both_weights_and_no_other_does() -> None:
    letters = letters_of_the_fonts()
    assert len(letters) > 1500
    assert given_back(letters, "i") & given_back(letters, "b") == PRINTABLE


HIDDEN = "\N{GRINNING FACE}", "\u05d0", "\u2011", "\ufb00", "\u674e", "\u0915"


@pytest.mark.parametrize("letter", HIDDEN, ids=ascii)
@pytest.mark.parametrize("key", ["patient.name", "contacts.clinic.phone", "medicines.1.name"])
def test_a_letter_that_cannot_be_printed_is_named_with_its_line(key: str, letter: str) -> None:
    text = text_with({key: f"Ona 555 010 {letter}"})
    number = next(n for n, line in enumerate(text.splitlines(), 1) if "Ona 555" in line)
    with pytest.raises(PatientError) as caught:
        read_patient(parse(text, "patient.yaml"))
    assert str(caught.value).startswith(f"patient.yaml:{number}: ")
    assert named((letter,)) in str(caught.value)


def test_letters_are_named_once() -> None:
    assert unprintable("a\u2011b\u2011\u674e c\u00a0d") == ("\u2011", "\u674e")
