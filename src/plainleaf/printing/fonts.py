"""The packet's own fonts, and a private font configuration that knows no others.

The main font comes from a package of the index as one variable file. Two static cuts (regular and
bold) are made from it once and kept in a cache folder, because a variable font would be cut anew
at each render. Letters that it lacks come from a second family, chosen because every word printed
with it is found again in the text of the finished PDF. Nothing of the machine's fonts is ever
used: without an own font a missing letter would silently come from whatever the machine has, or
the renderer would crash.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache
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


def _arabic_font(style: str) -> Path:
    import fontpkg_almarai as package

    file = Path(package.__file__).parent / "files" / f"{ARABIC_FAMILY}-{style}.ttf"
    if not file.exists():
        raise RenderError(f"{_ARABIC_PACKAGE} is installed without its font file")
    return file


def _copy(source: Path, target: Path) -> None:
    part = target.with_suffix(f".{os.getpid()}.part")
    part.write_bytes(source.read_bytes())
    part.replace(target)


def _cut(source: Path, weight: int, target: Path) -> None:
    """Write one static cut; the move at the end keeps a half-written file from being seen."""
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    font = TTFont(source, recalcTimestamp=False)
    static = instancer.instantiateVariableFont(
        font, {"wght": weight}, inplace=True, updateFontNames=True
    )
    part = target.with_suffix(f".{os.getpid()}.part")
    static.save(part)
    part.replace(target)


def _cut_fields(source: Path, target: Path) -> None:
    """Write the small font of the form fields."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    options = subset.Options(layout_features=[], notdef_outline=True, name_IDs=["*"])
    with TTFont(source, recalcTimestamp=False) as font:
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=_FIELD_LETTERS)
        cutter.subset(font)
        for record in font["name"].names:
            if record.nameID in (1, 4, 16):
                record.string = FIELDS_FAMILY
            elif record.nameID == 6:
                record.string = FIELDS_FAMILY.replace(" ", "")
        part = target.with_suffix(f".{os.getpid()}.part")
        font.save(part)
    part.replace(target)


def font_files(cache: Path) -> dict[str, Path]:
    """Style → static font file, made on first use; `Arabic Bold` for the second family.

    Raises:
        CacheError: The cache folder cannot be written.
        RenderError: A font package is incomplete.
    """
    source = _variable_font()
    made_by = f"{version(_PACKAGE)} {version('fonttools')} {version(_ARABIC_PACKAGE)} fields"
    key = sha256(made_by.encode()).hexdigest()[:12]
    folder = cache / f"fonts-{key}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        files = {style: folder / f"SourceSans3-{style}.ttf" for style in WEIGHTS}
        for style, file in files.items():
            if not file.exists():
                _cut(source, WEIGHTS[style], file)
        fields = folder / "SourceSans3-Fields.ttf"
        if not fields.exists():
            _cut_fields(files["Regular"], fields)
        for style in WEIGHTS:
            file = files[f"Arabic {style}"] = folder / f"{ARABIC_FAMILY}-{style}.ttf"
            if not file.exists():
                _copy(_arabic_font(style), file)
    except OSError as error:
        raise _no_cache(folder, error) from error
    return files


def _no_cache(folder: Path, error: OSError) -> CacheError:
    return CacheError(f"The font cache {folder} cannot be written: {error.strerror}.")


def use_own_fonts(cache: Path) -> dict[str, Path]:
    """Point the renderer at the packet's fonts alone; call before the renderer is imported.

    Returns:
        Style → static font file.
    Raises:
        CacheError, RenderError: As `font_files`.
    """
    files = font_files(cache)
    folder = next(iter(files.values())).parent
    conf = folder / "fonts.conf"
    text = _CONF.format(fonts=folder, cache=folder / "index")
    try:
        if not conf.exists() or conf.read_text(encoding="utf-8") != text:
            part = conf.with_suffix(f".{os.getpid()}.part")
            part.write_text(text, encoding="utf-8")
            part.replace(conf)
    except OSError as error:
        raise _no_cache(folder, error) from error
    os.environ["FONTCONFIG_FILE"] = str(conf)
    return files


def letter_fonts(files: Mapping[str, Path]) -> tuple[Path, ...]:
    """The files that letters are looked for in, of what `font_files` gives."""
    return files["Regular"], files["Arabic Regular"]


@cache
def _letters(file: Path) -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(file, lazy=True) as font:
        return frozenset(font.getBestCmap())


def missing_letters(text: str, *files: Path) -> tuple[str, ...]:
    """Characters of a text that none of the font files can draw, sorted."""
    known = frozenset[int]().union(*(_letters(file) for file in files))
    seen = set(text) - _UNSEEN
    return tuple(sorted(c for c in seen if not c.isspace() and ord(c) not in known))
