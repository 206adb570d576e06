"""What the checklists look at in one packet, worked out once."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby

from plainleaf.authoring.readability.counters import HARD, sentences, tokens
from plainleaf.authoring.readability.glossary import FirstUse
from plainleaf.authoring.readability.pieces import RUNNING, Piece, Printed, handout
from plainleaf.authoring.readability.spoken import spoken_syllables
from plainleaf.compose.word import WordedBlock, WordedSection, WordedStatement
from plainleaf.inputs.content import TIERS

LISTS = ("point", "step", *TIERS, "warn")
# First words of a step; a step that starts otherwise is looked at (PM-21).
VERBS = frozenset(
    [
        "add",
        "aim",
        "ask",
        "bathe",
        "breathe",
        "bring",
        "brush",
        "call",
        "carry",
        "change",
        "check",
        "choose",
        "clamp",
        "clean",
        "click",
        "close",
        "connect",
        "copy",
        "count",
        "cover",
        "crush",
        "cut",
        "do",
        "draw",
        "drink",
        "dry",
        "eat",
        "empty",
        "feed",
        "fill",
        "find",
        "flush",
        "fold",
        "follow",
        "free",
        "get",
        "give",
        "go",
        "hang",
        "hold",
        "insert",
        "join",
        "keep",
        "lay",
        "let",
        "lie",
        "lift",
        "line",
        "listen",
        "look",
        "loosen",
        "lower",
        "make",
        "mark",
        "match",
        "measure",
        "mix",
        "move",
        "note",
        "open",
        "order",
        "pat",
        "pause",
        "pinch",
        "place",
        "plug",
        "point",
        "pour",
        "press",
        "pull",
        "push",
        "put",
        "raise",
        "read",
        "remove",
        "repeat",
        "rest",
        "rinse",
        "run",
        "save",
        "see",
        "send",
        "set",
        "shake",
        "show",
        "shut",
        "sit",
        "slide",
        "squeeze",
        "start",
        "stay",
        "stir",
        "stop",
        "store",
        "take",
        "talk",
        "tap",
        "tape",
        "tell",
        "test",
        "throw",
        "tie",
        "tilt",
        "turn",
        "unclamp",
        "unhook",
        "use",
        "wait",
        "walk",
        "warm",
        "wash",
        "watch",
        "wet",
        "wipe",
        "wrap",
        "write",
    ]
)
_ADVERBS = frozenset(
    ["then", "now", "gently", "slowly", "first", "next", "always", "never", "once", "again"]
)
_PASSIVE = re.compile(
    r"\b(?:am|is|are|was|were|be|been|being|gets?|got)\s+(?:\w+ly\s+|not\s+|also\s+|still\s+)?"
    r"(?:\w+ed|made|taken|given|put|told|done|kept|held|worn|torn|cut|lost|broken|shown|built|"
    r"seen|caught|sent|written|known|found|left|stuck)\b",
    re.IGNORECASE,
)
# Being in a state says nothing of who acts: "it is swollen", "is clogged".
_STATES = re.compile(r"\b(?:clogged|stuck|broken|lost|left|healed|loosened|needed|worried)\b")


@lru_cache(maxsize=20_000)
def passive(sentence: str) -> bool:
    """Whether a sentence speaks of somebody being acted on.

    >>> passive("The tube must be flushed."), passive("Flush the tube."), passive("It is clogged.")
    (True, False, False)
    """
    return any(not _STATES.search(match[0]) for match in _PASSIVE.finditer(sentence))


def command(text: str) -> bool:
    """Whether a step speaks to the reader: its verb first, or after a short lead-in, or "you".

    >>> command("Wash your hands."), command("To take it off, close the clamp."), command("Water.")
    (True, True, False)
    >>> command("All in? Close the clamp.")
    True
    """
    for part in re.split(r"[,:?]\s", text):
        words = [word.lower() for word in tokens(part)]
        while words and words[0] in _ADVERBS:
            words = words[1:]
        if words and (words[0] in VERBS or words[0] == "you" or words[:2] == ["do", "not"]):
            return True
    return False


@dataclass(frozen=True)
class Look:
    """One packet with the first uses of its terms."""

    printed: Printed
    firsts: tuple[FirstUse, ...]

    @cached_property
    def pieces(self) -> list[Piece]:
        """Everything the family reads."""
        return list(handout(self.printed))

    @cached_property
    def running(self) -> list[Piece]:
        """Statements and cautions."""
        return [piece for piece in self.pieces if piece.role in RUNNING]

    @cached_property
    def sections(self) -> list[WordedSection]:
        """All sections in order."""
        return [s for page in self.printed.packet.pages for s in page.sections]

    @cached_property
    def first(self) -> WordedSection:
        """The first section: what every reader sees first."""
        return self.sections[0]

    def of_kind(self, *kinds: str) -> list[WordedStatement]:
        """The statements of some kinds."""
        return [s for section in self.sections for s in section.statements if s.kind in kinds]

    @cached_property
    def blocks(self) -> list[tuple[WordedSection, WordedBlock]]:
        """Every table with its section."""
        return [(s, st.block) for s in self.sections for st in s.statements if st.block]

    @cached_property
    def sentences(self) -> list[tuple[str, str]]:
        """(statement, sentence) of all running text."""
        return [(p.where, sentence) for p in self.running for sentence in sentences(p.words.plain)]

    @cached_property
    def passives(self) -> list[str]:
        """The sentences that are not active."""
        return [f"{place}: {sentence}" for place, sentence in self.sentences if passive(sentence)]

    def long_sections(self, most: int) -> list[str]:
        """Sections with more words of running text than `most`."""
        return [
            f"{section.id}: {words} words"
            for section in self.sections
            if not self._looked_up(section)
            and (words := sum(len(tokens(s.words.plain)) for s in section.statements if s.words))
            > most
        ]

    def _looked_up(self, section: WordedSection) -> bool:
        """Whether its lines are found by their first words: a band of page 1, or the finder."""
        bands = self.printed.packet.pages[0].sections
        return section in bands or any(statement.leads_to for statement in section.statements)

    def long_lists(self, most: int) -> list[str]:
        """Unbroken lists with more items than `most`."""
        return [f"{name}: {many} items" for name, many in self._lists() if many > most]

    def _lists(self) -> Iterator[tuple[str, int]]:
        for section in self.sections:
            for kind, group in groupby(section.statements, key=lambda s: s.kind):
                if kind in LISTS and not self._looked_up(section):
                    yield f"{section.id} ({kind})", len(list(group))

    def hard_words(self) -> list[str]:
        """Words above three syllables that are no explained term, with how often they print."""
        easy = {
            word.lower() for use in self.firsts for form in use.term.words for word in form.split()
        }
        hard: dict[str, int] = {}
        for piece in self.running:
            own = "".join(run.text for run in piece.words.runs if not run.kind)
            for word in tokens(own):
                if spoken_syllables(word) > HARD and word.isalpha() and word.lower() not in easy:
                    hard[word.lower()] = hard.get(word.lower(), 0) + 1
        return [f"{word} ({many})" for word, many in sorted(hard.items(), key=lambda i: -i[1])]

    def matches(self, pattern: str) -> list[str]:
        """Running text in which a pattern is found."""
        wanted = re.compile(pattern, re.IGNORECASE)
        return [f"{p.where}: {p.words.plain}" for p in self.running if wanted.search(p.words.plain)]

    @cached_property
    def pictures(self) -> list[WordedStatement]:
        """Every picture with its caption."""
        return self.of_kind("picture")

    def unmarked(self) -> list[str]:
        """Calls and warnings without a box or badge on the phone page."""
        html = self.printed.html
        boxed = set(re.findall(r'class="[^"]*badge-[^"]*" id="([^"]+)"', html))
        boxed.update(
            re.findall(r'<li id="([^"]+)"><a (?:(?!</li>).)*?</a> <span class="tier ', html)
        )
        leveled = {s.id for section in self.sections if section.level for s in section.statements}
        wanted = self.of_kind(*TIERS, "warn")
        return [s.id for s in wanted if s.id not in boxed and s.id not in leveled]
