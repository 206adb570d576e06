"""The command `plainleaf locales`: what translators run."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from plainleaf.content import load_library
from plainleaf.errors import Fault, LocaleError
from plainleaf.locales import SOURCE, languages
from plainleaf.translate.extract import template
from plainleaf.translate.messages import english_messages
from plainleaf.translate.status import STATES, rows
from plainleaf.translate.update import updated

_TAG = "[a-z]{2,3}(-[A-Za-z0-9]{1,8})*"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    parser.add_argument(
        "action",
        nargs="?",
        choices=tuple(_ACTIONS),
        default="status",
        help="status: how far each language is (the default); extract: print a template of all "
        "texts; update: bring the catalogs up to the English of today, or begin a language",
    )
    parser.add_argument("--language", metavar="TAG", help="one language, as in es")


def run(arguments: argparse.Namespace, teaching: Path) -> int:
    """Do what was asked.

    Returns:
        The exit status.
    Raises:
        ContentError: The teaching folder does not load.
        LocaleError: A catalog cannot be read.
    """
    load_library(teaching)
    return _ACTIONS[arguments.action](arguments, teaching)


def _tags(arguments: argparse.Namespace, teaching: Path) -> list[str]:
    """The language that was named, which must be there, or all."""
    have = languages(teaching / "locales")[1:]
    if arguments.language is None:
        return list(have)
    if arguments.language not in have:
        wrong = f"There is no catalog in '{arguments.language}'."
        instead = f"Begin one with: plainleaf locales update --language {arguments.language}"
        raise LocaleError([Fault("locales", 0, wrong, instead)])
    return [arguments.language]


def _status(arguments: argparse.Namespace, teaching: Path) -> int:
    sys.stdout.writelines(f"{line}\n" for line in _table(_tags(arguments, teaching), teaching))
    return 0


def _table(tags: list[str], teaching: Path) -> Iterator[str]:
    messages = english_messages(teaching)
    heads = ("messages", *STATES)
    yield f"{'':24}" + "".join(f"{head:>12}" for head in heads)
    for tag in tags:
        found = list(rows(messages, teaching / "locales", tag))
        for row in found:
            counts = (len(row.states), *(row.count(state) for state in STATES))
            yield f"{tag + '/' + row.module:24}" + "".join(f"{n:12}" for n in counts)
        sums = (
            sum(len(row.states) for row in found),
            *(sum(row.count(state) for row in found) for state in STATES),
        )
        yield f"{tag:24}" + "".join(f"{n:12}" for n in sums)


def _extract(arguments: argparse.Namespace, teaching: Path) -> int:
    sys.stdout.write(template(teaching))
    return 0


def _update(arguments: argparse.Namespace, teaching: Path) -> int:
    import re

    locales = teaching / "locales"
    wanted = arguments.language
    if wanted is not None and (not re.fullmatch(_TAG, wanted) or wanted == SOURCE):
        raise LocaleError(
            [Fault("locales", 0, f"'{wanted}' is not a tag.", "Write es or zh-Hans.")]
        )
    messages = english_messages(teaching)
    for tag in [wanted] if wanted else languages(locales)[1:]:
        changed = 0
        for name, text in updated(messages, locales, tag).items():
            path = locales / tag / name
            if path.exists() and path.read_text(encoding="utf-8") == text:
                continue
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            changed += 1
        sys.stdout.write(f"{tag}: {changed} of {len(messages)} catalogs written\n")
    return 0


_ACTIONS: dict[str, Callable[[argparse.Namespace, Path], int]] = {
    "status": _status,
    "extract": _extract,
    "update": _update,
}
