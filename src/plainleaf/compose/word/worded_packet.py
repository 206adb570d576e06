"""The worded packet: text as runs, so that every merged value can be isolated on the page."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from plainleaf.compose.draw.picture_facts import PictureFacts
from plainleaf.compose.word.bidi import first_side, isolated, turns, without_isolates
from plainleaf.compose.word.numbers import NBSP
from plainleaf.vocabulary.asked_of import EVERYBODY, AskedOf


@dataclass(frozen=True)
class Run:
    """A piece of worded text; `kind` is empty for plain words, else the kind of merged value."""

    text: str
    kind: str = ""

    @property
    def side(self) -> str:
        """`rtl` or `ltr`: the direction of its first letter; a number alone runs `ltr`."""
        return first_side(self.text)

    @property
    def turns(self) -> bool:
        """Whether a line from left to right could turn round at it."""
        return turns(self.text)

    @property
    def latin(self) -> bool:
        """Whether it is words of the patient file in Latin letters, in the staff's language."""
        return self.kind == "text" and self.text.isascii() and any(c.isalpha() for c in self.text)


@dataclass(frozen=True)
class Words:
    """Worded text as runs, so that every merged value can be isolated on the page."""

    runs: tuple[Run, ...]

    def __str__(self) -> str:
        return "".join(run.text for run in self.runs)

    @property
    def plain(self) -> str:
        """The text with ordinary spaces and no marks of direction.

        For comparing, for records and for what is read aloud: speech follows the order of the
        letters in the file.
        """
        return without_isolates(str(self)).replace(NBSP, " ")

    @property
    def led(self) -> tuple[Words, Words]:
        """What the eye finds first, up to the first colon of the plain words, and the rest.

        >>> first, rest = Words((Run("Until "), Run("10:30 am", "clock"), Run(": any leak"))).led
        >>> str(first), str(rest)
        ('Until 10:30 am:', ' any leak')
        """
        for place, run in enumerate(self.runs):
            if not run.kind and ":" in run.text:
                cut = run.text.index(":") + 1
                before = (*self.runs[:place], Run(run.text[:cut]))
                return Words(before), Words((Run(run.text[cut:]), *self.runs[place + 1 :]))
        return Words(()), self

    @property
    def isolated(self) -> str:
        """The text with every value between marks of direction: for lines without markup."""
        return "".join(isolated(run.text) if run.kind else run.text for run in self.runs)


@dataclass(frozen=True)
class WordedBlock:
    """A table in words; `look` as in `fill.FilledBlock`. A cell is a tuple of lines."""

    name: str
    look: str
    head: tuple[Words, ...]
    rows: tuple[tuple[tuple[Words, ...], ...], ...]

    def lines(self, letters: int) -> int:
        """About how many lines its rows take where so many letters stand in a line of a page."""
        columns = max((len(row) for row in self.rows), default=1)
        return sum(
            max((sum(ceil(len(str(w)) * columns / letters) for w in cell) for cell in row),
                default=1)
            for row in self.rows
        )  # fmt: skip


@dataclass(frozen=True)
class WordedPicture:
    """A picture with its labels in words (role → lines) and what is read out in its place."""

    name: str
    shown: PictureFacts
    labels: tuple[tuple[str, tuple[Words, ...]], ...]
    alt: Words


@dataclass(frozen=True)
class WordedStatement:
    """One statement in words; those of a picture are its caption.

    `leads_to`: the section that a line of the finder leads to.
    """

    id: str
    kind: str
    words: Words | None
    block: WordedBlock | None
    sources: tuple[str, ...]
    picture: WordedPicture | None = None
    leads_to: str | None = None


@dataclass(frozen=True)
class WordedSection:
    """One section in words."""

    id: str
    heading: Words
    level: str | None
    statements: tuple[WordedStatement, ...]


@dataclass(frozen=True)
class WordedPrompt:
    """One teach-back question in words; `listen`: a short line and the statements that it is of,
    in the language of staff alone.
    """

    id: str
    ask: Words
    listen_for: tuple[str, ...]
    again: Words
    critical: bool
    asked_of: AskedOf = EVERYBODY
    listen: tuple[tuple[Words, tuple[str, ...]], ...] = ()


@dataclass(frozen=True)
class WordedSkill:
    """One skill in words."""

    id: str
    title: Words
    section: str
    steps: tuple[str, ...]
    critical: bool
    asked_of: AskedOf = EVERYBODY


@dataclass(frozen=True)
class WordedModule:
    """One topic in words."""

    id: str
    title: Words
    sections: tuple[WordedSection, ...]
    prompts: tuple[WordedPrompt, ...]
    skills: tuple[WordedSkill, ...]


@dataclass(frozen=True)
class WordedPage:
    """A page of the family's packet in words; `number` stands in its corner."""

    id: str
    part: str
    number: int
    title: Words
    sections: tuple[WordedSection, ...]


@dataclass(frozen=True)
class WordedPages:
    """Pages that are printed together in one language."""

    language: str
    direction: str
    pages: tuple[WordedPage, ...]

    def statements(self) -> dict[str, WordedStatement]:
        """Every statement on them by id, in print order."""
        return {
            statement.id: statement
            for page in self.pages
            for section in page.sections
            for statement in section.statements
        }


@dataclass(frozen=True)
class WordedPacket:
    """All words of the family's packet and of the teach-back in one language.

    `modules` hold them by topic, `pages` as they are printed.
    """

    language: str
    direction: str
    modules: tuple[WordedModule, ...]
    pages: tuple[WordedPage, ...] = ()

    def section_numbers(self) -> dict[str, int]:
        """Section → the number of its page."""
        return {section.id: page.number for page in self.pages for section in page.sections}

    def printed(self, *parts: str) -> WordedPages:
        """The pages of some parts; all of them where none is named."""
        pages = tuple(page for page in self.pages if not parts or page.part in parts)
        return WordedPages(self.language, self.direction, pages)

    def numbers(self) -> dict[str, int]:
        """Statement → the number of the page that it is printed on."""
        return {
            statement.id: page.number
            for page in self.pages
            for section in page.sections
            for statement in section.statements
        }

    def statements(self) -> dict[str, WordedStatement]:
        """Every printed statement by id, in print order."""
        return {
            statement.id: statement
            for module in self.modules
            for section in module.sections
            for statement in section.statements
        }
