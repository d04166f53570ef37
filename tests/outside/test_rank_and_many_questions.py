"""Rank correlation and many questions at once, against published tables and papers."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from journal.findings.single import (
    Orders,
    benjamini_hochberg,
    holm,
    spearman,
    spearman_p,
    squared_differences,
)

DATA = Path(__file__).parent / "data"


def read(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", read("spearman_exact_critical.csv"), ids=lambda r: f"n{r['n']}")
def test_exact_critical_values_of_rho(row):
    """Printed exact table of critical rho, n = 4 to 12 (info.5y1.org, two-page table).

    The older printed table differs at n = 11 and 12; the true p beside each critical value was
    recomputed by counting all orders, to six digits.
    """
    n = int(row["n"])
    counts = squared_differences(n)
    for level in ("10pct", "5pct", "2pct", "1pct"):
        if not row[f"max_sum_d2_two_sided_{level}"]:
            continue
        most = int(row[f"max_sum_d2_two_sided_{level}"])
        rho = 1 - 6 * most / (n**3 - n)
        assert rho == pytest.approx(float(row[f"rho_two_sided_{level}"]), abs=5e-5 + 1e-9)
        p = 2 * int(counts[: most + 1].sum()) / math.factorial(n)
        assert p == pytest.approx(float(row[f"exact_p_two_sided_{level}"]), abs=5e-7 + 1e-12)


def test_iq_and_hours_of_television():
    """Ten people, a widely taught example (from memory): Σd² = 194, rho = −29/165.

    The exact two-sided p = .632142 was recomputed by counting all 3,628,800 orders.
    """
    iq = np.array([106, 100, 86, 101, 99, 103, 97, 113, 112, 110.0])
    tv = np.array([7, 27, 2, 50, 28, 29, 20, 12, 6, 17.0])
    assert spearman(iq, tv) == pytest.approx(-29 / 165, abs=1e-9)
    assert spearman_p(iq, tv, Orders()) == pytest.approx(0.632142, abs=1e-6)


def test_benjamini_hochberg_1995():
    """Benjamini & Hochberg 1995, J. R. Stat. Soc. B 57, 289-300: 15 p-values, 4 found at 5 %.

    Adjusted values recomputed. Holm finds 3.
    """
    rows = read("bh_1995.csv")
    p = np.array([float(r["p"]) for r in rows])
    q = benjamini_hochberg(p)
    assert q == pytest.approx([float(r["bh_adj"]) for r in rows], abs=1e-6)
    assert int((q <= 0.05).sum()) == 4
    assert int((holm(p) <= 0.05).sum()) == 3
    assert holm(p) == pytest.approx([float(r["holm_adj"]) for r in rows], abs=1e-6)


def test_four_makes_can_never_reach_five_per_cent():
    """Smallest two-sided p of Spearman's rho: 2/4! = .0833 and 2/5! = .0167 (counting orders)."""
    for n, least in ((4, 0.0833), (5, 0.0167)):
        line = np.arange(n, dtype=float)
        assert spearman_p(line, line, Orders()) == pytest.approx(least, abs=5e-5)
