"""Columns of a foreign table: found without their unit, makes and rows kept apart."""

from __future__ import annotations

import pytest

from journal.findings.columns import MAKE, SCORE, SESSION, VARIABLE
from journal.findings.foreign import ForeignColumn, find, score_table_of


def column(name: str, role: str, cells: list, **more) -> ForeignColumn:
    numbers = None if isinstance(cells[0], str) else [float(cell) for cell in cells]
    return ForeignColumn(name, role, numbers, [str(cell) for cell in cells], **more)


@pytest.mark.parametrize("name", ["Salt (g/l)", "Salt [g/l]", "salt"])
def test_a_column_is_found_without_its_unit(name):
    columns = [column(name, VARIABLE, [2.0]), column("(x)", VARIABLE, [1.0])]
    assert find(columns, "salt") is columns[0]
    assert find(columns, "(x)") is columns[1]


def test_without_people_each_row_is_a_wheel_and_with_people_those_of_a_make_are_one():
    makes = [f"m{i}" for i in range(8)] * 2
    beside = [column("make", MAKE, makes), column("session", SESSION, ["a", "b", "c", "d"] * 4),
              column("salt", VARIABLE, [2 + i / 10 for i in range(8)] * 2)]  # fmt: skip
    scores = [6 + (3 * i) % 7 / 10 for i in range(16)]
    alone = score_table_of([*beside, column("overall", SCORE, scores)], "overall")
    assert sorted(alone.make) == sorted(makes)
    assert len(set(alone.wheel)) == 16
    people = [
        column(f"overall {who}", SCORE, [one + by for one in scores], attribute="overall", who=who)
        for who, by in (("Ann", 0.0), ("Bo", 0.5))
    ]
    together = score_table_of([*beside, *people], "overall")
    assert sorted(together.make) == sorted(set(makes))
    assert together.assessors == 2
