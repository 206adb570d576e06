"""The other version of the renderer that is allowed prints a packet that is tagged as well."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from importlib.metadata import version
from pathlib import Path

import pytest
from builders import ROOT
from filelock import FileLock

from plainleaf.printing.fonts import default_cache

# The version that is not installed, by the first figure of the one that is.
OTHER = {"69": "70.0", "70": "69.0"}
TESTS = (
    "tests/unit/test_repairs.py", "tests/unit/test_layout.py",
    "tests/end_to_end/test_packet_tags.py", "tests/end_to_end/test_packet_sheet.py",
)  # fmt: skip
# One packet, and all of the tests that need none.
CHOSEN = "g-balloon-syringe or test_repairs or test_layout"


def _run(*arguments: str, **env: str) -> str:
    """What a program prints; it must end well."""
    usual = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    done = subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env={**usual, **env},
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, timeout=600,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-4_000:]
    return done.stdout


@pytest.fixture(scope="module")
def other() -> Path:
    """A folder with the other version, from the package index once and then from the cache."""
    wanted = OTHER[version("weasyprint").split(".")[0]]
    folder = default_cache() / "renderers" / f"weasyprint-{wanted}"
    folder.parent.mkdir(parents=True, exist_ok=True)
    with FileLock(folder.with_suffix(".lock")):
        if not folder.exists():
            with tempfile.TemporaryDirectory(dir=folder.parent) as new:
                part = Path(new, "part")
                _run("-m", "pip", "install", "--quiet", "--no-deps", "--no-compile",
                     "--disable-pip-version-check", "--target", str(part),
                     f"weasyprint=={wanted}")  # fmt: skip
                part.rename(folder)
    return folder


def test_a_packet_by_the_other_version_is_tagged_as_well(other: Path) -> None:
    path = os.pathsep.join((str(other), str(ROOT / "src")))
    ask = "import weasyprint; print(f'weasyprint-{weasyprint.__version__}')"
    assert _run("-c", ask, PYTHONPATH=path).strip() == other.name
    said = _run("-m", "pytest", "-q", "-p", "no:cacheprovider", "-n0", "-k", CHOSEN, *TESTS,
                PYTHONPATH=path)  # fmt: skip
    assert " passed" in said
    assert "skipped" not in said
