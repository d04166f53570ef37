"""The two large fields at the vat: milk temperature and acidity, and the time of a late reading."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.form.line_field import FieldStyle, TypedField
from journal.desk.form.readers import AsTypedField, QuantityField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP, TITLE
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse
from journal.records.kinds import READING_KINDS, TEMP_KINDS
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.shown import shown_unit
from journal.wording.style import style_in_use

DIGITS = "0123456789.,-−½¼¾⅓"
# What F6 goes through in the second field; beside it, what is typed in the first or corrected here.
KINDS_IN_TURN = {
    "curd-ph": "Curd pH",
    "whey-ph": "Whey pH",
    "milk-ph": "Milk pH",
    "whey-acidity": "Whey acidity",
    "milk-acidity": "Milk acidity",
}
_TITLES = KINDS_IN_TURN | {
    "milk-temp": "Milk",
    "bath-temp": "Bath",
    "load": "Press load",
    "room-temp": "Room temperature",
    "room-humidity": "Room humidity",
    "heat": "Heat",
}

_STYLE = FieldStyle(size=TITLE, height=TITLE + 7 * STEP, titled=False)
_AT_DRESS = FieldStyle(height=8 * STEP, inset=2 * STEP, titled=False)


class EntryFields(QWidget):
    """`entered` carries (kind, Typed) on Enter. Space goes from one field to the other;
    `at_text` is the time typed for a late reading, "" for now. What can only belong to the other
    field goes there; `fits` tells whether a bare number lies on a kind's course."""

    entered = Signal(str, object)
    escaped = Signal()  # Esc, where no late time was open
    went_down = Signal()  # the arrow down: to the readings

    def __init__(self, fits: Callable[[str, float], bool], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fits = fits
        self.acid_kind = next(iter(KINDS_IN_TURN))
        self._hints: dict[str, str] = {}  # the last value of each kind of temperature
        self.temp_kind = TEMP_KINDS[0]  # of the next value: the bath's is asked for each time
        self._suited: object = None  # the stage the acidity was last suited to
        around = FieldContext(self, style=_STYLE)
        self.temp = QuantityField(Field("temp", "Milk", "temperature", "degC"), around)
        self.acid = QuantityField(Field("acid", "Curd pH", "ph"), around)
        self.fields = (self.temp, self.acid)
        self.correcting = ""  # the kind of the reading that is being corrected
        self.moved = ""  # what was made of a value typed in the other field, until it is saved
        self._kind_before = ""  # the acidity that was read before another kind was corrected
        self._last: TypedField = self.temp
        self._came_by_space = False
        self._lent = ""  # the pH that was read before a titratable acidity was typed in its field
        self._make = ""  # the code of the make that is typed into, where more than one runs
        self._temp_word = Label(translated("Milk"), role="quiet")
        self._kind_word = WordButton("")
        self._kind_word.setToolTip(plain_tip(worded("desk.acidities")))
        self._kind_word.clicked.connect(self.next_kind)
        self._build()
        self._build_late()
        for field in self.fields:
            field.line.installEventFilter(self)
            field.entered.connect(self._on_entered)
        self.acid.line.textChanged.connect(self._on_acid_text)
        self.set_acid_kind(self.acid_kind)

    def _build(self) -> None:
        self._grid = grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(1)  # the word over the second field is high enough for a finger
        for field in self.fields:
            field.message.setContentsMargins(0, STEP - 1, 0, 0)
        grid.addWidget(self._temp_word, 0, 0)
        grid.addWidget(self._kind_word, 0, 1)
        grid.addWidget(self.temp, 1, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.acid, 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.temp.message, 2, 0, 1, 2)
        grid.addWidget(self.acid.message, 3, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def _build_late(self) -> None:
        self.late = QWidget()
        read_at = Field("at", "Read at", hint="11:20")
        box = AsTypedField(read_at, FieldContext(self, style=_AT_DRESS))
        self.at_line = box.line
        self.at_line.installEventFilter(self)
        self.at_message = Label("", SMALL, role="quiet", wrap=True)
        box.setFixedWidth(40 * STEP)
        self._at_esc = Label("Esc: now", SMALL, role="quiet")
        row = in_row(Label("Read at", role="quiet"), box, self._at_esc, None, gap=3 * STEP)
        in_column(row, self.at_message, of=self.late, margins=(0, 0, 0, STEP), gap=STEP)
        self.at_message.hide()
        self.late.hide()
        self._grid.addWidget(self.late, 4, 0, 1, 2)

    @property
    def at_text(self) -> str:
        """The time typed for a late reading, "" for now."""
        return self.at_line.text().strip() if not self.late.isHidden() else ""

    def open_late(self) -> None:
        """Ask for the time of one late reading."""
        self.late.show()
        self.at_line.setFocus()
        self.at_line.selectAll()

    def close_late(self) -> None:
        """Read now again; a value whose time was refused is typed over, or Enter saves it."""
        refused = not self.at_message.isHidden()
        self.late.hide()
        self.at_line.clear()
        self.refuse_time("")
        self.focus_last()
        if refused:
            self._last.line.selectAll()

    def refuse_time(self, sentence: str) -> None:
        """Say what is wrong with the time, "" for nothing."""
        self.at_message.setText(f"▲ {sentence}" if sentence else "")
        self.at_message.set_role("attention")
        self.at_message.setVisible(bool(sentence))

    def begin_correction(self, kind: str, at_text: str) -> TypedField:
        """The field in which a reading of this kind is corrected, and its time beside it."""
        if not self.correcting:
            self._kind_before = self.acid_kind
        self.correcting = kind
        self.late.show()
        self.at_line.setText(at_text)
        self._at_esc.setText("Esc cancels")
        return self.field_for(kind)

    def end_correction(self) -> None:
        """Read what was read before, and now."""
        self.correcting = ""
        self._at_esc.setText("Esc: now")
        self.set_temp_kind(TEMP_KINDS[0])
        if self.acid_kind not in KINDS_IN_TURN:
            self.set_acid_kind(self._kind_before)
        self.close_late()

    def field_for(self, kind: str) -> TypedField:
        """The field a kind of reading is typed in."""
        if kind in TEMP_KINDS:
            self.set_temp_kind(kind)
            return self.temp
        self.set_acid_kind(kind)
        return self.acid

    def kind_of(self, field: TypedField) -> str:
        """What is typed in a field."""
        return self.temp_kind if field is self.temp else self.acid_kind

    def set_temp_kind(self, kind: str) -> None:
        """Read the milk, or its bath, in the first field."""
        self.temp_kind = kind
        title = self._of_make(_TITLES[kind])
        self._temp_word.setText(title)
        self._temp_word.set_role("quiet" if kind == TEMP_KINDS[0] else "ink")
        self.temp.line.setAccessibleName(title)
        self.temp.line.setPlaceholderText(self._hints.get(kind, ""))

    def type_bath(self) -> None:
        """Type the bath's temperature next; again, the milk's."""
        if not self.correcting:
            self.set_temp_kind(TEMP_KINDS[self.temp_kind == TEMP_KINDS[0]])
            self.temp.line.setFocus()

    def set_acid_kind(self, kind: str) -> None:
        """Read this kind from now on in the second field: its title, quantity and unit."""
        self.acid_kind = kind
        quantity = READING_KINDS[kind].quantity
        self._name_kind()
        self.acid.set_kind(self._of_make(_TITLES[kind]), quantity, shown_unit(quantity).key)

    def name_make(self, code: str) -> None:
        """Say of which make the values are, where more than one runs; "" names none."""
        if code == self._make:
            return
        self._make = code
        self.set_temp_kind(self.temp_kind)
        self.acid.line.setAccessibleName(self._of_make(_TITLES[self.acid_kind]))
        self._name_kind()

    def _of_make(self, title: str) -> str:
        return worded("desk.field-of", field=title, code=self._make) if self._make else title

    def _name_kind(self) -> None:
        title = self._of_make(_TITLES[self.acid_kind])
        narrow = _TITLES[self.acid_kind] if "acidity" in title else title
        self._kind_word.setText(f"{narrow} ▾")
        self._kind_word.setAccessibleName(worded("desk.another-acidity", acidity=title))
        self._kind_word.updateGeometry()

    def suit(self, place: object, kind: str) -> None:
        """Read the acidity a stage asks for; what the person chose in that stage stays."""
        if place != self._suited and not self.acid.line.text():
            self._suited = place
            self.set_acid_kind(kind)

    def next_kind(self) -> None:
        """Read the next of those that F6 goes through."""
        if self.correcting:
            return  # a correction is of the kind that was read
        kinds = tuple(KINDS_IN_TURN)
        self.set_acid_kind(kinds[(kinds.index(self.acid_kind) + 1) % len(kinds)])
        self.acid.line.setFocus()

    def texts(self) -> tuple[str, str]:
        """What stands in the two fields, not kept yet."""
        return self.temp.line.text(), self.acid.line.text()

    def put_texts(self, texts: tuple[str, str]) -> None:
        """Put back what stood there; a late time is not taken along."""
        self.close_late()
        for field, text in zip(self.fields, texts, strict=True):
            field.set_text(text)

    def focus_last(self) -> None:
        """Put the focus back where something was typed last."""
        self._last.line.setFocus()

    def type_on(self, event: QKeyEvent) -> None:
        """A digit was pressed elsewhere in the place: it belongs to the current field."""
        self.focus_last()
        self._last.line.insert(event.text())

    def show_last(self, kind: str, text: str) -> None:
        """Show the last value kept as the field's hint."""
        if kind in TEMP_KINDS:
            self._hints[kind] = text
            self.temp.line.setPlaceholderText(self._hints.get(self.temp_kind, ""))
        elif kind == self.acid_kind:
            self.acid.line.setPlaceholderText(text)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            self._on_focus(watched)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(watched, event)
        return False

    def _on_focus(self, line: QObject) -> None:
        for field in self.fields:
            if field.line is line:
                self._last = field

    def _on_key(self, line: QObject, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Escape:
            return self._on_escape()
        if line is self.at_line:
            if event.key() == Qt.Key.Key_Space and style_in_use().clock != "24":
                return False  # before am or pm
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
                if self.correcting:
                    self.field_for(self.correcting).line.setFocus()
                else:
                    self.focus_last()
                return True
            return False
        here = self.temp if line is self.temp.line else self.acid
        other = self.acid if here is self.temp else self.temp
        by_space, self._came_by_space = self._came_by_space, False
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return self._on_enter(here, other)
        if event.key() == Qt.Key.Key_Down:
            self.went_down.emit()
            return True
        if event.key() == Qt.Key.Key_Space:
            self._came_by_space = True
            other.line.setFocus()
            return True
        if by_space and _is_unit(event.text()) and not here.line.text() and other.line.text():
            other.line.setFocus()
            other.line.insert(f" {event.text()}")
            return True
        return False

    def _on_enter(self, here: TypedField, other: TypedField) -> bool:
        if here is self.acid:
            self._read_titrated()
        if not self._belongs_there(here, other):
            here.line.returnPressed.emit()
            if here.box.wrong:
                here.line.selectAll()  # what is typed next takes its place
            return True
        text = here.line.text()
        here.clear_text()
        other.set_text(text)
        self._read_titrated()
        other.line.setFocus()
        self.moved = worded("desk.saved-as-kind", kind=self.kind_of(other), typed=text.strip())
        other.line.returnPressed.emit()
        return True

    def _belongs_there(self, here: TypedField, other: TypedField) -> bool:
        """Whether a value that cannot be what its field reads can only be what the other does: by
        its unit, or as a bare number on the course of the milk's temperature."""
        if self.correcting or other.line.text() or here.value() is not None:
            return False
        text = here.line.text()
        quantities = ("temperature",) if here is self.acid else ("ph", "acidity")
        for quantity in quantities:
            try:
                saved = parse(text, quantity).stored
            except QuantityError:
                continue
            bare = not _has_unit(text)
            return not bare or (self.acid_kind.endswith("-ph") and self._fits("milk-temp", saved))
        return False

    def leave_refused(self) -> bool:
        """Empty a field whose value was refused (undo brings it back); False when none was."""
        refused = [field for field in self.fields if field.box.wrong and field.line.text()]
        for field in refused:
            field.line.selectAll()
            field.line.del_()
            field.note("")
            field.line.setFocus()
        return bool(refused)

    def _read_titrated(self) -> None:
        """A titratable acidity with its unit, typed where pH is read ("18 D"), is taken for one:
        of milk where milk is read, else of whey. Once it is kept, pH is read again."""
        text = self.acid.line.text()
        if not self.acid_kind.endswith("-ph") or not _has_unit(text) or self.acid.value():
            return
        try:
            parse(text, "acidity")
        except QuantityError:
            return
        self._lent = self.acid_kind
        self.set_acid_kind("milk-acidity" if self._lent == "milk-ph" else "whey-acidity")

    def _on_acid_text(self, text: str) -> None:
        """Without a unit what is typed is pH again."""
        if self._lent and not _has_unit(text):
            lent, self._lent = self._lent, ""
            self.set_acid_kind(lent)

    def _on_escape(self) -> bool:
        if not self.late.isHidden() and not self.correcting:
            self.close_late()
        elif self.temp_kind != TEMP_KINDS[0] and not self.correcting:
            self.set_temp_kind(TEMP_KINDS[0])
        else:
            self.escaped.emit()
        return True

    def _on_entered(self, typed: Typed) -> None:
        field = self.temp if self.sender() is self.temp else self.acid
        self.entered.emit(self.kind_of(field), typed)


def _has_unit(text: str) -> bool:
    return bool(text.strip(f"{DIGITS}/ "))


def _is_unit(text: str) -> bool:
    """A letter that begins a unit: the person meant a space inside the value ("88 F")."""
    return bool(text) and (text.isalpha() or text == "°") and text.lower() != "p"
