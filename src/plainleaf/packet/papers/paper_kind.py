"""What is declared of a file that a packet, or the record of its teaching, can hold.

A file is declared once, beside its maker. From the declarations come the order of making, the
names in `packet.json`, the tables of the README, what `plainleaf build` says, and what tests
expect.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

C = TypeVar("C")
M = TypeVar("M")
# Stands for the language in a name; the patient's own goes without.
_LANGUAGE = "{language}"
# The language that tables show as an example of another one.
_EXAMPLE = "es"


class MadeIn(Enum):
    """The languages that a file is made in."""

    STAFF = "once, in the language of staff or in none"
    READERS = "in the patient's language and in each other reader's"
    NOT_STAFF = "in each of those that is not the language of staff"


class Shown(Enum):
    """Where a file is looked at."""

    PAPER = "paper"
    BOTH = "paper or screen"
    SCREEN = "screen"
    PROGRAM = "a program"


@dataclass(frozen=True)
class PaperKind(Generic[C, M]):
    """One file as it is declared.

    Attributes:
        name: Its name, with `{language}` where it is made in several.
        reader: Whom it is for, in words.
        purpose: What it is for; Markdown, one line.
        make: Makes it in a language, of all that papers are made from; pages may still be in the
            making when it comes back.
        template: The page template, where it has pages; `style`: its style sheet.
        on_request: It is made only when somebody asks for it.
    """

    name: str
    reader: str
    purpose: str
    shown: Shown
    make: Callable[[C, str], M]
    made_in: MadeIn = MadeIn.STAFF
    template: str = ""
    style: str = ""
    on_request: bool = False

    def file(self, language: str = "") -> str:
        """The name of the file, with a language where one is given.

        >>> def none(context: object, language: str) -> bytes: return b""
        >>> PaperKind("leaf{language}.pdf", "", "", Shown.PAPER, none).file("es")
        'leaf.es.pdf'
        """
        return self.name.replace(_LANGUAGE, f".{language}" if language else "")

    def files(self, languages: Sequence[str], staff: str) -> dict[str, str]:
        """The files of a packet, name → language.

        Args:
            languages: Those of the packet's handouts, the patient's own first.
            staff: The language of staff.
        """
        if self.made_in is MadeIn.STAFF:
            return {self.name: staff}
        if self.made_in is MadeIn.NOT_STAFF:
            return {self.file(tag): tag for tag in languages if tag != staff}
        own, *others = languages
        return {self.file(): own} | {self.file(tag): tag for tag in others}

    @property
    def row(self) -> str:
        """Its line of a table for people, in Markdown."""
        names = {
            MadeIn.STAFF: f"`{self.name}`",
            MadeIn.READERS: f"`{self.file()}`, `{self.file(_EXAMPLE)}` …",
            MadeIn.NOT_STAFF: f"`{self.file(_EXAMPLE)}` …",
        }
        cells = (names[self.made_in], self.reader, self.shown.value, self.purpose)
        return f"| {' | '.join(cells)} |"


def table(kinds: Iterable[PaperKind[C, M]]) -> str:
    """The files as a table in Markdown."""
    head = "| file | for | looked at on | what it is |\n| --- | --- | --- | --- |"
    return "\n".join([head, *(kind.row for kind in kinds)])
