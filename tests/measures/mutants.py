"""What the tests of a room notice: `start.py mutants ROOM [--count N] [--seed S]`.

A mutant is the room with one thing in it wrong: `<` for `<=`, `+` for `-`, `and` for `or`, a number
one higher, a condition turned round. So many are drawn and tried on the tests that reach its line,
as `covered.py` found them, those of its module first, until one fails; what no test notices is
listed with its line, to be read: it lacks a test, or is no other program (`answered.md`). One
process has all imported that is not the program's, and each mutant is a child of it (`trying.py`).
What was found is kept beside the environment: a run that was stopped goes on where it was.
"""

from __future__ import annotations

import argparse
import ast
import json
import random
import sys
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.measures.covered import FOLDER, Reached, measure
from tests.measures.trying import LOST, NOTICED, Preloaded

ROOT = Path(__file__).resolve().parents[2]
FIRST = 12  # tests that are tried before the others
MOST_S = 240.0  # of tests, as they take on the program as it is
_OTHER = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.And: ast.Or,
    ast.Or: ast.And,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change of one file: the text between two places becomes another. It is reached by what
    reaches a line from `first`, where its statement begins, to `last`, or one of `uses`, where the
    module uses a name of its own that the statement gives a value."""

    path: Path
    first: int
    line: int
    last: int
    begin: int
    end: int
    now: str
    text: str
    uses: tuple[int, ...] = ()

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

    tree = ast.parse(source)
    uses = _uses(tree)
    for node, first in _walk(tree, 1):
        for old, new in _changed(node):
            begin, end = place(old)
            now, last = raw[begin:end].decode(), old.end_lineno or 0
            also = uses.get(first, ())
            yield Mutant(path, first, old.lineno, last, begin, end, now, f"({new})", also)


def _uses(tree: ast.Module) -> dict[int, tuple[int, ...]]:
    """For each line in which the module gives names a value: where it uses them."""
    used: dict[str, list[int]] = defaultdict(list)
    for one in ast.walk(tree):
        if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Load):
            used[one.id].append(one.lineno)
    return {
        node.lineno: tuple(
            line for target in node.targets for one in ast.walk(target)
            if isinstance(one, ast.Name) for line in used[one.id]
        )
        for node in tree.body if isinstance(node, ast.Assign)
    }  # fmt: skip


def _walk(node: ast.AST, first: int) -> Iterator[tuple[ast.AST, int]]:
    """All nodes but those within a text, whose places Python 3.11 does not know; each with the line
    in which its statement begins."""
    first = node.lineno if isinstance(node, ast.stmt) else first
    yield node, first
    for each in ast.iter_child_nodes(node):
        if not isinstance(each, ast.JoinedStr):
            yield from _walk(each, first)


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


class LineMap:
    """Which tests reach a line, and how long each takes."""

    def __init__(self, measured: Sequence[Reached]) -> None:
        self.took: dict[str, float] = {}
        self._lines: dict[str, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
        for one in measured:
            self.took.update(zip(one.tests, one.took, strict=True))
            for name, lines in one.lines.items():
                for line, tests in lines.items():
                    self._lines[name][line].update(
                        one.tests[n] for n in tests if one.tests[n] not in one.failed
                    )

    def of(self, mutant: Mutant) -> list[str]:
        """The tests that reach a mutant, the nearest first, then the quickest. Where none does, it
        is reached when its module is imported, and they are those that reach anything of that."""
        lines = self._lines[mutant.path.as_posix()]
        found: set[str] = set()
        for line in (*range(mutant.first, mutant.last + 1), *mutant.uses):
            found |= lines.get(line, set())
        if not found:
            found = set().union(*lines.values())
        room, stem = mutant.path.parts[1], mutant.path.stem

        def rank(test: str) -> tuple[bool, bool, float]:
            file = test.split("::")[0]
            return stem not in file, not file.startswith(f"tests/{room}/"), self.took[test]

        return sorted(found, key=rank)


@dataclass(frozen=True)
class Trial:
    """What became of a mutant: noticed or not, and by how many tests of how many it was tried."""

    words: str
    noticed: bool
    how: str
    tried: int
    tests: int
    seconds: float


def drawn(room: str, count: int, rng: random.Random) -> list[Mutant]:
    """So many mutants of the room; each as likely as any other."""
    every = [
        one for path in sorted((ROOT / "journal" / room).rglob("*.py"))
        for one in mutants_of(path.relative_to(ROOT), path.read_text(encoding="utf-8"))
    ]  # fmt: skip
    return rng.sample(every, min(count, len(every)))


def tried(
    mutant: Mutant, tests: list[str], took: dict[str, float], house: Preloaded, most_s: float
) -> Trial:
    """Try a mutant, on a few tests first and then on the rest that there is time for."""
    begun, done, how = time.monotonic(), 0, "not reached by any test"
    within: list[str] = []
    for test in tests:
        if sum(took[one] for one in within) + took[test] <= most_s:
            within.append(test)
    change = (str(ROOT / mutant.path), mutant.begin, mutant.end, mutant.text)
    for some in (within[:FIRST], within[FIRST:]):
        if some:
            usual_s = sum(took[one] for one in some)
            how = house.run(change, some, usual_s)
            if how == LOST:  # a test's name has the changed value in it: its whole file, then
                files = {one.split("::")[0] for one in some}
                usual_s = sum(s for one, s in took.items() if one.split("::")[0] in files)
                how = house.run(change, sorted(files), usual_s)
            done += len(some)
            if how in NOTICED:
                break
    seconds = round(time.monotonic() - begun, 1)
    return Trial(mutant.words(), how in NOTICED, how, done, len(tests), seconds)


def known(path: Path) -> dict[str, Trial]:
    """What an earlier run found, by the mutant's words."""
    if not path.exists():
        return {}
    rows = (json.loads(line) for line in path.read_text(encoding="utf-8").splitlines())
    return {row["words"]: Trial(**row) for row in rows}


