"""d′, the tetrad and similarity against published values and against their own rules of decision.

The functions of d′: Ennis 1993 (duo-trio, triangle, 2-AFC) and Ennis, Ennis, Yip & O'Mahony 1998
(tetrad). The values at d′ = 1 are from memory, and each function is tasted out by its rule. How
many answers it takes at d′ = 1, 5 %, power 80 % (triangle 220, tetrad 65, named pair 26) is this
project's own specification, calculated apart from this code.
"""

from __future__ import annotations

from fractions import Fraction
from math import comb, isinf, sqrt

import numpy as np
import pytest

from journal.findings import FindingError
from journal.findings.agreement import ordinal_agreement
from journal.findings.dprime import d_prime, right_share
from journal.findings.panel_tests import (
    CHANCE,
    panel_size,
    power,
    result_of,
    share_at,
    similarity,
    similarity_size,
)
from journal.records.panel_tests import DUO_TRIO, PAIRED, TETRAD, TRIANGLE, TWO_OF_FIVE
from tests.refusals import refused

AT_ONE = {TRIANGLE: 0.418, DUO_TRIO: 0.582, PAIRED: 0.760, TETRAD: 0.494}
DRAWS = 400_000
NAN = float("nan")


@pytest.mark.parametrize("kind", AT_ONE)
def test_right_answers_at_a_d_prime_of_one(kind):
    assert right_share(kind, 1.0) == pytest.approx(AT_ONE[kind], abs=6e-4)
    assert right_share(kind, 0.0) == pytest.approx(float(CHANCE[kind]), abs=1e-9)
    assert right_share(kind, 20.0) == pytest.approx(1.0, abs=1e-9)


