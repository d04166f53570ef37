"""Plans through the real window: pick one, set the milk, start the make, all by keys."""

from __future__ import annotations

import numpy as np
import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.curves.placing import fine
from journal.desk.plans.chart import _line as chart_line
from journal.desk.theme import STEP, TEXT, font
from journal.desk.window import Window
from journal.keeping import Journal
from journal.records.plan_text import builtin_plans
from journal.wording.durations import minutes_text
from journal.wording.plan_lines import CELLS
from journal.wording.plan_sheet import needs_of, to_add, vat_minutes
from tests import present
from tests.desk.hands import key_for

NOW = 1_773_480_300_000  # 2026-03-14T09:25 in London


def _clock() -> int:
    return NOW


def _plan(name: str):
    return next(plan for plan in builtin_plans() if plan.name == name)


def _type(line, text: str) -> None:
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


# The sheet


def test_amounts_follow_the_milk() -> None:
    cheddar = _plan("cheddar type")
    stage = next(stage for stage in cheddar.stages if stage.label == "set")
    assert to_add(cheddar, stage, 24.0) == "rennet 4.7 ml"  # 0.1957 ml for each litre
    needs = {need.label: need.amount for need in needs_of(cheddar, 24.0)}
    assert needs["milk"] == "24 L"
    assert needs["salt without iodine"] == "61.8 g"  # 2.575 g for each litre


def test_a_pressure_is_said_as_the_weight_on_the_mould() -> None:
    tomme = _plan("tomme")
    light = next(stage for stage in tomme.stages if stage.kind == "press")
    assert to_add(tomme, light, 10.0).startswith("5.4 kg = 3.0 kPa")


def test_minutes_become_hours_where_they_are_many() -> None:
    assert [minutes_text(m) for m in (30, 120, 840, 1180, 4320)] == [
        "30", "120", "14 h", "19 h 40", "3 d",
    ]  # fmt: skip


def test_the_day_at_the_vat_ends_where_the_curd_rests() -> None:
    assert vat_minutes(_plan("cheddar type")) == 440  # to the press
    assert vat_minutes(_plan("lactic")) == 1990  # the long set belongs to it
    # the blue's first evening in the room too, when its acid is read; 67 h of draining do not
    assert vat_minutes(_plan("blue type")) == 615
    for plan in builtin_plans():
        assert 0 < vat_minutes(plan) <= plan.minutes


# The window


def test_every_plan_stands_there_before_any_is_kept(window_on, journal: Journal, qtbot) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    names = [one.plan.name for one in window.current.page.list.rows_model.rows]
    assert names == [plan.name for plan in builtin_plans()]
    assert journal.plans.names() == []


def test_picking_and_scaling_by_keys(window_on, journal: Journal, qtbot) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    page = window.current.page
    qtbot.waitUntil(page.list.hasFocus)
    first = page.title.text()
    QTest.keyClick(page.list, Qt.Key.Key_Down)
    assert page.title.text() != first
    assert page.title.text().startswith("Blue type, 12")
    QTest.keyClick(page.list, Qt.Key.Key_Return)
    assert page.milk.line.hasFocus()
    QTest.keyClicks(page.milk.line, "3 gal")
    assert page.title.text() == "Blue type, 11.4 L"
    assert "3 US gal is 11.356 L" in page.milk.message.text()
    assert "11.356 L" in window.current.needs.accessibleDescription()


def test_milk_typed_stays_when_another_plan_is_picked(window_on, journal: Journal) -> None:
    page = window_on(journal, place="plans", clock=_clock).current.page
    _type(page.milk.line, "9 l")
    QTest.keyClick(page.list, Qt.Key.Key_Down)
    assert page.title.text() == "Blue type, 9 L"


def test_starting_a_make_keeps_it_and_goes_to_the_vat(window_on, journal: Journal, qtbot) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    place = window.current
    place.show_plan("cheddar type")
    _type(place.page.milk.line, "12 l")
    _type(place.page.fat.line, "3,6")
    QTest.keyClick(place.page.fat.line, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: journal.makes.running() != [])
    qtbot.waitUntil(lambda: window.current.key == "vat")
    make = journal.makes.running()[0]
    assert make.code == "HL-0001"
    assert (make.milk.litres, make.milk.fat_pct) == (12.0, 3.6)
    assert make.started_ms == NOW
    assert journal.plans.get(make.plan_id).name == "cheddar type"
    assert window.desk.make_id == make.id
    runs = journal.runs.where(make_id=make.id)
    assert [run.kind for run in runs] == [stage.kind for stage in _plan("cheddar type").stages]
    with Journal.open(journal.path, read_only=True) as again:
        assert again.makes.by_code("latest").milk.litres == 12.0


def test_a_kept_plan_stands_once_and_first(window_on, journal: Journal, qtbot) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan("tomme")
    window.current.drafts.start()
    window.go("plans")
    rows = window.current.page.list.rows_model.rows
    assert [one.plan.name for one in rows].count("tomme") == 1
    assert rows[0].plan.name == "tomme"
    assert rows[0].saved
    assert "HL-0001 is in the vat" in " ".join(window.current.page.outcome.sentences)


