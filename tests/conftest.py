"""Puts this folder on the path, so that tests can use `builders`; makes the fonts ready."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from plainleaf.printing.fonts import default_cache, use_own_fonts


@pytest.fixture(scope="session")
def fonts() -> Mapping[str, Path]:
    """Style → font file, made ready before anything draws a page.

    From the cache of whoever runs the tests: cutting them anew takes ten seconds.
    """
    return use_own_fonts(default_cache())
