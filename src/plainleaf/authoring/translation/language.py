"""What a translator decides about a language, for the checks: `language.yaml`, `glossary.yaml`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from plainleaf.inputs.strict_yaml import Reader, Unreadable, parse, read_text
from plainleaf.vocabulary.errors import Fault, LocaleError

LANGUAGE_FILE, GLOSSARY_FILE = "language.yaml", "glossary.yaml"
# A new language begins with these.
STARTER = {
    LANGUAGE_FILE: """\
# What a translator decides about this language; `plainleaf locales check` goes by it.
# How each line is meant: teaching/locales/GUIDE.md
letters: ""        # every letter the language is written with; empty: not checked
latin: []          # words in Latin letters that may stand in it, such as mL
yes_no_starts: []  # how a question for yes or no begins
shaming: []        # words that make people feel tested
pairs: ["()", "[]"]
glossary_exceptions: {}
""",
    GLOSSARY_FILE: """\
# One word for each English term, the longer term before a shorter one inside it.
# "feeding tube": ["the word", "another form of it"]
{}
""",
}


@dataclass(frozen=True)
class Language:
    """The rules of one language.

    `glossary`: English term → the forms of its word, longest term first. `exceptions`: message id
    → why a term is another word there. `pairs`: opening and closing marks, two letters each.
    """

    letters: frozenset[str]
    latin: frozenset[str]
    yes_no_starts: tuple[str, ...]
    shaming: tuple[str, ...]
    pairs: tuple[str, ...]
    glossary: Mapping[str, tuple[str, ...]]
    exceptions: Mapping[str, str]


def load_language(folder: Path) -> Language:
    """The rules of a language from its folder.

    Raises:
        LocaleError: A file is missing or cannot be read.
    """
    faults: list[Fault] = []
    rules = _open(folder, LANGUAGE_FILE, faults)
    words = _open(folder, GLOSSARY_FILE, faults)
    if rules is None or words is None:
        raise LocaleError(faults)
    language = Language(
        frozenset((rules.scalar("letters") or "").replace(" ", "")),
        frozenset(_list(rules, "latin")),
        tuple(_list(rules, "yes_no_starts")),
        tuple(_list(rules, "shaming")),
        tuple(_list(rules, "pairs")),
        {key: _forms(words, key) for key in sorted(words.mapping, key=lambda key: -len(key))},
        _texts(rules, "glossary_exceptions"),
    )
    rules.close()
    faults += [*rules.faults, *words.faults]
    if faults:
        raise LocaleError(faults)
    return language


def _open(folder: Path, name: str, faults: list[Fault]) -> Reader | None:
    file = f"locales/{folder.name}/{name}"
    try:
        return Reader(parse(read_text(folder / name), file), [])
    except Unreadable as error:
        faults.append(Fault(file, error.fault.line, error.fault.wrong, "See locales/GUIDE.md."))
        return None


def _list(reader: Reader, key: str) -> list[str]:
    return [node.value for node in reader.items(key) if isinstance(node.value, str)]


def _forms(reader: Reader, key: str) -> tuple[str, ...]:
    node = reader.mapping[key]
    if isinstance(node.value, str):
        return (node.value,)
    return tuple(_list(reader, key))


def _texts(reader: Reader, key: str) -> Mapping[str, str]:
    inner = reader.child(key)
    if inner is None:
        return {}
    return {name: inner.text(name, required=True) or "" for name in inner.mapping}
