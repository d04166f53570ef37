"""Checks of the instruments: one sample shifts, two lay a line, a broken one is refused."""

from __future__ import annotations

import numpy as np
import pytest

from journal.records import RecordError
from journal.records.calibrations import Calibration, Checks


def ice(shown: float, at_ms: int = 0, source: str = "") -> Calibration:
    return Calibration(1, "thermometer", at_ms, (0.0,), (shown,), source=source)


def buffers(seven: float, four: float, at_ms: int = 0) -> Calibration:
    return Calibration(1, "meter", at_ms, (7.0, 4.01), (seven, four), temp_c=25.0)


def test_ice_water_shifts_the_thermometer() -> None:
    found = Checks([ice(0.4)]).values("milk-temp", "", np.array([1]), np.array([31.4]))
    assert found.tolist() == pytest.approx([31.0])


def test_two_buffers_lay_a_line_through_both() -> None:
    check = buffers(7.10, 4.21)
    assert check.corrected(np.array([7.10, 4.21])).tolist() == pytest.approx([7.0, 4.01])
    assert float(check.corrected(np.array(5.655))) == pytest.approx((7.0 + 4.01) / 2)


def test_a_perfect_electrode_has_all_of_the_slope() -> None:
    assert buffers(7.0, 4.01).electrode.slope_pct == pytest.approx(100.0)
    assert buffers(7.0, 4.01).electrode.verdict.id == "reckoning.electrode-good"
    assert buffers(7.0, 4.16).electrode.slope_pct == pytest.approx(100 * 2.84 / 2.99)


def test_each_reading_follows_the_last_check_before_it() -> None:
    at = np.array([0, 10, 20, 30])
    raw = np.full(4, 30.0)
    found = Checks([ice(-0.5, 20), ice(0.5, 10)]).values("milk-temp", "", at, raw)
    assert found.tolist() == [30.0, 29.5, 30.5, 30.5]


def test_a_check_is_of_one_instrument_and_one_source() -> None:
    at, raw = np.array([5]), np.array([6.5])
    assert Checks([ice(0.4)]).values("curd-ph", "", at, raw) is raw
    assert Checks([ice(0.4)]).values("milk-temp", "logger", at, raw) is raw
    assert Checks([ice(0.4, source="logger")]).values("milk-temp", "logger", at, raw)[0] < 6.2


@pytest.mark.parametrize(
    ("instrument", "true", "shown"),
    [
        ("meter", (7.0,), (7.1,)),
        ("meter", (7.0, 4.01), (4.01, 7.0)),
        ("meter", (7.0, 4.01), (7.0, 6.9)),
        ("meter", (7.0, 7.0), (7.0, 7.0)),
        ("thermometer", (0.0,), (9.0,)),
        ("thermometer", (0.0, 100.0, 50.0), (0.0, 100.0, 50.0)),
        ("scale", (0.0,), (0.1,)),
    ],
)
def test_what_no_working_instrument_shows_is_refused(
    instrument: str, true: tuple[float, ...], shown: tuple[float, ...]
) -> None:
    with pytest.raises(RecordError):
        Calibration(1, instrument, 0, true, shown)


def test_no_correction_is_told_from_a_perfect_instrument() -> None:
    none = Calibration.none_from_now(1, "meter", 5)
    assert none.corrects_nothing
    assert not buffers(7.0, 4.01).corrects_nothing
    assert not ice(0.0).corrects_nothing
    assert Calibration.none_from_now(1, "thermometer", 5).corrects_nothing
    found = Checks([buffers(7.2, 4.2), none]).values(
        "curd-ph", "", np.array([1, 6]), np.array([6.5, 6.5])
    )
    assert found[1] == pytest.approx(6.5)
    assert found[0] < 6.4


def test_what_bears_on_a_stretch_is_the_last_before_it_and_those_within() -> None:
    some = [ice(0.1, 10), ice(0.2, 20), ice(0.3, 30), ice(0.4, 40), buffers(7.1, 4.1, 5)]
    found = Checks(some).bearing_on(25, 35)
    assert [(c.instrument, c.at_ms) for c in found] == [
        ("meter", 5), ("thermometer", 20), ("thermometer", 30),
    ]  # fmt: skip
    assert Checks(some).bearing_on(0, 4) == ()
    assert Checks(some).holding("thermometer", 39).at_ms == 30
    assert Checks(some).holding("thermometer", 9) is None
