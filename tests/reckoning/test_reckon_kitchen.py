"""Sums round the make: units, balances, monotony, what they refuse."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from journal.reckoning import ReckoningError, cost, milk_mix, mould, springs
from tests.refusals import refused

size = st.floats(0.5, 500)


@given(st.floats(0, 60), st.floats(0, 5), st.floats(0, 6))
def test_a_label_weighs_what_it_holds(fat, protein, sugar):
    part = milk_mix.part_of_label(fat, protein, sugar)
    assert part.fat_pct * part.kg_per_l == pytest.approx(fat)
    assert part.protein_pct * part.kg_per_l == pytest.approx(protein)
    by_parts = milk_mix.density_of_parts(part.fat_pct, part.snf_pct)
    assert part.kg_per_l == pytest.approx(by_parts)


@given(st.floats(0, 5), st.floats(20, 45), st.floats(0.1, 0.8), st.floats(0.01, 0.1))
def test_a_mix_taken_apart_is_the_mix_put_together(low, high, cream, powder):
    assume(cream + powder < 0.95)
    parts = [
        milk_mix.part_of_label(low, 3.3),
        milk_mix.part_of_label(high, 2.2),
        milk_mix.part_of_powder(1, 36),
    ]
    share = [1 - cream - powder, cream, powder]
    found = milk_mix.mixed(parts, share)
    again = milk_mix.shares(parts, found.fat_pct, found.protein_pct)
    assert again == pytest.approx(share, abs=1e-6)
    litres = sum(s / part.kg_per_l for s, part in zip(share, parts, strict=True))
    assert found.kg_per_l == pytest.approx(1 / litres)


def test_mixes_that_are_none():
    milk, cream = milk_mix.part_of_label(3.5, 3.3), milk_mix.part_of_label(30, 2.2)
    with refused(ReckoningError, "reckoning.mix-out-of-reach"):
        milk_mix.shares([milk, cream], fat_pct=50)
    with refused(ReckoningError, "reckoning.mix-alike"):
        milk_mix.shares([milk, milk], fat_pct=3.4)
    with refused(ReckoningError, "reckoning.mix-wishes", parts=2):
        milk_mix.shares([milk, cream], 4, 3)
    with refused(ReckoningError, "reckoning.label-too-full"):
        milk_mix.part_of_label(85, 30, 60)


@given(st.floats(0.05, 200), st.floats(0.02, 20))
def test_moulds_come_nearest_to_the_weight_and_hold_it_all(cheese, wheel):
    assume(cheese / wheel < 9000)
    count = mould.moulds_for_weight(cheese, wheel)
    assert count == 1 or abs(cheese / count - wheel) <= abs(cheese / (count - 1) - wheel) + 1e-9
    fewest = mould.moulds_to_hold(cheese, wheel)
    assert cheese <= fewest * wheel * (1 + 1e-6)
    assert fewest == 1 or cheese > (fewest - 1) * wheel * (1 - 1e-6)


@given(size, size, st.floats(0.1, 4))
def test_a_taller_or_wider_mould_holds_more(area, high, times):
    pressed, ladled = mould.most_pressed_kg(area, high), mould.most_ladled_l(area, high)
    assert mould.most_pressed_kg(area * times, high) == pytest.approx(pressed * times)
    assert mould.most_ladled_l(area, high * times) == pytest.approx(ladled * times)
    # What just fits as pressed curd is said to fit by the other sum of the mould too.
    assert mould.fits(mould.wheel_height_mm(pressed, area) * (1 - 1e-9), high)


@given(st.floats(0.5, 5), st.floats(4, 12), st.floats(2, 30), st.floats(1, 60))
def test_a_thicker_wire_is_stiffer_and_more_turns_are_softer(wire, index, turns, squeeze):
    rate = springs.rate_of_wire_n_per_mm(wire, index * wire, turns, 79_290)
    assert springs.rate_of_wire_n_per_mm(2 * wire, index * wire, turns, 79_290) == (
        pytest.approx(16 * rate)
    )
    assert springs.rate_of_wire_n_per_mm(wire, index * wire, 2 * turns, 79_290) == (
        pytest.approx(rate / 2)
    )
    load = springs.squeezed_load_kg(rate, squeeze)
    assert springs.squeeze_for_load_mm(load, rate) == pytest.approx(squeeze)
    assert springs.rate_of_test_n_per_mm(load, squeeze) == pytest.approx(rate)
    assert springs.squeezed_load_kg(rate, squeeze, 3) == pytest.approx(3 * load)
    sinks = float(springs.sinking_to_tighten_mm(squeeze))
    assert springs.load_after_sinking_kg(rate, squeeze, sinks) == pytest.approx(0.8 * load)
    assert springs.load_after_sinking_kg(rate, squeeze, squeeze + 1) == 0


@given(
    size, st.floats(0, 5), st.floats(0, 50), st.floats(0, 20), st.floats(0, 30), st.floats(0, 80)
)
def test_a_cost_is_the_sum_of_its_parts_and_loss_makes_it_dearer(
    milk, price, other, hours, wage, loss
):
    whole = cost.whole_cost(milk, price, other, hours, wage)
    assert whole == pytest.approx(milk * price + other + hours * wage)
    fresh, aged = cost.cost_per_kg(whole, 2.0), cost.cost_per_kg(whole, 2.0, loss)
    assert aged >= fresh
    assert aged * 2 * (1 - loss / 100) == pytest.approx(whole)
