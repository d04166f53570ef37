"""The chart: panels, hover, pictures of it, and that it takes the colours shown."""

from __future__ import annotations

import errno
import os
import re

import numpy as np
import pytest
from pypdf import PdfReader
from PySide6.QtCore import QEvent, QPointF
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QMessageBox, QWidget

from journal.desk import dialogs
from journal.desk.charts.axes import ClockAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import COLUMNS
from journal.desk.messages import MessageBar
from journal.desk.room.chart import RoomChart, WheelView
from journal.desk.theme import colours, palette
from journal.records.wheels import Weighing


class Waves(Chart):
    """A hundred thousand points with a break."""

    def __init__(self) -> None:
        super().__init__("Waves", "a long curve with a break")
        self.panel = self.add_plot(bottom=ClockAxis(zero_ms=0, zone="UTC"), unit="°C")
        self.x = np.linspace(0, 600, 100_000)
        self.drawn = None

    def draw(self) -> None:
        self.panel.wipe()
        self.panel.show_range((0, 600), (-1.5, 1.5))
        self.panel.rules([-1.0, 0.0, 1.0], (0, 600), unit="°C")
        self.drawn = self.panel.line(self.x, np.sin(self.x / 20), "temperature", width=2)
        self.panel.band(self.x[::1000], np.full(100, -1.0), np.full(100, 1.0), "past", 0.5)
        self.panel.points([10.0], [0.5], "acidity", hollow=True)
        self.panel.words(10, 0.5, "here")

    def hover_text(self, panel, x, y) -> str:
        return f"{x:.0f} min"


@pytest.fixture
def waves(qtbot) -> Waves:
    chart = Waves()
    qtbot.addWidget(chart)
    chart.resize(800, 400)
    chart.show()
    qtbot.waitExposed(chart)
    chart.refresh()
    return chart


def test_a_long_line_is_reduced_before_it_is_drawn(waves):
    x, y = waves.drawn.getData()
    assert len(x) <= 2 * COLUMNS
    assert (y.min(), y.max()) == pytest.approx((-1, 1), abs=1e-4)


def test_it_has_a_name_and_a_description(waves):
    assert waves.accessibleName() == "Waves"
    assert waves.accessibleDescription() == "a long curve with a break"


def test_units_take_no_prefix(waves):
    assert not waves.panel.left_axis.autoSIPrefix
    assert not waves.panel.bottom_axis.autoSIPrefix


def test_the_pointer_reads_values(qtbot, waves):
    spot = waves.panel.getViewBox().mapViewToScene(QPointF(300, 0))
    waves._on_moved((spot,))
    assert waves.reading.label.toPlainText() == "300 min"
    QApplication.sendEvent(waves, QEvent(QEvent.Type.Leave))
    assert waves.reading.label is None


def test_the_page_takes_the_colours_shown(qtbot, waves):
    waves.setPalette(palette(dark=True))
    assert waves.backgroundBrush().color() == colours(dark=True).paper
    picture = waves.picture(1.0).toImage()
    assert picture.pixelColor(2, 2) == colours(dark=True).paper


def test_png_svg_and_pdf_are_written_with_title_and_source(tmp_path, waves):
    png, svg = tmp_path / "a.png", tmp_path / "a.svg"
    pdf = tmp_path / "a.pdf"
    for path in (png, svg, pdf):
        waves.sheet().save(path)
    image = QImage(str(png))
    assert (image.width(), image.height()) == (1600, 800 + 2 * 108)
    words = svg.read_text()
    assert "<title>Waves</title>" in words
    assert words.count("<path") > 5
    drawn = "".join(re.findall(r">([^<]+)</text>", words))
    assert "Waves" in drawn
    assert "Source: " in drawn
    page = PdfReader(pdf).pages[0]
    assert float(page.mediabox.width) == pytest.approx(600, abs=1)
    assert float(page.mediabox.height) == pytest.approx(381, abs=1)


def test_a_folder_that_is_not_there_is_told(tmp_path, waves):
    for ending in (".png", ".svg", ".pdf"):
        with pytest.raises(FileNotFoundError):
            waves.sheet().save(tmp_path / "nowhere" / f"a{ending}")


def test_saving_a_chart_says_where_it_went_or_why_not(tmp_path, qtbot, waves, monkeypatch):
    """Above the chart where there is a message bar; in a box where there is none."""
    page = QWidget()
    qtbot.addWidget(page)
    bar = MessageBar(page)
    waves.setParent(page)
    for action, ending in zip(waves.picture_actions[1:], (".png", ".svg", ".pdf"), strict=True):
        monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "chart"))
        action.trigger()
        saved = tmp_path / f"chart{ending}"
        assert saved.stat().st_size > 500
        assert bar.text("report") == f"Saved as {saved}."
        nowhere = tmp_path / "none" / f"a{ending}"
        monkeypatch.setattr(dialogs, "ask_save", lambda *_, to=nowhere: str(to))
        action.trigger()
        nothing = os.strerror(errno.ENOENT)  # in the desktop's language
        assert bar.text("report").startswith(f"The chart was not saved: {nowhere}: {nothing}")
    waves.setParent(None)
    waves.show()
    waves.picture_actions[1].trigger()
    box = waves.findChild(QMessageBox)
    assert "was not saved" in box.text()
    box.accept()


def test_panels_take_their_whole_width_again_after_the_chart_was_empty(qtbot):
    chart = RoomChart()
    qtbot.addWidget(chart)
    chart.resize(700, 600)
    chart.show()
    qtbot.waitExposed(chart)
    weighings = [Weighing(1, day * 86_400_000, 2.0 - 0.01 * day) for day in range(10)]
    view = WheelView("HL-0001-A", 0, 10, 2.0, weighings)

    def places():
        return [plot.geometry() for plot in chart.plots]

    chart.show_wheel(view)
    qtbot.waitUntil(lambda: min(place.width() for place in places()) > 600)
    before = places()
    chart.show_wheel(None)
    qtbot.waitUntil(lambda: max(place.width() for place in places()) < 100)
    chart.show_wheel(view)
    qtbot.waitUntil(lambda: places() == before)


def test_a_closed_chart_is_left_alone_when_the_colours_change(waves):
    waves.close()
    waves.setPalette(palette(dark=True))
    drawn = waves.drawn
    waves.refresh()
    assert waves.drawn is drawn
