"""What stands beside the stages of the day."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QTransform

from journal.desk.theme import colours
from journal.desk.vat.ribbon import DAY_ROW, Ribbon, Strip

END = 100.0  # the last minute the chart shows


@pytest.mark.parametrize(("now", "there"), [(60.0, True), (95.0, False), (99.0, False)])
def test_how_late_the_day_is_never_stands_on_the_current_stage(qapp, now, there):
    strips = [Strip(DAY_ROW, 0.0, now, "press, light", "now")]
    ribbon = Ribbon(strips, "12 min late", now, END, colours(dark=False))
    spot = ribbon.late_at(QTransform.fromScale(8.0, 20.0))
    assert (spot is not None) == there
    assert spot is None or spot.x() > 8.0 * now


def test_how_late_the_day_is_may_stand_on_what_is_still_to_come_of_the_stage(qapp):
    strips = [
        Strip(DAY_ROW, 0.0, 50.0, "press, light", "now"), Strip(DAY_ROW, 50.0, 99.0, "", "planned"),
    ]  # fmt: skip
    spot = Ribbon(strips, "12 min late", 99.0, END, colours(dark=False)).late_at(
        QTransform.fromScale(8.0, 20.0)
    )
    assert spot is not None
    assert spot.x() > 8.0 * 50
