"""What a glyph reads as, where the renderer has it read as whatever stood first."""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from fontTools.ttLib import TTFont

from plainleaf.printing.renderer.upstream import FONTS, Repairing, Wrap, stands_for

# Brackets that are drawn turned round on a line from right to left.
_TURNED = frozenset("()[]<>«»")


@stands_for(FONTS)
def _with_spaces(build: Repairing) -> Repairing:
    """Have the space of every font read as a space.

    A font draws a space and a no-break space with one glyph, and the renderer has the glyph read
    as whichever stood first: a search for "Call 911" or for a heading would then find nothing.
    """

    def with_spaces(file: Any, fonts: Mapping[str, Any], *arguments: Any) -> Any:
        for font in fonts.values():
            texts = font.to_unicode
            texts.update({glyph: " " for glyph, text in texts.items() if text == "\u00a0"})
        return build(file, fonts, *arguments)

    return with_spaces


def _brackets(font: Any) -> dict[int, str]:
    """Glyph of a font → the bracket that it draws, by the font's own table."""
    file = TTFont(BytesIO(font.file_content), fontNumber=font.index)
    names = file.getBestCmap()
    return {file.getGlyphID(names[ord(sign)]): sign for sign in _TURNED if ord(sign) in names}


@stands_for(FONTS)
def _with_brackets(build: Repairing) -> Repairing:
    """Have every bracket read as it is drawn.

    From right to left an opening bracket is drawn with the glyph of the closing one, and the
    renderer has the glyph read as it stood first: "(10 oz)" further on would read ")10 oz(".
    """

    def with_brackets(file: Any, fonts: Mapping[str, Any], *arguments: Any) -> Any:
        for font in fonts.values():
            texts = font.to_unicode
            if any(text in _TURNED for text in texts.values()):
                drawn = _brackets(font)
                texts.update({g: drawn[g] for g in texts if texts[g] in _TURNED and g in drawn})
        return build(file, fonts, *arguments)

    return with_brackets


FONT_WRAPS: tuple[Wrap, ...] = (
    ("weasyprint.pdf", "build_fonts_dictionary", _with_spaces),
    ("weasyprint.pdf", "build_fonts_dictionary", _with_brackets),
)
