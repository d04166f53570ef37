"""Printing: every printout is shown first, on any paper, and goes to a printer or a PDF."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage
from PySide6.QtPdf import QPdfDocument
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs, printing
from journal.desk.printing import PrintPreview
from tests import present

CTRL = Qt.KeyboardModifier.ControlModifier


def shown() -> PrintPreview:
    """The preview that is open."""
    found = [one for one in QApplication.topLevelWidgets() if isinstance(one, PrintPreview)]
    return next(one for one in found if one.isVisible())


@pytest.fixture
def record(sample, window_on, qtbot) -> PrintPreview:
    """The record of a make, about to be printed."""
    window = window_on(sample, clock=present.now, place="makes")
    qtbot.waitUntil(window.settled, timeout=60_000)
    QTest.keyClick(window.current, Qt.Key.Key_P, CTRL)
    return shown()


@pytest.mark.parametrize(
    ("place", "command"),
    [("makes", "print"), ("plans", "print"), ("room", "labels"), ("findings", "print")],
)
def test_what_is_printed_is_shown_first(place, command, sample, window_on, qtbot, monkeypatch):
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: pytest.fail("nobody asked to save"))
    window = window_on(sample, clock=present.now, place=place)
    qtbot.waitUntil(window.settled, timeout=60_000)
    asked = next(
        one for one in window.current.commands() if "Ctrl+P" in one.keys and one.is_enabled()
    )
    asked.run()
    preview = shown()
    assert preview.document.pageCount() >= 1
    assert preview.count.text().startswith(f"{preview.document.pageCount()} page")
    page = preview.document.render(0, QSize(300, 424))
    darkest = min(page.pixelColor(x, y).lightness() for x in range(300) for y in range(100))
    assert darkest < 100
    QTest.keyClick(preview, Qt.Key.Key_Escape)
    assert not preview.isVisible()


def test_the_paper_can_be_another_and_is_saved_so(record, tmp_path, monkeypatch):
    where = tmp_path / "record.pdf"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(where))
    for name, wide in (("Letter", 612), ("A4", 595), ("Letter", 612)):
        QTest.mouseClick(record.papers[name], Qt.MouseButton.LeftButton)
        assert round(record.document.pagePointSize(0).width()) == wide
    QTest.mouseClick(record.save, Qt.MouseButton.LeftButton)
    assert round(float(PdfReader(where).pages[0].mediabox.width)) == 612


def test_every_page_reaches_the_printer_as_large_as_it_is(record, tmp_path):
    out = tmp_path / "printed.pdf"
    printer = record.printer()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(out))
    printer.setResolution(150)
    count = record.document.pageCount()
    before = ink(record.document, 0)
    place = record.parentWidget()
    record.print_on(printer)
    printed = QPdfDocument()
    assert printed.load(str(out)) == QPdfDocument.Error.None_
    assert printed.pageCount() == count
    assert ink(printed, 0) == pytest.approx(before, abs=3)
    assert f"{count} page" in place.messages.text("record")
    printed.close()


def ink(document: QPdfDocument, page: int) -> tuple[int, ...]:
    """The edges of what is printed on a page, in pixels of a page 400 high."""
    picture = document.render(page, QSize(283, 400)).convertToFormat(QImage.Format.Format_RGB32)
    dark = [
        (x, y)
        for x in range(picture.width())
        for y in range(picture.height())
        if picture.pixelColor(x, y).lightness() < 140
    ]
    xs, ys = [x for x, _ in dark], [y for _, y in dark]
    return min(xs), max(xs), min(ys), max(ys)


def test_without_a_printer_a_pdf_is_offered(sample, window_on, qtbot, monkeypatch):
    monkeypatch.setattr(printing.QPrinterInfo, "availablePrinterNames", list)
    window = window_on(sample, clock=present.now, place="plans")
    qtbot.waitUntil(window.settled, timeout=60_000)
    QTest.keyClick(window.current, Qt.Key.Key_P, CTRL)
    preview = shown()
    assert not preview.print.isEnabled()
    assert preview.save.isEnabled()
    assert "No printer" in preview.fault.text()


def test_what_is_shown_leaves_no_file_behind(record):
    folder = Path(record._folder.path())
    assert list(folder.glob("*.pdf"))
    record.reject()
    assert not folder.exists()
