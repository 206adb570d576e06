"""Puts this folder on the path, so that tests can use `builders`; sets out how tests are spread."""

from __future__ import annotations

import gc
from pathlib import Path

import disk_cache
import pytest
from laying import fonts_ready
from sealing import shipped_is_proved

from plainleaf.printing.fonts import OwnFonts

TESTS = Path(__file__).parent
# What takes longest begins first, so that at the end no process waits long for another.
FIRST = ("end_to_end", "content", "properties", "oracles")


# Objects made until the next look for rings of dead ones. Readers of files and the renderer make
# millions that live: looking as often as Python does by itself takes a fifth of the time.
RINGS = (50_000, 20, 50)


def pytest_configure() -> None:
    """Let tests run on content that was changed and not yet proved again."""
    shipped_is_proved()


def pytest_sessionstart(session: pytest.Session) -> None:
    """Make Python look for dead rings seldom; throw away what no run has used for long."""
    gc.set_threshold(*RINGS)
    if not hasattr(session.config, "workerinput"):  # once a run, not in each of its processes
        disk_cache.prune()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long tests first."""
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    kind = item.path.relative_to(TESTS).parts[0] if item.path.is_relative_to(TESTS) else ""
    return FIRST.index(kind) if kind in FIRST else len(FIRST)


@pytest.fixture(scope="session")
def fonts() -> OwnFonts:
    """The packet's fonts, made ready before anything draws a page."""
    return fonts_ready()


@pytest.fixture(autouse=True)
def _nobody_chose(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whoever runs the tests may have settings of their own: they do not count here."""
    for name in ("PLAINLEAF_POLICY", "PLAINLEAF_TEACHING"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.getbasetemp() / "no-settings"))
