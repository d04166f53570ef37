"""Every chart of the program, found by walking it: each place, each state of a tasting, what opens
over them. `unseen` says which classes of charts the walk has not met."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from PySide6.QtWidgets import QApplication, QWidget

import journal.desk
from journal.desk.bring_in import BringIn, BringInMakes
from journal.desk.calculate.chart import SumChart
from journal.desk.charts.chart import Chart
from journal.desk.findings.picture_page import PARTS
from journal.desk.findings.series_chart import SeriesChart
from journal.desk.places import PLACES
from journal.desk.stock.section import Detail
from journal.desk.stock.strength_chart import StrengthChart
from journal.desk.tastings.panel.part import PanelPart
from journal.desk.tastings.scenes import STATES
from journal.desk.why.dialog import WhyDialog
from journal.desk.window import Window
from journal.findings.series import FULL, Design, Factor
from journal.findings.series_answer import answer_series
from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.topics.topic import SumLine, SumPicture
from journal.wording.dates import iso_minute
from tests import present

Wait = Callable[..., None]
PAST = "date,cook temp (°C),overall\n2025-01-03,36.5,7\n2025-02-04,37.5,8\n2025-03-05,38.5,6.5\n"


def classes() -> set[type[Chart]]:
    """Those that are shown: the leaves of the family of `Chart`."""
    for found in pkgutil.walk_packages(journal.desk.__path__, "journal.desk."):
        importlib.import_module(found.name)
    out, todo = set(), [Chart]
    while todo:
        kind = todo.pop()
        below = [one for one in kind.__subclasses__() if one.__module__.startswith("journal.")]
        todo += below
        if not below and kind is not Chart:
            out.add(kind)
    return out


def seen_in(root: QWidget) -> list[Chart]:
    """The charts that are to be seen there and show something."""
    return [one for one in root.findChildren(Chart) if one.isVisible() and len(one.values.x)]


def walk(window: Window, journal: Journal, folder: Path, wait: Wait) -> Iterator[Chart]:
    """Every chart, as its state of the window comes; a class may come more than once."""

    def settle() -> None:
        wait(window.settled, timeout=60_000)
        QApplication.processEvents()

    for entry in PLACES:
        window.go(entry.key)
        settle()
        yield from seen_in(window.current)
        if entry.key == "findings":
            for number in range(len(PARTS)):
                window.current.beside.turn_to(number)
                settle()
                yield from seen_in(window.current)
        for name in ("whole_plan", "all_makes", "open_curves"):
            if any(one.name == name and one.is_enabled() for one in window.current.commands()):
                window.run(name)
                settle()
                yield from seen_in(window.current)
    yield from _over_the_window(window, journal, folder, settle)
    yield from _alone(window, journal)
    window.go("tastings")
    for _name, act in STATES:
        act(window.current, folder)
        settle()
        yield from seen_in(window.current)
    for part in window.current.findChildren(PanelPart):
        part.fold.click()
    settle()
    yield from seen_in(window.current)


def _over_the_window(
    window: Window, journal: Journal, folder: Path, settle: Callable[[], None]
) -> Iterator[Chart]:
    window.go("makes", journal.makes.by_code("HL-0010").id)
    settle()
    window.current.page.why.click()
    why = next(one for one in window.findChildren(WhyDialog) if one.isVisible())
    while why.answer is None:
        settle()
    settle()
    yield from seen_in(why)
    why.reject()
    make = journal.makes.by_code("HL-0009")
    rows = [
        f"{iso_minute(make.started_ms + minute * MINUTE_MS, make.zone)},{30 + minute / 10}"
        for minute in range(0, 60, 3)
    ]
    logger, past = folder / "logger.csv", folder / "past.csv"
    logger.write_text("time,milk temp (°C)\n" + "\n".join(rows), encoding="utf-8")
    past.write_text(PAST, encoding="utf-8")
    for dialog in (
        BringIn(journal, make.id, str(logger), window),
        BringInMakes(journal, str(past), window),
    ):
        dialog.open()
        while dialog.work.busy:
            QApplication.processEvents()
        QApplication.processEvents()
        yield from seen_in(dialog)
        dialog.reject()


def _alone(window: Window, journal: Journal) -> Iterator[Chart]:
    """What needs days of acts before it shows: drawn over the window with its own values."""
    now = present.NOW
    strength = StrengthChart()
    course = tuple((now - day * DAY_MS, 20.0 - 0.1 * (60 - day)) for day in (60, 40, 20, 5))
    strength.show_course(Detail(course=course, wanted_pct=20.0), now, journal.zone)
    factors = (Factor("pH at draining", 6.2, 6.5, "pH"), Factor("cook", 36.0, 39.0, "°C"))
    wanted = np.array([(a, b) for a in (6.2, 6.5) for b in (36.0, 39.0)] * 2)
    design = Design.of_makes(factors, wanted, [0] * 8, FULL)
    answer = answer_series(design, ("a", "b"), [""] * 8, None)
    answer.score[:] = [5, 6, 7, 7.5, 5.5, 6, 6.5, 8]
    answer.real[:] = wanted
    series = SeriesChart()
    series.show_series(design, answer, [f"HL-{number:04d}" for number in range(1, 9)])
    sums = SumChart()
    curve = SumLine(tuple(range(10)), tuple(0.5 * k * k for k in range(10)), name="load")
    sums.show_picture(
        SumPicture("minutes", "kg", "a load", (curve,), ((4.0, 8.0, "8 kg at 4 minutes"),))
    )
    for chart in (strength, series, sums):
        chart.setParent(window)
        chart.setGeometry(0, 0, 700, 420)
        chart.show()
        chart.raise_()
        yield chart
        chart.hide()
        chart.deleteLater()
