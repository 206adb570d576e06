"""Words in one language: gettext catalogs read from PO files, with English as the source.

A catalog is a folder `locales/<tag>/` of PO files. `msgctxt` is the message id, `msgid` the
English text it was made from. A message that is missing, fuzzy or made from another English text
is an error: a packet never mixes languages in silence.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from pathlib import Path

from plainleaf.inputs.files import LARGEST_CATALOG, Unreadable, read_bytes
from plainleaf.inputs.reviews import (
    FILE,
    BrokenReviewsError,
    Review,
    digest_of_words,
    load_reviews,
)
from plainleaf.vocabulary.errors import Fault, LocaleError
from plainleaf.vocabulary.languages import direction_of, plurals_of

SOURCE = "en"
# The catalog that holds the words around a patient's values.
PHRASES = "phrases"
# Forms of address for which a language may vary a message; the plain message is for all others.
VARIED = ("her", "him")
_VARIANT = re.compile(r"([^@]+)((?:@patient-(?:her|him))?(?:@reader-(?:her|him))?)")
_SLOT = re.compile(r"\{([a-z_]+)\}")


@dataclass(frozen=True)
class Message:
    """One translated message: the English it was made from and its forms (one without plural).

    `source` holds the singular and, where the number changes the words, the plural.
    """

    source: tuple[str, ...]
    forms: tuple[str, ...]
    file: str
    line: int


@dataclass(frozen=True)
class Catalog:
    """All messages of one language; the English catalog has none and gives the source back.

    `reviewed`: the modules whose words are exactly those that a qualified translator has read.
    `address`: as whom patient and reader are addressed, as in the ids of variants: `patient-her`.
    """

    language: str
    messages: Mapping[str, Message]
    reviewed: frozenset[str] = frozenset()
    address: tuple[str, ...] = ()

    def addressed(self, patient: str | None, reader: str | None) -> Catalog:
        """The catalog for a patient and a reader, each addressed as her, as him or as neither."""
        said = {"patient": patient, "reader": reader}
        address = tuple(f"{who}-{how}" for who, how in said.items() if how in VARIED)
        return replace(self, address=address)

    @property
    def direction(self) -> str:
        """`ltr` or `rtl`."""
        return direction_of(self.language)

    def draft(self, modules: Iterable[str]) -> bool:
        """Whether words of one of these modules, or the phrases, were read by nobody qualified."""
        return self.language != SOURCE and not {*modules, PHRASES} <= self.reviewed

    def words(self, module: str) -> str:
        """The digest of all words of a module that can print."""
        file = f"locales/{self.language}/{module}.po"
        own = ((i, m.source, m.forms) for i, m in self.messages.items() if m.file == file)
        return digest_of_words(own)

    def all_words(self) -> str:
        """The digest of all words that can print."""
        return digest_of_words((i, m.source, m.forms) for i, m in self.messages.items())

    def text(self, identity: str, source: str) -> str:
        """The words of a message.

        Raises:
            LocaleError: The message is missing or made from another English text.
        """
        if self.language == SOURCE:
            return source
        return self._message(identity, (source,)).forms[0]

    def plural(self, identity: str, singular: str, other: str, count: int | Decimal) -> str:
        """The form of a message for a number.

        Raises:
            LocaleError: As for `text`, or the language has another number of forms.
        """
        if self.language == SOURCE:
            return singular if count == 1 else other
        message = self._message(identity, (singular, other))
        plurals = plurals_of(self.language)
        if len(plurals.categories) != len(message.forms):
            many = len(plurals.categories)
            wrong = f"'{identity}' has {len(message.forms)} plural forms, not {many}."
            raise LocaleError([Fault(message.file, message.line, wrong)])
        return message.forms[plurals.form(count)]

    def _names(self, identity: str) -> Iterator[str]:
        """Ids under which a message is looked for: the closest variant first, the plain last."""
        if len(self.address) > 1:
            yield identity + "".join(f"@{how}" for how in self.address)
        yield from (f"{identity}@{how}" for how in self.address)
        yield identity

    def _message(self, identity: str, source: tuple[str, ...]) -> Message:
        found = (self.messages.get(name) for name in self._names(identity))
        message = next((one for one in found if one is not None), None)
        if message is None:
            raise LocaleError(
                [Fault(f"locales/{self.language}", 0, f"'{identity}' has no translation.")]
            )
        if message.source != source:
            wrong = f"'{identity}' was translated from another English text."
            raise LocaleError([Fault(message.file, message.line, wrong, "Translate it again.")])
        return message


def variant_of(identity: str) -> str | None:
    """The message that an id is a variant of; None where it is none.

    >>> variant_of("feeding.ready.sit@patient-her@reader-him")
    'feeding.ready.sit'
    """
    match = _VARIANT.fullmatch(identity)
    return match[1] if match is not None and match[2] else None


def languages(folder: Path) -> tuple[str, ...]:
    """Tags of the languages that have a catalog, English first."""
    tags = sorted(path.name for path in folder.glob("*") if any(path.glob("*.po")))
    return (SOURCE, *tags)


def best_language(wanted: str, have: Sequence[str]) -> str:
    """The language of a handout for a reader's tag: the tag itself, else its language alone.

    >>> best_language("en-US", ["en", "es"]), best_language("ar", ["en", "es"])
    ('en', 'ar')
    """
    plain = wanted.split("-")[0]
    return plain if wanted not in have and plain in have else wanted


def load_catalog(folder: Path, language: str) -> Catalog:
    """The catalog of a language.

    Args:
        folder: The `locales` folder of a teaching folder.
    Raises:
        LocaleError: No catalog for the language, or a file that cannot be read.
    """
    if language == SOURCE:
        return Catalog(SOURCE, {})
    if language not in languages(folder):
        have = ", ".join(languages(folder))
        raise LocaleError(
            [
                Fault(
                    f"locales/{language}",
                    0,
                    f"There is no handout in '{language}'.",
                    f"There is: {have}.",
                )
            ]
        )
    files = sorted((folder / language).glob("*.po"))
    messages = _messages(language, tuple((path, path.stat().st_mtime_ns) for path in files))
    catalog = Catalog(language, messages)
    reviews = reviews_of_words(folder, language)
    read = (name for name, review in reviews.items() if catalog.words(name) == review.read)
    return replace(catalog, reviewed=frozenset(read))


def reviews_of_words(folder: Path, language: str) -> Mapping[str, Review]:
    """Module → the latest record of who has read its words in a language.

    Args:
        folder: The `locales` folder of a teaching folder.
    Raises:
        LocaleError: The file cannot be read, or a record lacks something.
    """
    try:
        return load_reviews(folder / language / FILE, f"locales/{language}/{FILE}")
    except BrokenReviewsError as error:
        raise LocaleError(error.faults) from error


@cache
def _messages(language: str, files: tuple[tuple[Path, int], ...]) -> Mapping[str, Message]:
    """The messages of files, each with the time it was written: read again when one changed."""
    messages: dict[str, Message] = {}
    for path, _ in files:
        of_file = _read(path, language)
        twice = sorted(set(of_file) & set(messages))
        if twice:
            again, first = of_file[twice[0]], messages[twice[0]]
            wrong = f"'{twice[0]}' stands in {first.file} too."
            raise LocaleError([Fault(again.file, again.line, wrong, "Keep one of the two.")])
        messages |= of_file
    return messages


def _read(path: Path, language: str) -> dict[str, Message]:
    from babel.messages.pofile import PoFileError, read_po

    file = f"locales/{language}/{path.name}"
    try:
        catalog = read_po(io.BytesIO(read_bytes(path, LARGEST_CATALOG)), abort_invalid=True)
    except Unreadable as error:
        raise LocaleError([replace(error.fault, file=file)]) from error
    except (PoFileError, ValueError) as error:
        raise LocaleError([Fault(file, 0, f"cannot be read as PO: {error}.")]) from error
    by_id: dict[str, Message] = {}
    faults: list[Fault] = []
    for entry in catalog:
        if not entry.id or entry.fuzzy or entry.context is None:
            continue
        forms = _several(entry.string)
        if all(forms):
            message = Message(_several(entry.id), forms, file, entry.lineno or 0)
            faults += _slot_faults(entry.context, message)
            by_id[entry.context] = message
    if faults:
        raise LocaleError(faults)
    return by_id


def _slot_faults(identity: str, message: Message) -> Iterator[Fault]:
    """Every form has the slots of its source: a number never hides in a plural form."""
    wanted = set(_SLOT.findall(message.source[-1]))
    for form in message.forms:
        if set(_SLOT.findall(form)) != wanted or re.search("[{}]", _SLOT.sub("", form)):
            expected = ", ".join(f"{{{slot}}}" for slot in sorted(wanted)) or "none"
            wrong = f"'{identity}' has other slots than its English text."
            yield Fault(message.file, message.line, wrong, f"Write exactly: {expected}.")


def _several(text: str | Sequence[str] | None) -> tuple[str, ...]:
    """The forms of a message: one, or one for each plural category."""
    return (text or "",) if text is None or isinstance(text, str) else tuple(text)
