"""The command `plainleaf locales`: what translators run."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from plainleaf.authoring.translation.check import language_faults
from plainleaf.authoring.translation.extract import template
from plainleaf.authoring.translation.language import STARTER
from plainleaf.authoring.translation.messages import english_messages
from plainleaf.authoring.translation.review import record, reviews_path, reviews_text
from plainleaf.authoring.translation.status import STATES, rows
from plainleaf.authoring.translation.update import updated
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.catalog import SOURCE, languages, load_catalog
from plainleaf.inputs.catalog_reviews import Review, load_reviews
from plainleaf.inputs.content import load_library
from plainleaf.inputs.strict_yaml import read_date
from plainleaf.packet.places import shipped
from plainleaf.printing.fonts import default_cache, font_files, letter_fonts
from plainleaf.vocabulary.errors import Fault, LocaleError, UnitError

_TAG = "[a-z]{2,3}(-[A-Za-z0-9]{1,8})*"


def run(arguments: argparse.Namespace) -> int:
    """Do what was asked.

    Returns:
        The exit status.
    Raises:
        ContentError: The teaching folder does not load.
        LocaleError: A catalog cannot be read.
    """
    teaching = arguments.teaching or shipped("teaching")
    load_library(teaching, VOCABULARY)
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
    heads = ("messages", *STATES, "reviewed")
    yield f"{'':24}" + "".join(f"{head:>12}" for head in heads)
    for tag in tags:
        found = list(rows(messages, teaching / "locales", tag))
        reviewed = load_catalog(teaching / "locales", tag).reviewed
        reviews = load_reviews(teaching / "locales" / tag)
        for row in found:
            known = row.module in reviewed and row.complete
            said = "yes" if known else "changed" if row.module in reviews else "no"
            counts = [len(row.states), *(row.count(state) for state in STATES)]
            yield _line(f"{tag}/{row.module}", counts, said)
        sums = [sum(row.count(state) for row in found) for state in STATES]
        known_rows = sum(row.complete and row.module in reviewed for row in found)
        yield _line(tag, [sum(sums), *sums], f"{known_rows} of {len(found)}")


def _line(name: str, counts: list[int], said: str) -> str:
    return f"{name:24}" + "".join(f"{count:12}" for count in counts) + f"{said:>12}"


def _extract(arguments: argparse.Namespace, teaching: Path) -> int:
    sys.stdout.write(template(teaching))
    return 0


def _check(arguments: argparse.Namespace, teaching: Path) -> int:
    fonts = letter_fonts(font_files(default_cache()))
    messages, locales = english_messages(teaching), teaching / "locales"
    tags = _tags(arguments, teaching)
    faults = [fault for tag in tags for fault in language_faults(messages, locales, tag, fonts)]
    sys.stdout.writelines(f"{fault}\n" for fault in faults)
    if not faults:
        sys.stdout.write(f"{', '.join(tags) or 'no language'}: no faults\n")
    return 1 if faults else 0


def _reviewed(arguments: argparse.Namespace, teaching: Path) -> int:
    asked = {name: getattr(arguments, name) for name in ("language", "by", "qualification", "on")}
    lacking = [f"--{name}" for name, value in asked.items() if not value]
    if arguments.module is None or lacking:
        wrong = "A review names its module, language, reader, qualification and day."
        what = " ".join(["MODULE"] * (arguments.module is None) + lacking)
        raise LocaleError([Fault("locales", 0, wrong, f"Write also: {what}.")])
    (tag,) = _tags(arguments, teaching)
    locales = teaching / "locales"
    try:
        on = read_date(arguments.on)
    except UnitError as error:
        raise LocaleError([Fault("--on", 0, error.wrong, error.instead)]) from error
    given = Review(arguments.module, arguments.by, arguments.qualification, on, "")
    review = record(english_messages(teaching), locales, tag, given)
    text = reviews_text(locales, tag, review)
    reviews_path(locales, tag).write_text(text, encoding="utf-8")
    sys.stdout.write(f"{tag}/{review.module}: reviewed by {review.by} on {review.on}\n")
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
        for name, text in STARTER.items():
            if not (locales / tag / name).exists():
                (locales / tag / name).write_text(text, encoding="utf-8")
        sys.stdout.write(f"{tag}: {changed} of {len(messages)} catalogs written\n")
    return 0


_ACTIONS: dict[str, Callable[[argparse.Namespace, Path], int]] = {
    "status": _status,
    "extract": _extract,
    "update": _update,
    "check": _check,
    "reviewed": _reviewed,
}