def main(words: list[str] | None = None) -> int:
    """Try them and list what is not noticed."""
    parser = argparse.ArgumentParser(prog="mutants", description=__doc__)
    parser.add_argument("room", metavar="ROOM", help="reckoning, findings, curves, keeping, …")
    parser.add_argument("--count", type=int, default=150, help="how many; 150")
    parser.add_argument("--seed", type=int, help="of the draw; printed")
    parser.add_argument("--first", type=int, help="try only so many of those that are drawn")
    parser.add_argument("--most", type=float, default=MOST_S, metavar="SECONDS",
                        help="of tests that each is tried on; 240")  # fmt: skip
    args = parser.parse_args(words)
    seed = random.SystemRandom().randrange(10**6) if args.seed is None else args.seed
    print(f"Seed {seed}", flush=True)
    reach = LineMap(list(measure([args.room])))
    kept = FOLDER / f"mutants-{args.room}-{seed}-{args.count}.jsonl"
    before, trials = known(kept), []
    house = Preloaded()
    for mutant in drawn(args.room, args.count, random.Random(seed))[: args.first]:
        one = before.get(mutant.words())
        if one is None:
            one = tried(mutant, reach.of(mutant), reach.took, house, args.most)
            with kept.open("a", encoding="utf-8") as file:
                file.write(json.dumps(vars(one)) + "\n")
        trials.append(one)
        if not one.noticed:
            print(f"{len(trials)}: {_told(one)}", flush=True)
    lives = sum(not one.noticed for one in trials)
    print(f"{len(trials)} mutants of {args.room}, {lives} not noticed.")
    return 0


def _told(one: Trial) -> str:
    return f"not noticed ({one.how}, {one.tried} of {one.tests} tests): {one.words}"


if __name__ == "__main__":
    sys.exit(main())
