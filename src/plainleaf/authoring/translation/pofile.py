"""PO files as translators get them: one form, no timestamps, the same bytes each time."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import PoFileError, read_po, write_po

from plainleaf.inputs.files import LARGEST_CATALOG, Unreadable, read_bytes
from plainleaf.vocabulary.errors import Fault, LocaleError
from plainleaf.vocabulary.languages import plurals_of

# Wider than any text: comments and texts stand on one line each, whatever they hold.
_NO_WRAP = 1_000_000
_PREVIOUS = re.compile(r'\|\s*(msgid|msgid_plural)\s+"(.*)"$')


@dataclass(frozen=True)
class Entry:
    """One message of a PO file.

    `previous`: the English a fuzzy translation was made from. `remarks`: the translator's own
    comments. `line` counts from 1.
    """

    id: str
    source: tuple[str, ...]
    forms: tuple[str, ...]
    fuzzy: bool = False
    previous: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    line: int = 0

    @property
    def full(self) -> bool:
        """Whether every form is written."""
        return bool(self.forms) and all(self.forms)


@dataclass(frozen=True)
class PoFile:
    """A PO file read: its entries, those that are no longer asked for, its Plural-Forms."""

    entries: tuple[Entry, ...] = ()
    obsolete: tuple[Entry, ...] = ()
    plural_forms: str = ""


def read_po_file(path: Path, file: str) -> PoFile:
    """A PO file with flags and comments; empty where there is none.

    Args:
        file: What a fault names it.
    Raises:
        LocaleError: It is no PO file.
    """
    if not path.exists():
        return PoFile()
    try:
        catalog = read_po(io.BytesIO(read_bytes(path, LARGEST_CATALOG)), abort_invalid=True)
    except Unreadable as error:
        raise LocaleError([replace(error.fault, file=file)]) from error
    except (PoFileError, ValueError) as error:
        raise LocaleError([Fault(file, 0, f"cannot be read as PO: {error}.")]) from error
    header = dict(catalog.mime_headers).get("Plural-Forms", "")
    entries = tuple(_entry(m) for m in catalog if m.id)
    return PoFile(entries, tuple(_entry(m) for m in catalog.obsolete.values()), header)


def _several(text: Any) -> tuple[str, ...]:
    return (text or "",) if text is None or isinstance(text, str) else tuple(text)


def _entry(message: Any) -> Entry:
    previous, remarks = [], []
    for comment in message.user_comments:
        match = _PREVIOUS.match(comment)
        if match:
            previous.append(match[2].replace('\\"', '"').replace("\\\\", "\\"))
        else:
            remarks.append(comment)
    return Entry(
        message.context or "",
        _several(message.id),
        _several(message.string),
        message.fuzzy,
        tuple(previous),
        tuple(remarks),
        message.lineno or 0,
    )


def new_catalog(tag: str) -> Catalog:
    """An empty catalog of a language with its plural forms by CLDR."""
    catalog = Catalog(fuzzy=False)
    plurals = plurals_of(tag)
    forms = f"nplurals={len(plurals.categories)}; plural={plurals.expression};"
    catalog.mime_headers = [("Plural-Forms", forms)]
    return catalog


def written(catalog: Catalog, title: str, tag: str = "", *, places: bool = False) -> str:
    """A catalog as PO text with our own header.

    Args:
        tag: Language; empty for a template.
        places: Whether to name file and line of each message.
    """
    stream = io.BytesIO()
    write_po(
        stream,
        catalog,
        width=_NO_WRAP,
        omit_header=True,
        include_previous=True,
        no_location=not places,
    )
    lines = [title, 'msgid ""', 'msgstr ""']
    head = {
        "Project-Id-Version": "plainleaf",
        # A private part of a tag is no part of a locale, and readers stumble over it.
        "Language": tag.split("-x-")[0],
        "MIME-Version": "1.0",
        "Content-Type": "text/plain; charset=utf-8",
        "Content-Transfer-Encoding": "8bit",
        "Plural-Forms": f"nplurals={catalog.num_plurals}; plural={catalog.plural_expr};",
    }
    lines += [f'"{name}: {value}\\n"' for name, value in head.items() if tag or name not in
              ("Language", "Plural-Forms")]  # fmt: skip
    return "\n".join(lines) + "\n\n" + stream.getvalue().decode()
