"""The timeline: logarithmic, stages by part, clicking gives the instant."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF

from journal.desk.timeline import Timeline, life_of

DAY_MIN = 1440


@pytest.fixture
def life(kitchen):
    kitchen.to_stage(4)
    kitchen.after(120)
    return life_of(kitchen.journal.whole(kitchen.make.id), kitchen.now_ms)


def test_parts_stand_together_and_the_stage_at_hand_alone(life):
    said = [(s.label, s.state) for s in life.spans]
    assert said == [
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


def test_equal_ratios_take_equal_room(qtbot, life):
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.resize(1000, 72)
    strip.show_life(life)
    x = [strip._x(minutes) for minutes in (10, 100, 1000, 10000)]
    assert x[1] - x[0] == pytest.approx(x[2] - x[1]) == pytest.approx(x[3] - x[2])


def test_a_click_gives_the_instant(qtbot, kitchen, life):
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.resize(1000, 72)
    strip.show_life(life)
    strip.show()
    qtbot.waitExposed(strip)
    due = round(strip._x(60 * DAY_MIN))
    with qtbot.waitSignal(strip.instant) as heard:
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

    def record(painter, left, top, words):
        box = QFontMetricsF(painter.font()).horizontalAdvance(words)
        written.append((round(top), left, left + box, words))

    monkeypatch.setattr("journal.desk.timeline._draw_words", record)
    strip = Timeline()
    qtbot.addWidget(strip)
    strip.resize(width, 72)
    strip.show_life(life)
    strip.grab()
    assert "cook" in {words for *_, words in written}
    rows = {top for top, *_ in written}
    assert len(rows) == 2  # the parts' names above, the axis below
    for row in rows:
        places = sorted((left, right, words) for top, left, right, words in written if top == row)
        for (_, right, _), (left, _, _) in pairwise(places):
            assert left > right, places
