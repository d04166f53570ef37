"""Difference and ranking tests against the published tables they are read from.

Triangle: FAO, document V7180E, Appendix A (44 rows, n = 3 to 36 then each sixth to 96). Duo-trio:
GOST ISO 10399-2015, Table A.1 (40 rows). Two out of five: exact only, the chance of 1/10 from a
public-research page. Friedman: printed tables of exact critical values for 3 and 5 products.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from journal.findings.panel_tests import (
    CHANCE,
    DUO_TRIO,
    PAIRED,
    TRIANGLE,
    TWO_OF_FIVE,
    least_right,
    panel_size,
    power,
    result_of,
    right_range,
    share_of,
    tail,
)
from journal.findings.ranking import _all_sums, ranking

DATA = Path(__file__).parent / "data"
LEVELS = {"20pct": 0.2, "10pct": 0.1, "5pct": 0.05, "1pct": 0.01, "0.1pct": 0.001}
MISPRINT = 22  # duo-trio: printed 13 14 15 at 20, 10 and 5 %; P(15 or more of 22) is .067


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def cell(text: str) -> int | None:
    return int(text) if text else None


@pytest.mark.parametrize("row", rows("triangle_minimum_correct.csv"), ids=lambda r: f"n{r['n']}")
def test_triangle_least_right_as_printed(row):
    for name, level in LEVELS.items():
        found = least_right(int(row["n"]), CHANCE[TRIANGLE], level)
        assert found == cell(row[f"exact_{name}"])
        if row["fao_10pct"] and name != "20pct":
            assert found == cell(row[f"fao_{name}"])


@pytest.mark.parametrize("row", rows("duo_trio_minimum_correct.csv"), ids=lambda r: f"n{r['n']}")
def test_duo_trio_least_right_as_printed(row):
    n = int(row["n"])
    for name, level in LEVELS.items():
        found = least_right(n, CHANCE[DUO_TRIO], level)
        assert found == cell(row[f"exact_{name}"])
        if row["gost_iso10399_20pct"] and (n != MISPRINT or level <= 0.01):
            assert found == cell(row[f"gost_iso10399_{name}"])


def test_the_misprint_of_the_duo_trio_table_is_one():
    printed = next(r for r in rows("duo_trio_minimum_correct.csv") if int(r["n"]) == MISPRINT)
    assert int(printed["gost_iso10399_5pct"]) == 15
    assert float(tail(15, 22, Fraction(1, 2))) == pytest.approx(0.067, abs=5e-4)
    assert least_right(22, Fraction(1, 2), 0.05) == 16


@pytest.mark.parametrize(
    "row", rows("two_out_of_five_minimum_correct.csv"), ids=lambda r: f"n{r['n']}"
)
def test_two_out_of_five_least_right(row):
    for name in ("10pct", "5pct", "1pct", "0.1pct"):
        found = least_right(int(row["n"]), CHANCE[TWO_OF_FIVE], LEVELS[name])
        assert found == cell(row[f"exact_{name}"])


@pytest.mark.parametrize(("right", "answers"), [(15, 30), (8, 12), (22, 60)])
def test_share_of_people_who_can_tell_in_a_triangle(right, answers):
    """pd = 1.5 x/n − 0.5: ISO 4120 and ASTM E1885 (from memory; the same algebra as the next)."""
    assert share_of(right / answers, CHANCE[TRIANGLE]) == pytest.approx(1.5 * right / answers - 0.5)


def test_share_of_people_who_can_tell_in_a_duo_trio():
    """pd = 2 x/n − 1: GOST R 53161-2008, note to A.3."""
    assert share_of(20 / 32, CHANCE[DUO_TRIO]) == pytest.approx(2 * 20 / 32 - 1)


@pytest.mark.parametrize(
    ("right", "answers", "low", "share"),
    [(15, 30, 0.33889, 0.0083), (8, 12, 0.39086, 0.0863), (5, 6, 0.41820, 0.1273)],
)
def test_exact_lower_limits(right, answers, low, share):
    """One-sided 95 % limits after Clopper & Pearson 1934, recomputed to the digits given."""
    found = right_range(right, answers, confidence=0.90)[0]
    assert found == pytest.approx(low, abs=5.1e-6)
    assert share_of(found, CHANCE[TRIANGLE]) == pytest.approx(share, abs=5.1e-5)


@pytest.mark.parametrize(("right", "answers", "p"), [(15, 30, 0.04348), (8, 12, 0.01876)])
def test_chances_of_worked_triangles(right, answers, p):
    """Recomputed to five digits beside the worked shares above."""
    assert result_of(TRIANGLE, right, answers).p == pytest.approx(p, abs=5.1e-6)


POWERS = {
    6: (0.041, 0.081, 0.144, 0.233, 0.351),
    12: (0.057, 0.136, 0.265, 0.438, 0.632),
    24: (0.114, 0.297, 0.551, 0.787, 0.932),
    36: (0.146, 0.406, 0.716, 0.917, 0.988),
    60: (0.254, 0.650, 0.923, 0.993, 1.000),
}
TWICE_ROUNDED = (24, 0.3)


@pytest.mark.parametrize("n", POWERS)
def test_power_of_the_triangle(n):
    """At 5 %, true shares of 10 to 50 %; recomputed by exact binomial, three digits."""
    for share, wanted in zip((0.1, 0.2, 0.3, 0.4, 0.5), POWERS[n], strict=True):
        if (n, share) != TWICE_ROUNDED:
            assert power(TRIANGLE, n, share) == pytest.approx(wanted, abs=5.1e-4)


def test_the_power_that_was_rounded_twice():
    """24 answers, 30 %: summed as fractions .55048, noted as .551."""
    right = Fraction(3, 10) + Fraction(7, 10) * Fraction(1, 3)
    exact = float(tail(least_right(24, CHANCE[TRIANGLE]), 24, right))
    assert exact == pytest.approx(0.55048, abs=5.1e-6)
    assert power(TRIANGLE, 24, 0.3) == pytest.approx(exact, abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "share", "wanted", "first", "stays"),
    [
        (TRIANGLE, 0.5, 0.80, 16, 16), (TRIANGLE, 0.5, 0.90, 20, 22),
        (TRIANGLE, 0.5, 0.95, 23, 29), (TRIANGLE, 0.4, 0.80, 23, 25),
        (TRIANGLE, 0.4, 0.90, 30, 34), (TRIANGLE, 0.4, 0.95, 40, 42),
        (TRIANGLE, 0.3, 0.80, 40, 42), (TRIANGLE, 0.3, 0.90, 53, 57),
        (TRIANGLE, 0.3, 0.95, 66, 73), (TRIANGLE, 0.2, 0.80, 87, 94),
        (TRIANGLE, 0.2, 0.90, 117, 124), (TRIANGLE, 0.2, 0.95, 147, 154),
        (DUO_TRIO, 0.5, 0.80, 23, 28), (DUO_TRIO, 0.5, 0.90, 33, 35),
        (DUO_TRIO, 0.5, 0.95, 42, 44), (DUO_TRIO, 0.3, 0.80, 69, 76),
        (DUO_TRIO, 0.3, 0.90, 93, 102), (DUO_TRIO, 0.3, 0.95, 119, 126),
    ],
)  # fmt: skip
def test_panel_sizes(kind, share, wanted, first, stays):
    """The exact rule at 5 %, recomputed; 23 and 66 are also remembered from ISO 4120, A.3."""
    found = panel_size(kind, share, wanted)
    assert (found.first, found.stays) == (first, stays)
    assert power(kind, first, share) >= wanted > power(kind, first - 1, share)
    assert power(kind, stays, share) >= wanted > power(kind, stays - 1, share)


def test_lady_tasting_tea_as_a_paired_comparison():
    """By exact binomial (ISO 5495): nine of ten one way has 11 of 1024 ways, twice that both."""
    assert tail(9, 10, CHANCE[PAIRED]) == Fraction(11, 1024)
    assert result_of(PAIRED, 9, 10, two_sided=True).p == pytest.approx(22 / 1024)


def test_ranking_example_of_the_standard():
    """ISO 8587:1988, Annex A: 8 assessors, 5 products, rank sums 17 31 32 23 17."""
    found = ranking(_with_sums(8, (17, 31, 32, 23, 17)))
    assert found.sums.tolist() == [17, 31, 32, 23, 17]
    assert found.friedman == pytest.approx(10.6, abs=1e-9)
    assert found.distance == pytest.approx(12.396, abs=1e-3)
    assert found.w == pytest.approx(0.33125, abs=1e-9)
    assert found.exact
    assert found.p == pytest.approx(0.02465, abs=5.1e-6)  # recomputed by counting all orders


def test_second_ranking_example():
    """11 assessors, rank sums 33 14 20 43; the page (askfilo.com) finds D−B, D−C, A−B, A−C."""
    found = ranking(_with_sums(11, (33, 14, 20, 43)))
    assert found.friedman == pytest.approx(27.7636, abs=5.1e-5)
    assert found.distance == pytest.approx(11.868, abs=1e-3)
    assert set(found.apart) == {(1, 3), (2, 3), (1, 0), (2, 0)}


def _with_sums(people: int, sums: tuple[int, ...]) -> np.ndarray:
    """Orders of so many people whose ranks add up to these sums, found by exchanging ranks."""
    rng = np.random.default_rng(7)
    table = np.array([rng.permutation(len(sums)) + 1 for _ in range(people)])
    wanted = np.array(sums)
    off = int(np.abs(table.sum(axis=0) - wanted).sum())
    for _ in range(200_000):
        if off == 0:
            return table
        row = int(rng.integers(people))
        a, b = rng.choice(len(sums), 2, replace=False)
        after = table.copy()
        after[row, [a, b]] = after[row, [b, a]]
        now = int(np.abs(after.sum(axis=0) - wanted).sum())
        if now <= off:
            table, off = after, now
    raise AssertionError(sums)


FRIEDMAN = rows("friedman_exact_critical.csv")


def chances(products: int, assessors: int) -> tuple[np.ndarray, np.ndarray]:
    """Friedman's F of every set of rank sums, with its chance."""
    rank = np.tile(2 * (np.arange(products) + 1), (assessors, 1))
    sums, chance = _all_sums(rank)
    spread = ((sums / 2 - assessors * (products + 1) / 2) ** 2).sum(axis=1)
    return 12 * spread / (assessors * products * (products + 1)), chance


