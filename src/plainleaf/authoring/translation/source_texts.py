"""Checks of one translated text against its English: what a reader of both would trip over."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator, Mapping

from plainleaf.authoring.translation.language import Language
from plainleaf.authoring.translation.messages import English
from plainleaf.authoring.translation.pofile import Entry
from plainleaf.inputs.content import LONGEST_ALT, LONGEST_CAPTION
from plainleaf.inputs.content.teaching_parts import SLOT

# Words that hardly any other language has: one of them in a translation is English left over.
_ENGLISH = frozenset(
    {"the", "of", "and", "your", "you", "with", "for", "from", "is", "are", "this", "that", "what",
     "when", "not", "feeding", "tube", "water", "call", "flush", "nurse", "opening", "write",
     "page", "day", "hours", "minutes", "child", "belly", "before", "after", "give", "every"}
)  # fmt: skip
_UNITS = r"(?:m[Ll]|cc|oz|mg|mcg|g|kg|lb|cm|mm|in|Fr|kcal|°|h)"
_NUMBER_WITH_UNIT = re.compile(rf"\d[\s\u00a0]*{_UNITS}(?![A-Za-z\u00c0-\u024f])")
_BAD_UNIT = re.compile(r"\b(?:ml|ML|cc|mls|mLs)\b")
_MARKUP = re.compile(r"<[^>]*>|&[a-z]+;|\*\*|__|`")
# Arabic-Indic and Persian digits: devices show the others (row TR-29h).
_OTHER_DIGITS = re.compile("[\u0660-\u0669\u06f0-\u06f9]")
# Stretched letters, letters stored as glyphs, and marks that nobody sees.
_GLYPHS = re.compile("[\u0640\ufb1d-\ufdff\ufe70-\ufefc]")
_HIDDEN = re.compile("[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]")
_ENDS = {"؟": "?", "。": ".", "：": ":", "？": "?", "।": "."}
# A label in a picture has room for so many letters more than its English.
_LABEL_ROOM, _LABEL_TIMES = 14, 2.0

Check = Callable[[English, str, Language], Iterator[str]]


def slots_kept(english: English, text: str, _: Language) -> Iterator[str]:
    """The same slots, each as often."""
    wanted, slots = (Counter(SLOT.findall(t)) for t in (english.source[-1], text))
    if wanted != slots or re.search("[{}]", SLOT.sub("", text)):
        names = ", ".join(f"{{{name}}}" for name in wanted.elements()) or "none"
        yield f"has other slots than its English: write exactly {names}"


def numbers_kept(english: English, text: str, _: Language) -> Iterator[str]:
    """The same numbers; an amount with its unit comes from a slot alone."""
    bare = SLOT.sub("", text)
    wanted = Counter(re.findall(r"\d+", SLOT.sub("", english.source[-1])))
    if wanted != Counter(re.findall(r"\d+", bare)):
        yield "has other numbers than its English"
    if _OTHER_DIGITS.search(text):
        yield "has other digits than 0 to 9, which devices show"
    if _NUMBER_WITH_UNIT.search(bare) and not _NUMBER_WITH_UNIT.search(english.source[-1]):
        yield "has an amount with a unit: amounts come from slots"
    if unit := _BAD_UNIT.search(bare):
        yield f"has '{unit[0]}': the unit is mL in every language"


def spaces_and_marks(english: English, text: str, _: Language) -> Iterator[str]:
    """Spaces at the ends, markup, the mark at the end, and how letters are stored."""
    source = english.source[-1]
    if text != text.strip() and source == source.strip():
        yield "begins or ends with a space"
    if "  " in text:
        yield "has two spaces together"
    if Counter(_MARKUP.findall(source)) != Counter(_MARKUP.findall(text)):
        yield "has other markup than its English"
    ends = [_ENDS.get(t.rstrip()[-1:], t.rstrip()[-1:]) for t in (source, text)]
    if ends[0] != ends[1] and any(end in ".?:" for end in ends if end):
        yield f"does not end as its English does, with '{ends[0]}'"
    if unicodedata.normalize("NFC", text) != text:
        yield "is not in the composed form (NFC): type it anew"
    if glyph := _GLYPHS.search(text):
        yield f"has U+{ord(glyph[0]):04X}: plain letters only, none stretched"
    if glyph := _HIDDEN.search(text):
        yield f"has a mark that nobody sees, U+{ord(glyph[0]):04X}"


def pairs_closed(_: English, text: str, language: Language) -> Iterator[str]:
    """What opens is closed."""
    for pair in language.pairs:
        opens, closes = pair[0], pair[-1]
        if opens == closes:
            if text.count(opens) % 2:
                yield f"has an odd number of {opens}"
        elif text.count(opens) != text.count(closes):
            yield f"has {opens} and {closes} that do not pair"


def letters_of_the_language(_: English, text: str, language: Language) -> Iterator[str]:
    """No English left, and no letter of another script."""
    bare = SLOT.sub(" ", text)
    words = re.findall(r"[A-Za-z]+", bare)
    foreign = [w for w in words if w.lower() in _ENGLISH and w not in language.latin]
    if foreign:
        yield f"has English left: '{foreign[0]}'"
    for word in re.findall(r"[^\W\d_]+", bare) if language.letters else ():
        if not set(word) <= language.letters and word not in language.latin:
            yield f"has letters of another language: '{word}'"
            return


def glossary_kept(english: English, text: str, language: Language) -> Iterator[str]:
    """Each term of the glossary by its own word; a longer term counts before one inside it."""
    if english.id in language.exceptions:
        return
    source, words = english.source[-1].lower(), text.casefold()
    for term, forms in language.glossary.items():
        pattern = rf"(?<![\w{{-]){re.escape(term.lower())}(?:s|es)?(?![\w}}-])"
        if re.search(pattern, source):
            source = re.sub(pattern, " ", source)
            if not any(form.casefold() in words for form in forms):
                yield f"says '{term}' by another word than the glossary: {forms[0]}"


def short_enough(english: English, text: str, _: Language) -> Iterator[str]:
    """Labels, captions and what is read out in place of a picture keep to their room."""
    if english.id.startswith("phrase:pic-"):
        most = max(len(english.source[-1]) + _LABEL_ROOM, len(english.source[-1]) * _LABEL_TIMES)
        if len(text) > most:
            yield f"is a label of {len(text)} letters; at most {most:.0f}"
    elif english.id.endswith("/alt") and len(SLOT.sub("", text)) > LONGEST_ALT:
        yield f"is read out and has more than {LONGEST_ALT} letters"
    elif english.kind == "picture" and len(SLOT.sub("", text).split()) > LONGEST_CAPTION:
        yield f"is a caption of more than {LONGEST_CAPTION} words"


def open_and_kind(english: English, text: str, language: Language) -> Iterator[str]:
    """What a nurse asks stays an open question that shames nobody."""
    if "/ask" not in english.id:
        return
    words = re.findall(r"[^\W\d_]+", text.casefold())
    for word in language.shaming:
        if word.casefold() in words or (" " in word and word.casefold() in text.casefold()):
            yield f"has a word that shames: '{word}'"
    for sentence in re.split(r"(?<=[.?؟。])\s+", text):
        start = re.sub(r"^\W+", "", sentence.casefold())
        asks = sentence.rstrip().endswith(("?", "؟"))
        for word in language.yes_no_starts:
            if asks and re.match(rf"{re.escape(word.casefold())}\b", start):
                yield f"asks for yes or no: '{word} …'"


CHECKS: Mapping[str, Check] = {
    "slots": slots_kept,
    "numbers": numbers_kept,
    "marks": spaces_and_marks,
    "pairs": pairs_closed,
    "letters": letters_of_the_language,
    "glossary": glossary_kept,
    "lengths": short_enough,
    "teach-back": open_and_kind,
}


def text_faults(english: English, entry: Entry, language: Language) -> Iterator[str]:
    """Everything wrong in the forms of one message, each thing once."""
    messages_once: dict[str, None] = {}
    for form in entry.forms:
        for check in CHECKS.values():
            messages_once.update(dict.fromkeys(check(english, form, language)))
    yield from messages_once
