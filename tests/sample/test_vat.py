"""The vessel model against the textbook solution and against its own energy."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.sample.vat import KnobSpan, SimulatedVat, Vat, after, drained, full, moulded

ROOM_C = 20.0
# With the heat already at the knob, or with no knob at all, the lag has nothing to do.
VESSEL = SimulatedVat(gain_c_per_min=0.9, loss_per_min=0.005, lag_min=3.5, room_c=ROOM_C)


@pytest.mark.parametrize("minutes", [0.0, 1.0, 37.0, 240.0])
def test_cooling_follows_newtons_law(minutes: float) -> None:
    # Newton's law of cooling, textbook form: T = room + (T0 - room) exp(-k t).
    vat = Vat(VESSEL, 38.0)
    vat.run(minutes)
    expected = ROOM_C + (38.0 - ROOM_C) * math.exp(-0.005 * minutes)
    assert vat.temp_c == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("knob", [0.1, 0.5, 1.0])
def test_steady_heating_follows_the_same_law_toward_its_balance(knob: float) -> None:
    # The same law with a steady source: the balance is room + gain P / k (textbook form).
    piece = KnobSpan(0.0, 5.0, knob, knob, VESSEL)
    balance = ROOM_C + 0.9 * knob / 0.005
    for minutes in (2.0, 30.0, 600.0):
        expected = balance + (5.0 - balance) * math.exp(-0.005 * minutes)
        assert after(piece, minutes)[0] == pytest.approx(expected, abs=1e-9)


def test_energy_balances_over_a_day_of_turned_knobs() -> None:
    """What went in, less what was lost to the room, is what the milk gained: no water poured."""
    vat = Vat(VESSEL, 5.0)
    for knob, minutes in ((1.0, 25.0), (0.35, 8.0), (0.0, 40.0), (0.6, 30.0), (0.1, 60.0)):
        vat.turn(knob)
        vat.run(minutes)
    at = np.linspace(0.0, vat.at_min, 400_001)
    temp = vat.temperature_at(at)
    starts = [p.at_min for p in vat.pieces]
    heat = np.empty_like(at)
    for piece, end in zip(vat.pieces, [*starts[1:], np.inf], strict=True):
        inside = (at >= piece.at_min) & (at < end)
        fade = np.exp(-(at[inside] - piece.at_min) / VESSEL.lag_min)
        heat[inside] = piece.knob + (piece.heat - piece.knob) * fade
    gained = np.trapezoid(VESSEL.gain_c_per_min * heat, at)
    lost = np.trapezoid(VESSEL.loss_per_min * (temp - ROOM_C), at)
    # Trapezoid rule in steps of 0.0004 min: its own error is far below a thousandth of a degree.
    assert vat.temp_c - 5.0 == pytest.approx(gained - lost, abs=1e-3)


def test_trace_passes_through_every_look() -> None:
    vat, seen = Vat(VESSEL, 6.0), [(0.0, 6.0)]
    for knob in (1.0, 0.8, 0.2, 0.0):
        vat.turn(knob)
        vat.run(7.0)
        seen.append((vat.at_min, vat.temp_c))
    at, temp = np.array(seen).T
    np.testing.assert_allclose(vat.temperature_at(at), temp, atol=1e-12)


def test_milk_coasts_past_the_moment_the_heat_is_cut() -> None:
    vat = Vat(VESSEL, 20.0)
    vat.turn(1.0)
    vat.run(15.0)
    cut = vat.temp_c
    vat.turn(0.0)
    vat.run(5.0)
    # At most gain x heat x lag is still on its way.
    assert cut < vat.temp_c < cut + VESSEL.gain_c_per_min * VESSEL.lag_min


def test_poured_water_mixes_by_share() -> None:
    # Mixing rule with equal heat capacities, textbook form.
    vat = Vat(VESSEL, 30.0)
    vat.run(1.0)
    before = vat.temp_c
    vat.pour(45.0, 0.2)
    assert vat.temp_c == pytest.approx(0.8 * before + 0.2 * 45.0, abs=1e-12)


def test_more_milk_is_slower_and_drained_curd_cools_faster() -> None:
    small, large = full(12.0, ROOM_C), full(21.0, ROOM_C)
    assert large.gain_c_per_min < small.gain_c_per_min
    assert large.loss_per_min < small.loss_per_min < drained(small).loss_per_min
    assert moulded(small).gain_c_per_min == 0.0
