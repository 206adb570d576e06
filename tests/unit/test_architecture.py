"""The shape of the program: imports go one way, files and functions stay small, all is described.

A new file must be placed in ORDER before it may be imported; the table is the map of `src/`.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from builders import ROOT

SRC = ROOT / "src" / "plainleaf"
# Groups from left to right: a file or package may import from groups to its left only.
ORDER: tuple[tuple[str, ...], ...] = (
    ("errors", "terms", "settings", "version", "finish", "draw", "loop", "cldr"),
    ("vocabulary", "reading", "quantities", "zones"),
    ("conditions", "influence", "reviews"),
    ("patient", "policy", "content", "locales"),
    ("facts", "fonts"),
    ("judge", "select", "pictures"),
    ("fill", "traced"),
    ("word", "formats", "renderer"),
    ("typeset", "found", "translate", "kept", "compiled"),
    ("render", "press_process"),
    ("press",),
    ("check", "sheet", "report", "reminders", "lint", "delivery", "starter", "words"),
    ("prove", "case"),
    ("digests", "outline"),
    ("form", "outline_file"),
    ("papers", "exchange", "chain"),
    ("pipeline",),
    ("screen", "trace", "proofread"),
    ("affected", "returned"),
    ("commands", "arguments"),
    ("cli",),
    ("entry",),
    ("__main__",),
)
# Imports within one group that are wanted: (from, of).
WITHIN: frozenset[tuple[str, str]] = frozenset()

# Imports inside a function, which break no cycle, with the reason.
LATE_IMPORTS = {
    "entry.py": ["cli"],  # the program loads while the press warms up
}

LONGEST_FILE = 300
# Longer files with the reason; one that has become short again must leave the list.
LONG_FILES = {
    "vocabulary.py": "one table",
}
LONGEST_FUNCTION = 40
LONG_FUNCTIONS = {"papers/teach_back.py:_html": "hands every part of the sheet to its template"}

FILES = sorted(SRC.rglob("*.py"))
FILE_IDS = [path.relative_to(SRC).as_posix() for path in FILES]
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    parts = path.relative_to(SRC).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


NAMES = {name_of(path): path for path in FILES}


def imported(node: ast.AST) -> Iterator[str]:
    """Files of the program that an import statement names, by their dotted place."""
    if isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
    elif isinstance(node, ast.ImportFrom):
        module = node.module or ""
        names = [f"{module}.{alias.name}" for alias in node.names]
        names = [n if n.partition(".")[2] in NAMES else module for n in names]
    else:
        return
    for name in names:
        first, _, rest = name.partition(".")
        if first == "plainleaf":
            yield rest


@cache
def imports_of(path: Path) -> frozenset[str]:
    return frozenset(name for node in ast.walk(tree(path)) for name in imported(node) if name)


def place(top: str) -> int:
    return next((n for n, group in enumerate(ORDER) if top in group), -1)


def test_every_file_has_a_place_in_the_order() -> None:
    tops = {name.split(".")[0] for name in NAMES if name}
    listed = [name for group in ORDER for name in group]
    assert len(listed) == len(set(listed))
    assert tops == set(listed)


@pytest.mark.parametrize("path", FILES, ids=FILE_IDS)
def test_imports_go_one_way(path: Path) -> None:
    own = name_of(path).split(".")[0]
    for name in sorted(imports_of(path)):
        other = name.split(".")[0]
        if other == own or not own:
            continue
        assert place(other) < place(own) or (own, other) in WITHIN, f"{own} imports {other}"


@pytest.mark.parametrize("package", sorted({n.split(".")[0] for n in NAMES if "." in n}))
def test_files_of_a_package_import_each_other_without_a_cycle(package: str) -> None:
    inner = {name: path for name, path in NAMES.items() if name.split(".")[0] == package}
    graph = {
        name: {other for other in imports_of(path) if other in inner and other != name}
        for name, path in inner.items()
    }
    try:
        order = list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise AssertionError(f"a cycle: {error.args[1]}") from None
    assert set(order) == set(inner)


@pytest.mark.parametrize("path", FILES, ids=FILE_IDS)
def test_no_cycle_is_broken_by_an_import_inside_a_function(path: Path) -> None:
    inside = [
        name
        for function in ast.walk(tree(path))
        if isinstance(function, FUNCTIONS)
        for node in ast.walk(function)
        for name in imported(node)
    ]
    assert inside == LATE_IMPORTS.get(path.relative_to(SRC).as_posix(), [])


def test_stages_read_neither_the_clock_nor_the_environment() -> None:
    """The same file gives the same packet, whatever day it is built."""
    for top in (
        "facts",
        "judge",
        "select",
        "fill",
        "word",
        "render",
        "sheet",
        "report",
        "reminders",
    ):
        paths = [path for name, path in NAMES.items() if name.split(".")[0] == top]
        assert paths
        for path in paths:
            called = {node.attr for node in ast.walk(tree(path)) if isinstance(node, ast.Attribute)}
            assert not called & {"now", "today", "utcnow", "environ", "getenv"}, path.name


@pytest.mark.parametrize("path", FILES, ids=FILE_IDS)
def test_files_are_short(path: Path) -> None:
    length = len(path.read_text(encoding="utf-8").splitlines())
    if path.relative_to(SRC).as_posix() in LONG_FILES:
        assert length > LONGEST_FILE, "short again: take it off the list"
    else:
        assert length <= LONGEST_FILE


@pytest.mark.parametrize("path", FILES, ids=FILE_IDS)
def test_functions_are_short(path: Path) -> None:
    long = {
        node.name
        for node in ast.walk(tree(path))
        if isinstance(node, FUNCTIONS)
        and (node.end_lineno or 0) - node.lineno + 1 > LONGEST_FUNCTION
    }
    relative = path.relative_to(SRC).as_posix()
    known = {key.partition(":")[2] for key in LONG_FUNCTIONS if key.startswith(f"{relative}:")}
    assert long == known


def public(nodes: list[ast.stmt], inside: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Public functions and classes of a file, and public methods of public classes."""
    for node in nodes:
        if isinstance(node, (*FUNCTIONS, ast.ClassDef)) and not node.name.startswith("_"):
            yield inside + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{node.name}.")


def described(node: ast.AST) -> bool:
    assert isinstance(node, (*FUNCTIONS, ast.ClassDef))
    # The members of a protocol are described by the protocol.
    only_shape = (
        isinstance(node, FUNCTIONS)
        and isinstance(node.body[-1], ast.Expr)
        and isinstance(node.body[-1].value, ast.Constant)
        and node.body[-1].value.value is ...
    )
    return bool(ast.get_docstring(node)) or only_shape


@pytest.mark.parametrize("path", FILES, ids=FILE_IDS)
def test_all_that_is_public_is_described(path: Path) -> None:
    undescribed = [name for name, node in public(tree(path).body) if not described(node)]
    assert undescribed == []
    holds_code = any(isinstance(node, (*FUNCTIONS, ast.ClassDef, ast.Assign)) for node in
                     tree(path).body)  # fmt: skip
    assert ast.get_docstring(tree(path)) or not holds_code


def test_nothing_is_left_to_do() -> None:
    words = ("TODO", "FIXME", "XXX", "HACK")
    found = [
        f"{path.name}: {word}"
        for path in FILES
        for word in words
        if word in path.read_text(encoding="utf-8")
    ]
    assert found == []


def test_files_are_named_for_what_they_hold() -> None:
    vague = {"utils", "helpers", "common", "misc", "base", "manager", "data"}
    assert [path.name for path in FILES if path.stem in vague] == []
