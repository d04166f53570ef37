"""Mutants: each is one change at one place, and what no test notices is told."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

from tests.measures.covered import Reached
from tests.measures.mutants import ROOT, LineMap, Mutant, mutants_of

SOURCE = '''
def least(a: float, b: float, *, strict: bool = False) -> float | None:
    """The lesser of two, for "a < b"."""
    if a < b and not strict:
        return a + round(b, 2) - 1
    return None if a == b else f"{a + b}"
'''


def test_each_mutant_is_one_change_of_the_program() -> None:
    found = list(mutants_of(Path("least.py"), SOURCE))
    assert [(one.now, one.text) for one in found] == [
        ("a < b and not strict", "(not (a < b and (not strict)))"),
        ("a < b and not strict", "(a < b or not strict)"),
        ("a < b", "(a <= b)"),
        ("not strict", "(strict)"),
        ("a + round(b, 2) - 1", "(None)"),
        ("a + round(b, 2) - 1", "(a + round(b, 2) + 1)"),
        ("a + round(b, 2)", "(a - round(b, 2))"),
        ("2", "(3)"),
        ('None if a == b else f"{a + b}"', "(None)"),
        ("a == b", "(not (a == b))"),
        ("a == b", "(a != b)"),
    ]
    whole = SOURCE.encode()
    for one in found:
        assert whole[one.begin : one.end].decode() == one.now
        changed = whole[: one.begin] + one.text.encode() + whole[one.end :]
        assert ast.dump(ast.parse(changed)) != ast.dump(ast.parse(whole))


def test_a_number_of_the_module_is_reached_where_the_module_uses_it() -> None:
    path, source = "journal/records/odd.py", "MOST = 9\n\n\ndef is_odd(a):\n    print(a > MOST)\n"
    most = next(mutants_of(Path(path), source))
    assert (most.now, most.text) == ("9", "(10)")
    starts_it, asks_it = "tests/desk/test_starts.py::test_0", "tests/records/test_odd.py::test_1"
    lines = {path: {1: [0], 5: [1]}}
    reach = LineMap([Reached([starts_it, asks_it], [0.1, 0.2], set(), {}, lines)])
    assert reach.of(most) == [asks_it, starts_it]


_FORKED = """
import sys
from tests.measures.trying import Preloaded
path, begin, end = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
test, house = "tests/records/test_dates.py", Preloaded()
print(house.run(None, [test], 1.0), house.run((path, begin, end, "(None)"), [test], 1.0),
      house.run((path, 0, 0, "1 / 0\\n"), [test], 1.0),
      house.run(None, [test + "::test_none"], 1.0), "journal" in sys.modules, sep=", ")
"""


def test_a_change_is_noticed_by_a_test_that_fails() -> None:
    path = ROOT / "journal" / "records" / "dates.py"
    source = path.read_text(encoding="utf-8")
    every = list(mutants_of(path.relative_to(ROOT), source))
    its = source.encode().index(b"def read_day")
    one = next(each for each in every if each.begin > its and each.text == "(None)")
    words = [sys.executable, "-c", _FORKED, str(path), str(one.begin), str(one.end)]
    output = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    assert output.stdout == "passed, failed, import, tests lost, False\n"
    assert path.read_text(encoding="utf-8") == source


def test_the_tests_that_reach_it_are_tried_the_nearest_first() -> None:
    names = (
        "command/test_sheets",
        "keeping/test_bin",
        "keeping/test_rescue",
        "keeping/test_rescue",
    )
    tests = [f"tests/{name}.py::test_{number}" for number, name in enumerate(names)]
    lines = {"journal/keeping/rescue.py": {7: [0, 1, 2], 9: [3], 10: [3]}}
    reach = LineMap([Reached(tests, [0.1, 0.2, 3.0, 4.0], {tests[1]}, {}, lines)])

    def mutant(first: int, last: int) -> Mutant:
        return Mutant(Path("journal/keeping/rescue.py"), first, first, last, 0, 1, "1", "(2)")

    assert reach.of(mutant(7, 7)) == [tests[2], tests[0]]  # what failed of itself tells nothing
    assert reach.of(mutant(8, 10)) == [tests[3]]
    assert reach.of(mutant(2, 2)) == [tests[2], tests[3], tests[0]]
