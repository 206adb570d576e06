"""The packet's own fonts, and a private font configuration that knows no others.

The main font comes from a package of the index as one variable file. Two static cuts (regular and
bold) are made from it once and kept in a cache folder, because a variable font would be cut anew
at each render. Letters that it lacks come from a second family, chosen because every word printed
with it is found again in the text of the finished PDF. Nothing of the machine's fonts is ever
used: without an own font a missing letter would silently come from whatever the machine has, or
the renderer would crash.

What lies in the cache is held against the digests that were written when it was made, at each
start, and what differs is made again.
"""

from __future__ import annotations

import io
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, partial
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

import platformdirs

from plainleaf.vocabulary.errors import CacheError, RenderError

FAMILY = "Source Sans 3"
ARABIC_FAMILY = "Almarai"
# In the order in which a letter is looked for.
FAMILIES = (FAMILY, ARABIC_FAMILY)
# What is typed into a form. Its font is embedded whole, so it is cut to the letters of the Western
# European languages and to one glyph a letter: PDF/UA wants a letter for every glyph.
FIELDS_FAMILY = "Source Sans 3 Fields"
_FIELD_LETTERS = (*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2010, 0x2027))
WEIGHTS = {"Regular": 400, "Bold": 700}
_PACKAGE = "fontpkg-source-sans-3"
_ARABIC_PACKAGE = "fontpkg-almarai"
_DIGESTS, _INDEX = "digests.json", "index"
# Marks that set the direction of a text; they are never drawn.
_UNSEEN = frozenset("\u2066\u2067\u2068\u2069")
_CONF = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig><dir>{fonts}</dir><cachedir>{cache}</cachedir></fontconfig>
"""


def default_cache() -> Path:
    """The cache folder of the user who runs the program.

    Raises:
        CacheError: The user has no home folder.
    """
    try:
        return Path(platformdirs.user_cache_dir("plainleaf"))
    except RuntimeError as error:
        wrong = "There is no folder to keep fonts in: set HOME or XDG_CACHE_HOME."
        raise CacheError(wrong) from error


def _variable_font() -> Path:
    import fontpkg_source_sans_3 as package

    files = sorted((Path(package.__file__).parent / "files").glob("SourceSans3[[]wght[]].ttf"))
    if not files:
        raise RenderError(f"{_PACKAGE} is installed without its font file")
    return files[0]


def _arabic_font(style: str) -> bytes:
    import fontpkg_almarai as package

    file = Path(package.__file__).parent / "files" / f"{ARABIC_FAMILY}-{style}.ttf"
    if not file.exists():
        raise RenderError(f"{_ARABIC_PACKAGE} is installed without its font file")
    return file.read_bytes()


@dataclass(frozen=True)
class OwnFonts:
    """The fonts of the packet in their folder, as `own_fonts` gives them."""

    folder: Path

    def file(self, style: str) -> Path:
        """The static file of a style: a key of `WEIGHTS`, `Fields`, or `Arabic ` and a weight."""
        return self.folder / _FILES[style]

    @property
    def configuration(self) -> Path:
        """What tells fontconfig of this folder and of no other."""
        return self.folder / "fonts.conf"

    @property
    def letters(self) -> tuple[Path, ...]:
        """The files that letters are looked for in."""
        return self.file("Regular"), self.file("Arabic Regular")


@cache
def _cut(weight: int) -> bytes:
    """One static cut."""
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    font = TTFont(_variable_font(), recalcTimestamp=False)
    static = instancer.instantiateVariableFont(
        font, {"wght": weight}, inplace=True, updateFontNames=True
    )
    written = io.BytesIO()
    static.save(written)
    return written.getvalue()


def _cut_fields() -> bytes:
    """The small font of the form fields."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    options = subset.Options(layout_features=[], notdef_outline=True, name_IDs=["*"])
    written = io.BytesIO()
    with TTFont(io.BytesIO(_cut(WEIGHTS["Regular"])), recalcTimestamp=False) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=_FIELD_LETTERS)
        cutter.subset(font)
        for record in font["name"].names:
            if record.nameID in (1, 4, 16):
                record.string = FIELDS_FAMILY
            elif record.nameID == 6:
                record.string = FIELDS_FAMILY.replace(" ", "")
        font.save(written)
    return written.getvalue()


