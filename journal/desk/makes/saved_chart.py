"""The chart of a make as a file, without a window."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from journal.curves.day import last_reading_min
from journal.curves.deviation import deviation
from journal.desk.makes.chart import MakeChart
from journal.records.whole import WholeMake
from journal.wording.makes import strayed_words


def save_make_chart(whole: WholeMake, path: Path, journal: str, size: tuple[int, int]) -> None:
    """Write it as SVG, PNG or PDF, by the ending; raises OSError."""
    now = last_reading_min(whole) if whole.make.running else None
    chart = MakeChart()
    chart.setWindowTitle(journal)
    chart.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
    chart.resize(*size)
    chart.show()  # one that is never shown has no size of its own
    chart.show_make(whole, strayed_words(whole, deviation(whole, "day", now)))
    QApplication.processEvents()  # the axes find the room they need
    chart.refresh()
    QApplication.processEvents()
    sheet = chart.sheet()
    replace(sheet, title=f"{whole.make.code}, {whole.make.name or whole.plan.name}").save(path)
    chart.close()
