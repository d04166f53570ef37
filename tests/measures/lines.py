"""How many lines each room takes: `python3 packaging/start.py lines [COMMIT…]`.

A line of code is one on which something stands that is neither comment nor docstring; apart from
that are the tables, which are literals of a module on three lines or more. Of commits that are
named the counts stand beside those of the tree, and of the first of them how many of today's files
have no forerunner in it (none of which half the lines, moved or copied, still stand).
"""

from __future__ import annotations

import argparse
import ast
import io
import subprocess
import tarfile
import tokenize
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
TOPS = ("journal", "packaging", "resources", "tests")
_NO_CODE = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT,
            tokenize.ENDMARKER}  # fmt: skip
_LITERALS = (ast.Dict, ast.Tuple, ast.List, ast.Set, ast.Call)
_TABLE_LINES = 3


class Size(NamedTuple):
    """Files, all their lines, those with code, and those of tables."""

    files: int = 0
    lines: int = 0
    code: int = 0
    tables: int = 0

    def plus(self, other: Size) -> Size:
        return Size(*(one + two for one, two in zip(self, other, strict=True)))


def size_of(source: str) -> Size:
    """The size of one module."""
    tree = ast.parse(source)
    docstrings: set[int] = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and body:
            first = body[0]
            if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
                docstrings.update(_span(first))
    tables = {
        line for node in tree.body
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, _LITERALS)
        and len(_span(node)) >= _TABLE_LINES for line in _span(node)
    }  # fmt: skip
    code = {
        line for token in tokenize.generate_tokens(io.StringIO(source).readline)
        if token.type not in _NO_CODE for line in range(token.start[0], token.end[0] + 1)
    } - docstrings  # fmt: skip
    return Size(1, source.count("\n"), len(code - tables), len(code & tables))


def _span(node: ast.stmt) -> range:
    return range(node.lineno, (node.end_lineno or node.lineno) + 1)


def sizes(files: Iterable[tuple[str, str]]) -> dict[str, Size]:
    """The size of each room, of each place of the desk, and of all under each top folder."""
    found: dict[str, Size] = {}
    for name, source in files:
        top, *rest = name.split("/")
        if top not in TOPS:
            continue
        one = size_of(source) if name.endswith(".py") else Size(1, source.count("\n"))
        for room in {
            top,
            "/".join([top, *rest[:-1]][: 3 if name.startswith("journal/desk") else 2]),
        }:
            found[room] = found.get(room, Size()).plus(one)
    return found


def of_tree(root: Path) -> Iterator[tuple[str, str]]:
    """The files git knows of a checkout, as they are now."""
    listed = subprocess.run(["git", "ls-files", "-z", *TOPS], cwd=root, capture_output=True,
                            text=True, check=True).stdout  # fmt: skip
    for name in filter(_counted, listed.split("\0")):
        if (root / name).is_file():
            yield name, (root / name).read_text(encoding="utf-8")


def of_commit(root: Path, commit: str) -> Iterator[tuple[str, str]]:
    """The same files as they were in a commit."""
    packed = subprocess.run(["git", "archive", commit], cwd=root, capture_output=True, check=True)
    with tarfile.open(fileobj=io.BytesIO(packed.stdout)) as archive:
        for member in archive:
            if member.isfile() and _counted(member.name):
                file = archive.extractfile(member)
                assert file is not None
                yield member.name, file.read().decode("utf-8")


def _counted(name: str) -> bool:
    return name.endswith(".py") or (
        name.startswith("resources/") and name.endswith((".toml", ".csv", ".md", ".html", ".css"))
    )


def without_forerunner(root: Path, commit: str) -> Counter[str]:
    """How many lines of code each room has in modules that nothing of that commit became."""
    changes = subprocess.run(
        ["git", "diff", "--name-status", "-M", "-C", "--find-copies-harder", "-l0",
         "--diff-filter=A", commit, "--", "journal", "packaging"],
        cwd=root, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    fresh = {line.split("\t")[-1] for line in changes.splitlines()}
    return Counter({
        room: size.code + size.tables
        for room, size in sizes((n, s) for n, s in of_tree(root) if n in fresh).items()
    })  # fmt: skip


def main(words: list[str] | None = None) -> int:
    """Print a row a room."""
    parser = argparse.ArgumentParser(prog="lines", description=__doc__)
    parser.add_argument("commits", nargs="*", metavar="COMMIT", help="to compare with")
    args = parser.parse_args(words)
    then = [sizes(of_commit(ROOT, commit)) for commit in args.commits]
    now = sizes(of_tree(ROOT))
    heads = [*args.commits, "now"]
    print("| room |", *(f"{head}: files | code | tables |" for head in heads),
          *(["code in files new since |"] if then else []))  # fmt: skip
    print("| --- |", *("--- | --- | --- |" for _ in heads), *(["--- |"] if then else []))
    fresh = without_forerunner(ROOT, args.commits[0]) if then else Counter()
    for room in sorted({room for one in (*then, now) for room in one}):
        cells = [f"{size.files:,} | {_code(room, size):,} | {size.tables:,} |"
                 for size in (one.get(room, Size()) for one in (*then, now))]  # fmt: skip
        print(f"| {room} |", *cells, *([f"{fresh[room]:,} |"] if then else []))
    return 0


def _code(room: str, size: Size) -> int:
    return size.lines if room.startswith("resources") else size.code


if __name__ == "__main__":
    raise SystemExit(main())
