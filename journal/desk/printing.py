"""Printing: what is to be printed is shown page by page first, then goes to a printer or a PDF."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QPointF, QSize, QTemporaryDir
from PySide6.QtGui import QPageSize, QPainter
from PySide6.QtPdf import QPdfDocument
from PySide6.QtPdfWidgets import QPdfView
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk import dialogs
from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.commands import bind
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.layouts import in_row
from journal.desk.scrollbars import quieten
from journal.desk.sheets.paper import PAPERS, SheetError, paper_here
from journal.desk.theme import SMALL, STEP, scaled
from journal.keeping import KeepingError
from journal.wording import text_of, worded
from journal.wording.languages import translated

_NO_PRINTER = "No printer is set up on this computer. Save it as a PDF instead."
_FINEST = 600  # dots to the inch that a page is drawn with on a printer
_SHOWN = "printing"  # the name of the file that is shown, in a folder of its own


@dataclass(frozen=True)
class Printout:
    """Something that can be printed: its title, the name proposed for its file, and what writes it
    as a PDF to a path, on a paper, and returns how many pages it has. `note` is said beside it;
    `missing` says what those pages had no room for."""

    title: str
    name: str
    write: Callable[..., int]
    note: str = ""
    missing: Callable[[], str] | None = None


class PrintPreview(FramedDialog):
    """The pages as they will be printed, on any paper. `report` is called with the outcome: a
    sentence, and whether it wants attention; `saved` gives the sentence for a file (`path`) and its
    `pages`."""

    help_topic = "settings/Paper"

    def __init__(
        self,
        what: Printout,
        saved: Callable[..., str],
        report: Callable[..., None],
        parent: QWidget,
    ) -> None:
        super().__init__(what.title, parent)
        self._what, self._saved, self._report = what, saved, report
        self._paper = paper_here()
        self._folder = QTemporaryDir()
        self.document = QPdfDocument(self)
        self.view = QPdfView(self)
        self.view.setDocument(self.document)
        self.view.setPageMode(QPdfView.PageMode.MultiPage)
        self.view.setZoomMode(QPdfView.ZoomMode.FitToWidth)
        self.view.setAccessibleName(translated("Pages"))
        quieten(self.view)
        self.count = Label("", SMALL, role="quiet")
        self.missing = Label("", SMALL, wrap=True)
        self.papers = {name: self._paper_button(name) for name in PAPERS}
        self.print = Button("Print…", MAIN, "print")
        self.save = Button("Save as PDF…", key="save")
        bind("print", self, self.ask_printer)
        bind("save", self, self.save_pdf)
        self.print.clicked.connect(self.ask_printer)
        self.save.clicked.connect(self.save_pdf)
        close = Button("Close", key="Esc")
        close.clicked.connect(self.reject)
        self.arrange(self._body(), acts=(self.print, self.save, close))
        self.resize(scaled(210 * STEP), scaled(210 * STEP))
        if not QPrinterInfo.availablePrinterNames():
            self.print.setEnabled(False)
            self.fault.say(_NO_PRINTER)
        self.view.setFocus()
        self.show_paper(self._paper)

    def done(self, result: int) -> None:
        """Closed, one way or another: nothing is left behind."""
        self.document.close()
        self._folder.remove()
        super().done(result)

    def _body(self) -> QVBoxLayout:
        row = in_row(
            Label(translated("Paper"), SMALL, role="quiet"),
            *self.papers.values(),
            None,
            self.count,
            gap=4 * STEP,
        )
        column = QVBoxLayout()
        column.addLayout(row)
        if self._what.note:
            column.addWidget(Label(self._what.note, SMALL, role="quiet", wrap=True))
        column.addWidget(self.missing)
        column.addWidget(self.view, 1)
        return column

    def _paper_button(self, name: str) -> WordButton:
        button = WordButton(name)
        button.setObjectName(name)
        button.setCheckable(True)
        button.setAutoExclusive(True)
        button.clicked.connect(self._on_paper)
        return button

    def show_paper(self, paper: str) -> None:
        """Show the pages on that paper; what cannot be drawn is said."""
        self._paper = paper
        self.papers[paper].setChecked(True)
        where = Path(self._folder.path()) / f"{_SHOWN} {paper}.pdf"
        try:
            pages = self._what.write(where, paper=paper)
        except (OSError, KeepingError, SheetError) as error:
            self.refuse(text_of(error))
            return
        self.document.load(str(where))
        self.count.setText(worded("wording.many-page", number=pages))
        self.view.setAccessibleDescription(self.count.text())
        self.missing.setText(self._what.missing() if self._what.missing else "")
        self.missing.setVisible(bool(self.missing.text()))

    def save_pdf(self) -> None:
        """Ask where, and write it there."""
        path = dialogs.ask_save(self, self._what.title, dialogs.PDF, self._what.name)
        if not path:
            return
        where = Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")
        try:
            pages = self._what.write(where, paper=self._paper)
        except (OSError, KeepingError, SheetError) as error:
            self._report(worded("desk.not-written", file=where.name, why=error), attention=True)
        else:
            self._report(self._saved(path=where, pages=pages), attention=False)
        self.accept()

    def ask_printer(self) -> None:
        """Ask for a printer, and print there."""
        printer = self.printer()
        asking = QPrintDialog(printer, self)
        asking.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
        asking.setMinMax(1, self.document.pageCount())
        if asking.exec():
            self.print_on(printer)
        asking.deleteLater()

    def printer(self) -> QPrinter:
        """A printer with this paper in it, printing to its edges."""
        made = QPrinter(QPrinter.PrinterMode.HighResolution)
        made.setPageSize(QPageSize(PAPERS[self._paper]))
        made.setFullPage(True)
        made.setDocName(self._what.title)
        return made

    def print_on(self, printer: QPrinter) -> None:
        """Print the pages that were chosen, as large as they are."""
        made = self.document
        first = printer.fromPage() or 1
        last = min(printer.toPage() or made.pageCount(), made.pageCount())
        painter = QPainter()
        if not painter.begin(printer):
            self.refuse("The printer did not print it. Check the printer, then try again.")
            return
        dots = min(printer.resolution(), _FINEST)
        for number in range(first - 1, last):
            if number >= first:
                printer.newPage()
            size = made.pagePointSize(number)
            wide, high = size.width() / 72, size.height() / 72  # inches
            picture = made.render(number, QSize(round(wide * dots), round(high * dots)))
            scale = printer.resolution() / dots
            painter.save()
            painter.scale(scale, scale)
            painter.drawImage(QPointF(0, 0), picture)
            painter.restore()
        painter.end()
        pages, where = last - first + 1, printer.printerName() or worded("desk.a-file")
        text = worded("desk.printed", what=self._what.title, pages=pages, where=where)
        self._report(text, attention=False)
        self.accept()

    def _on_paper(self) -> None:
        self.show_paper(self.sender().objectName())
