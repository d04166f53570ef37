"""The handle of "what if" on the curve: dragged, moved by keys, and at one with what is typed."""

from __future__ import annotations

import numpy as np
import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from journal.desk.findings.picture import Picture
from journal.findings import study
from journal.findings.answer import StudyAnswer
from journal.findings.next_make import NextMake
from journal.findings.predict import PredictionBase, predict
from journal.wording.effects import best_range_words, prediction_text
from tests.findings.test_curves import salted

WAIT_MS = 60_000


@pytest.fixture
def place(window_on, sample, qtbot):
    place = window_on(sample, place="findings").current
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
    return place


def pick(place, key: str, qtbot) -> None:
    finding = next(f for f in place.study.answer.study.findings if f.key == key)
    place.results.table.select_variable(finding.variable)
    qtbot.waitUntil(lambda: place.beside.picture.shown.seen.variable == finding.variable)


def spot(picture, x: float, y: float) -> QPoint:
    """A place of the plot on the chart's own paper."""
    scene = picture.plot.getViewBox().mapViewToScene(QPointF(x, y))
    return picture.mapFromScene(scene)


def on_curve(picture, x: float) -> QPoint:
    seen = picture.shown.seen
    return spot(picture, x, float(np.interp(x, seen.line_x, seen.line_y)))


def output(place):
    return place.beside.what_if.message.text()


def test_it_stands_at_the_newest_make_and_is_dragged_along_the_curve(place, qtbot):
    pick(place, "salt_in_curd", qtbot)
    picture, answer = place.beside.picture, place.study.answer
    handle = picture.handle
    assert handle.value == pytest.approx(answer.value_at_newest("salt_in_curd"), abs=handle.step())
    low, high = picture.plot.viewRange()[0]
    wanted = low + 0.3 * (high - low)
    paper = picture.viewport()
    QTest.mousePress(paper, Qt.MouseButton.LeftButton, pos=on_curve(picture, handle.value))
    QTest.mouseMove(paper, on_curve(picture, wanted))
    QTest.mouseRelease(paper, Qt.MouseButton.LeftButton, pos=on_curve(picture, wanted))
    assert handle.value == pytest.approx(wanted, abs=2 * handle.step())
    assert place.beside.stack.currentWidget() is place.beside.what_if
    finding = answer.study.finding("salt_in_curd")
    assert output(place) == prediction_text(answer, finding, handle.value)[0]
    ground = PredictionBase.of(answer.table, answer.newest)
    foretold = predict(answer.table, answer.study, ground, {"salt_in_curd": handle.value})
    assert f"would score {foretold.score:.1f}" in output(place)


def test_keys_move_it_and_what_is_typed_moves_it_too(place, qtbot):
    pick(place, "salt_in_curd", qtbot)
    picture = place.beside.picture
    before = picture.handle.value
    line = place.beside.what_if.line
    QTest.keyClick(line, Qt.Key.Key_Up)
    assert picture.handle.value == pytest.approx(before + picture.handle.step())
    QTest.keyClick(line, Qt.Key.Key_PageDown)
    assert picture.handle.value == pytest.approx(before - 9 * picture.handle.step())
    assert float(place.beside.what_if.line.text()) == pytest.approx(picture.handle.value)
    place.beside.what_if.line.setText("2.2")
    assert picture.handle.value == pytest.approx(2.2)
    assert place.beside.what_if.line.text() == "2.2"


def test_it_stays_within_what_is_shown_and_forgets_the_variable_before(place, qtbot):
    pick(place, "salt_in_curd", qtbot)
    picture = place.beside.picture
    for _ in range(30):
        QTest.keyClick(place.beside.what_if.line, Qt.Key.Key_PageUp)
    assert picture.handle.value <= picture.plot.viewRange()[0][1] + picture.handle.step()
    pick(place, "cook_temperature", qtbot)
    assert place.beside.what_if.line.text() == ""
    newest = place.study.answer.value_at_newest("cook_temperature")
    assert picture.handle.value == pytest.approx(newest, abs=picture.handle.step())


def test_a_press_beside_it_is_not_taken_for_it(place, qtbot):
    pick(place, "salt_in_curd", qtbot)
    picture = place.beside.picture
    before = picture.handle.value
    corner = spot(picture, picture.plot.viewRange()[0][0], picture.plot.viewRange()[1][0])
    QTest.mousePress(picture.viewport(), Qt.MouseButton.LeftButton, pos=corner + QPoint(20, -4))
    QTest.mouseMove(picture.viewport(), corner + QPoint(60, -4))
    QTest.mouseRelease(picture.viewport(), Qt.MouseButton.LeftButton, pos=corner + QPoint(60, -4))
    assert picture.handle.value == before


def test_a_best_value_is_named_with_its_range_in_the_picture(qtbot):
    table = salted(0.5)
    answer = StudyAnswer(table, study(table, permutations=9), {}, NextMake())
    picture = Picture()
    qtbot.addWidget(picture)
    picture.resize(600, 400)
    picture.show_variable(answer, "salt in curd", 0)
    best = answer.study.finding("salt_in_curd").best
    words = {item.toPlainText() for item in picture.plot.items if isinstance(item, TextItem)}
    assert best_range_words(best, "%") in words
    assert best_range_words(best, "%").startswith("best near 1.")
    assert best_range_words(best, "%") in picture.accessibleDescription()