def rightly(kind: str, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Which sets are answered rightly, by what each rule says; `a` are felt of one cheese."""
    if kind == PAIRED:
        return b[0] > a[0]
    if kind == DUO_TRIO:  # the nearer to the reference
        return abs(a[1] - a[0]) < abs(b[0] - a[0])
    if kind == TRIANGLE:  # the two nearest to each other are the like ones
        like = abs(a[0] - a[1])
        return (like < abs(a[0] - b[0])) & (like < abs(a[1] - b[0]))
    # Tetrad: the two strongest are one pair, the two weakest the other.
    return (a[:2].max(axis=0) < b[:2].min(axis=0)) | (b[:2].max(axis=0) < a[:2].min(axis=0))


@pytest.mark.parametrize("d", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("kind", AT_ONE)
def test_right_answers_as_many_tastings_give_them(kind, d):
    rng = np.random.default_rng(20)
    a, b = rng.normal(0.0, 1.0, (2, DRAWS)), rng.normal(d, 1.0, (2, DRAWS))
    seen = float(rightly(kind, a, b).mean())
    assert right_share(kind, d) == pytest.approx(seen, abs=4 * sqrt(0.25 / DRAWS))


@pytest.mark.parametrize(("kind", "answers"), [(TRIANGLE, 220), (TETRAD, 65), (PAIRED, 26)])
def test_answers_it_takes_for_a_small_difference(kind, answers):
    assert panel_size(kind, share_at(kind, 1.0), 0.8).stays == answers


@pytest.mark.parametrize("kind", AT_ONE)
def test_d_prime_is_found_again_and_bounded_by_the_range_of_right_answers(kind):
    for d in (0.3, 1.0, 2.7):
        assert d_prime(kind, right_share(kind, d)) == pytest.approx(d, abs=1e-6)
    assert d_prime(kind, float(CHANCE[kind]) / 2) == 0.0
    assert isinf(d_prime(kind, 1.0))
    found = result_of(kind, 20, 30)
    assert found.d_prime_low < found.d_prime < found.d_prime_high
    all_right = result_of(kind, 12, 12)
    assert (all_right.d_prime, all_right.d_prime_high) == (None, None)
    assert all_right.d_prime_low > 0
    with refused(FindingError, "findings.no-d-prime"):
        right_share(TWO_OF_FIVE, 1.0)
    assert result_of(TWO_OF_FIVE, 5, 9).d_prime_low is None


def test_d_prime_of_a_pair_by_hand():
    """√2 z: three in four right is z = .6745, d′ = .954 (Hacker & Ratcliff 1979, from memory)."""
    assert d_prime(PAIRED, 0.75) == pytest.approx(0.954, abs=5e-4)


def at_most(right: int, answers: int, share: Fraction, chance: Fraction) -> Fraction:
    p = share + (1 - share) * chance
    return sum(
        (comb(answers, k) * p**k * (1 - p) ** (answers - k) for k in range(right + 1)), Fraction(0)
    )


@pytest.mark.parametrize("kind", [TRIANGLE, DUO_TRIO, TETRAD])
@pytest.mark.parametrize("answers", [12, 36, 60])
def test_similarity_by_exact_fractions(kind, answers):
    """Alike is the greatest number whose chance, if 30 % could tell, is at most 5 % (ISO 4120)."""
    share, chance = Fraction(3, 10), CHANCE[kind]
    counts = [k for k in range(answers) if at_most(k, answers, share, chance) <= Fraction(1, 20)]
    found = similarity(kind, answers // 3, answers, 0.3)
    assert found.most == (max(counts) if counts else None)
    assert found.p == pytest.approx(float(at_most(answers // 3, answers, share, chance)), abs=1e-12)
    assert found.alike == (found.most is not None and answers // 3 <= found.most)
    assert (found.at_most < 0.3) == found.alike


def test_the_upper_limit_is_near_the_one_of_the_standard():
    """ISO 4120, B.3, and ASTM E1885 (from memory): pd + 1.645 × 1.5 √(pc (1 − pc) / n)."""
    for right in (20, 24, 30):
        pc = right / 60
        wanted = 1.5 * pc - 0.5 + 1.645 * 1.5 * sqrt(pc * (1 - pc) / 60)
        assert similarity(TRIANGLE, right, 60).at_most == pytest.approx(wanted, abs=0.03)


@pytest.mark.parametrize(("kind", "share"), [(TRIANGLE, 0.3), (DUO_TRIO, 0.3), (TETRAD, 0.2)])
def test_answers_it_takes_to_show_likeness(kind, share):
    size = similarity_size(kind, share)

    def shown(answers: int) -> float:
        most = similarity(kind, 0, answers, share).most
        if most is None:
            return 0.0
        return float(at_most(most, answers, Fraction(0), CHANCE[kind]))

    assert shown(size.first) >= 0.8 > shown(size.first - 1)
    assert min(shown(n) for n in range(size.stays, size.stays + 12)) >= 0.8 > shown(size.stays - 1)


def test_a_tetrad_shows_more_than_a_triangle():
    """With the same 30 answers, at every d′; the guessing is the same third."""
    for d in (0.5, 1.0, 1.5, 2.0):
        shares = {kind: share_at(kind, d) for kind in (TETRAD, TRIANGLE)}
        assert power(TETRAD, 30, shares[TETRAD]) > power(TRIANGLE, 30, shares[TRIANGLE]) + 0.03


# Krippendorff's own example, four observers and twelve units, as the R package irr prints it: "the
# C data from Krippendorff"; a row a unit.
C_DATA = np.array([
    1, 1, NAN, 1, 2, 2, 3, 2, 3, 3, 3, 3, 3, 3, 3, 3, 2, 2, 2, 2, 1, 2, 3, 4, 4, 4, 4, 4,
    1, 1, 2, 1, 2, 2, 2, 2, NAN, 5, 5, 5, NAN, NAN, 1, 1, NAN, NAN, 3, NAN,
]).reshape(12, 4)  # fmt: skip


def by_pairs(table: np.ndarray) -> float:
    """Ordinal alpha by its definition: every pair within units over every pair of all."""
    units = [[v for v in row if v == v] for row in table.tolist()]
    units = [unit for unit in units if len(unit) > 1]
    values = [v for unit in units for v in unit]

    def apart(a: float, b: float) -> float:
        low, high = min(a, b), max(a, b)
        between = sum(low <= v <= high for v in values)
        return (between - (values.count(low) + values.count(high)) / 2) ** 2 if low < high else 0.0

    seen = sum(
        apart(a, b) / (len(unit) - 1)
        for unit in units for i, a in enumerate(unit) for j, b in enumerate(unit) if i != j
    )  # fmt: skip
    chance = sum(apart(a, b) for i, a in enumerate(values) for j, b in enumerate(values) if i != j)
    return 1 - seen / (chance / (len(values) - 1))


def test_krippendorffs_own_example():
    """Ordinal alpha .815 (Krippendorff 2011, from memory; recomputed here by its definition)."""
    found = ordinal_agreement(C_DATA)
    assert found.alpha == pytest.approx(0.815, abs=5.1e-4)
    assert found.alpha == pytest.approx(by_pairs(C_DATA), abs=1e-12)
    assert (found.samples, found.people) == (11, 4)
    assert found.low < found.alpha < found.high <= 1.0


def test_alpha_of_scores_in_halves_by_its_definition():
    rng = np.random.default_rng(3)
    cheese = rng.normal(6.0, 2.0, (14, 1))
    table = np.clip(np.round(2 * (cheese + rng.normal(0.0, 1.0, (14, 4)))) / 2, 0, 10)
    table[rng.random(table.shape) < 0.2] = NAN
    found = ordinal_agreement(table)
    assert found.alpha == pytest.approx(by_pairs(table), abs=1e-12)
    assert 0 < found.low < found.alpha < found.high < 1


def test_alpha_is_one_in_agreement_about_zero_by_chance_and_refused_where_nothing_differs():
    same = np.repeat(np.arange(6.0)[:, None], 3, axis=1)
    assert ordinal_agreement(same).alpha == 1.0
    assert ordinal_agreement(np.array([[5.0, 5.0], [7.0, 7.0]])).alpha == 1.0  # two are enough
    random = np.random.default_rng(5).integers(0, 21, (300, 4)) / 2
    assert abs(ordinal_agreement(random).alpha) < 0.06
    with refused(FindingError, "findings.panel-all-alike"):
        ordinal_agreement(np.full((4, 3), 5.0))
    with refused(FindingError, "findings.agreement-too-small"):
        ordinal_agreement(np.array([[5.0, NAN], [NAN, 6.0]]))
