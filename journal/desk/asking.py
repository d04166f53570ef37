"""A question in place: a sentence with the act that answers it, and a way to leave it."""

from __future__ import annotations

from PySide6.QtCore import QSettings, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QMessageBox, QWidget

from journal.desk.asked_help import bind_help
from journal.desk.buttons import Button
from journal.desk.labels import Label, WarningMark
from journal.desk.layouts import in_row
from journal.desk.preferences import chosen
from journal.desk.theme import STEP

_BUTTON = QMessageBox.StandardButton


class Asking(QWidget):
    """Stands hidden above a place's pages until `ask`. `agreed` carries what was asked about;
    Escape leaves it."""

    agreed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._about: object = None
        self.label = Label("", wrap=True)
        self.yes = Button("")
        self.no = Button("Cancel", key="Esc")
        self.yes.clicked.connect(self._on_yes)
        self.no.clicked.connect(self.leave)
        in_row(
            WarningMark(),
            (self.label, 1),
            self.yes,
            self.no,
            of=self,
            margins=(8 * STEP, 2 * STEP, 8 * STEP, 2 * STEP),
            gap=3 * STEP,
        )
        self.hide()

    def ask(self, sentence: str, act: str, about: object) -> None:
        """Ask; the button says `act`."""
        self._about = about
        self.label.setText(sentence)
        self.setAccessibleName(sentence)
        self.yes.set_label(act)
        self.show()
        self.yes.setFocus()

    def leave(self) -> None:
        """Ask no more."""
        self._about = None
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.yes.hasFocus():
            self._on_yes()
        else:
            super().keyPressEvent(event)

    def _on_yes(self) -> None:
        about = self._about
        self.leave()
        self.agreed.emit(about)


def agreed(widget: QWidget, settings: QSettings, question: str, about: str = "confirm") -> bool:
    """Whether a person agrees to an act; nobody is asked where the preference of that name says
    so."""
    if chosen(settings, about) != "yes":
        return True
    return answered(widget.window(), question, _BUTTON.Yes | _BUTTON.Cancel, _BUTTON.Cancel)


def answered(
    parent: QWidget,
    question: str,
    buttons: QMessageBox.StandardButton,
    usual: QMessageBox.StandardButton,
    topic: str = "",
) -> bool:
    """Whether a question was answered with Yes; the key of the help opens it over the question, on
    that topic or the page of the place. `usual` is what Enter presses."""
    box = QMessageBox(QMessageBox.Icon.Question, "Vatside", question, buttons, parent)
    box.setTextFormat(Qt.TextFormat.PlainText)  # names are shown as they were typed
    box.setDefaultButton(usual)
    bind_help(box, topic)
    answer = box.exec()
    box.deleteLater()
    return answer == _BUTTON.Yes