@pytest.mark.parametrize("row", FRIEDMAN, ids=lambda r: f"k{r['products_k']}n{r['assessors_n']}")
def test_exact_critical_values_of_friedman(row):
    """A printed table (scribd 464088360) beside the true chances, recomputed by full counting.

    One misprint: 5 products, 8 assessors, 1 %: printed 13.200, exact 12.300.
    """
    products, assessors = int(row["products_k"]), int(row["assessors_n"])
    f, chance = chances(products, assessors)
    assert chance.sum() == pytest.approx(1.0, abs=1e-9)
    for name, level in (("5pct", 0.05), ("1pct", 0.01)):
        values = np.unique(np.round(f, 6))
        tails = np.array([chance[f >= value - 1e-5].sum() for value in values])
        reached = values[tails <= level + 1e-12]
        if not row[f"exact_crit_{name}"]:
            assert reached.size == 0
            continue
        assert reached[0] == pytest.approx(float(row[f"exact_crit_{name}"]), abs=5.1e-5)
        p = float(chance[f >= reached[0] - 1e-5].sum())
        assert p == pytest.approx(float(row[f"exact_p_at_{name}"]), abs=5.1e-7)
        printed = row[f"published_{name}"]
        if printed not in ("", "-") and (products, assessors, name) != (5, 8, "1pct"):
            assert reached[0] == pytest.approx(float(printed), abs=5.1e-3)


def test_rounding_first_base():
    """Hollander & Wolfe, Table 7.1 (22 players, three ways; data and ranks at a university page):
    rank sums 53, 47, 32; corrected for ties χ² = 11.1429 on 2 df, p = .003805.
    """
    from scipy.special import chdtrc

    table = [[float(r[c]) for c in r if c != "player"] for r in rows("friedman_rounding_times.csv")]
    found = ranking(table)
    assert found.sums.tolist() == [53, 47, 32]
    assert found.friedman == pytest.approx(11.1429, abs=1e-4)
    assert float(chdtrc(2, found.friedman)) == pytest.approx(0.003805, abs=1e-6)
    assert found.exact
    assert found.p < 0.01
