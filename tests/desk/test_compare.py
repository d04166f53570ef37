"""Compare through the real window: ribbons, the pointer, curves, the choice, by keys and mouse."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QColor, QContextMenuEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.background import State
from journal.curves.comparison_set import band_of
from journal.desk import dialogs
from journal.desk.menus import Menu
from journal.desk.preferences import choose
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from journal.reports.comparison import ComparisonRequest, compare
from journal.reports.comparison_choice import (
    ComparisonChoice,
    choice_of,
    chosen,
    keep_choice,
)
from journal.reports.ribbons import values_text
from journal.wording import text_of
from journal.wording.compare import different_text
from journal.wording.merging import both_words, came_words
from tests.desk.hands import key_for

HOUR_MS = 3_600_000
BEGAN = 1_770_000_000_000
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LATE_MIN = 15


def add_make(
    journal: Journal, number: int, *, hump=0.0, late=0.0, plan="cheddar type", animal="cow"
):
    """A finished make read each minute, its cook `late` minutes late, with a hump of ten minutes in
    its cook; each lies a little beside the plan."""
    found = next(one for one in builtin_plans() if one.name == plan)
    at_ms = BEGAN + number * 48 * HOUR_MS
    make = journal.makes.begin(found, Milk(12.0, animal), at_ms)
    rng = np.random.default_rng(number)
    minutes = np.arange(300, dtype=np.int64)
    starts, cook = found.starts(), [stage.kind for stage in found.stages].index("cook")
    moved = np.where(minutes > starts[cook], np.maximum(minutes - late, starts[cook]), minutes)
    planned = found.temperature_at(moved)
    values = np.where(np.isfinite(planned), planned, 31.0) + rng.normal(0, 0.05, len(minutes))
    middle = starts[cook] + late + found.stages[cook].minutes / 2
    values += np.where(np.abs(minutes - middle) <= 5, hump, 0.0)
    journal.readings.add_many(make.id, "milk-temp", at_ms + minutes * 60_000, values)
    for minute, ph in ((60, 6.6), (120, 6.5), (200, 6.3), (290, 6.1)):
        journal.readings.log(make.id, "curd-ph", ph + rng.normal(0, 0.01), at_ms + minute * 60_000)
    for place, (stage, start) in enumerate(zip(found.stages[:6], starts, strict=False)):
        delay = late if place >= cook - 1 else 0.0
        journal.makes.end_stage(make.id, at_ms + round((start + stage.minutes + delay) * 60_000))
    journal.makes.finish(make.id, [1.2], at_ms + 24 * HOUR_MS)
    return make


@pytest.fixture
def kitchen(journal: Journal) -> Journal:
    """Nine makes alike, and the newest, whose cook began late and had a hump of a degree."""
    for number in range(9):
        add_make(journal, number)
    add_make(journal, 9, hump=1.0, late=LATE_MIN)
    return journal


def opened(window_on, qtbot, journal: Journal):
    window = window_on(journal, place="compare")
    qtbot.waitUntil(window.settled, timeout=60_000)
    return window


def codes(place) -> list[str]:
    return [lane.ribbon.row.code for lane in place.ribbons.scene.lanes]


def press(place, key, modifier=Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(place.ribbons, key, modifier)


def test_the_open_make_stands_above_the_others_with_what_was_different(
    window_on, qtbot, kitchen
) -> None:
    place = opened(window_on, qtbot, kitchen).current
    assert codes(place)[0] == "HL-0010"
    assert codes(place)[1:] == [f"HL-{n:04d}" for n in range(9, 0, -1)]
    assert place.page.title.text() == "HL-0010 ran late, and warm in the cook."
    assert 1 <= len(place.page.facts.rows) <= 3
    left = place.compared.left_of("milk-temp")
    plan = kitchen.whole(place.compared.mine.row.id).plan
    cook = [stage.kind for stage in plan.stages].index("cook")
    middle = plan.starts()[cook] + LATE_MIN + plan.stages[cook].minutes / 2
    assert left.departure.from_position == pytest.approx(middle - 5, abs=3)
    assert left.departure.to_position == pytest.approx(middle + 5, abs=3)
    assert left.departure.apart == pytest.approx(1.0, abs=0.3)
    assert f"+{LATE_MIN}" in place.ribbons.accessibleDescription()
    place.page.fold.click()
    assert place.page.rest.isVisible()
    assert len(place.page.rest.rows) > 10


def test_one_of_many_alike_is_as_usual_and_says_with_which_error(window_on, qtbot, journal) -> None:
    for number in range(10):
        add_make(journal, number)
    place = opened(window_on, qtbot, journal).current
    assert place.page.title.text() == "HL-0010 was as usual."
    assert "takes one in 20 for unusual" in place.page.left.text()


def test_the_pointer_reads_every_make_by_keys_and_by_mouse(window_on, qtbot, kitchen) -> None:
    place = opened(window_on, qtbot, kitchen).current
    press(place, Qt.Key.Key_Right)
    press(place, Qt.Key.Key_Right)
    assert place.ribbons.position == pytest.approx(5.0)
    press(place, Qt.Key.Key_Left, SHIFT)
    assert place.ribbons.position == pytest.approx(4.0)
    press(place, Qt.Key.Key_PageDown)
    cut = place.compared.mine.course.stage("cut")
    zero = place.compared.mine.course.stage("set").begin
    assert place.ribbons.position == pytest.approx(cut.begin - zero)
    for lane in place.ribbons.scene.lanes:
        whole = kitchen.whole(lane.make_id)
        trace = whole.trace("milk-temp")
        at = whole.run_of("set").began_ms + round(place.ribbons.position * 60_000)
        read = np.interp(at, trace.at_ms, trace.value)
        values, said = (
            values_text(lane, place.ribbons.position),
            place.ribbons.accessibleDescription(),
        )
        assert f"{read:.1f} °C" in values
        assert f" {lane.ribbon.row.code} {values}." in said
        assert lane.course.targets
        for target in lane.course.targets:
            assert f"{target.label} target {target.state}" in said
    press(place, Qt.Key.Key_Escape)
    assert place.ribbons.position is None
    view = place.ribbons.viewport()
    QTest.mouseMove(view, QPoint(view.width() // 2, 60))
    qtbot.waitUntil(lambda: place.ribbons.position is not None)


def test_three_open_to_curves_over_the_band_of_all_others(window_on, qtbot, kitchen) -> None:
    place = opened(window_on, qtbot, kitchen).current
    box = place.ribbons.lane_box(0).center().toPoint()
    QTest.mouseDClick(place.ribbons.viewport(), Qt.MouseButton.LeftButton, pos=box)
    press(place, Qt.Key.Key_Down)
    press(place, Qt.Key.Key_Return, CTRL)
    assert place.chart.isVisible()
    assert [lane.ribbon.row.code for lane in place.chart.opened] == ["HL-0010", "HL-0009"]
    band = place.chart.bands["milk-temp"]
    assert band.makes == 8
    others = [lane for lane in place.ribbons.scene.lanes if lane not in place.chart.opened]
    table = np.array([one.course.temp.at(one.axis.to_minutes(band.minutes)) for one in others])
    np.testing.assert_allclose(band.p90, band_of(band.minutes, table).p90)
    for _ in range(2):
        press(place, Qt.Key.Key_Down)
        press(place, Qt.Key.Key_Return)
    shown = [lane.ribbon.row.code for lane in place.chart.opened]
    assert shown == ["HL-0009", "HL-0008", "HL-0007"]
    press(place, Qt.Key.Key_Backspace, CTRL)
    assert not place.chart.isVisible()


def test_lined_up_stretched_and_sorted_and_all_of_it_undone(window_on, qtbot, kitchen) -> None:
    window = opened(window_on, qtbot, kitchen)
    place = window.current
    press(place, *key_for("line_up"))
    assert place.choosing.choice.moment == "cut"
    for lane in place.ribbons.scene.lanes:
        assert lane.axis.to_position(lane.course.stage("cut").begin) == pytest.approx(0.0)
    press(place, *key_for("next"))
    press(place, *key_for("next"))
    cooks = {round(float(lane.axis.to_position(lane.course.stage("cook").end)), 6)
             for lane in place.ribbons.scene.lanes}  # fmt: skip
    assert len(cooks) == 1
    press(place, Qt.Key.Key_O, CTRL | SHIFT)
    press(place, Qt.Key.Key_O, CTRL | SHIFT)
    assert place.choosing.choice.order == "likeness"
    steps = [place.compared.likeness[lane.make_id].steps for lane in place.ribbons.scene.lanes[1:]]
    assert steps == sorted(steps)
    likeness = f"Most alike: {codes(place)[1]}, {steps[0]:.1f} steps away"
    assert place.message.text().startswith(likeness)
    assert text_of(kitchen.undo_name) == "sort the ribbons"
    window.go("today")  # where Ctrl+Z takes back what was done to the cheese
    assert text_of(kitchen.undo_name).startswith("finish")
    window.go("compare")
    assert text_of(kitchen.undo_name) == "sort the ribbons"
    for _ in range(5):
        press(place, Qt.Key.Key_Z, CTRL)
    assert place.choosing.choice == ComparisonChoice()
    assert place.ribbons.scene.zero == "rennet in"
    press(place, Qt.Key.Key_Y, CTRL)
    assert place.choosing.choice.moment == "cut"
    assert place.ribbons.scene.zero == "cut"


def test_what_another_window_chose_is_shown_at_once_and_both_copies_choices_merge(
    window_on, qtbot, kitchen, tmp_path
) -> None:
    place = opened(window_on, qtbot, kitchen).current
    make = kitchen.makes.by_code("HL-0010")
    press(place, *key_for("line_up"))
    kitchen.save_copy(tmp_path / "copy.vatside")
    by_hand = ComparisonChoice("hand", makes=("HL-0003", "HL-0006"), order="score", moment="cut")
    with Journal.open(kitchen.path) as other:
        keep_choice(other, make.id, by_hand, "makes")
    kitchen.look_for_others()
    qtbot.waitUntil(lambda: codes(place) == ["HL-0010", "HL-0006", "HL-0003"])
    assert place.page.choices["order"].key() == "score"
    with Journal.open(tmp_path / "copy.vatside") as copy:
        stretched = ComparisonChoice("hand", makes=("HL-0003",), time="by-stage", moment="cut")
        keep_choice(copy, make.id, stretched, "time")
        older = kitchen.makes.by_code("HL-0002")
        keep_choice(copy, older.id, ComparisonChoice("milk"), "by")
    with Journal.open(tmp_path / "copy.vatside", read_only=True) as copy:
        done = kitchen.merge(copy, make.started_ms)
    assert came_words(done)[0] == "New: 1 choice of other makes."
    assert [both_words(one, "UTC") for one in done.differences if one.column == "makes"]
    found = choice_of(kitchen, make.id)
    assert (found.makes, found.order, found.time) == (("HL-0003",), "score", "by-stage")
    qtbot.waitUntil(lambda: codes(place) == ["HL-0010", "HL-0003"])
    assert place.ribbons.scene.choice.time == "by-stage"
    assert choice_of(kitchen, older.id) == ComparisonChoice("milk")


def test_makes_by_hand_are_kept_with_the_make(window_on, qtbot, kitchen) -> None:
    window = opened(window_on, qtbot, kitchen)
    place = window.current
    press(place, Qt.Key.Key_Down)
    press(place, Qt.Key.Key_Delete)
    qtbot.waitUntil(lambda: len(codes(place)) == 9)
    assert "HL-0009" not in codes(place)
    press(place, *key_for("choose"))
    qtbot.waitUntil(place.page.line.hasFocus)
    place.page.line.selectAll()
    QTest.keyClicks(place.page.line, "hl-0003, HL-0005")
    QTest.keyClick(place.page.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: codes(place) == ["HL-0010", "HL-0005", "HL-0003"])
    assert "three makes" in place.page.how_many.text()
    [kept] = kitchen.comparisons.all()
    assert kept.makes == tuple(kitchen.makes.by_code(code).uuid for code in ("HL-0003", "HL-0005"))
    window.desk.make_id = kitchen.makes.by_code("HL-0002").id
    window.go("makes")
    window.go("compare")
    qtbot.waitUntil(lambda: codes(place)[0] == "HL-0002" and len(codes(place)) == 10)
    window.desk.make_id = kitchen.makes.by_code("HL-0010").id
    window.go("makes")
    window.go("compare")
    qtbot.waitUntil(lambda: codes(place) == ["HL-0010", "HL-0005", "HL-0003"])


def test_the_rules_choose(journal: Journal) -> None:
    for number in range(4):
        add_make(journal, number, animal="goat" if number == 1 else "cow")
    add_make(journal, 4, plan="colby type")
    rows = journal.makes.rows()
    mine = rows[1]

    def of(**choice) -> list[str]:
        return [row.code[-1] for row in chosen(rows, mine, ComparisonChoice(**choice))]

    assert of() == ["3", "2", "1"]
    assert of(by="milk") == ["5", "3", "1"]
    assert of(by="season") == ["3", "2", "1"]
    assert of(by="text", text="goat") == ["2"]
    assert of(by="text", text="colby yield>9") == ["5"]
    assert of(by="text", text="yield>11") == []
    assert of(by="hand", makes=("HL-0002", "HL-0009")) == ["2"]
    assert of(by="best") == []
    assert "5" in of(by="culture")
    assert choice_of(journal, mine.id) == ComparisonChoice()
    choice = ComparisonChoice(by="hand", makes=("HL-0002", "HL-0099"), time="by-stage")
    keep_choice(journal, mine.id, choice, "makes")
    assert choice_of(journal, mine.id) == choice
    [kept] = journal.comparisons.all()
    journal.comparisons.save(replace(kept, by="luck"))  # as a later release may choose
    assert choice_of(journal, mine.id) == ComparisonChoice()


def test_a_failed_make_says_first_that_it_failed_and_where_it_left(
    window_on, qtbot, sample: Journal
) -> None:
    window = window_on(sample, place="compare")
    window.desk.make_id = sample.makes.by_code("HL-0014").id
    window.current.entered()
    qtbot.waitUntil(window.settled)
    page = window.current.page
    assert page.title.text() == "HL-0014 failed."
    assert page.failed.text().startswith("▲ It left the others first in the pitch, by its curd pH.")
    shown = {one.row.code for one in window.current.compared.usual}
    assert "HL-0014" not in shown


def test_a_right_click_offers_what_can_be_done_with_a_ribbon_and_does_it(
    window_on, qtbot, kitchen, monkeypatch
) -> None:
    window = opened(window_on, qtbot, kitchen)
    place = window.current
    view = place.ribbons.viewport()
    shown: list[Menu] = []
    monkeypatch.setattr(Menu, "popup", lambda menu, _at: shown.append(menu))

    def menu(reason, pos: QPoint) -> dict[str, QAction]:
        event = QContextMenuEvent(reason, pos, view.mapToGlobal(pos))
        QApplication.sendEvent(view, event)
        return {action.objectName() or action.text(): action for action in shown[-1].actions()}

    cook = place.ribbons.scene.lanes[2].course.stage("cook")
    axis = place.ribbons.scene.lanes[2].axis
    place.ribbons.move_to(float(axis.to_position(cook.begin + 10)))
    lines = menu(QContextMenuEvent.Reason.Mouse, place.ribbons.lane_box(2).center().toPoint())
    assert place.ribbons.lane().ribbon.row.code == "HL-0008"
    assert {"open_curves", "line_up_here", "copy_values", "leave_out", "compare_this",
            "show_make", "Save the picture as SVG…"} <= set(lines)  # fmt: skip
    assert "to_vat" not in lines  # it is over
    assert lines["open_curves"].text().partition("\t")[2] == "Ctrl+Enter"
    lines["copy_values"].trigger()
    copied = QGuiApplication.clipboard().text().splitlines()
    assert [line.partition("\t")[0] for line in copied] == ["", *codes(place)]
    assert copied[3].startswith("HL-0008\tcook 3")
    lines["line_up_here"].trigger()
    assert place.choosing.choice.moment == "cook"
    lines["open_curves"].trigger()
    assert [lane.ribbon.row.code for lane in place.chart.opened] == ["HL-0008"]
    press(place, Qt.Key.Key_Down)
    lines = menu(QContextMenuEvent.Reason.Keyboard, QPoint(0, 0))
    lines["leave_out"].trigger()
    qtbot.waitUntil(lambda: "HL-0007" not in codes(place))
    lines["show_make"].trigger()
    qtbot.waitUntil(window.settled)
    assert window.current.key == "makes"


def test_another_window_or_a_new_reading_is_seen(window_on, qtbot, kitchen) -> None:
    place = opened(window_on, qtbot, kitchen).current
    before = len(place.compared.mine.course.acid.minutes)
    make = kitchen.makes.by_code("HL-0010")
    kitchen.readings.log(make.id, "curd-ph", 6.2, make.started_ms + 220 * 60_000)
    qtbot.waitUntil(lambda: len(place.compared.mine.course.acid.minutes) == before + 1)
    with Journal.open(kitchen.path) as other:
        other.outcomes.delete(other.makes.by_code("HL-0004").id)
    kitchen.look_for_others()
    qtbot.waitUntil(lambda: "HL-0004" not in codes(place))


def test_stopped_work_says_nothing_and_what_is_known_is_not_read_again(kitchen) -> None:
    rows = kitchen.makes.rows()
    state = State(lambda _share, _words: None)
    asked = ComparisonRequest(rows[0], tuple(rows[1:4]))
    found = compare(kitchen, asked, state)
    known = {one.row.id: one for one in (found.mine, *found.others)}
    again = compare(kitchen, ComparisonRequest(rows[0], tuple(rows[1:5]), known), state)
    assert [one.course for one in again.others[:3]] == [one.course for one in found.others]
    state.stop()
    assert compare(kitchen, asked, state) is None


def test_an_empty_journal_and_a_lone_make(window_on, qtbot, journal: Journal) -> None:
    window = opened(window_on, qtbot, journal)
    assert window.current.pages.currentIndex() == 1
    add_make(journal, 0)
    window.desk.make_id = journal.makes.by_code("latest").id
    window.current.entered()
    qtbot.waitUntil(window.settled)
    assert codes(window.current) == ["HL-0001"]
    assert window.current.page.how_many.text() == "There is nothing to compare it with yet."
    window.current._on_begin()
    assert window.current.key == "plans"


def test_all_ribbons_and_any_list_are_saved(window_on, qtbot, kitchen, tmp_path, monkeypatch):
    """The ribbons out of sight too; a list as it is shown, for a spreadsheet."""
    place = opened(window_on, qtbot, kitchen).current
    for ending in (".pdf", ".svg", ".png"):
        saved = tmp_path / f"ribbons{ending}"
        monkeypatch.setattr(dialogs, "ask_save", lambda *_, to=saved: str(to))
        place.ribbons.pictures.ask(ending)
        assert saved.stat().st_size > 3000
    drawn = (tmp_path / "ribbons.svg").read_text("utf-8")
    assert all(code in drawn for code in codes(place))
    assert "Units: h:min, °C, pH. Source: kitchen, drawn by Vatside" in drawn
    place.page.fold.click()
    table = tmp_path / "facts.csv"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(table))
    place.page.rest.save_as(".csv")
    lines = table.read_text("utf-8-sig").splitlines()
    assert len(lines) == len(place.page.rest.rows) + 1
    assert lines[0].startswith("fact,this time,usual")


def test_every_amount_follows_the_units_that_are_chosen(window_on, qtbot, kitchen, saved) -> None:
    """The ribbons' values, the curves, the facts, the picture to save, Makes and its timeline."""
    for key, value in (("temperature", "F"), ("mass", "lb"), ("volume", "gal"), ("length", "in")):
        choose(saved, key, value)
    window = opened(window_on, qtbot, kitchen)
    place = window.current
    press(place, Qt.Key.Key_PageDown)
    press(place, Qt.Key.Key_Return)
    lane = place.ribbons.scene.lanes[0]
    celsius = lane.course.temp.at(lane.axis.to_minutes(place.ribbons.position))
    assert f"{celsius * 1.8 + 32:.1f} °F" in values_text(lane, place.ribbons.position)
    assert "°F above" in place.page.left.text()
    assert " °F" in place.chart.hover_text(place.chart.temp, place.ribbons.position, 90.0)
    press(place, Qt.Key.Key_O, CTRL | SHIFT)
    press(place, Qt.Key.Key_O, CTRL | SHIFT)
    table = place.page.rest
    cells = [cell for line in table.rows_model.as_cells(table.rows) for cell in line]
    cells += [different_text(row) for row in place.compared.rows]
    window.go("makes")
    qtbot.waitUntil(window.settled)
    makes = window.current
    makes.turn_right()
    cells += makes.list.table.rows_model.as_cells(makes.list.shown)[0]
    cells += [place.message.text(), place.ribbons.sheet().source, place.chart.sheet().source,
              makes.all_makes.made().sheet().source]  # fmt: skip
    words = " ".join(cells)
    assert not re.search(r"°C|\bkg\b|\bL\b|\bmm\b", words)
    assert {"°F·min", "°F/min", "US", "lb/US", "in"} <= set(words.replace(".", "").split())


