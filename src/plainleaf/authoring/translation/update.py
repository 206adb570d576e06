"""Brings the catalogs of a language up to the English of today.

A text that is new waits empty. A text that changed keeps its translation, marked fuzzy, with the
English it was made from; a person looks at it before it prints. Nothing is guessed from texts
that look alike. A text that is gone is kept at the end as obsolete.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from babel.messages.catalog import Catalog, Message

from plainleaf.authoring.translation.messages import English, Messages, variants_of
from plainleaf.authoring.translation.pofile import Entry, new_catalog, read_po_file, written
from plainleaf.inputs.catalog import variant_of
from plainleaf.vocabulary.languages import locale_name


def updated(messages: Messages, locales: Path, tag: str) -> dict[str, str]:
    """File name → new PO text, for every catalog of a language.

    Args:
        locales: The `locales` folder of a teaching folder; the language's folder need not exist.
    Raises:
        LocaleError: A PO file cannot be read.
    """
    files = {}
    before = {
        name: read_po_file(locales / tag / f"{name}.po", f"locales/{tag}/{name}.po")
        for name in (*messages, *_gone(messages, locales / tag))
    }
    existing = {
        entry.id: entry
        for file in before.values()
        for entry in (*file.obsolete, *file.entries)
        if any(entry.forms)
    }
    asked = {
        message.id for messages_of_module in messages.values() for message in messages_of_module
    }
    asked |= {identity for identity in existing if variant_of(identity) in asked}
    for name, messages_of_module in messages.items():
        catalog = new_catalog(tag)
        for message in messages_of_module:
            _add(catalog, message, existing.get(message.id))
            for variant in variants_of(message, existing):
                _add(catalog, variant, existing[variant.id])
        dropped = {e.id: e for e in (*before[name].obsolete, *before[name].entries)}
        _keep_obsolete(catalog, dropped, asked)
        title = f"# {locale_name(tag)}: {name}. How to fill it in: teaching/locales/GUIDE.md"
        files[f"{name}.po"] = written(catalog, title, tag)
    return files


def _gone(messages: Messages, folder: Path) -> list[str]:
    """Catalogs in the folder of modules that are no more: their texts may have moved."""
    return sorted(path.stem for path in folder.glob("*.po") if path.stem not in messages)


def _forms(entry: Entry, many: int) -> tuple[str, ...]:
    """The forms of an entry in as many as are asked for; a new number of forms starts over."""
    return entry.forms if len(entry.forms) == many else (entry.forms[-1],) * many


def _add(catalog: Catalog, message: English, entry: Entry | None) -> None:
    plural = len(message.source) > 1
    many = catalog.num_plurals if plural else 1
    identity = message.source if plural else message.source[0]
    forms: tuple[str, ...] = ("",) * many
    previous: tuple[str, ...] = ()
    fuzzy = False
    if entry is not None:
        changed = entry.source != message.source or len(entry.forms) != many
        fuzzy = entry.fuzzy or changed
        made_from = entry.previous if entry.fuzzy and entry.previous else entry.source
        previous = made_from if fuzzy and made_from != message.source else ()
        forms = _forms(entry, many)
    catalog.add(
        identity,
        forms if plural else forms[0],
        flags=("fuzzy",) if fuzzy else (),
        auto_comments=message.notes,
        user_comments=entry.remarks if entry else (),
        previous_id=previous,
        context=message.id,
    )


def _keep_obsolete(catalog: Catalog, dropped: Mapping[str, Entry], asked: Iterable[str]) -> None:
    for identity in sorted(set(dropped) - set(asked)):
        entry = dropped[identity]
        if not any(entry.forms):
            continue
        plural = len(entry.source) > 1
        catalog.obsolete[identity] = Message(
            entry.source if plural else entry.source[0],
            entry.forms if plural else entry.forms[0],
            context=identity,
        )
