"""Very long typed or pasted text: kept whole as far as a line takes it, the rest said, and every
place and page bears it."""

from __future__ import annotations

import json
from xml.etree import ElementTree as ET

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolTip

from journal.desk.charts.chart import Chart
from journal.desk.form.line_field import MOST_LETTERS, TextLine
from journal.exchange.export import export_journal
from journal.exchange.import_export import import_export
from journal.keeping import Journal
from journal.records.makes import Note

ENTER, CTRL = Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier
LONG = "break " * 200_000  # over a million letters


def test_a_line_says_what_does_not_fit(qtbot) -> None:
    line = TextLine()
    qtbot.addWidget(line)
    line.show()
    QApplication.clipboard().setText("x" * (MOST_LETTERS + 1))
    line.paste()
    assert len(line.text()) == MOST_LETTERS
    assert QToolTip.text().startswith("Only 32,767 letters fit here")
    QToolTip.hideText()
    qtbot.waitUntil(lambda: not QToolTip.isVisible())
    line.clear()
    QApplication.clipboard().setText("x" * MOST_LETTERS)
    line.paste()
    assert len(line.text()) == MOST_LETTERS
    assert not QToolTip.isVisible()


def test_a_note_as_long_as_a_line_is_kept_whole(qtbot, kitchen, vat, hands) -> None:
    text = ("curd like silk " * 3000)[:MOST_LETTERS].strip()
    QApplication.clipboard().setText(text)
    hands.press(Qt.Key.Key_F7)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_V, CTRL)
    hands.press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    assert [note.text for note in kitchen.journal.notes.all()] == [text]
    hands.press(Qt.Key.Key_Z, CTRL)
    assert kitchen.journal.notes.all() == []


def test_every_place_and_an_export_bear_a_million_letters(qtbot, kitchen, vat, tmp_path) -> None:
    """As a file or another program may bring them."""
    journal: Journal = kitchen.journal
    journal.notes.save(Note(kitchen.clock(), LONG, make_id=kitchen.make.id))
    window = vat.window()
    for place in ("today", "makes", "vat"):
        window.go(place)
        qtbot.waitUntil(window.settled, timeout=15_000)
    export_journal(journal, tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "journal.json").read_text("utf-8"))
    assert LONG in json.dumps(whole)
    import_export(tmp_path / "again.vatside", tmp_path / "out")
    with Journal.open(tmp_path / "again.vatside") as again:
        assert [note.text for note in again.notes.all()] == [LONG]
        assert again.check() == []


def test_a_drawing_says_what_was_typed_and_no_markup(qtbot, tmp_path) -> None:
    chart = Chart("<script>alert(1)</script> & “Tomme” ]]>")
    qtbot.addWidget(chart)
    chart.setAccessibleDescription("<b>bold</b> &amp;")
    chart.resize(400, 300)
    chart.sheet().save(tmp_path / "chart.svg")
    root = ET.fromstring((tmp_path / "chart.svg").read_text("utf-8"))
    assert root[0].text == chart.accessibleName()
    assert root[1].text == "<b>bold</b> &amp;"
    assert not [each for each in root.iter() if each.tag.endswith("script")]
