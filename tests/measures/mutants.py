"""What the tests of a room notice: `start.py mutants ROOM [--count N] [--seed S]`.

A mutant is the room with one thing in it wrong: `<` for `<=`, `+` for `-`, `and` for `or`, a number
one higher, a condition turned round. So many are drawn and tried, each in a fresh process on a copy
of the program, first on the tests of its module, then on those of the room; what no test notices is
listed with its line, to be read: it lacks a test, or is no other program.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COPIED = ("journal", "tests", "resources", "packaging", "pyproject.toml")
ALSO = {"reckoning": ("tests/outside",), "curves": ("tests/outside",)}
PATIENCE = 10  # times what the tests take on the program as it is, and at least
LEAST_S = 60.0
_OTHER = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.And: ast.Or,
    ast.Or: ast.And,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change of one file: the text between two places becomes another."""

    path: Path
    line: int
    begin: int
    end: int
    now: str
    text: str

    def words(self) -> str:
        """Where it is, and what became what."""
        return f"{self.path.as_posix()}:{self.line}: {self.now!r} -> {self.text!r}"


def mutants_of(path: Path, source: str) -> Iterator[Mutant]:
    """All mutants of a file, in the order of their places."""
    at = [0]
    for line in source.encode().splitlines(keepends=True):
        at.append(at[-1] + len(line))
    raw = source.encode()

    def place(node: ast.expr) -> tuple[int, int]:
        return (at[node.lineno - 1] + node.col_offset,
                at[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0))  # fmt: skip

    for node in _walk(ast.parse(source)):
        for old, new in _changed(node):
            begin, end = place(old)
            yield Mutant(path, old.lineno, begin, end, raw[begin:end].decode(), f"({new})")


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """All nodes but those within a text, whose places Python 3.11 does not know."""
    yield node
    for each in ast.iter_child_nodes(node):
        if not isinstance(each, ast.JoinedStr):
            yield from _walk(each)


def _changed(node: ast.AST) -> Iterator[tuple[ast.expr, str]]:
    """An expression of this node, and what it becomes."""
    if isinstance(node, ast.Compare):
        for n, op in enumerate(node.ops):
            if type(op) in _OTHER:
                ops = [*node.ops[:n], _OTHER[type(op)](), *node.ops[n + 1 :]]
                yield node, ast.unparse(ast.Compare(node.left, ops, node.comparators))
    elif isinstance(node, ast.BinOp) and type(node.op) in _OTHER:
        yield node, ast.unparse(ast.BinOp(node.left, _OTHER[type(node.op)](), node.right))
    elif isinstance(node, ast.BoolOp):
        yield node, ast.unparse(ast.BoolOp(_OTHER[type(node.op)](), node.values))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node, ast.unparse(node.operand)
    else:
        yield from _turned(node)


def _turned(node: ast.AST) -> Iterator[tuple[ast.expr, str]]:
    """A condition turned round, nothing returned, another number."""
    if isinstance(node, ast.If | ast.IfExp | ast.While):
        yield node.test, f"not ({ast.unparse(node.test)})"
    elif isinstance(node, ast.Return) and node.value is not None:
        if not (isinstance(node.value, ast.Constant) and node.value.value is None):
            yield node.value, "None"
    elif isinstance(node, ast.Assign | ast.Call):
        held = [node.value] if isinstance(node, ast.Assign) else node.args
        for each in [*held, *(one.value for one in getattr(node, "keywords", ()))]:
            if isinstance(each, ast.Constant):
                yield from _number(each)


def _number(node: ast.Constant) -> Iterator[tuple[ast.expr, str]]:
    if isinstance(node.value, bool):
        yield node, str(not node.value)
    elif isinstance(node.value, int | float):
        yield node, repr(node.value + 1)


def nearest(module: str, room: str) -> list[str]:
    """The tests of a module: files with its name in theirs, and those that import it."""
    named = f"journal.{room}.{module}"
    found = [
        path
        for path in sorted((ROOT / "tests" / room).rglob("test_*.py"))
        if module in path.stem or f"{named} import" in path.read_text(encoding="utf-8")
    ]
    return [path.relative_to(ROOT).as_posix() for path in found]


def passes(folder: Path, tests: list[str], patience_s: float) -> bool:
    """Whether the tests pass on the copy of the program in a folder; slow ones are left out."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider",
               "-m", "not slow", *tests]  # fmt: skip
    env = {**os.environ, "PYTHONPATH": str(folder), "QT_QPA_PLATFORM": "offscreen"}
    with subprocess.Popen(
        command, cwd=folder, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        start_new_session=True,
    ) as one:  # fmt: skip
        try:
            return one.wait(patience_s) == 0
        except subprocess.TimeoutExpired:
            os.killpg(one.pid, signal.SIGKILL)
            return False


class Trial:
    """A room's mutants on a copy of the program."""

    def __init__(self, room: str, folder: Path) -> None:
        self.room, self.folder = room, folder
        for name in COPIED:
            copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
            copy(ROOT / name, folder / name)
        self.took: dict[tuple[str, ...], float] = {}

    def drawn(self, count: int, dice: random.Random) -> list[Mutant]:
        """So many mutants of the room; each as likely as any other."""
        files = sorted((ROOT / "journal" / self.room).rglob("*.py"))
        every = [
            one for path in files
            for one in mutants_of(path.relative_to(ROOT), path.read_text(encoding="utf-8"))
        ]  # fmt: skip
        return dice.sample(every, min(count, len(every)))

    def is_noticed(self, mutant: Mutant) -> bool:
        """Whether a test fails on it."""
        whole = [f"tests/{self.room}", *ALSO.get(self.room, ())]
        near = nearest(mutant.path.stem, self.room)
        path = self.folder / mutant.path
        before = path.read_bytes()
        for tests in (near, whole) if near else (whole,):
            patience = max(LEAST_S, PATIENCE * self._usual(tuple(tests)))
            path.write_bytes(before[: mutant.begin] + mutant.text.encode() + before[mutant.end :])
            try:
                if not passes(self.folder, tests, patience):
                    return True
            finally:
                path.write_bytes(before)
        return False

    def _usual(self, tests: tuple[str, ...]) -> float:
        """How long these tests take on the program as it is, on which they pass."""
        if tests not in self.took:
            begun = time.monotonic()
            if not passes(self.folder, list(tests), 7200):
                raise SystemExit(f"These fail without any mutant: {' '.join(tests)}")
            self.took[tests] = time.monotonic() - begun
        return self.took[tests]


def main(words: list[str] | None = None) -> int:
    """Try them and list what is not noticed."""
    parser = argparse.ArgumentParser(prog="mutants", description=__doc__)
    parser.add_argument("room", metavar="ROOM", help="reckoning, findings, curves, keeping, …")
    parser.add_argument("--count", type=int, default=150, help="how many; 150")
    parser.add_argument("--seed", type=int, help="of the draw; printed")
    args = parser.parse_args(words)
    seed = random.SystemRandom().randrange(10**6) if args.seed is None else args.seed
    print(f"Seed {seed}", flush=True)
    lives = []
    with tempfile.TemporaryDirectory() as folder:
        trial = Trial(args.room, Path(folder))
        drawn = trial.drawn(args.count, random.Random(seed))
        for number, mutant in enumerate(drawn, start=1):
            if not trial.is_noticed(mutant):
                lives.append(mutant)
                print(f"{number}: not noticed: {mutant.words()}", flush=True)
            elif number % 10 == 0:
                print(f"{number}: {number - len(lives)} noticed", flush=True)
    print(f"{len(drawn)} mutants of {args.room}, {len(lives)} not noticed.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
