"""Compiled templates: kept for the next run, never older than their text, never in the way."""

from __future__ import annotations

from pathlib import Path

import jinja2
import pytest
from jinja2.bccache import bc_magic

from plainleaf.printing import template_cache
from plainleaf.printing.template_cache import environment


def filled(templates: Path, kept: Path | None, name: str = "a") -> str:
    return environment(templates, kept).get_template("t.j2").render(name=name)


@pytest.fixture
def templates(tmp_path: Path) -> Path:
    folder = tmp_path / "templates"
    folder.mkdir()
    (folder / "t.j2").write_text("Dear {{ name }}", encoding="utf-8")
    return folder


def test_the_second_run_compiles_nothing(
    templates: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "cache" / "templates"
    assert filled(templates, kept) == "Dear a"
    monkeypatch.setattr(jinja2.Environment, "compile", None)
    assert filled(templates, kept, "<b>") == "Dear &lt;b&gt;"


def test_a_changed_template_is_compiled_anew(templates: Path, tmp_path: Path) -> None:
    assert filled(templates, tmp_path / "kept") == "Dear a"
    (templates / "t.j2").write_text("Bye {{ name }}", encoding="utf-8")
    assert filled(templates, tmp_path / "kept") == "Bye a"


def test_other_options_compile_anew(
    templates: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (templates / "t.j2").write_text("{% if name %}\nDear {% endif %}", encoding="utf-8")
    assert filled(templates, tmp_path / "kept") == "Dear "
    monkeypatch.setitem(template_cache._OPTIONS, "trim_blocks", False)
    assert filled(templates, tmp_path / "kept") == "\nDear "


def test_what_is_damaged_is_compiled_anew(templates: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    filled(templates, kept)
    (file,) = kept.glob("*/*")
    sound = file.read_bytes()
    for damaged in (b"", b"x", sound[:-9], sound[:24] + b"?" * 9, sound[: len(bc_magic)] + b"?"):
        file.write_bytes(damaged)
        assert filled(templates, kept) == "Dear a"


def test_a_folder_that_cannot_be_written_is_no_error(templates: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    kept.write_text("a file, no folder", encoding="utf-8")
    assert filled(templates, kept / "templates") == "Dear a"
    assert filled(templates, None) == "Dear a"
