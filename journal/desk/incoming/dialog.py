"""The frame of an import dialog: Enter imports what is shown, Esc cancels."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.incoming.columns import ColumnsView, cut
from journal.desk.labels import Label
from journal.desk.layouts import empty, in_column, in_row
from journal.desk.scrollbars import scrolled
from journal.desk.theme import LEAD, STEP
from journal.desk.work import Work
from journal.wording import text_of
from journal.wording.languages import translated

SIZE = QSize(1160, 640)
_SENTENCE_MOST = 320


class Incoming(FramedDialog):
    """Left the columns, right the picture and what was understood, below what to do.

    A subclass reads the file in the background (`self.work`), shows what came of it with
    `show_read` or `show_fault`, and saves it in `save_it`, which returns the account; `imported`
    carries that.
    """

    help_topic = "files/Import and export"

    imported = Signal(str)

    def __init__(self, title: str, path: str, parent: QWidget | None) -> None:
        super().__init__(title, parent)
        self.path = path
        self.work = Work(self)
        self.done_with = False
        self.file = Label(cut(Path(path).name, 80), role="quiet")
        self.columns = ColumnsView()
        self.picture = QVBoxLayout()
        self.account = Label("", LEAD, wrap=True)
        self.questions = Label("", role="attention", wrap=True)
        self.sentences = Label("", role="quiet", wrap=True)
        self.sentences.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.save = Button("Import", MAIN, "Enter")
        self.leave = Button("Cancel", FAINT, "Esc")
        self.columns.chosen.connect(self.read_again)
        self.save.clicked.connect(self._on_save)
        self.leave.clicked.connect(self.reject)
        self._build()
        self.save.setEnabled(False)
        self.resize(self._fitting())

    def _build(self) -> None:
        self.extras = QHBoxLayout()
        self.extras.setSpacing(3 * STEP)
        left = in_column((self.columns, 1), self.extras, gap=3 * STEP)
        right = in_column((self.picture, 3), (self._understood(), 2), gap=2 * STEP)
        body = in_row((left, 5), (right, 3), gap=8 * STEP)
        words = in_column(self.fault, self.account)
        self.arrange(body, acts=(self.leave, self.save), message=words, beside=self.file)

    def _understood(self) -> QScrollArea:
        inner = QWidget()
        in_column(
            self.questions,
            self.sentences,
            None,
            of=inner,
            margins=(0, 0, 2 * STEP, 0),
            gap=2 * STEP,
        )
        scroll = scrolled(inner, by_keys=True)
        scroll.setAccessibleName(translated("Preview"))
        return scroll

    def _fitting(self) -> QSize:
        parent = self.parentWidget()
        around = parent.window().size() if parent is not None else SIZE
        room = QSize(around.width() - 12 * STEP, around.height() - 12 * STEP)
        return SIZE.boundedTo(room.expandedTo(QSize(800, 480)))

    # What a subclass gives

    def read_again(self) -> None:
        """Read the file anew with what was said about its columns."""

    def save_it(self) -> str:
        """Keep what was read; returns the account in a sentence. Raises a sentence when it
        cannot be kept."""
        raise NotImplementedError  # each kind of file gives its own

    # What a subclass calls

    def wait(self) -> None:
        """The file is being read."""
        self.save.setEnabled(False)
        self._show_fault("")
        self.account.setText("Reading the file…")

    def show_read(self, sentences: Sequence[str], questions: Sequence[str], account: str) -> None:
        """What was understood; it can be kept."""
        self._show_sentences(sentences, questions)
        self.account.setText(account)
        self._show_fault("")
        self.save.setEnabled(True)
        if self.focusWidget() is None:
            self.save.setFocus()

    def show_fault(
        self, sentence: str, sentences: Sequence[str] = (), questions: Sequence[str] = ()
    ) -> None:
        """Why it cannot be kept as it stands."""
        if sentences or questions:
            self._show_sentences(sentences, questions)
        self.account.setText("")
        self._show_fault(sentence)
        self.save.setEnabled(False)

    def show_picture(self, chart: QWidget | None) -> None:
        """Put this picture in the place of the one shown."""
        empty(self.picture)
        if chart is not None:
            self.picture.addWidget(chart)

    def on_failed(self, error: Exception) -> None:
        """The file could not be read: a sentence of ours, or that it cannot be understood."""
        ours = type(error).__module__.startswith("journal.")
        self.show_fault(text_of(error) if ours else "This file could not be read as a table.")

    def _show_sentences(self, sentences: Sequence[str], questions: Sequence[str]) -> None:
        self.questions.setText("\n".join(f"▲ {cut(q, _SENTENCE_MOST)}" for q in questions))
        self.questions.setVisible(bool(questions))
        self.sentences.setText("\n".join(cut(s, _SENTENCE_MOST) for s in sentences))

    def _show_fault(self, sentence: str) -> None:
        self.refuse(cut(sentence, _SENTENCE_MOST))
        self.fault.setVisible(bool(sentence))
        self.account.setVisible(not sentence)

    # Handlers

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.save.isEnabled():
                self._on_save()
            return
        super().keyPressEvent(event)

    def done(self, code: int) -> None:
        self.work.finish()
        super().done(code)

    def _on_save(self) -> None:
        if self.done_with:
            self.accept()
            return
        try:
            account = self.save_it()
        except ValueError as error:
            self.show_fault(text_of(error))
            return
        self.done_with = True
        self.account.setText(account)
        self.columns.setEnabled(False)
        for place in range(self.extras.count()):
            item = self.extras.itemAt(place)
            part = item.widget() if item is not None else None
            if part is not None:
                part.setEnabled(False)
        self.leave.hide()
        self.save.set_label("Close", "Enter")
        self.save.setFocus()
        self.imported.emit(account)
