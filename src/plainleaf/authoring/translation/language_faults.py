"""Every fault of a language at once, for its translators."""

from __future__ import annotations

import gettext
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from plainleaf.authoring.translation.language import load_language
from plainleaf.authoring.translation.messages import Messages, variants_of
from plainleaf.authoring.translation.pofile import read_po_file
from plainleaf.authoring.translation.source_texts import text_faults
from plainleaf.authoring.translation.status import Row, rows
from plainleaf.inputs.catalog import reviews_of_words
from plainleaf.printing.fonts import missing_letters
from plainleaf.vocabulary.errors import Fault
from plainleaf.vocabulary.languages import plurals_of

# Numbers that show every plural category there is in CLDR for whole numbers (row TR-27).
_COUNTS = (0, 1, 2, 3, 5, 11, 21, 100, 101, 1_000, 1_000_000)


def language_faults(
    messages: Messages, locales: Path, tag: str, fonts: Sequence[Path] = ()
) -> Iterator[Fault]:
    """All faults of a language, by file and line.

    Args:
        fonts: The packet's fonts, to name letters that they lack.
    Raises:
        LocaleError: A file cannot be read at all.
    """
    language = load_language(locales / tag)
    reviews_of_words(locales, tag)
    for row in rows(messages, locales, tag):
        file = f"locales/{tag}/{row.module}.po"
        yield from _state_faults(row, file)
        yield from _plural_faults(locales, tag, row.module, file)
        plain = messages[row.module]
        for english in (*plain, *(v for one in plain for v in variants_of(one, row.entries))):
            entry = row.entries.get(english.id)
            if entry is None or not entry.full:
                continue
            wrongs = [*text_faults(english, entry, language)]
            if fonts and (missing := missing_letters("".join(entry.forms), *fonts)):
                wrongs.append(f"has letters that the packet's fonts lack: {' '.join(missing)}")
            for wrong in wrongs:
                yield Fault(file, entry.line, f"'{english.id}' {wrong}.")


def _state_faults(row: Row, file: str) -> Iterator[Fault]:
    """One line for each state in which messages wait, with the first of them."""
    for state in ("fuzzy", "stale", "missing"):
        waiting = [
            identity
            for identity, state_of_message in row.states.items()
            if state_of_message == state
        ]
        if waiting:
            entry = row.entries.get(waiting[0])
            wrong = f"{len(waiting)} messages are {state}; the first is '{waiting[0]}'."
            instead = "Run plainleaf locales update." if state == "stale" else "Translate them."
            yield Fault(file, entry.line if entry else 0, wrong, instead)


def _plural_faults(locales: Path, tag: str, module: str, file: str) -> Iterator[Fault]:
    """The file's own rule for plural forms gives what CLDR gives, and every form is there."""
    po = read_po_file(locales / tag / f"{module}.po", file)
    plurals = plurals_of(tag)
    form = _rule(po.plural_forms)
    if po.entries and (form is None or any(form(n) != plurals.form(n) for n in _COUNTS)):
        wrong = "has another rule for plural forms than the language."
        yield Fault(file, 0, wrong, "Run plainleaf locales update.")
    for entry in po.entries:
        if len(entry.source) > 1 and len(entry.forms) != len(plurals.categories):
            order = ", ".join(plurals.categories)
            wrong = f"'{entry.id}' has {len(entry.forms)} plural forms."
            yield Fault(file, entry.line, wrong, f"Write one each for: {order}.")


def _rule(header: str) -> Callable[[int], int] | None:
    """The rule of a Plural-Forms header."""
    expression = header.partition("plural=")[2].rstrip("; ")
    try:
        rule: Callable[[int], int] = gettext.c2py(expression)
    except ValueError:
        return None
    return rule
