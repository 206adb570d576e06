"""The shape of the program: imports go one way, files and functions stay small, all is described.

A new folder at the root must be placed in FLOORS; the table is the map of `src/`. One case a rule:
it names every file that breaks it.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

from builders import ROOT

SRC = ROOT / "src" / "plainleaf"
# From the ground up: a floor imports only from floors below it.
FLOORS: tuple[tuple[str, ...], ...] = (
    ("vocabulary",),
    ("inputs",),
    ("facts",),
    ("rules",),
    ("compose",),
    ("printing",),
    ("packet",),
    ("teach_back", "authoring"),
    ("api",),
    ("cli",),
    ("__main__",),
)
MOST_ROOMS = 14
# They read neither the clock nor the environment.
STAGES = ("vocabulary", "facts", "rules", "compose")

LONGEST_FILE = 300
# Longer files with the reason; one that has become short again must leave the list.
LONG_FILES = {
    "vocabulary/patient_file/format_1.py": "one table",
    "vocabulary/patient_file/format_2.py": "one table",
    "vocabulary/patient_file/format_2_orders.py": "one table",
}
LONGEST_FUNCTION = 40
LONG_FUNCTIONS: dict[str, str] = {}

# A command's file bears the name that is typed, which may be that of what it runs.
COMMANDS = "cli/commands/"
# Names that say nothing of what they hold, and the most they may be of all that are bound.
VAGUE = frozenset(("found", "one", "made", "said", "at", "left", "where", "known"))
MOST_VAGUE = 0.01

FILES = sorted(SRC.rglob("*.py"))
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def place_of(path: Path) -> str:
    return path.relative_to(SRC).as_posix()


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


def floor(name: str) -> int:
    top = name.split(".")[0]
    return next(number for number, rooms in enumerate(FLOORS) if top in rooms)


def test_every_room_has_its_floor() -> None:
    rooms = {name.split(".")[0] for name in NAMES if name}
    listed = [room for rooms_of_floor in FLOORS for room in rooms_of_floor]
    assert len(listed) == len(set(listed))
    assert rooms == set(listed)
    assert len(rooms - {"__main__"}) <= MOST_ROOMS


def test_a_floor_imports_only_from_floors_below() -> None:
    upward = [
        f"{name} imports {other}"
        for name, path in NAMES.items()
        if name
        for other in sorted(imports_of(path))
        if other.split(".")[0] != name.split(".")[0] and floor(other) >= floor(name)
    ]
    assert upward == []


def test_no_file_imports_itself_by_way_of_others() -> None:
    graph = {name: imports_of(path) - {name} for name, path in NAMES.items() if name}
    try:
        order = list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise AssertionError(f"a cycle: {error.args[1]}") from None
    assert set(order) == set(graph)


def folder_imports(folder: str) -> dict[str, set[str]]:
    """Of each entry of a folder, the other entries of that folder that it imports."""
    inside = f"{folder}." if folder else ""
    graph: dict[str, set[str]] = {}
    for name, path in NAMES.items():
        if not name.startswith(inside) or name == folder:
            continue
        own = name.removeprefix(inside).split(".")[0]
        others = (o.removeprefix(inside).split(".")[0] for o in imports_of(path)
                  if o.startswith(inside) and o != folder)  # fmt: skip
        graph.setdefault(own, set()).update(set(others) - {own})
    return graph


def test_folders_import_each_other_one_way() -> None:
    folders = {name for name, path in NAMES.items() if path.stem == "__init__"}
    rings = []
    for folder in sorted(folders):
        try:
            list(TopologicalSorter(folder_imports(folder)).static_order())
        except CycleError as error:
            rings.append((folder, error.args[1]))
    assert rings == []


def test_no_cycle_is_broken_by_an_import_inside_a_function() -> None:
    late: dict[str, list[str]] = {}
    for path in FILES:
        for function in ast.walk(tree(path)):
            if isinstance(function, FUNCTIONS):
                names = [name for node in ast.walk(function) for name in imported(node)]
                if names:
                    late.setdefault(place_of(path), []).extend(names)
    assert late == {}


def test_stages_read_neither_the_clock_nor_the_environment() -> None:
    """The same file gives the same packet, whatever day it is built."""
    called = {
        f"{place_of(path)}: {node.attr}"
        for path in FILES
        if path.relative_to(SRC).parts[0] in STAGES
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute)
        and node.attr in {"now", "today", "utcnow", "environ", "getenv"}
    }
    assert called == set()


def test_files_are_short() -> None:
    long = {
        place_of(path)
        for path in FILES
        if len(path.read_text(encoding="utf-8").splitlines()) > LONGEST_FILE
    }
    assert long == set(LONG_FILES), "one that is short again leaves the list"


def test_functions_are_short() -> None:
    long = {
        f"{place_of(path)}:{node.name}"
        for path in FILES
        for node in ast.walk(tree(path))
        if isinstance(node, FUNCTIONS)
        and (node.end_lineno or 0) - node.lineno + 1 > LONGEST_FUNCTION
    }
    assert long == set(LONG_FUNCTIONS)


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


def test_all_that_is_public_is_described() -> None:
    undescribed = [
        f"{place_of(path)}:{name}"
        for path in FILES
        for name, node in public(tree(path).body)
        if not described(node)
    ]
    assert undescribed == []
    without = [
        place_of(path) for path in FILES if tree(path).body and not ast.get_docstring(tree(path))
    ]
    assert without == []


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


def shared(places: Iterator[tuple[str, str]]) -> dict[str, list[str]]:
    """Names that stand in several places, with the places."""
    by_name: dict[str, list[str]] = {}
    for name, place in places:
        by_name.setdefault(name, []).append(place)
    return {name: several for name, several in by_name.items() if len(several) > 1}


def test_no_two_classes_have_one_name() -> None:
    classes = (
        (node.name, place_of(path))
        for path in FILES
        for node in ast.walk(tree(path))
        if isinstance(node, ast.ClassDef)
    )
    assert shared(classes) == {}


def test_no_two_files_have_one_name() -> None:
    files = (
        (path.stem, place_of(path))
        for path in FILES
        if path.stem != "__init__" and not place_of(path).startswith(COMMANDS)
    )
    assert shared(files) == {}


def named_by(node: ast.stmt) -> Iterator[tuple[str, bool]]:
    """Names that a statement of a file binds, and whether each is a file of the program."""
    if isinstance(node, (*FUNCTIONS, ast.ClassDef)):
        yield node.name, False
    elif isinstance(node, ast.Assign):
        yield from ((target.id, False) for target in node.targets if isinstance(target, ast.Name))
    elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        yield node.target.id, False
    elif isinstance(node, ast.ImportFrom):
        module = (node.module or "").removeprefix("plainleaf").removeprefix(".")
        for alias in node.names:
            place = f"{module}.{alias.name}".removeprefix(".")
            yield alias.asname or alias.name, place in NAMES


def test_no_package_hides_its_own_file_behind_a_name() -> None:
    """`package.name` must mean the file of that name, whoever has imported what before."""
    hidden = [
        f"{place_of(path)}: {name}"
        for package, path in NAMES.items()
        if path.stem == "__init__"
        for node in tree(path).body
        for name, is_file in named_by(node)
        if not is_file and f"{package}.{name}".removeprefix(".") in NAMES
    ]
    assert hidden == []


def bound(path: Path) -> Iterator[str]:
    """Names that a file binds: assigned, looped over, taken as argument or with `as`."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id
        elif isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.ExceptHandler) and node.name:
            yield node.name


def test_results_are_named_for_what_they_are() -> None:
    vague = {place_of(path): [name for name in bound(path) if name in VAGUE] for path in FILES}
    every = sum(1 for path in FILES for _ in bound(path))
    share = sum(map(len, vague.values())) / every
    most = sorted(vague.items(), key=lambda row: -len(row[1]))[:10]
    assert share <= MOST_VAGUE, f"{share:.2%} of {every} names, most in {most}"
