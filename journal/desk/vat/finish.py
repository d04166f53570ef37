"""Finishing a make: the green weights of its wheels on one line, then their codes."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.desk.events import pressed_key
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.desk.theme import LEAD, STEP
from journal.quantities import QuantityError
from journal.quantities.several import parse_several
from journal.records.wheels import Wheel
from journal.wording import text_of, worded
from journal.wording.outcomes import outcome_lines
from journal.wording.shown import in_shown_units, shown_unit, write

_WEIGHTS = "Green weights of the wheels"


class FinishForm(AsTypedField):
    """Asks for green weights once `ask` was called; afterwards shows the wheels there are.

    `weights` carries a list of kilograms on Enter.
    """

    weights = Signal(object)
    turned = Signal(bool)  # begins to ask, or asks no more

    def __init__(self, page: QWidget) -> None:
        self._asking = False
        field = Field("weights", _WEIGHTS, hint=in_shown_units("1.18 kg, 1.16 kg"))
        super().__init__(field, FieldContext(page, style=FieldStyle(size=LEAD, height=11 * STEP)))
        self.wheels = Label("", wrap=True)
        self.column.addWidget(self.wheels)
        self._sure = False  # what speaks against it was said, and Enter goes on all the same
        self._warnings: list[str] = []
        self.line.returnPressed.connect(self.submit)
        self.line.installEventFilter(self)
        self.no_proxy()  # else Tab comes to the line while it is hidden
        self._show_parts()

    @property
    def asking(self) -> bool:
        """True while the weights are asked for."""
        return self._asking

    def ask(self) -> None:
        """Ask for the weights."""
        self._asking = True
        self._show_parts()
        self.turned.emit(True)
        self.line.setFocus()
        self._on_text(self.line.text())

    def put_away(self) -> None:
        """Ask no more."""
        self._asking = False
        self._show_parts()
        self.turned.emit(False)

    def show_for(self, day: MakeSnapshot) -> None:
        """The wheels of a finished make."""
        self._warnings = outcome_lines(day.whole)
        wheels = day.whole.wheels if not day.running else ()
        self.wheels.setText("\n".join(_wheel_line(wheel) for wheel in wheels))
        if not day.running:
            self._asking = False
            self.line.clear()
        self._show_parts()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if pressed_key(event) == Qt.Key.Key_Escape:
            self.put_away()
            return True
        return False

    def _show_parts(self) -> None:
        for part in (self.title, self.box):
            part.setVisible(self._asking)
        self.message.setVisible(self._asking and bool(self.message.text()))
        self.wheels.setVisible(bool(self.wheels.text()))

    def _on_text(self, text: str) -> None:
        self._sure = False
        if self._asking:
            self.note(_understood(text))

    def submit(self) -> None:
        """Take the weights as they are typed."""
        try:
            found = parse_several(self.line.text(), "mass", default_unit=shown_unit("mass").key)
        except QuantityError as error:
            self.refuse(text_of(error))
            return
        doubts = list(self._warnings)
        if not found:
            doubts.append(worded("desk.no-weight"))
        if doubts and not self._sure:
            self._sure = True
            doubts.append("Press Enter again to finish anyway.")
            self.refuse(" ".join(doubts))
            return
        self.weights.emit([t.stored for t in found])


def _understood(text: str) -> str:
    """What is understood of what is typed so far, "" for nothing."""
    try:
        found = parse_several(text, "mass", default_unit=shown_unit("mass").key)
    except QuantityError:
        return ""
    if not found:
        return "One weight per wheel. Leave it empty if there is none."
    total = write(sum(t.stored for t in found), "mass")
    which = "desk.one-wheel" if len(found) == 1 else "desk.wheels-together"
    weights = [write(t.stored, "mass") for t in found]
    return worded(which, count=len(found), total=total, weights=weights)


def _wheel_line(wheel: Wheel) -> str:
    weight = wheel.green_weight_kg
    return f"{wheel.code}   {write(weight, 'mass')}" if weight is not None else wheel.code
