"""The weight on a press."""

from __future__ import annotations

import pytest

from journal.reckoning import ReckoningError
from journal.reckoning.press import load_kg


def test_double_the_width_is_four_times_the_load() -> None:
    assert load_kg(5.0, 300) == pytest.approx(4 * load_kg(5.0, 150))


@pytest.mark.parametrize(("pressure", "mould"), [(5.0, 0.0), (5.0, -1.0), (-0.1, 150.0)])
def test_what_cannot_press_is_refused(pressure: float, mould: float) -> None:
    with pytest.raises(ReckoningError):
        load_kg(pressure, mould)
