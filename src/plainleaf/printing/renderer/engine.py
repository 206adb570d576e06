"""WeasyPrint as it is used here: its versions, its libraries, its fonts, and nothing left behind.

All that a host program could notice holds for the time of a with block only.
"""

from __future__ import annotations

import ctypes.util
import importlib
import io
import logging
import os
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, redirect_stdout
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from plainleaf.printing.renderer.repairs import while_writing
from plainleaf.vocabulary.errors import RenderError

# Major versions whose text the repairs were held against.
VERSIONS = ("69", "70")
# Where fontconfig looks for its configuration.
_CONFIGURATION = "FONTCONFIG_FILE"
# Here libraries are looked for by running programs.
_ASKS_PROGRAMS = sys.platform not in ("darwin", "win32")


@cache
def load() -> Any:
    """The renderer; it looks for fonts once when it is loaded.

    Raises:
        RenderError: It is of another version, or its libraries are not on this machine.
    """
    installed = version("weasyprint")
    if installed.split(".")[0] not in VERSIONS:
        wanted = f"weasyprint>={VERSIONS[0]},<{int(VERSIONS[-1]) + 1}"
        raise RenderError(
            f"WeasyPrint {installed} is installed, and pages are made and checked with "
            f"{' and '.join(VERSIONS)} only: pip install '{wanted}'"
        )
    try:
        with _by_file_name(), redirect_stdout(io.StringIO()):
            return importlib.import_module("weasyprint")
    except OSError:
        return _looked_for()


def _looked_for() -> Any:
    """The renderer, its libraries looked for in every way that the system knows."""
    try:
        with redirect_stdout(io.StringIO()):  # it explains itself there
            return importlib.import_module("weasyprint")
    except OSError as error:
        reason = str(error).splitlines()[0]
        raise RenderError(
            f"the libraries that lay out pages cannot be loaded: {reason}. Install Pango, "
            "HarfBuzz and fontconfig as README.md says."
        ) from error


@contextmanager
def _by_file_name() -> Iterator[None]:
    """Have libraries opened by their file names alone, which the system's loader knows.

    The renderer tries several names a library, and for all but file names it would have helper
    programs run first: ldconfig, a compiler and a linker, eighty times.
    """
    usual = ctypes.util.find_library
    if _ASKS_PROGRAMS:
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = usual


@contextmanager
def setting(name: str, value: str) -> Iterator[None]:
    """The environment with one variable set, for the time of a with block."""
    before = os.environ.get(name)
    os.environ[name] = value
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


def renderer(fonts: Path) -> Any:
    """The renderer, loaded; errors as `load`.

    Args:
        fonts: The font configuration.
    """
    with setting(_CONFIGURATION, str(fonts)):
        return load()


@cache
def font_configuration(fonts: Path) -> Any:
    """One for each set of fonts: a new one for each document would grow the process."""
    from weasyprint.text.fonts import FontConfiguration

    with setting(_CONFIGURATION, str(fonts)):
        return FontConfiguration()


@contextmanager
def repaired() -> Iterator[None]:
    """The renderer with the repairs that are made while it writes, for the time of a with block."""
    with ExitStack() as undo:
        for name, function, repair in while_writing():
            module = importlib.import_module(name)
            usual = getattr(module, function)
            undo.callback(setattr, module, function, usual)
            setattr(module, function, repair(usual))
        yield


class _Log(logging.Handler):
    """Collects what the renderer has to say at warning level or above."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@contextmanager
def at_work() -> Iterator[None]:
    """The renderer, loaded, with its repairs, listened to, for the time of a with block.

    Raises:
        RenderError: Its log holds a line at warning level or above, or it asked for an address.
    """
    from weasyprint.urls import FatalURLFetchingError

    handler, logger = _Log(), logging.getLogger("weasyprint")
    before = (logger.handlers[:], logger.propagate, logger.level)
    logger.handlers[:] = [handler]
    logger.propagate = False
    logger.setLevel(logging.WARNING)
    try:
        with repaired():
            yield
    except FatalURLFetchingError as error:
        raise RenderError(f"a page asks for what is not its own: {error}") from error
    finally:
        logger.handlers[:], logger.propagate = before[0], before[1]
        logger.setLevel(before[2])
    if handler.lines:
        raise RenderError("the renderer complained: " + "; ".join(handler.lines))