def test_what_is_no_milk_is_refused_and_nothing_kept(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    page = window.current.page
    for text, words in (("12 kPa", "not a unit"), ("0", "more than 0"), ("", "No volume")):
        _type(page.milk.line, "1")
        page.milk.set_text(text)
        QTest.keyClick(page.milk.line, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
        assert words in page.milk.message.text()
        assert page.milk.line.text() == text
    page.milk.set_text("12")
    _type(page.fat.line, "40")
    QTest.keyClick(page.fat.line, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert "fat in milk is outside" in page.fat.message.text()
    assert journal.makes.all() == []
    assert window.current.key == "plans"


def test_the_current_stage_is_told_in_full_and_marked(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    page = window.current.page
    window.current.show_plan("cheddar type")
    page.stages.setFocus()
    for _ in range(2):
        QTest.keyClick(page.stages, Qt.Key.Key_Down)
    assert page.stage == 2
    assert "Single-strength rennet: 2.35 ml." in page.stage_words.text()


def test_the_whole_plan_and_back(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan("cheddar type")
    chart = window.current.picture.chart
    day = chart.temp.viewRange()[0][1]
    QTest.keyClick(window.current.page.list, *key_for("next"))
    assert chart.temp.viewRange()[0][1] > 2.5 * day
    assert window.current.picture.whole.isChecked()
    QTest.keyClick(window.current.page.list, *key_for("next"))
    assert chart.temp.viewRange()[0][1] == day


def test_caution_and_source_are_shown_for_every_plan(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    for plan in builtin_plans():
        window.current.show_plan(plan.name)
        picture = window.current.picture
        assert picture.caution.text() == plan.caution
        assert not picture.caution.isHidden()
        assert plan.source in picture.source.text()
        for whole in (True, False):
            window.current.sheet.turn_view()
            assert picture.whole.isChecked() is whole


def test_past_makes_lie_under_a_plan_of_the_journal(window_on, sample: Journal, qtbot) -> None:
    window = window_on(sample, place="plans")
    qtbot.waitUntil(window.settled)
    past = window.current.picture.chart._planned.past
    ended = [row for row in sample.makes.rows() if row.plan == past.plan and row.finished_ms]
    assert past.makes == sum(not row.failed and row.readings > 0 for row in ended)
    assert past.temp is not None
    assert window.current.messages.text("plans") == ""


# The chart's words


def _scene(panel, x: float, y: float):
    return panel.getViewBox().mapViewToScene(QPointF(x, y))


def _words(panel, part: str) -> list:
    return [i for i in panel._drawn if isinstance(i, TextItem) and part in i.toPlainText()]


@pytest.mark.parametrize("name", ["cheddar type", "alpine type", "washed-curd type", "tomme"])
def test_the_words_of_a_stage_do_not_lie_on_the_curve(window_on, journal: Journal, name) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan(name)
    chart, page = window.current.picture.chart, window.current.page
    QApplication.processEvents()
    seen = 0
    for place in range(len(_plan(name).stages)):
        page.stages.select_cell(place)
        QApplication.processEvents()
        seen += len(_words(chart.temp, "°C at"))
        for output in _words(chart.temp, "°C at"):
            box = output.mapRectToScene(output.boundingRect()).adjusted(2, 2, -2, -2)
            x, y = fine(*chart_line(chart._planned))
            x, y = x[np.isfinite(y)], y[np.isfinite(y)]  # the line breaks where nothing is held
            on = [p for p in map(_scene, [chart.temp] * len(x), x, y) if box.contains(p)]
            assert not on, (name, place, output.toPlainText())
    assert seen > 3


def test_words_of_gates_keep_off_the_usual_course(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan("cheddar type")
    chart = window.current.picture.chart
    QApplication.processEvents()
    window.current.page.stages.select_cell(1)
    fan = chart._planned.fan
    assert fan is not None
    named = [output for name in ("ripen", "stir out", "drain", "cheddar")
             for output in _words(chart.acid, name)]  # fmt: skip
    assert len(named) == 4
    for output in named:
        box = output.mapRectToScene(output.boundingRect()).adjusted(-2, 2, 2, -2)
        points = map(_scene, [chart.acid] * len(fan.mid), fan.minutes, fan.mid)
        assert not [p for p in points if box.contains(p)]


def test_a_gate_of_acidity_stands_under_the_scale_of_ph(window_on, journal: Journal) -> None:
    window = window_on(journal, place="plans", clock=_clock)
    window.current.show_plan("cheddar type")
    page, chart = window.current.page, window.current.picture.chart
    page.stages.select_cell(3, 3)
    page.stages.write("whey acidity 0.16 to 0.18")
    page.stages.finish()
    (output,) = _words(chart.acid, "0.16")
    ticks = [value for level in chart.acid.left_axis._tickLevels for value, _ in level]
    low, high = chart.acid.viewRange()[1]
    assert output.pos().y() < min(ticks) - 0.05 * (high - low)
    assert low < output.pos().y()


def test_in_a_narrow_window_a_line_is_no_higher_than_its_words(sample, saved, qtbot):
    window = Window(sample, clock=present.now, settings=saved, daily_backup=False, place="plans")
    qtbot.addWidget(window)
    window.resize(1280, 720)  # as it was left: before it is seen
    window.show()
    qtbot.waitExposed(window)
    qtbot.waitUntil(window.settled)
    table = window.current.page.stages
    metrics, wide = QFontMetrics(font(TEXT)), table.columnWidth(CELLS.index("what")) - 6 * STEP
    high = {
        metrics.horizontalAdvance(line.words) / wide: table.rowHeight(number)
        for number, line in enumerate(table.rows_model.rows)
        if line.words and not line.care
    }
    assert max(high) > 1  # some take two lines
    for lines, height in high.items():
        assert height <= (2 + int(lines)) * metrics.lineSpacing() + 2 * STEP
