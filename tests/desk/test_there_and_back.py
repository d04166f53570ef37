"""A click on a chart goes to what it shows; Alt ← comes back to the chart as it was left."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from journal.desk.charts.chart import Chart
from tests import present

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def window(window_on, sample, qtbot):
    opened = window_on(sample, clock=present.now)
    opened.resize(1440, 900)
    return opened


def arrive(window, qtbot, key: str, make_id: int | None = None):
    window.go(key, make_id)
    qtbot.waitUntil(window.settled, timeout=60_000)
    return window.current


def back(window, qtbot) -> None:
    QTest.keyClick(window, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(window.settled, timeout=60_000)


def click_on(chart: Chart, plot, x: float, y: float) -> None:
    chart._fit()
    at = chart.mapFromScene(plot.getViewBox().mapViewToScene(QPointF(x, y)))
    QTest.mouseClick(chart.viewport(), LEFT, pos=at)


def test_a_point_of_findings_goes_to_its_make_and_back_to_the_same_part_of_the_picture(
    window, qtbot
):
    place = arrive(window, qtbot, "findings")
    chart = place.beside.picture
    rows = [row for row in chart.values.rows if row.key is not None]
    row = rows[len(rows) // 2]
    chart.setFocus()
    chart._hand.zooming.zoom(3.0, row.x)
    zoomed = chart.lens.shown
    click_on(chart, chart.plots[row.panel], row.x, row.y)
    assert window.current.key == "makes"
    assert window.desk.make_id is not None
    back(window, qtbot)
    assert window.current.key == "findings"
    assert chart.lens.shown == pytest.approx(zoomed)
    assert chart.hasFocus()


def test_a_curve_and_a_ribbons_code_go_to_the_make_and_back_to_both_as_they_were(
    window, qtbot, sample
):
    mine = sample.makes.by_code("HL-0010").id
    place = arrive(window, qtbot, "compare", mine)
    ribbons, chart = place.ribbons, place.chart
    ribbons.setFocus()
    QTest.keyClick(ribbons, Qt.Key.Key_Down)
    QTest.keyClick(ribbons, Qt.Key.Key_Return)
    qtbot.waitUntil(chart.isVisible)
    other = ribbons.scene.lanes[1].make_id
    ribbons.hand.zoom(3.0, 60.0)
    zoomed = ribbons.lens.shown
    curve = chart._curve(chart.opened[0], "milk-temp")
    middle = len(curve.at) // 2
    click_on(chart, chart.temp, float(curve.at[middle]), float(curve.value[middle]))
    assert (window.current.key, window.desk.make_id) == ("makes", other)
    back(window, qtbot)
    assert (window.current.key, window.desk.make_id) == ("compare", mine)
    assert ribbons.lens.shown == pytest.approx(zoomed)
    assert [lane.make_id for lane in chart.opened] == [other]
    spot = QPoint(30, round(ribbons.lane_box(1).center().y()))
    QTest.mouseClick(ribbons.viewport(), LEFT, pos=spot)
    assert (window.current.key, window.desk.make_id) == ("makes", other)
    back(window, qtbot)
    assert window.current is place
    assert ribbons.lens.shown == pytest.approx(zoomed)