_FILES = {
    **{style: f"SourceSans3-{style}.ttf" for style in WEIGHTS},
    "Fields": "SourceSans3-Fields.ttf",
    **{f"Arabic {style}": f"{ARABIC_FAMILY}-{style}.ttf" for style in WEIGHTS},
}
_MAKERS: dict[str, Callable[[], bytes]] = {
    **{style: partial(_cut, weight) for style, weight in WEIGHTS.items()},
    "Fields": _cut_fields,
    **{f"Arabic {style}": partial(_arabic_font, style) for style in WEIGHTS},
}


def own_fonts(cache: Path) -> OwnFonts:
    """The packet's fonts, sound; made where they are missing or are not as they were made.

    Raises:
        CacheError: The cache folder cannot be written.
        RenderError: A font package is incomplete.
    """
    made_by = f"{version(_PACKAGE)} {version('fonttools')} {version(_ARABIC_PACKAGE)} fields"
    fonts = OwnFonts(cache / f"fonts-{sha256(made_by.encode()).hexdigest()[:12]}")
    try:
        fonts.folder.mkdir(parents=True, exist_ok=True)
        digests = _digests(fonts)
        damaged = [s for s in _FILES if _digest_of(fonts.file(s)) != digests.get(_FILES[s], "")]
        if damaged:
            _make(fonts, damaged, digests)
        text = _CONF.format(fonts=fonts.folder, cache=fonts.folder / _INDEX).encode()
        if _digest_of(fonts.configuration) != sha256(text).hexdigest():
            _write(fonts.configuration, text)
    except OSError as error:
        raise CacheError(
            f"The font cache {fonts.folder} cannot be written: {error.strerror}."
        ) from error
    return fonts


def _make(fonts: OwnFonts, styles: list[str], digests: Mapping[str, str]) -> None:
    """Write some of the files, then all digests, and have fontconfig look at the folder anew."""
    new = {}
    for style in styles:
        content = _MAKERS[style]()
        _write(fonts.file(style), content)
        new[_FILES[style]] = sha256(content).hexdigest()
    _write(fonts.folder / _DIGESTS, json.dumps({**digests, **new}, indent=1).encode())
    shutil.rmtree(fonts.folder / _INDEX, ignore_errors=True)


def _digests(fonts: OwnFonts) -> dict[str, str]:
    """File → SHA-256 as it was made; nothing where that cannot be read."""
    try:
        kept = json.loads((fonts.folder / _DIGESTS).read_bytes())
    except (FileNotFoundError, ValueError):
        return {}
    return kept if isinstance(kept, dict) else {}


def _digest_of(file: Path) -> str | None:
    """The SHA-256 of a file; None where there is none."""
    try:
        return sha256(file.read_bytes()).hexdigest()
    except FileNotFoundError:
        return None


def _write(target: Path, content: bytes) -> None:
    """Write a file whole or not at all, whatever happens meanwhile and whoever else writes it."""
    handle, part = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with open(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(part).replace(target)
    except BaseException:
        Path(part).unlink(missing_ok=True)
        raise


@cache
def _letters(file: Path) -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(file, lazy=True) as font:
        return frozenset(font.getBestCmap())


def missing_letters(text: str, *files: Path) -> tuple[str, ...]:
    """Characters of a text that none of the font files can draw, sorted."""
    drawable = frozenset[int]().union(*(_letters(file) for file in files))
    seen = set(text) - _UNSEEN
    return tuple(sorted(c for c in seen if not c.isspace() and ord(c) not in drawable))
