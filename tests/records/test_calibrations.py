"""Checks of the instruments: one sample shifts, two lay a line, a broken one is refused."""

from __future__ import annotations

import numpy as np
import pytest

from journal.records import RecordError
from journal.records.calibrations import Calibration, corrected


def ice(shown: float, at_ms: int = 0, source: str = "") -> Calibration:
    return Calibration(1, "thermometer", at_ms, (0.0,), (shown,), source=source)


def buffers(seven: float, four: float, at_ms: int = 0) -> Calibration:
    return Calibration(1, "meter", at_ms, (7.0, 4.01), (seven, four), temp_c=25.0)


def test_ice_water_shifts_the_thermometer() -> None:
    found = corrected([ice(0.4)], "milk-temp", "", np.array([1]), np.array([31.4]))
    assert found.tolist() == pytest.approx([31.0])


def test_two_buffers_lay_a_line_through_both() -> None:
    check = buffers(7.10, 4.21)
    assert check.corrected(np.array([7.10, 4.21])).tolist() == pytest.approx([7.0, 4.01])
    assert float(check.corrected(np.array(5.655))) == pytest.approx((7.0 + 4.01) / 2)


def test_a_perfect_electrode_has_all_of_the_slope() -> None:
    assert buffers(7.0, 4.01).electrode.slope_pct == pytest.approx(100.0)
    assert buffers(7.0, 4.01).electrode.verdict == "good"
    assert buffers(7.0, 4.16).electrode.slope_pct == pytest.approx(100 * 2.84 / 2.99)


def test_each_reading_follows_the_last_check_before_it() -> None:
    at = np.array([0, 10, 20, 30])
    raw = np.full(4, 30.0)
    found = corrected([ice(-0.5, 20), ice(0.5, 10)], "milk-temp", "", at, raw)
    assert found.tolist() == [30.0, 29.5, 30.5, 30.5]


def test_a_check_is_of_one_instrument_and_one_source() -> None:
    at, raw = np.array([5]), np.array([6.5])
    assert corrected([ice(0.4)], "curd-ph", "", at, raw) is raw
    assert corrected([ice(0.4)], "milk-temp", "logger", at, raw) is raw
    assert corrected([ice(0.4, source="logger")], "milk-temp", "logger", at, raw)[0] < 6.2


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
