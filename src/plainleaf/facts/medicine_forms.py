"""How a medicine comes, and which words of its line the lists of forms hold."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from plainleaf.inputs.content import MedicineRow, WordEntry
from plainleaf.inputs.patient import Dose, Medicine

# How a medicine comes, in the rules' words.
FORMS = (
    "liquid", "tablet", "capsule", "powder", "granules", "dispersible", "effervescent",
    "sublingual", "liquid-filled", "injection", "other",
)  # fmt: skip

# Form words → the form that the rules know; the first that fits wins, so order matters.
_FORMS = (
    ("other", ("eye", "ear", "nose", "nasal", "patch", "inhaler", "suppository", "cream")),
    ("effervescent", ("effervescent", "fizzy")),
    ("sublingual", ("sublingual", "buccal", "under the tongue")),
    ("liquid-filled", ("liquid-filled", "softgel", "soft gel", "liquid filled")),
    ("dispersible", ("disintegrating", "orodispersible", "dispersible", "odt", "oral film")),
    ("dispersible", ("tablet for oral suspension", "mouth dissolving", "melt tablet")),
    ("liquid", ("liquid", "solution", "suspension", "syrup", "elixir", "drops", "oral solution")),
    ("injection", ("injection", "injectable", "pen", "subcutaneous")),
    ("granules", ("granules", "pellets", "sprinkle")),
    ("powder", ("powder", "packet", "sachet")),
    ("capsule", ("capsule", "cap")),
    ("tablet", ("tablet", "tab", "pill", "caplet")),
)


def form_of(medicine: Medicine) -> str:
    """The form in the rules' words.

    A form that no word fits is `other`, and the rules ask about it.
    """
    return _form_in(medicine.form.lower())


@lru_cache
def _form_in(text: str) -> str:
    for form, words in _FORMS:
        if any(re.search(rf"\b{re.escape(word)}s?\b", text) for word in words):
            return form
    return "other"


@lru_cache(maxsize=4096)
def _whole_word(word: str) -> re.Pattern[str]:
    # A hyphen or a space may stand between the parts of a word: extended-release, extended release.
    pattern = r"[\s-]*".join(re.escape(part) for part in re.split(r"[\s-]+", word.lower()))
    return re.compile(rf"(?<![a-z0-9]){pattern}(?![a-z0-9])")


def has_word(text: str, word: str) -> bool:
    """Whether a text in small letters holds a word, or its parts, as whole words."""
    return _whole_word(word).search(text) is not None


def dose_words(medicine: Medicine) -> str:
    """The dose as number and unit; nothing of a scale or of steps, which have none of their own."""
    dose: Dose | None = medicine.dose
    return "" if dose is None else f"{dose.value:f} {dose.unit}"


def label_words(medicine: Medicine) -> str:
    """What stands in brackets beside the dose, and the strength on the label."""
    dose: Dose | None = medicine.dose
    equals = None if dose is None else dose.equals
    bracket = "" if equals is None else f"{equals.value:f} {equals.unit}"
    return f"{bracket} {medicine.strength or ''}".strip()


@lru_cache(maxsize=4096)
def _suffix(letters: str) -> re.Pattern[str]:
    # After a name, in any case; a strength may follow at once: er15. A number before it is an
    # amount: 5 cc.
    return re.compile(rf"(?<=[a-z)])[\s,/-]+(?:[0-9.]+\s*[a-z]*\s+)?{letters.lower()}(?![a-z])")


def match_word(
    entries: Sequence[WordEntry], medicine: Medicine, form: str, also: str = ""
) -> WordEntry | None:
    """The first entry of a list of words that fits a medicine's name, form or dose, or None.

    Args:
        also: More words to look at, such as `label_words`.
    """
    words = f"{medicine.name} {medicine.form} {dose_words(medicine)} {also}".lower()
    label = f"{medicine.name} {medicine.form}".lower()
    for entry in entries:
        if entry.kind == "suffix":
            matches = _suffix(entry.match).search(label) is not None
        else:
            matches = has_word(words, entry.match)
        if not matches or any(has_word(words, word) for word in entry.unless):
            continue
        if entry.only_forms and not any(has_word(words, f) or f == form for f in entry.only_forms):
            continue
        return entry
    return None


def counts(row: MedicineRow, form: str, words: str) -> bool:
    """Whether a row holds of a medicine of this form, whose line has these words."""
    if row.forms and form not in row.forms and not any(has_word(words, f) for f in row.forms):
        return False
    if row.only and not any(has_word(words, word) for word in row.only):
        return False
    return not any(has_word(words, word.lower()) for word in row.unless)


def give_order(medicine: Medicine) -> tuple[bool, int]:
    """Liquids before solids (row `med-liquid`), else as in the file."""
    return (form_of(medicine) != "liquid", medicine.number)