def test_the_cut_and_the_score_stand_at_the_end_of_a_ribbon(
    window_on, qtbot, kitchen, tmp_path
) -> None:
    photo = QImage(120, 90, QImage.Format.Format_RGB32)
    photo.fill(QColor("#ff0000"))
    photo.save(str(tmp_path / "cut.png"))
    make = kitchen.makes.by_code("HL-0007")
    [wheel] = kitchen.wheels.where(make_id=make.id)
    card = ScoredSample({"overall": 8.0}, (), "even", kitchen.photos.bring(tmp_path / "cut.png"))
    kitchen.sessions.give(OpenServing(wheel.id, "Ann", make.started_ms + 90 * 24 * HOUR_MS), card)
    window = opened(window_on, qtbot, kitchen)
    place = window.current
    number = codes(place).index("HL-0007")
    assert place.ribbons.scene.lanes[number].ribbon.row.best_score == 8.0
    assert place.ribbons.lanes_at().has_cut
    middle = place.ribbons.lane_box(number)

    def red() -> list[float]:
        """How far to the right the pixels of the cut stand, as parts of the width."""
        seen = place.ribbons.viewport().grab(middle.toRect()).toImage()
        return [x / seen.width() for x in range(seen.width()) for y in range(seen.height())
                if seen.pixelColor(x, y) == QColor("#ff0000")]  # fmt: skip

    qtbot.waitUntil(lambda: len(red()) > 300)
    assert min(red()) > 0.9


