"""Compare's ribbons answer to the wheel, two fingers, keys and a drag, and print; the curves that
are open stand exactly under them."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtPdf import QPdfDocument
from PySide6.QtTest import QTest

from journal.desk.charts.values_dialog import ValuesDialog
from journal.desk.printing import PrintPreview
from journal.records.instants import local
from tests import present
from tests.desk.fingers import drag, pinch, turn

Key, SHIFT = Qt.Key, Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def place(window_on, qtbot, sample):
    window = window_on(sample, clock=present.now)
    window.go("compare", sample.makes.by_code("HL-0010").id)
    qtbot.waitUntil(window.settled, timeout=60_000)
    window.current.ribbons.setFocus()
    qtbot.waitUntil(window.current.ribbons.hasFocus)
    return window.current


def press(place, key, held=Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(place.ribbons, key, held)


def px(place, minute: float) -> tuple[float, float]:
    """Where a place is drawn, px of the window: of the ribbons, and of the curves."""
    ribbons, chart, window = place.ribbons, place.chart, place.window()
    lanes = ribbons.lanes_at()
    above = ribbons.viewport().mapTo(window, QPoint(0, 0)).x() + lanes.x.at(minute)
    view = chart.temp.getViewBox()
    (low, high), box = view.viewRange()[0], view.sceneBoundingRect()
    left = chart.viewport().mapTo(window, QPoint(0, 0)).x() + box.left()
    return above, left + (minute - low) / (high - low) * box.width()


def test_the_curves_stand_exactly_under_their_ribbons_however_it_is_zoomed(place, qtbot):
    press(place, Key.Key_Return)
    qtbot.waitUntil(place.chart.isVisible)
    for factor in (1.0, 3.0, 12.0):
        place.ribbons.hand.zoom(factor, 60.0)
        place.chart._fit()
        low, high = place.ribbons.lens.shown
        for minute in (low, (low + high) / 2, high):
            above, below = px(place, minute)
            assert below == pytest.approx(above, abs=0.6)
        assert place.chart.temp.viewRange()[0] == pytest.approx([low, high])
    place.chart.setFocus()
    QTest.keyClick(place.chart, Key.Key_Backspace)  # of the curves: both show all
    assert place.ribbons.lens.window is None
    assert px(place, 0.0)[0] == pytest.approx(px(place, 0.0)[1], abs=0.6)


def test_wheel_fingers_keys_and_a_drag_zoom_and_move_the_ribbons(place):
    ribbons = place.ribbons
    view, whole = ribbons.viewport(), ribbons.lens.shown
    middle = QPoint(view.width() // 2, ribbons.lane_box(0).center().toPoint().y())
    under = ribbons.along(middle)
    for _ in range(4):
        turn(ribbons, middle, 120, CTRL)
    near = ribbons.lens.shown
    assert near[1] - near[0] < 0.5 * (whole[1] - whole[0])
    assert ribbons.along(middle) == pytest.approx(under, abs=0.01)  # it stays under the pointer
    drag(ribbons, middle, middle - QPoint(100, 0))
    moved = ribbons.lens.shown
    left, right = ribbons.edges()
    a_px = (near[1] - near[0]) / (right - left)
    assert moved[0] - near[0] == pytest.approx(100 * a_px)
    assert ribbons._whole.isVisible()
    QTest.mouseClick(ribbons._whole, LEFT)
    assert ribbons.lens.shown == whole
    pinch(ribbons, middle, 0.5)
    assert ribbons.lens.window is not None
    press(place, Key.Key_Backspace)
    assert ribbons.lens.window is None
    assert ribbons._whole.isHidden()
    for _ in range(6):
        press(place, Key.Key_Plus)
    shown = ribbons.lens.shown
    press(place, Key.Key_Right, SHIFT)
    assert ribbons.lens.shown[0] > shown[0]
    place.ribbons.move_to(whole[0])  # what is read comes into sight
    assert ribbons.lens.shown[0] <= ribbons.position <= ribbons.lens.shown[1]
    press(place, Key.Key_Minus)
    assert ribbons.lens.shown[1] - ribbons.lens.shown[0] > shown[1] - shown[0]


def test_the_ribbons_are_a_table_that_leads_back_to_them(place, qtbot):
    ribbons = place.ribbons
    press(place, Key.Key_Return, SHIFT)
    shown = next(d for d in place.window().findChildren(ValuesDialog) if d.isVisible())
    stages = sum(len(lane.course.stages) for lane in ribbons.scene.lanes)
    assert len(shown.table.rows_model.rows) == stages
    assert place.chart.isHidden()  # Shift Enter opens no curves
    qtbot.waitUntil(shown.table.hasFocus)
    QTest.keyClick(shown.table, Key.Key_End, CTRL)
    QTest.keyClick(shown.table, Key.Key_C, CTRL)
    copied = QGuiApplication.clipboard().text()
    last = ribbons.scene.lanes[-1]
    assert last.ribbon.row.code in copied
    assert last.course.stages[-1].label in copied
    QTest.keyClick(shown.table, Key.Key_Return)
    assert ribbons.current == len(ribbons.scene.lanes) - 1
    begins = float(last.axis.to_position(last.course.stages[-1].begin))
    assert ribbons.position == pytest.approx(min(begins, ribbons.scene.positions[1]))


def test_the_ribbons_print_with_their_curves_after_a_look_at_the_pages(place, qtbot, tmp_path):
    press(place, Key.Key_Return)
    place.window().run("print")
    shown = next(d for d in place.findChildren(PrintPreview) if d.isVisible())
    qtbot.waitUntil(lambda: shown.document.status() == QPdfDocument.Status.Ready)
    for paper in ("Letter", "A4"):
        shown.show_paper(paper)
        pages = shown.document.pageCount()
        words = "".join(shown.document.getAllText(page).text() for page in range(pages))
        for lane in place.ribbons.scene.lanes:
            assert lane.ribbon.row.code in words
        assert f"The curves of {place.chart.opened[0].ribbon.row.code}" in words
        assert place.page.title.text().split(",")[0] in words.replace("\n", " ")
    shown.reject()


def test_the_air_of_a_room_zooms_moves_reads_and_is_a_table(window_on, qtbot, sample):
    window = window_on(sample, clock=present.now)
    window.go("room")
    qtbot.waitUntil(window.settled, timeout=60_000)
    air = window.current.air
    qtbot.waitUntil(lambda: bool(air.days) and air.isVisible())
    air.setFocus()
    qtbot.waitUntil(air.hasFocus)
    whole, last = air.lens.shown, max(air.days)
    middle = air.cell(last).center().toPoint()
    week = air.along(middle)
    for _ in range(6):
        turn(air, middle, 120, CTRL)
    assert air.lens.shown[1] - air.lens.shown[0] < 0.4 * (whole[1] - whole[0])
    assert air.along(middle) == pytest.approx(week, abs=0.02)
    shown = air.lens.shown
    drag(air, middle, middle + QPoint(100, 0))
    assert air.lens.shown[0] < shown[0]
    assert air.picked is None  # a drag unfolds nothing
    QTest.keyClick(air, Key.Key_Left)  # read, and brought into sight
    assert air.picked == max(min(present_day(), last), last)
    box = air.cell(air.picked)
    assert box.left() >= 0
    assert box.right() <= air.width()
    QTest.keyClick(air, Key.Key_Backspace)
    assert air.lens.shown == whole
    pinch(air, middle, 0.5)
    assert air.lens.window is not None
    QTest.mouseClick(air._whole, LEFT)
    assert air.lens.window is None
    QTest.keyClick(air, Key.Key_Return, SHIFT)
    table = next(d for d in window.findChildren(ValuesDialog) if d.isVisible())
    assert len(table.table.rows_model.rows) == len(air.days)
    qtbot.waitUntil(table.table.hasFocus)
    QTest.keyClick(table.table, Key.Key_Home, CTRL)
    QTest.keyClick(table.table, Key.Key_Return)
    assert air.picked == min(air.days)


def present_day():
    return local(present.NOW, "Europe/London").date()
