"""Side by side through the real window: the other makes, the moment, the difference, by keys."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.background import State
from journal.curves.comparison_set import band, difference, what_was_different
from journal.curves.unusual import Different
from journal.keeping import Journal
from journal.message import Message
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from journal.reports.comparison import COLUMNS, ComparisonRequest, compare
from journal.wording import text_of
from journal.wording.compare import fact_text, left_out_words, number_text, standing_out

HOUR_MS = 3_600_000
BEGAN = 1_770_000_000_000


def _make(journal: Journal, shift: float, at_ms: int, readings: int = 240) -> int:
    """A finished cheddar read each minute, `shift` °C above 31, its stages on the plan's clock."""
    plan = next(plan for plan in builtin_plans() if plan.name == "cheddar type")
    make = journal.makes.begin(plan, Milk(12.0), at_ms)
    minutes = np.arange(readings, dtype=np.int64)
    values = 31.0 + shift + minutes / 100
    journal.readings.add_many(make.id, "milk-temp", at_ms + minutes * 60_000, values)
    for minute, ph in ((60, 6.6), (120, 6.5), (200, 6.3)):
        journal.readings.log(make.id, "curd-ph", ph + shift / 100, at_ms + minute * 60_000)
    for stage, start in zip(plan.stages[:6], plan.starts(), strict=False):
        journal.makes.end_stage(make.id, at_ms + round((start + stage.minutes) * 60_000))
    journal.makes.finish(make.id, [1.2], at_ms + 24 * HOUR_MS)
    return make.id


@pytest.fixture
def kitchen(journal: Journal) -> tuple[Journal, list[int]]:
    """Six makes of one plan, 0 to 2.5 °C apart; the newest is the warmest."""
    ids = [_make(journal, i / 2, BEGAN + i * 48 * HOUR_MS) for i in range(6)]
    return journal, ids


def _state() -> State:
    return State(_deaf)


def _deaf(_share: float, _words: str) -> None:
    """Nobody listens."""


def _opened(window_on, qtbot, journal: Journal):
    window = window_on(journal, place="side")
    qtbot.waitUntil(window.settled)
    return window


def _shown(window):
    return window.current.picture.chart._compared


# What is reckoned


def test_it_agrees_with_the_curves(kitchen) -> None:
    journal, ids = kitchen
    asked = ComparisonRequest(ids[5], tuple(ids[:5]), "rennet in", ids[0])
    found = compare(journal, asked, _state())
    wholes = [journal.whole(i) for i in ids]
    expected = band(wholes[:5], "milk-temp", "rennet in")
    np.testing.assert_array_equal(found.temp.band.p10, expected.p10)
    apart = difference(wholes[5], wholes[0], "milk-temp", "rennet in")
    np.testing.assert_allclose(found.difference.value, apart.value)
    assert found.difference.value == pytest.approx(np.full(240, 2.5))
    assert list(found.rows) == what_was_different(wholes[5], wholes[:5])
    assert found.acid.kind == "curd-ph"


def test_long_traces_are_reduced(journal: Journal) -> None:
    ids = [_make(journal, i / 2, BEGAN + i * 48 * HOUR_MS, readings=6000) for i in range(3)]
    found = compare(journal, ComparisonRequest(ids[2], tuple(ids[:2]), "start", ids[0]), _state())
    for curve in (found.temp.mine, found.temp.other, found.difference):
        assert 2 < len(curve.at) <= 2 * COLUMNS


def test_a_moment_never_come_to_is_said(kitchen) -> None:
    journal, ids = kitchen
    found = compare(journal, ComparisonRequest(ids[5], tuple(ids[:5]), "drain", ids[0]), _state())
    assert "has not reached “drain”" in found.problem
    assert found.temp is None


def test_stopped_work_reads_nothing(kitchen) -> None:
    journal, ids = kitchen
    state = _state()
    state.stop()
    assert compare(journal, ComparisonRequest(ids[5], tuple(ids[:5])), state).temp is None


def test_words_of_what_was_different() -> None:
    delay = Message("curves.fact-slip", of="drain")
    assert fact_text(delay, "min", 21.4) == "+21 min"
    assert fact_text(delay, "min", -3.6) == "−4 min"
    assert fact_text(delay, "min", -0.2) == "0 min"
    assert fact_text(Message("curves.fact-ph", of="curd", moment="drain"), "pH", 6.349) == "6.35"
    assert number_text(Message("curves.fact-cook-rate", of="cook"), "°C/min", 0.2064) == "0.21"
    assert text_of(Message("curves.fact-milk-at-end", of="cook")) == "cook, at its end"
    long = Message("curves.fact-length", of="first press")
    far = Different(long, "min", 56.6, 35.0, 3.1, 7.0, 9)
    assert standing_out([far], 9) == ("Most unusual: first press, length 57 min, usually 35 min.")
    near = Different(Message("curves.fact-litres", of="milk"), "l", 12.4, 12.1, 0.4, 0.7, 9)
    assert standing_out([near], 9) == "Nothing was far from usual this time."
    assert "three makes" in standing_out([near], 2)
    assert left_out_words(["HL-0014"], "drain") == (
        "HL-0014 never reached “drain” and is left out."
    )


# The window


