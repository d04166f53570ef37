"""The list of Makes: its question, order, columns, groups, tags; the timeline of all; many."""

from __future__ import annotations

import time
from dataclasses import replace

import pyqtgraph as pg
import pytest
from PySide6.QtCore import QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest

from journal.desk.makes import place
from journal.desk.makes.makes_list import MakesList
from journal.desk.makes.small_curve import SmallCurves
from journal.keeping import Journal, MakeRow
from journal.message import Message
from journal.records.makes import tags_of, with_tags
from journal.reports.make_filter import filter_of
from journal.wording import Style, written_in
from tests.desk.hands import key_for
from tests.desk.test_makes import add_make

DAY_MS = 86_400_000
CTRL = Qt.KeyboardModifier.ControlModifier

OPPOSITE = {"winter": "summer", "summer": "winter", "spring": "autumn", "autumn": "spring"}


def row(number: int, **more) -> MakeRow:
    """A finished make with a score."""
    usual = MakeRow(
        number, f"HL-{number:04d}", "", "cheddar type" if number % 3 else "alpine type",
        1_700_000_000_000 + number * DAY_MS, "Europe/London", 1_700_000_100_000 + number * DAY_MS,
        False, 12.0, 600, 1, 4.0 + number % 9 / 2, green_kg=1.2 + number % 5 / 20,
        plan_version=1 + number // 4000,
    )  # fmt: skip
    return replace(usual, **more)


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("cheddar >7 2023", [5, 7, 8]),
        ("goat", [4]),
        ("failed", [3]),
        (">7.5", [8]),
        ("≥7,5 #gift", [7]),
        ("milk<11", [2]),
        ("yield>12 cheddar", [4]),
        ("score<=4.5 alpine", []),
        ("failed >1", []),
        ("hl-0002", [2]),
    ],
)
def test_what_is_typed_is_a_question_to_each_make(typed: str, found: list[int]) -> None:
    scores = {1: 4.5, 2: 6.5, 3: None, 4: 6.0, 5: 7.2, 7: 7.5, 8: 9.0}
    rows = [row(number, best_score=score) for number, score in scores.items()]
    rows[1] = replace(rows[1], milk_l=10.0, green_kg=0.9)
    rows[2] = replace(rows[2], failed=True)
    rows[3] = replace(rows[3], animal="goat", green_kg=1.5)
    rows[5] = replace(rows[5], remark="for aunt #Gift")
    rows = [replace(one, plan="cheddar type") if one.id != 3 else one for one in rows]
    assert [one.id for one in filter(filter_of(typed), rows)] == found


def test_all_words_together_and_amounts_as_they_are_shown() -> None:
    bad = row(1, failed=True, best_score=7.5, animal="goat", plan="cheddar type")
    assert filter_of("cheddar >7 2023 goat failed")(bad)
    assert not filter_of("cheddar >7 2023 goat")(bad)
    litres = row(2, milk_l=12.0, green_kg=1.2)
    with written_in(Style(mass="lb", volume="gal")):
        assert filter_of("milk>3.1")(litres)
        assert not filter_of("milk>3.2")(litres)  # 12 L are 3.17 gallons
        assert filter_of("milk<12.1l yield>0.83")(litres)
        assert not filter_of("yield>0.84")(litres)  # 10 kg of 100 L
    assert filter_of("milk<3.2gal yield>9.9")(litres)


def test_tags_are_words_of_the_remark_that_begin_with_a_hash() -> None:
    assert tags_of("good milk #Gift, #raw #gift") == ("gift", "raw")
    assert with_tags("good milk #old", ["gift"]) == "good milk #gift"
    assert with_tags("#old", []) == ""


@pytest.fixture
def makes(journal: Journal, window_on, qtbot):
    """A window at Makes on three makes."""
    add_make(journal, 0)
    add_make(journal, 1, offset=1.5)
    add_make(journal, 2, finish=False)
    window = window_on(journal, place="makes", clock=lambda: 1_770_000_000_000 + 70 * DAY_MS)
    qtbot.waitUntil(window.settled)
    return window


def titles(shown: MakesList) -> list[str]:
    table = shown.table
    return [c.title for i, c in enumerate(shown.columns) if not table.isColumnHidden(i)]


def test_columns_order_and_groups_are_chosen_and_remembered(
    makes, window_on, qtbot, journal: Journal
) -> None:
    shown = makes.current.list
    assert titles(shown) == ["make", "plan", "began", "milk, °C", "best"]
    menu = shown.menu()
    actions = {action.text(): action for action in menu.actions()}
    actions["animal"].trigger()
    actions["milk, °C"].trigger()
    assert not actions["make"].isEnabled()
    assert titles(shown) == ["make", "plan", "began", "animal", "best"]
    shown.sort_by("began")
    assert [one.code for one in shown.shown] == ["HL-0001", "HL-0002", "HL-0003"]
    shown.turn_down()
    assert [one.code for one in shown.shown] == ["HL-0003", "HL-0002", "HL-0001"]
    header = shown.table.horizontalHeader()
    at = QPoint(header.sectionViewportPosition(1) + 10, header.height() - 8)
    QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert [one.code for one in shown.shown] == ["HL-0001", "HL-0002", "HL-0003"]
    shown.group_by("plan")
    assert titles(shown)[0] == "group"
    role = Qt.ItemDataRole.AccessibleTextRole  # a screen reader hears the group on each row
    model = shown.table.rows_model
    spoken = {model.index(row, 0).data(role) for row in range(len(shown.shown))}
    assert spoken == {"kitchen hard (3)"}
    again = window_on(journal, place="makes")
    qtbot.waitUntil(again.settled)
    assert titles(again.current.list) == ["group", "make", "began", "animal", "best"]
    assert again.current.list.layout_now == shown.layout_now


