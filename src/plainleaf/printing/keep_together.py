"""Which sections are kept on one page: those that are short enough for it.

A box that says when to call must not open a page without the heading that says about what. Heights
are estimated from the words before the pages are laid out, in lines of the page's own print.
"""

from __future__ import annotations

from itertools import groupby
from math import ceil

from plainleaf.compose.word import WordedSection, WordedStatement
from plainleaf.printing.page_format import LARGE_PRINT, Format

# A section with boxes is kept whole if it takes at most this part of a page, another one, which
# loses less when it is torn, if it takes at most that.
MOST_WITH_BOXES, MOST_WITHOUT = 0.25, 0.18
# Mean width of a letter in print sizes.
_LETTER = 0.46
# A drawing with its caption, in lines of large print.
_PICTURE = 9.0
# In lines: a heading beyond its words, what stands between texts, the head of a table, the borders
# of a row.
_HEADING, _BETWEEN, _TABLE_HEAD, _ROW = 0.35, 0.06, 1.25, 0.2
# Letters that steps, points and boxes have less in a line.
_INDENT = 4
# Letters in a line of a table without its borders, in large print.
_TABLE = 48
_PLAIN = ("say", "block", "picture", "step", "point")


def _statement(statement: WordedStatement, letters: int) -> float:
    lines = 0.0
    if statement.block is not None:
        rows = len(statement.block.rows)
        table = round(_TABLE * letters / (letters + _INDENT))
        lines += statement.block.lines(table) + _ROW * rows + _TABLE_HEAD
    if statement.words is not None:
        room = letters if statement.kind in ("say", "picture") else letters - _INDENT
        lines += ceil(len(str(statement.words)) / room) + _BETWEEN
    return lines


def section_lines(section: WordedSection, format: Format) -> float:
    """About how many lines of print a section takes on paper.

    Args:
        format: How the pages are set.
    """
    letters = int(format.text_width / (_LETTER * format.size))
    lines = ceil(1.15 * len(str(section.heading)) / letters) + _HEADING
    for kind, group in groupby(section.statements, key=lambda statement: statement.kind):
        items = list(group)
        lines += sum(_statement(item, letters) for item in items)
        if kind == "picture":
            lines += _PICTURE * LARGE_PRINT / format.size * len(items)
    return lines


def stays_whole(section: WordedSection, format: Format) -> bool:
    """Whether a section is short enough to be kept on one page."""
    boxes = any(statement.kind not in _PLAIN for statement in section.statements)
    most = MOST_WITH_BOXES if boxes else MOST_WITHOUT
    return section_lines(section, format) <= most * format.page_lines
