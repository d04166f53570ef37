"""Every chart of the program by keys alone and by the mouse alone: zoom, pan, back, read, values as
a table, export."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import QPoint, QPointF, QSize, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication, QPainter, QPicture
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsRectItem

from journal.desk import dialogs
from journal.desk.charts.chart import Chart
from journal.desk.charts.values_dialog import ValuesDialog
from journal.desk.menus import Menu
from tests import present
from tests.desk.chart_walk import classes, walk
from tests.desk.fingers import drag, pinch, turn

DRAWN = (pg.PlotCurveItem, pg.ScatterPlotItem, QGraphicsRectItem, pg.InfiniteLine)
Key, NONE = Qt.Key, Qt.KeyboardModifier.NoModifier
TRIED = (  # sizes, and at each how close, about which share of the axis
    (QSize(460, 320), ((1.0, 0.5), (6.0, 0.5))),
    (QSize(1500, 860), ((2.4, 0.1), (20.0, 0.9))),
)
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


def axes_seen(chart: Chart) -> list[pg.AxisItem]:
    """The axes that are seen beside and below its panels."""
    axes = [plot.getAxis(side) for plot in chart.plots if plot.isVisible()
            for side in ("left", "bottom")]  # fmt: skip
    return [axis for axis in axes if axis.isVisible()]


def doubled_ticks(chart: Chart) -> list[str]:
    """Ticks of one axis that are called the same."""
    out = []
    for axis in axes_seen(chart):
        if axis._tickLevels is not None:
            low, high = sorted(axis.range)
            names = [t for level in axis._tickLevels for v, t in level if low <= v <= high]
        else:
            size = (
                axis.geometry().width()
                if axis.orientation == "bottom"
                else axis.geometry().height()
            )
            names = [
                name
                for spacing, values in axis.tickValues(*axis.range, size)
                for name in axis.tickStrings(values, 1, spacing)
            ]
        names = [name for name in names if name]
        out += [name for name in set(names) if names.count(name) > 1]
    return out


def points_of(item, tall: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """What is drawn as points: a curve's knots, marks, all over a box, along an upright line."""
    if isinstance(item, QGraphicsRectItem):
        box = item.rect()
        x, y = np.meshgrid(
            np.linspace(box.left(), box.right(), 40), np.linspace(box.top(), box.bottom(), 40)
        )
        return x.ravel(), y.ravel()
    if isinstance(item, pg.InfiniteLine):
        upright = item.angle == 90
        along = np.linspace(*tall, 400) if upright else np.empty(0)
        return np.full(len(along), item.value() if upright else 0.0), along
    x, y = (np.asarray(a, float) for a in item.getData())
    return x, y


def covering(chart: Chart) -> list[str]:
    """Words that lie on a curve, a point, a box or on other words."""
    out = []
    for plot in (one for one in chart.plots if one.isVisible()):
        box = plot.getViewBox()
        inside = box.sceneBoundingRect()
        named = (one for one in plot._named if one.isVisible())
        words = [one for one in named if inside.contains(one.sceneBoundingRect().center())]
        rects = [one.sceneBoundingRect().adjusted(3, 3, -3, -3) for one in words]
        (x0, x1), (y0, y1) = box.viewRange()
        marks = []
        for item in plot._drawn:
            if item.zValue() <= -20 or not isinstance(item, DRAWN):
                continue
            x, y = points_of(item, (y0, y1))
            if isinstance(item, pg.PlotCurveItem) and len(x) > 1 and len(x) < 4000:
                part = np.linspace(0, len(x) - 1, 4000)
                x, y = (np.interp(part, np.arange(len(x)), a) for a in (x, y))
            marks.append(
                (
                    inside.left() + (x - x0) / (x1 - x0) * inside.width(),
                    inside.top() + (y1 - y) / (y1 - y0) * inside.height(),
                    isinstance(item, pg.InfiniteLine),
                )
            )
        for i, rect in enumerate(rects):
            name = words[i].toPlainText().strip()
            if any(rect.intersects(other) for other in rects[:i]):
                out.append(f"{name} on other words")
            on_paper = words[i].fill.style() != Qt.BrushStyle.NoBrush
            for x, y, upright in marks:
                if upright and on_paper:
                    continue  # words on paper may interrupt it
                hit = (x > rect.left()) & (x < rect.right()) & (y > rect.top())
                if (hit & (y < rect.bottom())).any():
                    out.append(f"{name} on what is drawn")
                    break
    return out


