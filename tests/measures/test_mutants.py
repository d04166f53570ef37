"""Mutants: each is one change at one place, and what no test notices is told."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.measures.mutants import ROOT, mutants_of, nearest, passes

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


def test_a_test_that_fails_or_never_ends_notices_it(tmp_path: Path) -> None:
    for name, body, is_fine in (
        ("sound", "pass", True),
        ("wrong", "assert False", False),
        ("endless", "import threading; threading.Event().wait()", False),
    ):
        test = tmp_path / f"test_{name}.py"
        test.write_text(f"def test_it():\n    {body}\n", encoding="utf-8")
        assert passes(tmp_path, [test.name], 40 if is_fine else 8) is is_fine


def test_the_nearest_tests_are_those_that_name_the_module() -> None:
    assert "tests/keeping/test_rescue.py" in nearest("rescue", "keeping")
    assert "tests/keeping/test_undo.py" not in nearest("rescue", "keeping")
    assert all((ROOT / each).is_file() for each in nearest("blocks", "keeping"))
