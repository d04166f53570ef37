"""The charts of tastings are as all others: read by the pointer, copied, saved, described."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget

from journal.desk import dialogs
from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.messages import MessageBar
from journal.desk.tastings.months import AgeScore, MonthDots
from journal.desk.tastings.panel.doubles import Doubles
from journal.desk.tastings.panel_tests.planning import PowerCurve
from journal.desk.tastings.panel_tests.planning import TestSize as Size
from journal.desk.tastings.panel_tests.share import Dots
from journal.records.dates import MONTH_DAYS
from journal.reports.panel import Cups
from journal.reports.panel_test import Dot

BARS = [
    AgeScore(name, months * MONTH_DAYS, (("Orla", 7.0 + k), ("Tam", 6.0 - k)))
    for name in ("texture", "overall")
    for k, months in enumerate((2, 4))
]
POWER = Size(np.linspace(0.05, 0.99, 40), 0.9, 12, "From 34 answers on.", "With 12 answers, 8.")


def bars() -> MonthDots:
    chart = MonthDots()
    chart.show_scores(BARS)
    return chart


def doubles() -> Doubles:
    chart = Doubles()
    cups = [Cups("Orla", "HL-0001-A", 1, (6.0, 7.5)), Cups("Tam", "HL-0002-A", 2, (5.0, 5.0))]
    chart.show_cups(["Orla", "Tam"], cups)
    return chart


def dots() -> Dots:
    chart = Dots()
    chart.show_dots([Dot("can tell", 0.4, 0.1, 0.7), Dot("by chance", 0.333)], (0, 1), True)
    return chart


def power() -> PowerCurve:
    chart = PowerCurve()
    chart.show_plan(POWER)
    return chart


# Each with a point of its plot (shares from the left and from the top), and what is read there.
CHARTS = [
    (bars, lambda chart: (chart._dots[-1].x, 3.0), "overall at 4 months: 6.5 (Orla 8, Tam 5)"),
    (doubles, lambda chart: (6.5, chart._at[0]), "Orla gave HL-0001-A 6 and 7.5"),
    (dots, lambda chart: (0.5, chart._at[1]), "by chance 33 %"),
    (power, lambda _chart: (12.2, 0.5), "12 answers: found 32 % of the time"),
]


@pytest.fixture(params=CHARTS, ids=lambda one: one[0].__name__)
def shown(request, qtbot):
    """A chart on a page with a message bar, its point and what is read there."""
    build, point, words = request.param
    page = QWidget()
    qtbot.addWidget(page)
    page.bar = MessageBar(page)
    chart = build()
    QVBoxLayout(page).addWidget(chart)
    page.resize(640, 420)
    page.show()
    qtbot.waitExposed(page)
    return page, chart, point, words


def test_the_pointer_reads_it(qtbot, shown):
    _page, chart, point, words = shown

    def reads() -> bool:
        """Point there, wherever it is by now: a chart laid out anew forgets the pointer."""
        scene = chart.plot.getViewBox().mapViewToScene(QPointF(*point(chart)))
        at = chart.mapFromScene(scene)
        QTest.mouseMove(chart.viewport(), at + QPoint(0, next(still)))
        label = chart.reading.label
        return label is not None and label.toPlainText() == words

    still = itertools.cycle((0, 1))  # a pointer that does not move is not heard of
    qtbot.waitUntil(reads)


def test_it_is_copied_and_saved(shown, tmp_path, monkeypatch):
    page, chart, _point, _words = shown
    QGuiApplication.clipboard().clear()
    chart.picture_actions[0].trigger()
    copied = QGuiApplication.clipboard().pixmap()
    assert copied.size() == chart.size() * 2
    for action, ending in zip(chart.picture_actions[1:], (".png", ".svg", ".pdf"), strict=True):
        saved = tmp_path / f"chart{ending}"
        monkeypatch.setattr(dialogs, "ask_save", lambda *_, to=saved: str(to))
        action.trigger()
        assert page.bar.text("report") == f"Saved as {saved}."
    assert not QImage(str(tmp_path / "chart.png")).isNull()
    assert f"<title>{chart.accessibleName()}</title>" in (tmp_path / "chart.svg").read_text()


def test_it_is_described(shown):
    _page, chart, _point, words = shown
    assert chart.accessibleName()
    assert chart.accessibleDescription()
    if not isinstance(chart, PowerCurve):
        assert words in chart.accessibleDescription()


def test_rows_of_one_name_share_it_and_a_long_name_is_cut(qtbot):
    chart = DotRows("Rows", row_px=16, apart_px=8)
    qtbot.addWidget(chart)
    rows = [DotRow(name, (k,), f"{name} {k}") for k, name in enumerate(("Orla", "Orla", "T" * 60))]
    chart.show_rows(rows, (0.0, 3.0), [(0.0, "0"), (3.0, "3")])
    names = chart.names()
    assert [name for _, name in names] == ["Orla", names[1][1]]
    assert names[1][1].endswith("…")
    assert names[0][0] == pytest.approx((chart._at[0] + chart._at[1]) / 2)
    assert np.diff(chart._at).tolist() == [-16.0, -24.0]


def test_the_wheel_is_left_to_a_page_that_scrolls_until_the_chart_has_the_focus(qtbot, shown):
    page, chart, _point, _words = shown
    scrolled = QScrollArea()
    qtbot.addWidget(scrolled)
    scrolled.setWidget(page)
    page.setMinimumHeight(900)
    scrolled.resize(640, 300)
    scrolled.show()
    qtbot.waitExposed(scrolled)
    scrolled.activateWindow()
    qtbot.waitUntil(scrolled.isActiveWindow)
    before = chart.plot.viewRange()

    def turned(held=Qt.KeyboardModifier.NoModifier) -> bool:
        at = QPoint(chart.width() // 2, 20)
        event = QWheelEvent(
            QPointF(at), QPointF(chart.viewport().mapToGlobal(at)), QPoint(), QPoint(0, 120),
            Qt.MouseButton.NoButton, held, Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(chart.viewport(), event)
        return event.isAccepted()

    chart.clearFocus()
    assert not turned()
    assert chart.plot.viewRange() == before
    assert turned(Qt.KeyboardModifier.ControlModifier)
    assert chart.plot.viewRange() != before
    chart.show_all()
    chart.setFocus()
    assert turned()
    assert chart.plot.viewRange() != before
    scrolled.takeWidget().setParent(None)  # each is closed by itself
