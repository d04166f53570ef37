"""The weight on a press."""

from __future__ import annotations

import pytest

from journal.reckoning import ReckoningError
from journal.reckoning.press import load_kg, round_area_cm2


def test_double_the_width_is_four_times_the_load() -> None:
    wide, narrow = round_area_cm2(300.0), round_area_cm2(150.0)
    assert load_kg(5.0, wide) == pytest.approx(4 * load_kg(5.0, narrow))


@pytest.mark.parametrize(("pressure", "mould"), [(5.0, 0.0), (5.0, -1.0), (-0.1, 150.0)])
def test_what_cannot_press_is_refused(pressure: float, mould: float) -> None:
    with pytest.raises(ReckoningError):
        load_kg(pressure, round_area_cm2(mould))
