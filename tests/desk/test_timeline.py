"""The timeline: the day a block that unfolds, then calendar months; clicking gives the instant."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from journal.desk.timeline import Timeline, life_of, months_of
from journal.records.wheels import Care

DAY_MIN = 1440


@pytest.fixture
def life(kitchen):
    kitchen.to_stage(4)
    kitchen.after(120)
    return life_of(kitchen.journal.whole(kitchen.make.id), kitchen.now_ms)


def test_parts_stand_together_and_the_current_stage_alone(life):
    output = [(s.label, s.state) for s in life.spans]
    assert output == [
        ("milk", "done"), ("curd", "done"), ("cook", "now"), ("curd", "planned"),
        ("press", "planned"), ("room", "planned"),
    ]  # fmt: skip
    assert life.spans[2].from_min == 112
    assert all(a.to_min <= b.from_min for a, b in zip(life.spans, life.spans[1:], strict=False))


def test_planned_tastings_stand_where_they_fall_due(life):
    assert [(m.kind, m.at_min) for m in life.marks] == [
        ("due", 60 * DAY_MIN),
        ("due", 120 * DAY_MIN),
    ]


@pytest.fixture
def strip(qtbot, life):
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.resize(1000, 72)
    strip.show_life(life)
    return strip


def test_equal_days_take_equal_room_and_so_do_minutes_of_the_unfolded_day(strip, life):
    x = [strip.axis().at(days * DAY_MIN) for days in (30, 60, 90, 120)]
    assert x[1] - x[0] == pytest.approx(x[2] - x[1]) == pytest.approx(x[3] - x[2])
    assert strip.unfolded  # the make runs
    at = [strip.axis().at(minutes) for minutes in (0, 60, 120, 180)]
    assert at[1] - at[0] == pytest.approx(at[2] - at[1]) == pytest.approx(at[3] - at[2])
    assert at[1] - at[0] > 20
    named = [name for _, name in months_of(life, strip.axis(), 60)]
    assert named == ["Apr 2026", "May", "Jun", "Jul"]


@pytest.mark.parametrize("unfolded", [True, False])
def test_each_place_on_the_axis_is_an_instant_and_back(strip, unfolded):
    if strip.unfolded != unfolded:
        strip.turn()
    for minutes in (0.0, 90.0, 700.0, 3 * DAY_MIN, 100 * DAY_MIN):
        assert strip.axis().value(strip.axis().at(minutes)) == pytest.approx(minutes, abs=1e-6)


def test_the_day_folds_into_a_block_and_unfolds_by_mouse(qtbot, strip):
    strip.show()
    qtbot.waitExposed(strip)
    qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(20, 36))
    assert not strip.unfolded
    assert strip.axis().at(120) - strip.axis().at(0) < 10
    with qtbot.assertNotEmitted(strip.went):
        qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(100, 36))
    assert strip.unfolded


def test_what_was_done_to_a_wheel_is_marked_with_its_day(kitchen):
    journal = kitchen.journal
    journal.makes.finish(kitchen.make.id, [1.2, 1.1], kitchen.after(1100))
    one, other = (wheel.id for wheel in journal.wheels.all())
    journal.cares.save(Care(one, "turn", kitchen.after(3 * DAY_MIN)))
    journal.cares.save(Care(other, "rub", kitchen.after(5 * DAY_MIN)))
    whole = journal.whole(kitchen.make.id)
    marks = [m.label for m in life_of(whole, kitchen.now_ms, one).marks if m.kind == "care"]
    assert marks == ["turn 17 Mar", "weighed 1.2 kg 15 Mar"]
    both = [m.label for m in life_of(whole, kitchen.now_ms).marks if m.kind == "care"]
    assert "rub 19 Mar" in both
    assert not Timeline().unfolded


def test_a_click_gives_the_instant(qtbot, kitchen, strip):
    strip.show()
    qtbot.waitExposed(strip)
    due = round(strip.axis().at(60 * DAY_MIN))
    with qtbot.waitSignal(strip.went) as heard:
        qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(due + 3, 36))
    days = (heard.args[0] - kitchen.start_ms) / 60_000 / DAY_MIN
    assert days == pytest.approx(60, rel=1e-6)


def test_it_says_in_words_what_it_shows(qtbot, life):
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.show_life(life)
    assert "cook: now" in strip.accessibleDescription()
    strip.show_life(None)
    assert strip.accessibleDescription() == "nothing to show yet"


@pytest.mark.parametrize("width", [360, 520, 1000])
def test_names_are_never_written_over_each_other(qtbot, life, monkeypatch, width):
    written = []
    draw = QPainter.drawText

    def record(painter, box, *flags_and_words):
        words = flags_and_words[-1]
        wide = QFontMetricsF(painter.font()).horizontalAdvance(words)
        written.append((round(box.center().y()), box.left(), box.left() + wide, words))
        draw(painter, box, *flags_and_words)

    monkeypatch.setattr(QPainter, "drawText", record)
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.resize(width, 72)
    strip.show_life(life)
    strip.grab()
    assert "cook" in {words for *_, words in written}
    rows = {top for top, *_ in written}
    assert len(rows) == 4  # the parts' names above, the axis below, and the words at the left
    for row in rows:
        places = sorted((left, right, words) for top, left, right, words in written if top == row)
        for (_, right, _), (left, _, _) in pairwise(places):
            assert left > right, places