def test_by_the_mouse_alone_others_are_added_and_left_out(
    window_on, qtbot, kitchen, monkeypatch
) -> None:
    for code, score in (("HL-0005", 7.0), ("HL-0006", 6.0)):
        make = kitchen.makes.by_code(code)
        [wheel] = kitchen.wheels.where(make_id=make.id)
        at_ms = make.started_ms + 90 * 24 * HOUR_MS
        kitchen.sessions.give(
            OpenServing(wheel.id, "Ann", at_ms), ScoredSample({"overall": score}, (), "", "")
        )
    place = opened(window_on, qtbot, kitchen).current
    shown: list[Menu] = []
    monkeypatch.setattr(Menu, "popup", lambda menu, _at: shown.append(menu))

    def on_dot(code: str) -> dict[str, QAction]:
        spot = place.scores.spot_of(place.journal.makes.by_code(code).id).toPoint()
        event = QContextMenuEvent(
            QContextMenuEvent.Reason.Mouse, spot, place.scores.mapToGlobal(spot)
        )
        QApplication.sendEvent(place.scores, event)
        return {action.objectName(): action for action in shown[-1].actions()}

    on_dot("HL-0005")["leave_out"].trigger()
    qtbot.waitUntil(lambda: "HL-0005" not in codes(place))
    assert len(codes(place)) == 9
    on_dot("HL-0005")["add_it"].trigger()
    qtbot.waitUntil(lambda: "HL-0005" in codes(place))
    on_dot("HL-0004")["leave_out"].trigger()  # which was not scored: a stroke on the floor
    qtbot.waitUntil(lambda: "HL-0004" not in codes(place))
    on_dot("HL-0006")["open_it"].trigger()
    qtbot.waitUntil(lambda: codes(place)[:1] == ["HL-0006"])


@pytest.mark.parametrize("part", ["by", "moment", "order", "time"])
def test_what_is_chosen_from_a_list_is_kept_with_the_make(window_on, qtbot, kitchen, part) -> None:
    place = opened(window_on, qtbot, kitchen).current
    box = place.page.choices[part]
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down)  # the next of the list, as by hand
    key = box.key()
    assert getattr(ComparisonChoice(), part) != key
    found = choice_of(kitchen, kitchen.makes.by_code("HL-0010").id)
    assert found == replace(ComparisonChoice(), **{part: key})
    qtbot.waitUntil(lambda: place.settled() and box.key() == key)
