"""Orders and codes by their properties, whatever the numbers and the seed."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.findings import FindingError
from journal.findings.codes import draw_codes
from journal.findings.orders import balance, serving_orders, williams
from tests.refusals import refused


@pytest.mark.parametrize("items", range(2, 21))
def test_a_williams_square_is_balanced(items):
    rows = williams(items)
    times = 1 if items % 2 == 0 else 2
    assert len(rows) == items * times
    places = [{tuple(np.bincount(rows[:, k], minlength=items))} for k in range(items)]
    assert all(index == {(times,) * items} for index in places)
    follow: dict[tuple[int, int], int] = {}
    for row in rows.tolist():
        for pair in itertools.pairwise(row):
            follow[pair] = follow.get(pair, 0) + 1
    assert len(follow) == items * (items - 1)
    assert set(follow.values()) == {times}
    assert balance(rows).exact


def test_one_sample_has_one_order_and_thirty_have_one_too():
    assert williams(1).tolist() == [[0]]
    assert serving_orders(1, 3, np.random.default_rng(0)).tolist() == [[0]] * 3
    assert len(serving_orders(30, 1, np.random.default_rng(0))[0]) == 30


@settings(deadline=None, max_examples=25)
@given(st.integers(2, 9), st.integers(1, 13), st.integers(0, 2**32 - 1))
def test_everyone_gets_every_sample_once_and_nearly_evenly(items, assessors, seed):
    orders = serving_orders(items, assessors, np.random.default_rng(seed))
    assert orders.shape == (assessors, items)
    assert (np.sort(orders, axis=1) == np.arange(items)).all()
    found = balance(orders)
    square = items if items % 2 == 0 else 2 * items
    if assessors % square == 0:
        assert found.exact
    assert found.places <= 2
    assert found.followers <= 2


@settings(deadline=None, max_examples=20)
@given(st.integers(4, 7), st.integers(1, 6), st.integers(0, 2**32 - 1))
def test_doubles_do_not_stand_next_to_each_other_where_that_can_be(items, assessors, seed):
    orders = serving_orders(items, assessors, np.random.default_rng(seed), apart=[(0, 1)])
    close = sum({0, 1} == set(pair) for row in orders.tolist() for pair in itertools.pairwise(row))
    if assessors < items // 2:
        assert close == 0


def test_one_seed_gives_one_laying_out():
    one, two = (serving_orders(5, 3, np.random.default_rng(4)).tolist() for _ in range(2))
    assert one == two


@pytest.mark.parametrize(
    ("items", "assessors", "why"),
    [
        (0, 2, "findings.session-without-people"),
        (3, 0, "findings.session-without-people"),
        (31, 2, "findings.too-many-samples"),
    ],
)
def test_what_cannot_be_laid_out_is_refused(items, assessors, why):
    with refused(FindingError, why):
        serving_orders(items, assessors, np.random.default_rng(0))


@settings(deadline=None)
@given(st.integers(0, 300), st.integers(0, 2**32 - 1))
def test_codes_have_three_digits_and_come_once(count, seed):
    rng = np.random.default_rng(seed)
    first = draw_codes(40, rng)
    codes = draw_codes(count, rng, taken=first)
    assert len(set(codes) | set(first)) == count + 40
    assert all(len(code) == 3 and 100 <= int(code) <= 999 for code in codes)


def test_more_codes_than_there_are_is_refused():
    with refused(FindingError, "findings.too-few-codes", wanted=900):
        draw_codes(900, np.random.default_rng(0))
