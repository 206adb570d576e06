"""What the follow-up papers are made with."""

from __future__ import annotations

from dataclasses import dataclass

from plainleaf.compose.word import Wording
from plainleaf.inputs.catalog import load_catalog
from plainleaf.inputs.content import Library
from plainleaf.packet.places import Places
from plainleaf.packet.sheet.outline import Outline, Speech
from plainleaf.printing.fonts import OwnFonts, own_fonts
from plainleaf.printing.furniture import PageFurniture


@dataclass(frozen=True)
class FollowUpMaking:
    """What the follow-up papers are made with."""

    settings: Places
    library: Library
    paper: str
    outline: Outline

    def wording(self, language: str) -> Wording:
        """Words of one language.

        Raises:
            LocaleError: There is no catalog for it.
        """
        folder = self.settings.teaching / "locales"
        return Wording(self.library, load_catalog(folder, language))

    @property
    def fonts(self) -> OwnFonts:
        """What the pages are printed with."""
        return own_fonts(self.settings.cache)


def around(speech: Speech, title: str) -> PageFurniture:
    """Head and foot in one language, as on the packet's own papers."""
    return PageFurniture(title, speech.marks, speech.identity, speech.version, speech.staff_mark)
