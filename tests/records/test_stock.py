"""Which lot a dose comes from, and for how many makes the shelf is enough."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Ingredient
from journal.records.plans import Dose, Plan, Stage
from journal.records.stock import enough_for, in_unit, left_after, stock_of, take
from tests.refusals import refused

ZONE = "Europe/London"
TODAY = date(2026, 3, 14)
NOON = from_iso("2026-03-14T12:00", ZONE)
RENNET = ("rennet", "calf rennet", "ml")


def lot(name: str, days: float | None, left: float | None, key: int, unit: str = "ml"):
    expires = None if days is None else NOON + round(days * DAY_MS)
    return Ingredient("rennet", "Calf  rennet", "", name, expires, left, unit, id=key)


def parts(shelf, amount: float):
    taken = take(shelf, RENNET, amount, TODAY, ZONE)
    return [(one.lot.lot if one.lot else None, one.amount) for one in taken]


def test_the_nearest_date_goes_first_and_a_lot_past_its_date_last():
    shelf = [
        lot("late", 200, 10, 1), lot("none", None, 10, 2), lot("past", -1, 10, 3),
        lot("today", 0, 1.5, 4), lot("empty", 1, 0, 5),
    ]  # fmt: skip
    assert parts(shelf, 1.0) == [("today", 1.0)]
    assert parts(shelf, 4.0) == [("today", 1.5), ("late", 2.5)]
    assert parts(shelf, 25.0) == [("today", 1.5), ("late", 10), ("none", 10), ("past", 3.5)]
    assert parts(shelf, 40.0)[-1] == (None, 8.5)


def test_a_lot_of_which_nobody_knows_the_amount_gives_all():
    assert parts([lot("a", 3, None, 1), lot("b", 9, 5, 2)], 7.0) == [("a", 7.0)]


def test_weight_is_never_taken_from_a_volume():
    assert parts([lot("by weight", 9, 50, 1, unit="g")], 2.0) == [(None, 2.0)]
    assert in_unit(1.2, "kg", "g") == pytest.approx(1200)
    assert in_unit(1.2, "kg", "ml") is None
    assert in_unit(2.0, "sachets", "sachets") == 2.0
    assert in_unit(2.0, "sachets", "g") is None


@given(
    st.lists(st.tuples(st.one_of(st.none(), st.integers(-5, 90)), st.floats(0, 50)), max_size=6),
    st.floats(0.001, 200),
)
def test_the_parts_are_the_whole_and_no_lot_gives_more_than_it_has(lots, amount):
    shelf = [lot(str(i), days, left, i + 1) for i, (days, left) in enumerate(lots)]
    taken = take(shelf, RENNET, amount, TODAY, ZONE)
    assert sum(one.amount for one in taken) == pytest.approx(amount, abs=1e-5)
    assert [one.lot for one in taken].count(None) <= 1
    for one in taken:
        if one.lot is not None:
            assert one.amount <= one.lot.amount_left + 1e-6
            less = left_after(one.lot, one.amount, "ml")
            assert less == pytest.approx(one.lot.amount_left - one.amount, abs=1e-5)
            assert less >= 0


def plan() -> Plan:
    return Plan(
        "hard",
        (
            Stage("set", 40, doses=(Dose("rennet", "calf rennet", 0.2, "ml"),)),
            Stage("salt", 10, doses=(Dose("salt", "fine salt", 2.0, "g"),)),
            Stage("mould", 10, doses=(Dose("salt", "Fine salt", 0.5, "g"),)),
            Stage("press", 10, doses=(Dose("colour", "annatto", 0.1, "ml"),)),
        ),
        milk_l=10,
    )


def test_enough_for_so_many_makes():
    shelf = [
        lot("a", 9, 3.0, 1), lot("b", 90, 0.004, 2, unit="L"), lot("past", -3, 900, 3),
        Ingredient("salt", "fine salt", amount_left=0.1, unit="kg", id=4),
    ]  # fmt: skip
    found = {one.kind: one for one in enough_for(plan(), shelf, TODAY, ZONE)}
    assert (found["rennet"].per_make, found["rennet"].left, found["rennet"].makes) == (2, 7, 3)
    assert (found["salt"].per_make, found["salt"].makes) == (25, 4)
    assert (found["colour"].left, found["colour"].makes) == (None, None)
    half = enough_for(plan(), shelf, TODAY, ZONE, litres=5.0)
    assert [one.makes for one in half] == [7, 8, None]
    assert stock_of(shelf, "rennet", "CALF RENNET", "ml") == pytest.approx(907)


def test_exactly_enough_counts():
    shelf = [Ingredient("rennet", "calf rennet", amount_left=0.6, unit="ml")]
    tenth = Plan("p", (Stage("set", 1, doses=(Dose("rennet", "calf rennet", 0.1, "ml"),)),),
                 milk_l=1)  # fmt: skip
    assert enough_for(tenth, shelf, TODAY, ZONE)[0].makes == 6  # 0.6 / 0.1 is 5.999… in floats


def test_an_impossible_ingredient_is_refused():
    with refused(RecordError, "records.no-such-ingredient", word="herb"):
        Ingredient("herb", "chives")
    with refused(RecordError, "records.ingredient-name"):
        Ingredient("salt", " ")
    with refused(RecordError, "records.ingredient-left", left=-1, unit="g"):
        Ingredient("salt", "fine", amount_left=-1)