def test_the_newest_make_lies_in_the_company_of_all_others(window_on, qtbot, kitchen) -> None:
    journal, ids = kitchen
    window = _opened(window_on, qtbot, journal)
    shown = _shown(window)
    assert shown.asked.make_id == ids[5]
    assert set(shown.asked.comparison_set) == set(ids[:5])
    assert shown.other_code == "HL-0005"
    assert window.current.page.title.text().startswith("HL-0006, ")
    assert window.current.page.rows.rows_model.rows == list(shown.rows)


def test_space_takes_a_make_out_and_in(window_on, qtbot, kitchen) -> None:
    journal, ids = kitchen
    window = _opened(window_on, qtbot, journal)
    comparison_set = window.current.page.comparison_set
    qtbot.waitUntil(comparison_set.hasFocus)
    QTest.keyClick(comparison_set, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: set(_shown(window).asked.comparison_set) == set(ids[:4]))
    assert _shown(window).temp.band.whole_range
    assert "4 of 5 chosen" in window.current.page.count.text()
    QTest.keyClick(comparison_set, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: set(_shown(window).asked.comparison_set) == set(ids[:5]))


def test_down_differs_from_the_next_make(window_on, qtbot, kitchen) -> None:
    journal, _ids = kitchen
    window = _opened(window_on, qtbot, journal)
    comparison_set = window.current.page.comparison_set
    assert _shown(window).difference.value == pytest.approx(np.full(240, 0.5))
    QTest.keyClick(comparison_set, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: _shown(window).other_code == "HL-0004")
    assert _shown(window).difference.value == pytest.approx(np.full(240, 1.0))


def test_digits_choose_the_moment(window_on, qtbot, kitchen) -> None:
    journal, _ids = kitchen
    window = _opened(window_on, qtbot, journal)
    comparison_set = window.current.page.comparison_set
    QTest.keyClick(comparison_set, Qt.Key.Key_4)
    qtbot.waitUntil(lambda: _shown(window).asked.moment == "cook begins")
    assert window.current.picture.moments["cook begins"].isChecked()
    assert _shown(window).temp.mine.at[0] == pytest.approx(-150.0)
    QTest.keyClick(comparison_set, Qt.Key.Key_5)
    assert "has not reached “drain”" in window.current.messages.text("side")
    assert _shown(window).asked.moment == "cook begins"
    QTest.keyClick(comparison_set, Qt.Key.Key_1)
    qtbot.waitUntil(lambda: _shown(window).asked.moment == "start")
    assert window.current.messages.text("side") == ""


def test_all_or_none(window_on, qtbot, kitchen) -> None:
    journal, ids = kitchen
    window = _opened(window_on, qtbot, journal)
    comparison_set, control = (
        window.current.page.comparison_set,
        Qt.KeyboardModifier.ControlModifier,
    )
    QTest.keyClick(comparison_set, Qt.Key.Key_L, control)
    qtbot.waitUntil(lambda: _shown(window).asked.comparison_set == ())
    assert _shown(window).temp.band is None
    assert "at least two other makes" in window.current.picture.reads.text()
    QTest.keyClick(comparison_set, Qt.Key.Key_L, control)
    qtbot.waitUntil(lambda: set(_shown(window).asked.comparison_set) == set(ids[:5]))


def test_the_make_at_hand_is_looked_at_instead(window_on, qtbot, kitchen) -> None:
    journal, ids = kitchen
    window = _opened(window_on, qtbot, journal)
    comparison_set, control = (
        window.current.page.comparison_set,
        Qt.KeyboardModifier.ControlModifier,
    )
    QTest.keyClick(comparison_set, Qt.Key.Key_Return, control)
    qtbot.waitUntil(lambda: _shown(window).code == "HL-0005")
    assert window.desk.make_id == ids[4]
    assert set(_shown(window).asked.comparison_set) == {*ids[:4], ids[5]}


def test_a_new_reading_is_drawn(window_on, qtbot, kitchen) -> None:
    journal, ids = kitchen
    window = _opened(window_on, qtbot, journal)
    before = len(_shown(window).acid.mine.at)
    journal.readings.log(ids[5], "curd-ph", 6.2, BEGAN + 5 * 48 * HOUR_MS + 220 * 60_000)
    qtbot.waitUntil(lambda: len(_shown(window).acid.mine.at) == before + 1)


def test_alone_it_says_what_is_missing(window_on, qtbot, journal: Journal) -> None:
    _make(journal, 0.0, BEGAN)
    window = _opened(window_on, qtbot, journal)
    assert "Nothing to compare it with yet" in window.current.page.stands_out.text()
    assert "No other make of this plan" in window.current.page.count.text()
    assert len(_shown(window).temp.mine.at) == 240


def test_an_empty_journal_says_how_to_begin(window_on, qtbot, journal: Journal) -> None:
    window = _opened(window_on, qtbot, journal)
    assert window.current.pages.currentIndex() == 1
    window.current._on_begin()
    assert window.current.key == "plans"


def test_failed_makes_are_listed_but_left_out(window_on, qtbot, sample: Journal) -> None:
    window = _opened(window_on, qtbot, sample)
    rows = window.current.page.comparison_set.rows_model.rows
    failed = {row.id for row in rows if row.failed}
    assert failed
    assert not failed & set(_shown(window).asked.comparison_set)
    assert window.current.life.accessibleDescription() != "nothing to show yet"
