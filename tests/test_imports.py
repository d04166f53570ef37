"""No two modules need each other: an import within a room runs one way, as the floors do between.

What counts is every import that is written, also inside a function and under TYPE_CHECKING: who
reads one module must not have to read the other first. `from journal.keeping.file import reason`
names the module and counts as that alone; `from journal.keeping import Journal` names the package
and counts as its `__init__`, with all that this hands on.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
Graph = dict[str, set[str]]


def modules_in(folder: Path, top: Path) -> dict[str, Path]:
    """Every module in a folder by the name it is imported by from `top`."""
    return {
        ".".join(path.relative_to(top).with_suffix("").parts).removesuffix(".__init__"): path
        for path in sorted(folder.rglob("*.py"))
    }


def imports_of(path: Path) -> Iterator[tuple[str, str]]:
    """Each import of a file: the module, and the name that is taken from it ("" for itself)."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports relative to itself"
            yield from ((node.module or "", alias.name) for alias in node.names)


def graph_of(modules: dict[str, Path]) -> Graph:
    """Which of the modules each of them imports."""
    graph: Graph = {}
    for name, path in modules.items():
        wanted = (
            f"{module}.{taken}" if f"{module}.{taken}" in modules else module
            for module, taken in imports_of(path)
        )
        graph[name] = {module for module in wanted if module in modules}
    return graph


def circles_of(graph: Graph) -> list[list[str]]:
    """The groups of modules of which each reaches each other."""
    beyond = {name: reached_from(name, graph) for name in graph}
    groups = {
        frozenset(other for other in there if name in beyond[other])
        for name, there in beyond.items()
        if name in there
    }
    return sorted(sorted(group) for group in groups)


def reached_from(start: str, graph: Graph) -> set[str]:
    found: set[str] = set()
    waiting = list(graph[start])
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += graph[name]
    return found


@pytest.mark.parametrize(("folder", "top"), [("journal", "."), ("packaging", "packaging")])
def test_no_modules_import_each_other(folder, top):
    graph = graph_of(modules_in(ROOT / folder, ROOT / top))
    assert sum(map(len, graph.values())) >= len(graph) / 2
    assert circles_of(graph) == []


def test_a_circle_is_seen_over_others_in_a_function_and_for_types_alone(tmp_path):
    package = tmp_path / "dairy"
    package.mkdir()
    written = {
        "__init__": "from dairy.vat import Vat",
        "vat": "import dairy.milk",
        "milk": "def pour():\n    from dairy import cow",
        "cow": "if TYPE_CHECKING:\n    from dairy.vat import Vat",
        "curd": "from dairy import Vat",
        "whey": "from dairy.curd import Curd\nfrom dairy.vat import Vat",
    }
    for name, text in written.items():
        (package / f"{name}.py").write_text(text)
    graph = graph_of(modules_in(package, tmp_path))
    assert circles_of(graph) == [["dairy.cow", "dairy.milk", "dairy.vat"]]
    (package / "vat.py").write_text("import dairy.milk\nfrom dairy import curd")
    graph = graph_of(modules_in(package, tmp_path))
    assert circles_of(graph) == [["dairy", "dairy.cow", "dairy.curd", "dairy.milk", "dairy.vat"]]
