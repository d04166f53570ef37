"""Setting up a session or a test: who gets what, in which order, under which code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np

from journal.findings.codes import draw_codes
from journal.findings.error import FindingError
from journal.findings.orders import Balance, balance, one_more, serving_orders
from journal.records.panel_tests import (
    CUPS,
    DUO_TRIO,
    PAIRED,
    RANKING,
    TETRAD,
    TRIANGLE,
    TWO_OF_FIVE,
)
from journal.records.tastings import BY_ASSESSOR, SHUFFLED


@dataclass(frozen=True)
class SessionDesign:
    """A session that was set up.

    Attributes
    ----------
    orders : list of list of int
        For each assessor the samples in serving order.
    codes : list of list of str
        The code of each of them, in the same order.
    labels : list of str
        For each sample the code on itself ("" where each assessor has codes of their own; under
        the cup where a helper shuffles).
    balance : Balance
    """

    orders: list[list[int]]
    codes: list[list[str]]
    labels: list[str]
    balance: Balance


def set_up_session(
    cheeses: Sequence[object], assessors: int, coding: str, seed: int
) -> SessionDesign:
    """Set up a session of these samples.

    Parameters
    ----------
    cheeses : sequence
        What each sample is; two that compare equal are one cheese served twice.
    assessors : int
    coding : str
        One of `journal.records.tastings.CODINGS` other than the open one.
    seed : int
        One seed gives one setup.

    Raises
    ------
    FindingError
        When there is nothing to taste, nobody to taste it, or too much of it.
    """
    rng = np.random.default_rng(seed)
    many = len(cheeses)
    found = serving_orders(many, assessors, rng, _twice(cheeses))
    orders = [[int(i) for i in row] for row in found]
    if coding == BY_ASSESSOR:
        drawn = iter(draw_codes(many * assessors, rng))
        return SessionDesign(orders, [[next(drawn) for _ in row] for row in orders], [""] * many,
                    balance(found))  # fmt: skip
    labels = list(draw_codes(many, rng))
    shown = [str(i + 1) for i in range(many)] if coding == SHUFFLED else labels
    return SessionDesign(
        orders, [[shown[i] for i in row] for row in orders], labels, balance(found)
    )


def create_joiner(
    cheeses: Sequence[object],
    orders: Sequence[Sequence[int]],
    labels: Sequence[str],
    taken: Sequence[str],
    coding: str,
    seed: int,
) -> tuple[list[int], list[str]]:
    """The order and the codes of someone who joins a session after it was set up.

    Parameters
    ----------
    cheeses : sequence
        What each sample is, as `set_up_session` had it.
    orders : sequence of sequence of int
        Those of the assessors who are there.
    labels : sequence of str
        For each sample the code on itself.
    taken : sequence of str
        Every code of the session that stands on something already.
    coding : str
    seed : int

    Raises
    ------
    FindingError
        When there are not codes enough left.
    """
    rng = np.random.default_rng(seed)
    order = one_more(np.array(orders, dtype=np.intp), rng, _twice(cheeses))
    if coding == BY_ASSESSOR:
        return order, list(draw_codes(len(order), rng, taken))
    return order, [str(i + 1) if coding == SHUFFLED else labels[i] for i in order]


def _twice(cheeses: Sequence[object]) -> list[tuple[int, int]]:
    """The pairs of samples that are one cheese."""
    many = len(cheeses)
    return [(i, j) for i in range(many) for j in range(i + 1, many) if cheeses[i] == cheeses[j]]


def are_even(orders: Sequence[Sequence[int]]) -> bool:
    """Whether several serving orders are as even as can be (samples by any number)."""
    names = sorted({sample for order in orders for sample in order})
    table = np.array([[names.index(sample) for sample in order] for order in orders])
    return balance(table).exact and len(orders) > 1


ARRANGED: dict[str, tuple[tuple[int, ...], ...]] = {
    TRIANGLE: ((0, 0, 1), (0, 1, 0), (1, 0, 0), (1, 1, 0), (1, 0, 1), (0, 1, 1)),
    DUO_TRIO: ((0, 0, 1), (0, 1, 0), (1, 1, 0), (1, 0, 1)),
    PAIRED: ((0, 1), (1, 0)),
    TETRAD: tuple(sorted(set(permutations((0, 0, 1, 1))))),
    TWO_OF_FIVE: tuple(sorted({*permutations((0, 0, 0, 1, 1)), *permutations((1, 1, 1, 0, 0))})),
}
"""The ways to serve a set of two cheeses, each used equally often (ISO 4120, ISO 10399 with the
reference first and balanced, ISO 5495)."""


@dataclass(frozen=True)
class CupSet:
    """The cups of one set: which cheese is in each, and its code ("" for an open reference)."""

    cups: tuple[int, ...]
    codes: tuple[str, ...]


def set_up_sets(kind: str, sets: int, seed: int, items: int = 2) -> list[CupSet]:
    """Set up so many sets of a test, every arrangement as often as can be.

    Raises
    ------
    FindingError
        Without a set, with other than two cheeses in a difference test, or fewer than three in
        a ranking; or when there are not codes enough.
    """
    if sets < 1:
        raise FindingError("findings.test-without-people")
    rng = np.random.default_rng(seed)
    if kind == RANKING:
        if items < 3:
            raise FindingError("findings.ranking-of-two")
        arranged = [tuple(int(i) for i in row) for row in serving_orders(items, sets, rng)]
    else:
        if items != 2:
            raise FindingError("findings.test-of-two", kind=kind)
        ways = ARRANGED[kind]
        blocks = [ways[int(i)] for _ in range(-(-sets // len(ways)))
                  for i in rng.permutation(len(ways))]  # fmt: skip
        arranged = blocks[:sets]
    cups = CUPS.get(kind, items)
    drawn = iter(draw_codes(sets * cups, rng))
    out = []
    for way in arranged:
        codes = [next(drawn) for _ in way]
        if kind == DUO_TRIO:
            codes[0] = ""
        out.append(CupSet(way, tuple(codes)))
    return out
