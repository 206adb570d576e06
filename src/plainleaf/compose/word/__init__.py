"""Sentences, numbers, dates and plurals in one language.

Numbers print one way in every language, the way US devices show them: a point for decimals, a
comma from 1,000, a leading zero and no trailing zero, `mL` always. No text of Pint or of a locale
library reaches the page.
"""

from plainleaf.compose.word.no_break import kept, together, unbroken
from plainleaf.compose.word.numbers import NBSP, exact_number, number, ounces
from plainleaf.compose.word.packet import word, word_block, wording_of
from plainleaf.compose.word.worded_packet import (
    Run,
    WordedBlock,
    WordedModule,
    WordedPacket,
    WordedPage,
    WordedPages,
    WordedPicture,
    WordedPrompt,
    WordedSection,
    WordedSkill,
    WordedStatement,
    Words,
)
from plainleaf.compose.word.wording import Wording

__all__ = [
    "NBSP",
    "Run",
    "WordedBlock",
    "WordedModule",
    "WordedPacket",
    "WordedPage",
    "WordedPages",
    "WordedPicture",
    "WordedPrompt",
    "WordedSection",
    "WordedSkill",
    "WordedStatement",
    "Wording",
    "Words",
    "exact_number",
    "kept",
    "number",
    "ounces",
    "together",
    "unbroken",
    "word",
    "word_block",
    "wording_of",
]