def test_tags_are_typed_shown_grouped_by_and_undone(makes, qtbot, journal: Journal) -> None:
    place = makes.current
    QTest.keyClick(place.list.table, Qt.Key.Key_G, CTRL)
    qtbot.waitUntil(lambda: place.ask.asking and place.ask.lines[0].hasFocus())
    QTest.keyClicks(place.ask.lines[0], "#Gift raw")
    QTest.keyClick(place.ask.lines[0], Qt.Key.Key_Return)
    made = journal.makes.by_code("HL-0003")
    assert tags_of(made.remark) == ("gift", "raw")
    assert journal.undo_name == Message("keeping.act-tags", make="HL-0003")
    place.list.group_by("tag")
    assert [place.list.columns[0].text(one) for one in place.list.shown] == [
        "#gift (1)", "no tag (2)", "no tag (2)",
    ]  # fmt: skip
    place.list.line.setText("#gift")
    assert [one.code for one in place.list.shown] == ["HL-0003"]
    journal.undo()
    assert place.list.shown == []


def test_the_timeline_shows_what_the_list_shows_and_leads_to_a_make(makes, qtbot) -> None:
    place = makes.current
    QTest.keyClick(place.list.table, *key_for("next"))
    chart = place.all_makes.made()
    assert chart.isVisible()
    assert chart.accessibleDescription().startswith("3 makes, 0 with a score, 1 version of plans")
    yields = [(at, one.yield_pct) for at, one in zip(chart._at, chart._rows, strict=True)]
    at, value = yields[0]
    assert "HL-0001" in chart.hover_text(chart.weight, at, value)
    with qtbot.waitSignal(chart.went) as gone:
        spot = chart.weight.getViewBox().mapViewToScene(QPointF(at, value))
        QTest.mouseClick(chart.viewport(), Qt.MouseButton.LeftButton, pos=chart.mapFromScene(spot))
    assert gone.args == [place.list.current().id]
    place.list.line.setText("0002")
    assert len(chart._rows) == 1
    QTest.keyClick(place.list.table, *key_for("next"))
    assert place.page.isVisible()


def test_seasons_are_those_of_the_zone_of_the_north_or_of_the_south(makes, qtbot) -> None:
    place = makes.current
    QTest.keyClick(place.list.table, *key_for("next"))
    qtbot.waitUntil(makes.settled)

    def named() -> set[str]:
        labels = [one for one in place.all_makes.made().score.items if isinstance(one, pg.TextItem)]
        written = [label.toPlainText() for label in labels]
        return {word for word in written if word in OPPOSITE}

    of_zone = named()
    assert of_zone
    seen = []
    for _ in range(3):
        makes.findChild(QAction, "seasons").trigger()
        qtbot.waitUntil(makes.settled)
        seen.append(named())
    assert seen == [of_zone, {OPPOSITE[name] for name in of_zone}, of_zone]


def test_of_many_makes_the_newest_are_there_at_once_and_all_soon(
    sample: Journal, window_on, qtbot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(place, "FIRST", 5)
    every = Journal.open(sample.path, read_only=True)
    rows = every.makes.rows()
    every.close()
    window = window_on(sample, place="today")
    window.go("makes", rows[9].id)
    shown = window.current.list
    assert [one.id for one in shown.shown] == [one.id for one in (*rows[:5], rows[9])]
    assert shown.count.text() == f"6 of {len(rows)} makes, reading the others"
    assert shown.current() == rows[9]
    qtbot.waitUntil(window.settled)
    assert shown.shown == rows
    assert shown.current() == rows[9]
    assert shown.count.text() == f"{len(rows)} makes"
    sample.makes.tag(rows[9].id, ["gift"])  # told while all are known: the row changes at once
    assert tags_of(shown.current().remark) == ("gift",)
    qtbot.waitUntil(window.settled)
    assert [one.id for one in shown.shown] == [one.id for one in rows]


def test_ten_thousand_makes_are_shown_by_those_that_are_seen(
    journal: Journal, qtbot, saved: QSettings
) -> None:
    """Only cells that are seen are asked for; typing and sorting answer within a blink."""
    shown = MakesList(SmallCurves(journal), saved)
    qtbot.addWidget(shown)
    shown.resize(700, 700)
    shown.show()
    qtbot.waitExposed(shown)
    asked: list[int] = []
    column = shown.columns[2]
    object.__setattr__(column, "text", lambda one: asked.append(one.id) or one.plan)
    rows = [row(number) for number in range(10_000, 0, -1)]
    begun = time.perf_counter()
    shown.show_rows(rows, 5000)
    qtbot.waitUntil(lambda: bool(asked))
    shown.table.viewport().repaint()
    took = time.perf_counter() - begun
    assert len(set(asked)) <= 200
    filter_of("warm")(rows[0])
    begun = time.perf_counter()
    shown.line.setText("alpine >6")
    narrowed = time.perf_counter() - begun
    assert {one.plan for one in shown.shown} == {"alpine type"}
    assert all(one.best_score > 6 for one in shown.shown)
    begun = time.perf_counter()
    shown.line.clear()
    shown.sort_by("best")
    ordered = time.perf_counter() - begun
    assert max(took, narrowed, ordered) < 1.0, (took, narrowed, ordered)
