"""What is expected of a wheel, on its page: the curve, that it dries too fast, when it is best,
which wheel to open on a day; cautions where the danger is; shelves of 0, 6 and 200 wheels."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import QPointF, QSize
from PySide6.QtTest import QTest

from journal.background import State
from journal.curves.placing import fine
from journal.desk.room.making import MakingDialog
from journal.desk.room.openings import OpeningsDialog
from journal.keeping import Journal
from journal.records.instants import DAY_MS
from journal.records.makes import Milk, Note
from journal.records.wheels import AirReading, Room, Weighing
from journal.reports.outlook import outlook_of
from journal.reports.wheels import shelf_rows
from journal.wording import worded
from journal.wording.cautions import AMMONIA, MOULD, OIL, SOFT, wheel_caution
from tests.desk.test_rack import BEGUN, CTRL, PLAN, SHIFT, Ageing, K, shelves


def dried(journal: Journal, code: str, a_day: float, until: int) -> None:
    """Weighed each fortnight, so much of its green weight lighter a day."""
    wheel = journal.wheel_by_code(code)
    green = wheel.green_weight_kg or 0.0
    for day in range(14, until, 14):
        kg = green * (1 - a_day * day)
        journal.weighings.save(Weighing(wheel.id, BEGUN + day * DAY_MS, kg))


@pytest.fixture
def ageing(window_on, journal: Journal) -> Ageing:
    shelves(journal, 4, 2)
    for room in journal.rooms.all():
        journal.airs.save_many(
            AirReading(room.id, BEGUN + day * DAY_MS, 12.0, 85.0) for day in range(0, 90, 2)
        )
    for number in range(1, 5):
        for letter in "AB":
            too_fast = (number, letter) == (4, "A")
            dried(journal, f"HL-000{number}-{letter}", 0.006 if too_fast else 0.0015, 90)
    return Ageing(window_on, journal, 90)


def _no_report(_share: float, _words: str) -> None:
    """Nobody waits."""


def to(ageing: Ageing, journal: Journal, code: str, qtbot) -> None:
    ageing.page.select(journal.wheel_by_code(code).id)
    qtbot.waitUntil(lambda: ageing.place.head.text() == code)
    qtbot.waitUntil(ageing.window.settled, timeout=20_000)


def test_a_wheel_that_dries_too_fast_says_so_beside_its_expected_curve(ageing, journal, qtbot):
    to(ageing, journal, "HL-0004-A", qtbot)
    output = ageing.place.wheel.drying
    assert output.isVisible()
    assert output.words.text().startswith("Dries too fast: 0.")
    assert "usual 0." in output.words.text()
    band = ageing.place.chart._view.expected
    assert band.wheels > 0
    kg = ageing.page.current().life.weight_kg
    assert kg < band.low[-1] <= band.middle[-1] <= band.high[-1]
    assert band.days[0] == pytest.approx(75 / 1440)  # since the make, from the press on
    to(ageing, journal, "HL-0002-A", qtbot)
    assert not ageing.place.wheel.drying.isVisible()


def test_no_words_lie_on_the_lines_of_the_weight(ageing, journal, qtbot):
    """What the last weight is, and where the band comes from, of a wheel just made too."""
    with journal.unit("a make of today"):
        make = journal.makes.begin(PLAN, Milk(90), ageing.now - 2 * DAY_MS)
        journal.makes.finish(make.id, [1.35], ageing.now - DAY_MS)
        wheel = journal.wheels.where(make_id=make.id)[0]
        journal.wheels.save(replace(wheel, room_id=journal.rooms.all()[0].id))
    for code in ("HL-0001-A", "HL-0004-A", wheel.code):
        to(ageing, journal, code, qtbot)
        for size in (QSize(1440, 900), QSize(960, 900)):
            ageing.window.resize(size)
            qtbot.waitUntil(ageing.window.settled, timeout=20_000)
            words_clear_of_lines(ageing.place.chart)


def words_clear_of_lines(chart):
    view, plot = chart._view, chart.weight
    output = [item for item in plot.items if isinstance(item, TextItem) and item.isVisible()]
    named = {
        item.toPlainText(): item.sceneBoundingRect()
        for item in output
        if item.toPlainText().startswith("expected from ") or " kg, " in item.toPlainText()
    }
    assert len(named) == 2
    line = np.array([((w.at_ms - view.started_ms) / DAY_MS, w.weight_kg) for w in view.weighings])
    for x, y in [fine(view.expected.days, view.expected.middle), fine(*line.T)]:
        for at in zip(x, y, strict=True):
            spot = plot.getViewBox().mapViewToScene(QPointF(*at))
            assert not any(box.contains(spot) for box in named.values())
    pane = plot.getViewBox().sceneBoundingRect()
    assert all(pane.left() - 1 <= box.left() and box.right() <= pane.right() + 1
               for box in named.values())  # fmt: skip


def test_when_a_wheel_is_best_stands_in_words_and_on_the_timeline(window_on, sample, qtbot):
    from tests import present

    window = window_on(sample, place="room")
    qtbot.waitUntil(window.settled, timeout=20_000)
    place, now = window.current, present.NOW
    outlook = outlook_of(sample, place.page.current().wheel_id, now, State(_no_report))
    assert place.wheel.ready.text() == outlook.ready
    assert "by the scores given here" in outlook.ready
    life = place.timeline.life
    begun = place.page.current().life.started_ms
    first, last = ((at - begun) / 60_000 for at in outlook.window_ms)
    assert life.ready == pytest.approx((first, last))
    axis, wide = place.timeline.axis(), place.timeline.width()
    assert axis.at(first) < axis.at(last) <= wide


def test_when_to_make_for_wanted_days_is_listed(ageing, journal, qtbot):
    ageing.press(K.Key_Q, SHIFT)
    ageing.hands.type("24 December 2027, 1 May")
    ageing.press(K.Key_Tab)
    ageing.hands.type("sat,sun")
    ageing.press(K.Key_Return, CTRL)
    qtbot.waitUntil(lambda: bool(ageing.place.findChildren(MakingDialog)))
    (dialog,) = ageing.place.findChildren(MakingDialog)
    rows = dialog.table.rows
    assert [row.wanted.isoformat() for row in rows] == ["2027-05-01", "2027-12-24"]
    assert all(row.on is not None and row.on.weekday() >= 5 for row in rows)
    QTest.keyClick(dialog, K.Key_Escape)
    ageing.window.activateWindow()
    qtbot.waitUntil(ageing.window.isActiveWindow)
    # What is no weekday is said in the form, which stays.
    ageing.press(K.Key_Q, SHIFT)
    ageing.hands.type("24 December")
    ageing.press(K.Key_Tab)
    ageing.hands.type("someday")
    ageing.press(K.Key_Return, CTRL)
    assert ageing.page.form.open


def test_which_wheel_for_a_day_and_guests_goes_to_the_wheel(ageing, journal, qtbot):
    ageing.press(K.Key_Q)
    ageing.hands.type("24 December")
    ageing.press(K.Key_Return)
    ageing.hands.type("6")
    ageing.press(K.Key_Return, CTRL)
    qtbot.waitUntil(lambda: bool(ageing.place.findChildren(OpeningsDialog)))
    (dialog,) = ageing.place.findChildren(OpeningsDialog)
    assert dialog.heading.text() == "A wheel for 24 December 2026, 6 guests"
    assert len(dialog.table.rows) == 8
    assert {one.age_days for one in dialog.table.rows} == {297}
    dialog.table.select(5)
    wanted = dialog.table.current().life.wheel.code
    QTest.keyClick(dialog.table, K.Key_Return)
    assert ageing.code == wanted


def test_cautions_follow_the_care_and_the_words(ageing, journal, qtbot):
    assert wheel_caution(["turn", "weigh"], []) == ""
    assert wheel_caution(["turn", "rub"], []) == worded(SOFT)
    assert wheel_caution(["oil"], ["fine"]) == worded(OIL)
    assert wheel_caution(["rub"], ["smells of Ammonia", "black spots"]) == worded(AMMONIA)
    for caution in (SOFT, OIL, AMMONIA, MOULD):
        assert worded(caution).endswith("Local codes come first.")
    wheel = journal.wheel_by_code("HL-0001-A")
    journal.notes.save(Note(ageing.now, "black spots", wheel.make_id, wheel.id))
    to(ageing, journal, "HL-0001-A", qtbot)
    assert ageing.place.wheel.caution.words.text() == worded(MOULD)
    ageing.press(K.Key_N)
    assert ageing.page.form.caution.isVisible()  # where one writes what is seen


@pytest.mark.parametrize("count", [0, 6, 200])
def test_every_wheel_has_its_place_on_the_shelves(window_on, journal, qtbot, count):
    room = journal.rooms.save(Room("Cellar", 12.0, 85.0))
    for _ in range(count // 2):
        make = journal.makes.begin(PLAN, Milk(30), BEGUN)
        journal.makes.finish(make.id, [1.0, 1.1], BEGUN + DAY_MS // 2)
        for wheel in journal.wheels.where(make_id=make.id):
            journal.wheels.save(replace(wheel, room_id=room.id))
    ageing = Ageing(window_on, journal, 30)
    qtbot.waitUntil(lambda: ageing.place.wheel.rind.isVisible() == (count > 0))
    for size in (QSize(960, 1040), QSize(1440, 900)):
        ageing.window.resize(size)
        qtbot.waitUntil(ageing.window.settled, timeout=20_000)
        rack, seats = ageing.rack, ageing.rack._slots
        assert len(seats) == count == len(shelf_rows(journal, ageing.now))
        boxes = [seat.box for seat in seats]
        for seat in seats:
            assert rack.code_shown(seat).endswith(seat.row.code[-3:])  # the end says which it is
        assert all(box.left() >= 0 and box.right() <= rack.width() for box in boxes)
        assert not any(a.intersects(b) for a, b in pairwise(boxes))
        if count:
            assert boxes[-1].bottom() <= rack.minimumHeight()
            ageing.press(K.Key_End)
            last = rack.slot_of(ageing.page.current().wheel_id).box
            assert rack.visibleRegion().contains(last.center().toPoint())
            ageing.press(K.Key_Home)
