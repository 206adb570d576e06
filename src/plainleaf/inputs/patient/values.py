"""Values that several blocks of a patient file hold: amounts, times, tags, phones."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import time
from decimal import Decimal
from typing import TypeVar, cast

from plainleaf.inputs.strict_yaml import Node, Reader, read_clock
from plainleaf.vocabulary.errors import UnitError
from plainleaf.vocabulary.quantities import Quantity, read_quantity

T = TypeVar("T")

# Finer steps are on no syringe; common practice, no source. Print keeps two decimals as they are.
FINEST_VOLUME = Decimal("0.01")


def must(value: T | None) -> T:
    """A required value. When it is None its fault is noted, and no record leaves with faults."""
    return cast(T, value)


def block(reader: Reader, key: str, how: Callable[[Reader], T]) -> T:
    """The block under a key, which must be there."""
    child = reader.child(key, required=True)
    if child is None:  # noted; read on with an empty block whose own faults would only repeat it
        return how(Reader(Node({}, reader.node.file, reader.node.line), [], key))
    result = how(child)
    child.close()
    return result


def maybe(reader: Reader, key: str, how: Callable[[Reader], T]) -> T | None:
    """The block under a key, or None."""
    return block(reader, key, how) if reader.get(key) is not None else None


def each(
    reader: Reader, key: str, how: Callable[[Reader], T], *, required: bool = False
) -> Iterator[T]:
    """Every mapping of a list, in file order."""
    for child in reader.children(key, required=required):
        yield how(child)
        child.close()


def numbered(reader: Reader, key: str, how: Callable[[Reader, int], T]) -> Iterator[T]:
    """Every mapping of a list with its number, in file order."""
    for number, child in enumerate(reader.children(key)):
        yield how(child, number)
        child.close()


def texts(reader: Reader, key: str) -> tuple[str, ...]:
    """A list of short printable texts."""
    found = []
    for node in reader.items(key):
        inner = Reader(Node({key: node}, node.file, node.line), reader.faults, reader.where)
        text = inner.text(key, longest=60)
        if text is not None:
            found.append(text)
    return tuple(found)


def _too_fine(quantity: Quantity | None) -> bool:
    """Whether a volume in mL or L is finer than any syringe shows."""
    if quantity is None or quantity.unit not in ("mL", "L"):
        return False
    return quantity.to("mL").value % FINEST_VOLUME != 0


def amount_of(reader: Reader, key: str, kind: str, *, required: bool = False) -> Quantity | None:
    """A positive amount of one kind."""
    quantity = reader.convert(key, lambda text: read_quantity(text, kind), required=required)
    if _too_fine(quantity):
        wrong = f"{reader.name(key)}: {quantity} is finer than any syringe shows."
        reader.note(reader.mapping[key], wrong, "Write at most two decimals of a mL.")
        return None
    if quantity is not None and kind == "time span" and quantity.to("min").value % 1:
        wrong = f"{reader.name(key)}: {quantity} is not a number of whole minutes."
        reader.note(reader.mapping[key], wrong, "Write minutes, such as 25 min.")
        return None
    if quantity is not None and quantity.value <= 0:
        reader.note(
            reader.mapping[key], f"{reader.name(key)} is zero.", "Leave it out if there is none."
        )
        return None
    return quantity


def times_of(reader: Reader, key: str, *, required: bool = False) -> tuple[time, ...]:
    """Clock times in clock order, each once."""
    found: list[time] = []
    for node in reader.items(key, required=required):
        if not isinstance(node.value, str):
            reader.note(node, f"{reader.name(key)} holds a list in a list.")
            continue
        try:
            clock = read_clock(node.value)
        except UnitError as error:
            reader.note(node, f"{reader.name(key)}: {error.wrong}", error.instead)
            continue
        if clock in found:
            reader.note(node, f"{reader.name(key)}: {node.value} stands twice.", "Keep one.")
        found.append(clock)
    return tuple(sorted(set(found)))


_TAG = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


def language_tag(reader: Reader, key: str) -> str:
    """A BCP 47 tag: language, perhaps script and region."""
    tag = reader.text(key, required=True)
    if tag is not None and not _TAG.fullmatch(tag):
        reader.note(
            reader.mapping[key],
            f"{reader.name(key)}: '{tag}' is not a language tag.",
            "Write en, es, ar …",
        )
    return must(tag)


def phone_of(reader: Reader, key: str = "phone", *, required: bool = True) -> str | None:
    """A number to call, with whatever words belong to it ("then press 2"); three digits or more."""
    text = reader.text(key, required=required, longest=60)
    if text is not None and len(re.findall("[0-9]", text)) < 3:
        reader.note(
            reader.mapping[key],
            f"{reader.name(key)}: '{text}' holds no phone number.",
            'Write digits, such as "+1 555 010 0142".',
        )
    return text
