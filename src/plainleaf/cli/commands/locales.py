"""The command `plainleaf locales`: what translators run."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from plainleaf.authoring.translation.extract import template
from plainleaf.authoring.translation.language import STARTER
from plainleaf.authoring.translation.language_faults import language_faults
from plainleaf.authoring.translation.messages import Messages, english_messages
from plainleaf.authoring.translation.status import STATES, Row, rows
from plainleaf.authoring.translation.update import updated
from plainleaf.authoring.translation.word_review import record
from plainleaf.cli.commands.opened import places_of
from plainleaf.cli.report_data import FORMAT, Data, faults_data
from plainleaf.cli.streams import print_document, print_json, say
from plainleaf.facts import VOCABULARY
from plainleaf.inputs.catalog import SOURCE, languages, load_catalog, reviews_of_words
from plainleaf.inputs.content import load_library
from plainleaf.inputs.reviews import FILE, Review, reviews_text
from plainleaf.inputs.strict_yaml import read_date
from plainleaf.packet.delivery import replace_file
from plainleaf.printing.fonts import default_cache, own_fonts
from plainleaf.vocabulary.errors import DeliveryError, Fault, LocaleError, UnitError

_TAG = "[a-z]{2,3}(-[A-Za-z0-9]{1,8})*"


def run(arguments: argparse.Namespace) -> int:
    """Do what was asked.

    Returns:
        The exit status.
    Raises:
        ContentError: The teaching folder does not load.
        LocaleError: A catalog cannot be read.
    """
    teaching = places_of(arguments).teaching
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
    languages_asked = {tag: _language(tag, teaching) for tag in _tags(arguments, teaching)}
    if arguments.json:
        data = [_language_data(tag, modules) for tag, modules in languages_asked.items()]
        print_json({"format": FORMAT, "languages": data})
    else:
        say(_table(languages_asked))
    return 0


def _language(tag: str, teaching: Path) -> list[tuple[Row, str]]:
    """Each module with whether its words of today were reviewed: yes, no, or changed since."""
    locales = teaching / "locales"
    reviewed = load_catalog(locales, tag).reviewed
    reviews = reviews_of_words(locales, tag)

    def review_of(row: Row) -> str:
        if row.module in reviewed and row.complete:
            return "yes"
        return "changed" if row.module in reviews else "no"

    return [(row, review_of(row)) for row in rows(english_messages(teaching), locales, tag)]


def _language_data(tag: str, modules: list[tuple[Row, str]]) -> Data:
    """How many messages of each module are in which state, and whether it was reviewed."""
    counted = [
        {
            "module": row.module,
            "messages": len(row.states),
            **{state: row.count(state) for state in STATES},
            "reviewed": review,
        }
        for row, review in modules
    ]
    return {"language": tag, "modules": counted}


def _table(languages_asked: Mapping[str, list[tuple[Row, str]]]) -> Iterator[str]:
    heads = ("messages", *STATES, "reviewed")
    yield f"{'':24}" + "".join(f"{head:>12}" for head in heads)
    for tag, modules in languages_asked.items():
        for row, review in modules:
            counts = [len(row.states), *(row.count(state) for state in STATES)]
            yield _line(f"{tag}/{row.module}", counts, review)
        sums = [sum(row.count(state) for row, _ in modules) for state in STATES]
        done = sum(review == "yes" for _, review in modules)
        yield _line(tag, [sum(sums), *sums], f"{done} of {len(modules)}")


def _line(name: str, counts: list[int], review: str) -> str:
    return f"{name:24}" + "".join(f"{count:12}" for count in counts) + f"{review:>12}"


def _extract(arguments: argparse.Namespace, teaching: Path) -> int:
    if arguments.json:
        print_json({"format": FORMAT, "template": template(teaching)})
    else:
        print_document(template(teaching))
    return 0


def _check(arguments: argparse.Namespace, teaching: Path) -> int:
    fonts = own_fonts(default_cache()).letters
    messages, locales = english_messages(teaching), teaching / "locales"
    tags = _tags(arguments, teaching)
    faults = [fault for tag in tags for fault in language_faults(messages, locales, tag, fonts)]
    if arguments.json:
        print_json({**faults_data(faults), "languages": tags})
    else:
        say(map(str, faults) if faults else [f"{', '.join(tags) or 'no language'}: no faults"])
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
    given = Review(arguments.module, arguments.by, arguments.qualification, on, None, "")
    review = record(english_messages(teaching), locales, tag, given)
    text = reviews_text({**reviews_of_words(locales, tag), review.of: review})
    _write(locales / tag / FILE, text)
    if arguments.json:
        row = {"language": tag, "module": review.of, "by": review.by, "on": str(review.on)}
        print_json({"format": FORMAT, **row})
    else:
        say([f"{tag}/{review.of}: reviewed by {review.by} on {review.on}"])
    return 0


def _update(arguments: argparse.Namespace, teaching: Path) -> int:
    locales, wanted = teaching / "locales", arguments.language
    if wanted is not None and (not re.fullmatch(_TAG, wanted) or wanted == SOURCE):
        wrong = f"'{wanted}' is not a tag."
        raise LocaleError([Fault("locales", 0, wrong, "Write es or zh-Hans.")])
    messages = english_messages(teaching)
    tags = [wanted] if wanted else languages(locales)[1:]
    written = {tag: _write_catalogs(messages, locales, tag) for tag in tags}
    if arguments.json:
        print_json({"format": FORMAT, "catalogs": len(messages), "written": written})
    else:
        say(f"{tag}: {count} of {len(messages)} catalogs written" for tag, count in written.items())
    return 0


def _write_catalogs(messages: Messages, locales: Path, tag: str) -> int:
    """How many catalogs of a language had to be written anew."""
    written = 0
    for name, text in updated(messages, locales, tag).items():
        path = locales / tag / name
        if path.exists() and path.read_text(encoding="utf-8") == text:
            continue
        _write(path, text)
        written += 1
    for name, text in STARTER.items():
        if not (locales / tag / name).exists():
            _write(locales / tag / name, text)
    return written


def _write(path: Path, text: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DeliveryError(f"{path}: cannot be written: {error.strerror}.") from error
    replace_file(path, text)


_ACTIONS: dict[str, Callable[[argparse.Namespace, Path], int]] = {
    "status": _status,
    "extract": _extract,
    "update": _update,
    "check": _check,
    "reviewed": _reviewed,
}
