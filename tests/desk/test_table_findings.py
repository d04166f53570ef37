"""Findings of a table that is no journal, on a page of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from journal.desk.findings.table_page import TableFindings
from journal.exchange.foreign import read_scores
from journal.findings import study
from journal.wording.findings import study_headline

STACK_LOSS = Path(__file__).parents[1] / "outside" / "data" / "stackloss.csv"


@pytest.fixture
def page(window_on, journal, qtbot, monkeypatch) -> TableFindings:
    window = window_on(journal, place="findings")
    monkeypatch.setattr(dialogs, "ask_open", lambda *_asked: str(STACK_LOSS))
    window.current.ask_table()
    [found] = window.findChildren(TableFindings)
    qtbot.waitUntil(lambda: found.found is not None, timeout=60_000)
    return found


def test_it_shows_what_the_command_says_and_saves_nothing(page, journal):
    wanted = study(read_scores(STACK_LOSS, "stack.loss"))
    assert page.found.answer.study.score == wanted.score
    assert [str(f.as_json()) for f in page.table.rows_model.rows] == [
        str(f.as_json()) for f in wanted.findings
    ]
    assert page.headline.text() == study_headline(wanted)
    assert page.picture.shown.seen.variable == wanted.findings[0].variable
    assert journal.makes.all() == []


def test_what_if_and_another_column_are_asked_there(page, qtbot):
    QTest.keyClick(page.what_if.line, Qt.Key.Key_Up)
    assert "would score" in page.what_if.message.text()
    page.look("Water.Temp")
    qtbot.waitUntil(lambda: page.found.answer.study.score == "Water.Temp", timeout=60_000)
    assert "Water.Temp" in page.score.text()
    QTest.keyClick(QApplication.focusWidget() or page, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not page.isVisible())


def test_what_is_no_table_is_said(window_on, journal, qtbot, tmp_path):
    empty = tmp_path / "empty.csv"
    empty.write_text("name\nOrla\n", encoding="utf-8")
    window = window_on(journal, place="findings")
    page = TableFindings(window, window.current.desk, str(empty))
    page.open()
    qtbot.waitUntil(lambda: bool(page.doubt.text()), timeout=60_000)
    assert page.headline.text() == "Nothing can be said of this table."
