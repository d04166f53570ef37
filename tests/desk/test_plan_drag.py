"""A planned point and a stage's edge are dragged in the chart: what is typed follows, undo takes it
back, and a click goes to a stage."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desk.test_charts_by_hand import drag


@pytest.fixture
def place(sample, window_on, qtbot):
    window = window_on(sample, place="plans")
    window.resize(1440, 900)
    qtbot.waitUntil(window.settled, timeout=60_000)
    QApplication.processEvents()
    return window.current


def at(chart, plot, x: float, y: float) -> QPoint:
    return chart.mapFromScene(plot.getViewBox().mapViewToScene(QPointF(x, y)))


def stages(place):
    return place.author.settled.plan().stages


def test_a_planned_point_is_dragged_to_another_temperature(place, qtbot):
    chart, before = place.picture.chart, stages(place)
    end = before[0].minutes
    start = at(chart, chart.temp, end, before[0].target_c)
    drag(chart, start, at(chart, chart.temp, end, before[0].target_c - 4))
    after = stages(place)
    assert after[0].target_c == pytest.approx(before[0].target_c - 4, abs=0.5)
    assert after[0].target_c % 0.5 == 0
    assert [s.target_c for s in after[1:]] == [s.target_c for s in before[1:]]
    assert place.page.stages.rows_model.rows[1].temp == f"{after[0].target_c:.1f}"
    assert chart.lens.window is None
    place.window().run("undo")
    assert stages(place) == before


def test_a_stage_s_edge_is_dragged_to_another_length(place, qtbot):
    chart, before = place.picture.chart, stages(place)
    end = before[0].minutes + before[1].minutes
    drag(chart, at(chart, chart.ribbon, end, 0.5), at(chart, chart.ribbon, end + 30, 0.5))
    after = stages(place)
    assert after[1].minutes == pytest.approx(before[1].minutes + 30, abs=5)
    assert [s.minutes for s in after[2:]] == [s.minutes for s in before[2:]]
    place.window().run("undo")
    assert stages(place) == before


def test_a_click_and_enter_go_to_a_stage(place, qtbot):
    chart, starts = place.picture.chart, place.sheet.plan.starts()
    spot = at(chart, chart.ribbon, starts[2] + 5, 0.5)
    QTest.mouseClick(chart.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert place.page.stage == 2
    chart.setFocus()
    QTest.keyClick(chart, Qt.Key.Key_Home)
    QTest.keyClick(chart, Qt.Key.Key_Return)
    assert place.page.stage == 0
