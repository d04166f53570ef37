"""Fields to type in: a line in its frame, its title, and under it what was understood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QKeySequence,
    QPaintEvent,
    QPalette,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QLineEdit, QToolTip, QWidget

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font, scaled
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse
from journal.quantities.units import unit_named
from journal.wording import text_of, worded
from journal.wording.languages import translated
from journal.wording.sentences import understood

MOST_LETTERS = 32_767  # of a line, as Qt has it


class TextLine(QLineEdit):
    """A bare line edit: leaves undo to the window when it has nothing of its own to undo. `name`
    is read aloud, `hint` stands there while it is empty."""

    def __init__(
        self, size: int = TEXT, parent: QWidget | None = None, *, name: str = "", hint: str = ""
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(translated(name))
        self.setPlaceholderText(translated(hint))
        self.setFrame(False)
        self.setFont(font(size))
        self.setTextMargins(0, 0, 0, 0)
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.setPalette(palette)
        self.inputRejected.connect(self._on_rejected)

    def _on_rejected(self) -> None:
        """Say that what was pasted is longer than a line."""
        if len(self.text()) >= self.maxLength():
            QToolTip.showText(
                self.mapToGlobal(self.rect().bottomLeft()),
                plain_tip(worded("desk.line-is-full", most=MOST_LETTERS)),
                self,
            )

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and self._leaves(event):
            event.ignore()
            return False
        return super().event(event)

    def _leaves(self, event: QKeyEvent) -> bool:
        if event.type() != QEvent.Type.ShortcutOverride:
            return False
        if event.matches(QKeySequence.StandardKey.Undo):
            return not self.isUndoAvailable()
        return event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()


class FieldFrame(QFrame):
    """The frame around a line: a hairline, ink while it has the focus, plum when it is wrong."""

    def __init__(
        self,
        line: QLineEdit,
        height: int = 9 * STEP,
        parent: QWidget | None = None,
        *,
        inset: int = 3 * STEP,
        beside: QWidget | None = None,
        bare: bool = False,
    ) -> None:
        super().__init__(parent)
        self.line = line
        self.wrong = False
        self._bare = bare
        self.setFixedHeight(scaled(height))
        self.setFocusProxy(line)
        line.installEventFilter(self)
        row = in_row((line, 1), of=self, margins=(inset, 0, inset, 0))
        if beside is not None:
            row.addWidget(beside)

    def mark(self, wrong: bool) -> None:
        """Frame it as wrong, or not."""
        self.wrong = wrong
        self.update()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return False

    def paintEvent(self, _event: QPaintEvent) -> None:
        if self._bare and not self.line.hasFocus() and not self.wrong:
            return
        edge, width = ("ink", 2.6) if self.line.hasFocus() else ("frame", 1.0)
        if self.wrong:
            edge, width = "attention", 1.6
        box = (1, self.width() - 1), (1, self.height() - 1)
        frame = BoxMark(*box, "field", edge, width, rounded=RADIUS)
        paint_scene(self, Scene([frame]), colours_of(self))


@dataclass(frozen=True)
class FieldStyle:
    """How a field looks: the size of its title, of what is typed and of the text under it, the
    height of its frame, how far its words are from the frame and the title from it; without a title
    its name stands elsewhere, `bare` has a frame only while it is typed in."""

    title: int = TEXT
    size: int = TEXT
    message: int = SMALL
    height: int = TEXT + 7 * STEP
    inset: int = 3 * STEP
    gap: int = STEP
    titled: bool = True
    bare: bool = False


USUAL = FieldStyle()
UNTITLED = FieldStyle(height=9 * STEP, titled=False)  # its name stands elsewhere


class NamedField(QWidget):
    """Its title, what is filled in, and a text under it. `text_changed` carries the
    words at each letter and choice, `chosen` comes where something was picked, not typed; `done`
    where Enter goes on."""

    text_changed = Signal(str)
    chosen = Signal()
    done = Signal()

    def __init__(
        self, name: str, frame: QWidget, entry: QWidget, style: FieldStyle, parent: QWidget | None
    ) -> None:
        super().__init__(parent)
        self.entry = entry  # has the keys
        self.about = ""  # read aloud while nothing else is said of it
        entry.setAccessibleName(name)
        self.title = Label(name, style.title, role="quiet")
        self.title.setBuddy(entry)
        if not style.titled:
            self.title.hide()
        self.message = Label("", style.message, role="quiet", wrap=True)
        self.message.hide()
        self.column = in_column(self.title, frame, self.message, of=self, margins=0, gap=style.gap)
        self._frame = frame
        self.setFocusProxy(entry)

    def no_proxy(self) -> None:
        """Only what has the keys takes the focus, nothing around it for it."""
        for around in (self, self._frame):
            around.setFocusProxy(None)  # type: ignore[arg-type] # None takes it away

    def refuse(self, sentence: str) -> None:
        """Say what was wrong, and leave what was typed."""
        self.say(sentence, wrong=True)

    def note(self, sentence: str) -> None:
        """Say something quiet under it."""
        self.say(sentence)

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        """Say what was understood, or what was not."""
        self.message.say_if_any(sentence, wrong=wrong)
        self.entry.setAccessibleDescription(sentence or self.about)


class LineField(NamedField):
    """A line in its frame; what was typed stays, wrong or right."""

    def __init__(
        self,
        name: str,
        style: FieldStyle = USUAL,
        *,
        line: TextLine | None = None,
        beside: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        line = line if line is not None else TextLine(style.size)
        box = FieldFrame(line, style.height, inset=style.inset, beside=beside, bare=style.bare)
        super().__init__(name, box, line, style, parent)
        self.line, self.box = line, box
        line.textChanged.connect(self._on_text)
        line.textChanged.connect(self.text_changed)
        line.returnPressed.connect(self.done)

    def half_typed(self) -> object:
        """What stands there, blanks and all, for `recall` to put back."""
        return self.line.text()

    def recall(self, half: Any) -> None:
        """Put back what `half_typed` said."""
        self.set_text(str(half))

    def text(self) -> str:
        """What is typed, without blanks around it."""
        return self.line.text().strip()

    def set_text(self, text: str) -> None:
        """Put a text there."""
        self.line.setText(text)

    def clear_text(self) -> None:
        """Empty it, once what was typed is kept."""
        self.line.setText("")  # unlike clear, this leaves nothing to undo in the field

    def begin(self) -> None:
        """Go there, to type over what stands there."""
        self.line.setFocus()
        self.line.selectAll()

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        super().say(sentence, wrong=wrong)
        self.box.mark(wrong)

    def _on_text(self, text: str) -> None:
        """Something was typed, or put there; `text_changed` comes after it."""


class TypedField(LineField):
    """A value with a unit, typed as people write it ("88 F", "1/2 tsp", "31,4").

    `entered` carries the Typed value on Enter, and only then; what was typed stays until
    `clear_text`, wrong or right. The wheel never changes it.
    """

    entered = Signal(object)
    changed = Signal(object)  # Typed, or None while it says nothing that can be understood

    def __init__(
        self,
        name: str,
        quantity: str,
        unit: str = "",
        *,
        style: FieldStyle = USUAL,
        parent: QWidget | None = None,
    ) -> None:
        beside = Label("", role="quiet")
        super().__init__(name, style, beside=beside, parent=parent)
        self._unit = beside
        self.quantity = quantity
        self.unit = unit
        self.line.returnPressed.connect(self._on_return)
        self.set_kind(name, quantity, unit)

    def set_kind(self, name: str, quantity: str, unit: str = "") -> None:
        """What is typed here; a bare number is in `unit`."""
        self.quantity, self.unit = quantity, unit
        self.title.setText(name)
        self.line.setAccessibleName(name)
        label = unit_named(quantity, unit).label if unit else ""
        self._unit.setText("" if label == "pH" else label)
        self._on_text(self.line.text())

    def read(self) -> Typed:
        """What is understood; QuantityError with what would do."""
        return parse(self.line.text(), self.quantity, default_unit=self.unit or None)

    def report(self, typed: Typed) -> str:
        """What was made of a value in another unit than the field's."""
        return understood(typed)

    def value(self) -> Typed | None:
        """What is understood, None when nothing is."""
        try:
            return self.read()
        except QuantityError:
            return None

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def _on_text(self, text: str) -> None:
        typed = self.value() if text.strip() else None
        other = typed if typed is not None and typed.unit != (self.unit or typed.unit) else None
        self._unit.setHidden(other is not None)
        self.note(self.report(other) if other is not None else "")
        self.changed.emit(typed)

    def _on_return(self) -> None:
        try:
            typed = self.read()
        except QuantityError as error:
            self.refuse(text_of(error))
            return
        self.entered.emit(typed)
