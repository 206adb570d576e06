"""Repairs of the renderer: each knows the text it stands for, and none stays behind."""

from __future__ import annotations

import importlib
import inspect
from contextlib import suppress
from hashlib import sha256

import pytest

from plainleaf.printing.renderer import repairs
from plainleaf.printing.renderer.engine import repaired
from plainleaf.printing.renderer.upstream import REPAIRS, Upstream


def upstream_text(upstream: Upstream) -> str:
    module, name = upstream.name.split(":")
    return inspect.getsource(getattr(importlib.import_module(module), name))


@pytest.mark.parametrize("repair", sorted(REPAIRS))
def test_the_renderer_s_text_is_one_that_the_repair_was_held_against(repair: str) -> None:
    upstream = REPAIRS[repair]
    digest = sha256(upstream_text(upstream).encode()).hexdigest()[:16]
    assert digest in upstream.digests, (
        f"{upstream.name} has changed: read it, see whether {repair} is still needed and still "
        "right, then write its digest down"
    )


def test_a_text_that_has_changed_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("weasyprint.pdf.anchors.add_links", lambda *_: None)
    with pytest.raises(AssertionError, match="add_links has changed"):
        test_the_renderer_s_text_is_one_that_the_repair_was_held_against("_print_links")


def test_every_repair_of_the_finished_file_is_listed() -> None:
    called = [name for name in repairs.finish.__code__.co_names if name.startswith("_")]
    assert set(called) - {"_Tree"} <= set(REPAIRS)
    assert len(called) > 5


def test_the_renderer_is_as_it_was_when_the_work_is_done() -> None:
    from weasyprint import pdf
    from weasyprint.pdf import tags

    before = tags._build_box_tree, pdf.build_fonts_dictionary
    with suppress(ZeroDivisionError), repaired():
        assert tags._build_box_tree is not before[0]
        assert pdf.build_fonts_dictionary is not before[1]
        raise ZeroDivisionError
    assert (tags._build_box_tree, pdf.build_fonts_dictionary) == before