def crowded_ticks(chart: Chart) -> list[str]:
    """Numbers of an axis that lie on each other, as they are drawn."""
    out = []
    for axis in axes_seen(chart):
        picture, painter = QPicture(), QPainter()
        painter.begin(picture)
        specs = axis.generateDrawSpecs(painter)
        painter.end()
        words = [] if specs is None else [(box, name) for box, _, name in specs[2] if name]
        for (one, name), (other, its) in combinations(words, 2):
            both = one.adjusted(1, 3, -1, -3).intersected(other.adjusted(1, 3, -1, -3))
            if both.width() > 0 and both.height() > 0:
                out.append(f"{name} on {its}")
    return out


def at_other_sizes(chart: Chart) -> list[str]:
    """What lies on something else, or is called twice, at other sizes and zooms."""
    found, own = set(), chart.size()
    for size, zooms in TRIED:
        chart.resize(size)
        for factor, share in zooms:
            chart.lens.show_all()
            low, high = chart.lens.usual
            chart.lens.zoom(factor, low + share * (high - low))
            chart.refresh()
            faults = [*doubled_ticks(chart), *crowded_ticks(chart), *covering(chart)]
            found |= {f"{one} ({size.width()} wide, {factor:g} times)" for one in faults}
    chart.lens.show_all()
    chart.resize(own)
    chart.refresh()
    return sorted(found)


