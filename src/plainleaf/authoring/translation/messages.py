"""The English texts of a teaching folder, as the messages a translator sees.

One catalog a module, and one for the phrases. The id of a message is what `fill` and `word` ask
for: the id of a statement; `+child` for the words to a parent; `/heading`, `/title`, `/ask`,
`/again`, `/alt`; `phrase:ID`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from plainleaf.authoring.translation.samples import slot_note
from plainleaf.inputs.catalog import PHRASES, variant_of
from plainleaf.inputs.content import KINDS, slots_in
from plainleaf.inputs.strict_yaml import Node, parse, read_text

_KIND_NOTES = {
    "say": "A paragraph.",
    "point": "An item of a list.",
    "step": "A numbered step: one action, start with the verb.",
    "warn": "A do-not line: what not to do, why, what to do instead.",
    "normal": "Something that is normal.",
    "call_now": "An emergency sign, read under a heading that says to call 911 or go in now.",
    "call_us": "A sign, read under a heading that says to call us now, at any hour.",
    "call_today": "A sign, read under a heading that says to call today.",
    "tell_visit": "Something to tell at the next visit.",
    "picture": "The caption of a picture: at most 10 words.",
}
_ALT = "Read aloud in place of the picture: at most 150 letters."
_HEADING = "A heading."
_TITLE = "The title of a topic."
_ASK = "The nurse asks this aloud. An open question, never one for yes or no; the burden is ours."
_AGAIN = "The nurse says this: a second way to explain."
_SKILL = "The title of a skill that is shown."
_CHILD = "The reader is the parent of a child with the tube."
_PLURAL = "Write every plural form that your language has. The number stands in each of them."
# Start of a phrase id → what the phrase is for.
_PHRASE_NOTES = {
    "head-": "The heading of a table column: short.",
    "card-": "A label of the facts of the tube on page 2: short.",
    "page-": "The title of a page: short, beside its number.",
    "tier-": "How fast to act, in the finder: as short as the English.",
    "contact-": "A label in the box of phone numbers on page 1: short.",
    "event-": "A line of the day's schedule.",
    "log-": "A word in the day's log: short.",
    "pic-": "A label in a picture: as short as the English.",
    "timeline-": "A line of the table of dates.",
    "weekday-": "The name of a day, as it stands inside a date.",
    "month-": "The name of a month, as it stands inside a date.",
    "clock-": "A time of day, as people say it.",
    "span-": "A length of time.",
    "sheet-": "On the nurse's sheet.",
    "sign-": "On the sign-off of the nurse's sheet.",
    "need-": "A learning need on the nurse's sheet.",
    "code-": "A result code on the nurse's sheet.",
    "total-": "A row of the day's totals on the nurse's sheet.",
    "finding-": "On the nurse's sheet.",
    "badge-": "Stands in bold before a line.",
    "caution-": "A caution at the end of the printed pages.",
    "flush-": "When a flush is given.",
    "how-": "How a medicine is got ready.",
}


@dataclass(frozen=True)
class English:
    """One English text to be translated.

    `source`: the text, or singular and plural. `line` counts from 1 in `file`, a path in the
    teaching folder. `notes`: lines for the translator. `kind`: the kind of a statement.
    """

    id: str
    source: tuple[str, ...]
    file: str
    line: int
    notes: tuple[str, ...]
    kind: str = ""


# Catalog name → its messages, in print order.
Messages = Mapping[str, tuple[English, ...]]


def variants_of(message: English, written: Iterable[str]) -> Iterator[English]:
    """The variants of a message that a translator added, for her or for him.

    Args:
        written: The ids of a catalog.
    """
    for identity in written:
        if variant_of(identity) == message.id:
            yield replace(message, id=identity)


def english_messages(teaching: Path) -> Messages:
    """Every message of a teaching folder that loads: modules in file order, phrases last.

    Raises:
        Unreadable: A file is not YAML; `load_library` tells more.
    """
    by_module = {}
    for path in sorted((teaching / "modules").glob("*.yaml")):
        text, file = read_text(path), f"modules/{path.name}"
        by_module[path.stem] = tuple(messages_of(text, file))
    by_module[PHRASES] = tuple(messages_of(read_text(teaching / "phrases.yaml"), "phrases.yaml"))
    return by_module


def messages_of(text: str, file: str) -> Iterator[English]:
    """The messages of one file: a module, or the phrases."""
    root = parse(text, file)
    if "sections" in _mapping(root):
        yield from _module(root)
    else:
        yield from _phrases(root, text.splitlines())


def _mapping(node: Node) -> Mapping[str, Node]:
    return node.value if isinstance(node.value, Mapping) else {}


def _items(node: Node, key: str) -> Sequence[Mapping[str, Node]]:
    under = _mapping(node).get(key)
    return [_mapping(n) for n in under.value] if under and isinstance(under.value, tuple) else []


def _text(node: Node | None) -> str:
    return node.value if node is not None and isinstance(node.value, str) else ""


def _both(
    identity: str, adult: Node | None, child: Node | None, note: str, kind: str = ""
) -> Iterator[English]:
    """The message for an adult, and the one for a parent where there is one."""
    for node, tail, notes in ((adult, "", (note,)), (child, "+child", (note, _CHILD))):
        if node is not None and isinstance(node.value, str):
            slots = tuple(slot_note(slot, phrase=False) for slot in slots_in(node.value))
            yield English(
                identity + tail, (node.value,), node.file, node.line, (*notes, *slots), kind
            )


def _module(root: Node) -> Iterator[English]:
    top = _mapping(root)
    yield from _both(f"{_text(top['id'])}/title", top.get("title"), top.get("child_title"), _TITLE)
    for section in _items(root, "sections"):
        name = f"{_text(section['id'])}/heading"
        yield from _both(name, section.get("heading"), section.get("child_heading"), _HEADING)
        for node in section["items"].value or ():
            assert isinstance(node, Node)
            yield from _statement(_mapping(node))
    for prompt in _items(root, "teach_back"):
        name = _text(prompt["id"])
        yield from _both(f"{name}/ask", prompt.get("ask"), prompt.get("child_ask"), _ASK)
        yield from _both(f"{name}/again", prompt.get("again"), prompt.get("child_again"), _AGAIN)
    for skill in _items(root, "show_back"):
        name = f"{_text(skill['id'])}/title"
        yield from _both(name, skill.get("title"), skill.get("child_title"), _SKILL)


def _statement(item: Mapping[str, Node]) -> Iterator[English]:
    kind = next(kind for kind in KINDS if kind in item)
    if kind == "block":
        return
    text = item.get("caption" if kind == "picture" else kind)
    name = _text(item["id"])
    yield from _both(name, text, item.get("child"), _KIND_NOTES[kind], kind)
    if kind == "picture":
        yield from _both(f"{name}/alt", item.get("alt"), None, _ALT)


def _phrases(root: Node, lines: Sequence[str]) -> Iterator[English]:
    for key, node in _mapping(root).items():
        plural = _mapping(node)
        source = tuple(_text(plural[k]) for k in ("one", "other")) if plural else (_text(node),)
        note = next((n for start, n in _PHRASE_NOTES.items() if key.startswith(start)), None)
        notes = [note or _about(lines, node.line)]
        notes += [slot_note(slot, phrase=True) for slot in slots_in(source[-1])]
        notes += [_PLURAL] if plural else []
        yield English(f"phrase:{key}", source, node.file, node.line, tuple(filter(None, notes)))


def _about(lines: Sequence[str], line: int) -> str:
    """The comment line above a phrase's block that names the block, as in `# --- pictures`."""
    above = (text for text in reversed(lines[:line]) if text.startswith("#"))
    return re.sub(r"^[#\s-]+", "", next(above, "")).strip()
