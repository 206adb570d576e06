"""Pages of HTML laid out in this process with the packet's own templates and fonts, for tests."""

from __future__ import annotations

from builders import ROOT
from filelock import FileLock

from plainleaf.printing.fonts import OwnFonts, default_cache, own_fonts
from plainleaf.printing.renderer.layout import Pdf, Sheet, lay

TEMPLATES = ROOT / "templates"


def fonts_ready() -> OwnFonts:
    """The fonts, from the cache of whoever runs the tests: cutting them takes ten seconds."""
    cache = default_cache()
    cache.mkdir(parents=True, exist_ok=True)
    with FileLock(cache / "fonts.lock"):
        return own_fonts(cache)


def sheet_of(html: str, *, forms: bool = False) -> Sheet:
    """A page of HTML that is to be laid out."""
    return Sheet(html, TEMPLATES, fonts_ready(), forms)


def laid(html: str, *, forms: bool = False) -> Pdf:
    """A page of HTML laid out."""
    return lay(sheet_of(html, forms=forms))