class Trial:
    """One chart under one hand; each step says what did not work."""

    def __init__(self, chart: Chart, qtbot, saved) -> None:
        self.chart, self.bot, self.saved = chart, qtbot, saved
        self.faults: list[str] = []

    def see(self, right: bool, what: str) -> None:
        if not right:
            self.faults.append(f"{type(self.chart).__name__}: {what}")

    # What both hands do

    def menu(self) -> Menu:
        found = [m for m in self.chart.findChildren(Menu) if m.isVisible()]
        assert len(found) == 1
        return found[0]

    def dialog(self) -> ValuesDialog | None:
        found = [d for d in self.chart.window().findChildren(ValuesDialog) if d.isVisible()]
        return found[0] if found else None

    def was_saved(self, how: str) -> None:
        path = self.saved.with_suffix(".svg")
        self.see(path.exists() and path.read_text().count("<path") > 2, f"{how}: no file")
        path.unlink(missing_ok=True)

    def walks(self, how: str) -> None:
        """The table is open: its rows are those of the chart, and go to the clipboard."""
        shown = self.dialog()
        if shown is None:
            self.see(False, f"{how}: no table")
            return
        rows = shown.table.rows_model.rows
        self.see(len(rows) == len(self.chart.values.x), f"{how}: {len(rows)} rows in the table")
        QGuiApplication.clipboard().clear()
        if how == "keys":
            shown.activateWindow()
            self.bot.waitUntil(shown.table.hasFocus)
            QTest.keyClick(shown.table, Key.Key_Down)
            QTest.keyClick(shown.table, Key.Key_C, CTRL)
        else:
            copy = next(
                b for b in shown.findChildren(type(self.chart._whole)) if "Copy" in b.text()
            )
            QTest.mouseClick(copy, Qt.MouseButton.LeftButton)
        copied = QGuiApplication.clipboard().text().splitlines()
        self.see(len(copied) > 1 and "\t" in copied[0], f"{how}: nothing copied")
        QTest.keyClick(shown, Key.Key_Escape)
        self.bot.waitUntil(lambda: self.dialog() is None)

    # Keys alone

    def by_keys(self) -> list[str]:
        chart = self.chart
        chart.window().activateWindow()
        chart.setFocus()
        self.bot.waitUntil(chart.hasFocus)

        def press(key: Key, held=NONE) -> None:
            QTest.keyClick(chart, key, held)

        whole = chart.lens.shown
        for _ in range(4):
            press(Key.Key_Plus)
        near = chart.lens.shown
        self.see(near[1] - near[0] < 0.6 * (whole[1] - whole[0]), "keys: no zoom")
        self.see(chart.plots[0].viewRange()[0] == pytest.approx(near), "keys: not drawn zoomed")
        self.see(doubled_ticks(chart) == [], f"zoomed: doubled ticks {doubled_ticks(chart)}")
        self.see(covering(chart) == [], f"zoomed: {covering(chart)}")
        press(Key.Key_Right, SHIFT)
        right = chart.lens.shown
        press(Key.Key_Left, SHIFT)
        press(Key.Key_Left, SHIFT)
        self.see(chart.lens.shown[0] < right[0], "keys: no pan")
        press(Key.Key_Backspace)
        self.see(chart.lens.shown == whole and chart._whole.isHidden(), "keys: not back to all")
        read = set()
        for key in (Key.Key_Home, Key.Key_Right, Key.Key_Left, Key.Key_End):
            press(key)
            read.add("" if chart.reading.label is None else chart.reading.label.toPlainText())
        self.see("" not in read, "keys: nothing read")
        self.see(len(read) > 1 or len(chart.values.x) < 2, "keys: reads one value alone")
        lines = len({id(plot) for plot, _ in chart.reading._items})
        self.see(lines == sum(p.isVisible() for p in chart.plots), "keys: not in every panel")
        press(Key.Key_Return, SHIFT)
        self.walks("keys")
        press(Key.Key_Escape)
        left = chart.reading.label is None and chart.reading.row is None
        self.see(left, "keys: Esc does not leave")
        press(Key.Key_Home)
        at = QPoint(chart.width() // 2, chart.height() // 2)
        asked = QContextMenuEvent(
            QContextMenuEvent.Reason.Keyboard, at, chart.mapToGlobal(at), NONE
        )
        QApplication.sendEvent(chart, asked)
        menu = self.menu()
        lines = [one for one in menu.actions() if not one.isSeparator()]
        wanted = next(i for i, one in enumerate(lines) if "SVG" in one.text())
        for _ in range(wanted + 1):
            QTest.keyClick(menu, Key.Key_Down)
        QTest.keyClick(menu, Key.Key_Return)
        self.was_saved("keys")
        return self.faults

    # The mouse alone

    def by_mouse(self) -> list[str]:
        chart = self.chart
        middle = QPoint(chart.width() // 2, chart.height() // 3)
        whole = chart.lens.shown
        chart.clearFocus()
        for _ in range(4):
            turn(chart, middle, 120, CTRL)
        near = chart.lens.shown
        self.see(near[1] - near[0] < 0.6 * (whole[1] - whole[0]), "mouse: no zoom")
        drag(chart, middle, middle - QPoint(80, 0))
        self.see(chart.lens.shown[0] > near[0], "mouse: no pan")
        self.see(chart._whole.isVisible(), "mouse: no way back")
        QTest.mouseClick(chart._whole, Qt.MouseButton.LeftButton)
        self.see(chart.lens.shown == whole, "mouse: not back to all")
        pinch(chart, middle, 0.5)
        self.see(chart.lens.window is not None, "mouse: no pinch")
        chart.show_all()
        self.see(self.reads_under_the_pointer(), "mouse: nothing read")
        self.pick(middle, "Values as a table")
        self.walks("mouse")
        self.pick(middle, "SVG")
        self.was_saved("mouse")
        return self.faults

    def reads_under_the_pointer(self) -> bool:
        chart = self.chart
        rows = chart.values.rows
        for row in (rows[i] for i in range(0, len(rows), max(len(rows) // 7, 1))):
            plot = chart.plots[row.panel]
            low, high = plot.viewRange()[1]
            y = row.y if row.y == row.y else (low + high) / 2
            spot = plot.getViewBox().mapViewToScene(QPointF(row.x, y))
            chart._on_moved((spot,))
            if chart.reading.label is not None and chart.reading.label.toPlainText():
                return True
        return False

    def pick(self, at: QPoint, words: str) -> None:
        chart = self.chart
        asked = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, chart.mapToGlobal(at), NONE)
        QApplication.sendEvent(chart.viewport(), asked)
        menu = self.menu()
        line = next(one for one in menu.actions() if words in one.text())
        QTest.mouseClick(menu, Qt.MouseButton.LeftButton, NONE, menu.actionGeometry(line).center())


@pytest.fixture
def charts(qtbot, sample, window_on, tmp_path) -> Iterator[Chart]:
    window = window_on(sample, clock=present.now)
    window.resize(1440, 900)
    return walk(window, sample, tmp_path, qtbot.waitUntil)


def test_every_chart_of_the_program_answers_to_keys_and_to_the_mouse(
    charts, qtbot, tmp_path, monkeypatch
):
    where = tmp_path / "picture"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(where))
    faults, left = [], classes()
    for chart in charts:
        size = None
        while size != chart.plots[0].geometry() or chart._resized:
            size = chart.plots[0].geometry()
            QApplication.processEvents()  # laid out, and drawn for it
        looked = [
            f"{type(chart).__name__}: {one}"
            for one in doubled_ticks(chart) + crowded_ticks(chart) + covering(chart)
        ]
        faults += looked
        if type(chart) in left:
            left.remove(type(chart))
            faults += [f"{type(chart).__name__}: {one}" for one in at_other_sizes(chart)]
            faults += Trial(chart, qtbot, where).by_keys()
            faults += Trial(chart, qtbot, where).by_mouse()
    assert "\n".join(faults) == ""
    assert left == set()
