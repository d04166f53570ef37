"""The proof of the findings in journals as homes keep them: what the world is, and a short run; the
whole is `start.py pace findings-proof ugly`."""

from __future__ import annotations

import ast
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import numpy as np
import pytest

from tests.pace import ugly_kitchens
from tests.pace.kept import Kept, Rows
from tests.pace.ugly_kitchens import LATE, SCALES, VARIABLES, UglyHome, ugly_journal
from tests.pace.ugly_proof import figures, table_of


def test_the_homes_share_no_code_with_the_journal() -> None:
    tree = ast.parse(Path(str(ugly_kitchens.__file__)).read_text(encoding="utf-8"))
    names = [n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
    names += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    assert not [name for name in names if name.split(".")[0] in ("journal", "tests")]


def test_a_home_has_what_homes_have() -> None:
    one = ugly_journal(UglyHome(60), 3, 1)
    assert np.isnan(one.noted[:20, list(LATE)]).all()
    assert 0.05 < np.isnan(one.noted[20:]).mean() < 0.2
    stays = [np.corrcoef(c[:-1], c[1:])[0, 1] for c in np.nan_to_num(one.noted[:, :8]).T]
    assert np.mean(stays) > 0.3  # what is done is done again
    make, _, who, _, age, value = one.singles
    assert set(np.unique(value)) <= set(range(11))
    assert len(value) < 60 * 4
    assert age.min() > 60
    spreads = [np.std(value[who == p] - value[who == p].mean()) for p in (0, 1)]
    assert SCALES[1] < SCALES[0]
    assert spreads[1] < spreads[0]
    again = ugly_journal(UglyHome(60), 3, 1)
    assert again.singles.tolist() == one.singles.tolist()
    assert make.max() == 59


def test_the_ranges_hold_most_of_what_is_true_there() -> None:
    """Nothing is promised of them; that they do not break down is held: nine in ten of the 95 %
    ranges, less three standard errors of so many journals (a journal counts as one)."""
    rows = np.array([figures(UglyHome(25), 4, n) for n in range(12)])
    assert rows.shape == (12, 9)
    held = rows[:, 1]
    assert held.mean() >= 0.9 - 3 * held.std(ddof=1) / np.sqrt(len(held))
    assert rows[:, 6].mean() < np.nanmean(rows[:, 7])  # no wider than least squares
    table = table_of(ugly_journal(UglyHome(25), 0, 4))
    assert (table.makes, table.assessors, table.x.shape[1]) == (25, 2, VARIABLES + 1)


def test_a_long_run_is_taken_up_again(tmp_path: Path) -> None:
    asked: list[int] = []

    def work(seed: int, numbers: Sequence[int]) -> Rows:
        asked.extend(numbers)
        return [[float(seed), float(number)] for number in numbers]

    path = tmp_path / "kept.jsonl"
    found = Kept(path).over("hills", work, [7, 8], 60, 1)
    assert found.tolist() == [[s, n] for s in (7.0, 8.0) for n in range(60)]
    assert len(asked) == 120
    lines = path.read_text().splitlines()
    path.write_text("\n".join(lines[:-1]) + "\n" + lines[-1][:30])
    asked.clear()
    assert Kept(path).over("hills", work, [7, 8], 60, 1).tolist() == found.tolist()
    assert asked == list(range(50, 60))
    assert Kept().run("hills", partial(work, 9), 3, 1) == pytest.approx(
        np.array([[9, 0], [9, 1], [9, 2]])
    )
