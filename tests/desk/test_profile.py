"""What the attributes of a wheel got, as one picture: this session, the one before, the best ever
of its plan; on the screen, as a table, by keys, and on the printed record."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPdf import QPdfDocument
from PySide6.QtTest import QTest

from journal.desk.charts.profile import ProfileChart
from journal.desk.sheets import make_record
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS
from journal.reports.profile import profile_of, profiles_of_make
from tests import present


def scored(journal, row, days_ago: int, **values: float) -> None:
    """Ann scores a wheel on a day, Ben half a point more."""
    at_ms = present.NOW - days_ago * DAY_MS
    for who, more in (("Ann", 0.0), ("Ben", 0.5)):
        card = ScoredSample({name: value + more for name, value in values.items()}, (), "", "")
        journal.sessions.give(OpenServing(row.id, who, at_ms), card)


@pytest.fixture
def two(sample):
    """A wheel that was never tasted before, scored twice, and another of its plan, much better."""
    rows = [row for row in sample.sessions.wheels() if not row.gone and not row.tasted]
    mine = rows[0]
    alike = [row for row in sample.sessions.wheels() if row.plan == mine.plan and not row.gone]
    other = next(row for row in alike if row.id != mine.id)
    scored(sample, other, 5, overall=9.5, salt=8.0)
    scored(sample, mine, 4, overall=4.0, salt=3.0)
    scored(sample, mine, 2, overall=6.0, salt=5.0, nutty=2.0)
    return sample, mine, other


def test_three_sessions_as_one_profile(two):
    journal, mine, other = two
    profile = profile_of(journal, mine.id)
    assert [side.which for side in profile.sides] == [
        "reports.the-latest",
        "reports.the-one-before",
        "reports.the-best-ever",
    ]
    latest, before, best = (side.means for side in profile.sides)
    assert (latest["overall"], latest["salt"], latest["nutty"]) == (6.25, 5.25, 2.25)
    assert (before["overall"], before["salt"]) == (4.25, 3.25)
    assert (best["overall"], best["salt"]) == (9.75, 8.25)
    assert profile.sides[2].wheel == other.code
    assert profile.attributes == ("overall", "salt", "nutty")
    first = journal.sessions.of_wheel(mine.id)[0].tasting_id
    then = profile_of(journal, mine.id, first)
    assert then.sides[0].means["overall"] == 4.25
    assert [side.which for side in then.sides] == ["reports.this-session", "reports.the-best-ever"]


def test_the_profile_on_the_wheels_page_is_read_by_keys_and_told_in_words(two, window_on, qtbot):
    journal, mine, other = two
    window = window_on(journal, clock=present.now)
    window.go("room")
    qtbot.waitUntil(window.settled, timeout=60_000)
    window.current.page.select(mine.id)
    chart = window.current.wheel.profile
    qtbot.waitUntil(lambda: chart.profile is not None and chart.profile.wheel == mine.code)
    assert chart.isVisibleTo(window)
    output = chart.accessibleDescription()
    assert f"{mine.code}: the latest" in output
    assert f"the best ever, {other.code}" in output
    assert "salt: the latest 5.2, the one before 3.2, the best ever 8.2" in output
    chart.setFocus()
    qtbot.waitUntil(chart.hasFocus)
    read = []
    for key in (Qt.Key.Key_Home, Qt.Key.Key_Down, Qt.Key.Key_Down):
        QTest.keyClick(chart, key)
        read.append(chart.reading.label.toPlainText().partition(":")[0])
    assert read == ["overall", "salt", "nutty"]  # as they stand, not by their scores
    values = chart.values
    assert values.heads[0] == "attribute"
    assert values.rows[1].cells == ("salt", "5.2", "3.2", "8.2")
    assert values.rows[2].cells == ("nutty", "2.2", "", "")


def test_a_session_shows_it_first_and_turns_to_the_months(two, window_on, qtbot):
    journal, mine, _other = two
    window = window_on(journal, clock=present.now)
    window.go("tastings")
    qtbot.waitUntil(window.settled, timeout=60_000)
    part = window.current.open
    beside = part.beside.scores
    part.chooser.table.select_where(lambda one: one.row.id == mine.id)
    assert beside.months.made().isVisible()
    QTest.mouseClick(beside.turn, Qt.MouseButton.LeftButton)
    assert beside.profile.made().isVisible()
    assert not beside.months.made().isVisible()
    assert beside.profile.made().profile.wheel == mine.code


def test_marks_that_fall_together_are_told_apart_by_shape_and_size(two, qtbot):
    journal, mine, _other = two
    chart = ProfileChart()
    qtbot.addWidget(chart)
    chart.resize(600, 300)
    chart.show_profile(profile_of(journal, mine.id))
    sizes = {}
    for item in chart.plot._drawn:
        if item.zValue() in (4, 5, 6) and len(item.data) == 1:
            sizes[item.zValue()] = (item.opts["symbol"], float(item.opts["size"]))
    assert sizes[4][0] != sizes[5][0]
    assert sizes[4][1] > sizes[5][1] + 3
    assert sizes[5][1] > sizes[6][1] + 3


def test_the_printed_record_has_it(two, tmp_path):
    journal, mine, other = two
    whole = journal.whole(mine.make_id)
    make_record(whole, tmp_path / "r.pdf", profiles=profiles_of_make(journal, whole))
    document = QPdfDocument()
    document.load(str(tmp_path / "r.pdf"))
    pages = range(document.pageCount())
    words = " ".join(document.getAllText(page).text() for page in pages).replace("\r\n", " ")
    document.close()
    assert f"Attributes of {mine.code}" in words
    assert f"the best ever, {other.code}" in words
    assert "5.2" in words
