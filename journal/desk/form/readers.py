"""The fields themselves: for each kind one that is typed in, and that reads what was typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from journal.desk import dialogs
from journal.desk.buttons import WordButton
from journal.desk.form.chips import Chips
from journal.desk.form.choice import ChoiceList, ComboBox
from journal.desk.form.line_field import LineField, NamedField, TextLine, TypedField
from journal.desk.form.photo import Photo
from journal.desk.form.spec import (
    AMOUNT,
    AS_TYPED,
    CHIPS,
    CHOICE,
    DAY,
    LINES,
    NUMBER,
    PATH,
    PHOTO,
    ROW,
    SECRET,
    TEXT,
    Field,
    FieldContext,
    FieldValue,
    finds_nothing,
)
from journal.desk.form.suggest import Suggestion, Suggestions
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP
from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.quantities.typed import Typed, parse_any
from journal.quantities.units import stored_unit, unit_named
from journal.records import RecordError
from journal.records.dates import read_date
from journal.wording.dates import short_day
from journal.wording.shown import in_shown_units, shown_unit

_QUANTITIES = {"g": ("mass_g", "volume_ml"), "ml": ("volume_ml", "mass_g")}


class TextField(LineField):
    """A line for words; what could be meant hangs under it, and `picked` carries what was."""

    picked = Signal(object)

    def __init__(self, field: Field, around: FieldContext, beside: QWidget | None = None) -> None:
        field = field.translated()
        super().__init__(field.title, around.style, beside=beside)
        self.field, self._instants = field, around.instants
        self.about = field.about
        self.line.setAccessibleName(field.name or field.title)
        self.line.setPlaceholderText(field.hint)
        self.set_text(field.text)
        self.note("")
        self.suggestions: Suggestions | None = None
        if field.choices or field.look is not finds_nothing:
            look = self._look if field.choices else field.look
            self.suggestions = Suggestions(self.line, around.page, look, 80 * STEP)
            self.suggestions.picked.connect(self._on_picked)

    def given(self) -> FieldValue:
        """The words; one of the choices where only they will do."""
        plain = " ".join(self.line.text().split())
        if not self.field.only or not plain:
            return plain
        fits = [c for c in self.field.choices if c.casefold().startswith(plain.casefold())]
        same = [c for c in fits if c.casefold() == plain.casefold()]
        if len(same or fits) != 1:
            raise RecordError("desk.none-of-these", typed=plain, known=self.field.choices[:9])
        return (same or fits)[0]

    def understood(self) -> str:
        """What is said under it while it is typed."""
        return ""

    def _on_text(self, _text: str) -> None:
        message = self.understood()
        self.note("" if message == self.text() else message)

    def _on_picked(self, means: object) -> None:
        if isinstance(means, str):
            self.set_text(means)
        self.picked.emit(means)

    def _look(self, text: str) -> list[Suggestion]:
        plain = " ".join(text.split()).casefold()
        found = [c for c in self.field.choices if plain in c.casefold()]
        found.sort(key=lambda c: not c.casefold().startswith(plain))
        if found and found[0].casefold() == plain:
            return []
        return [Suggestion(words, "", words) for words in found]


class AsTypedField(TextField):
    """A line whose words are taken as they are typed."""

    def given(self) -> FieldValue:
        return self.text()


class PathField(AsTypedField):
    """A file of readings: its path, typed or chosen; `picked` carries one that was chosen."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        self.browse = WordButton("Choose…")
        super().__init__(field, around, self.browse)
        self.browse.clicked.connect(self._on_browse)

    def _on_browse(self) -> None:
        path = dialogs.ask_open(self, self.field.name or self.field.title, dialogs.READINGS)
        if path:
            self._on_picked(path)


class SecretField(TextField):
    """A line that shows dots; the blanks around what is typed belong to it."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        super().__init__(field, around)
        self.line.setEchoMode(QLineEdit.EchoMode.Password)

    def given(self) -> str:
        return self.line.text()


class DateField(TextField):
    """A line for a day; which one was understood is said under it."""

    def given(self) -> FieldValue:
        """The noon of the day."""
        return read_date(self.line.text(), *self._instants)

    def understood(self) -> str:
        try:
            at_ms = read_date(self.line.text(), *self._instants) if self.text() else None
        except RecordError:
            return ""
        return "" if at_ms is None else short_day(at_ms, self._instants[0])


class QuantityField(TypedField):
    """A value of one quantity."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        quantity = _QUANTITIES[field.unit][0] if field.kind == AMOUNT else field.kind
        unit = field.unit
        if (
            unit
            and field.kind != AMOUNT
            and unit_named(quantity, unit).key == stored_unit(quantity).key
        ):
            unit = shown_unit(quantity).key
        super().__init__(field.title, quantity, unit, style=around.style)
        self.field = field
        self.line.setPlaceholderText(in_shown_units(field.hint))
        self.set_text(field.text)

    def given(self) -> FieldValue:
        """The number, in the unit that is kept."""
        return self.read().stored


class AmountField(QuantityField):
    """A weight or a volume, whichever is typed; a bare number is in `unit`."""

    def follow(self, words: str) -> None:
        """Take a bare number in the unit that goes with another field's words."""
        unit = dict(self.field.units).get(words.strip().casefold(), self.field.unit)
        if unit != self.unit:
            self.set_kind(self.field.title, _QUANTITIES[unit][0], unit)

    def given(self) -> FieldValue:
        """The weight or the volume."""
        return self.read()

    def read(self) -> Typed:
        return parse_any(self.line.text(), _QUANTITIES[self.unit], default_unit=self.unit)


class _Stepped(TextLine):
    """A line that reports its up and down arrow keys."""

    stepped = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.stepped.emit(1 if event.key() == Qt.Key.Key_Up else -1)
            return
        super().keyPressEvent(event)


class NumberField(LineField):
    """A number to type, which the arrows step. `edited` comes at each change a person makes."""

    edited = Signal()

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        line, unit = _Stepped(), Label("", SMALL, role="quiet")
        super().__init__(field.title, around.style, line=line, beside=unit)
        self.field, self.unit = field, unit
        self.bound(float("-inf"), float("inf"), 1.0, 0)
        self.call(field.name or field.title, field.unit)
        self.set_text(field.text)
        line.textEdited.connect(self._on_edited)
        line.stepped.connect(self._on_stepped)

    def call(self, name: str, unit: str = "") -> None:
        """What is asked for, as it is read aloud."""
        self.line.setAccessibleName(f"{name}, {unit}" if unit else name)
        self.unit.setText(unit)

    def bound(self, least: float, most: float, step: float, digits: int) -> None:
        """How far the arrows go, and by how much."""
        self.least, self.most, self.step, self.digits = least, most, step, digits

    def value(self) -> float | None:
        """The number typed; None while it is none."""
        try:
            value, rest = read_number(tidy(self.text()))
        except AmbiguousNumber as error:
            return error.decimal if not error.rest else None  # a comma is the decimal one here
        except QuantityError:
            return None
        return value if rest in ("", "%") else None

    def set_value(self, value: float) -> None:
        """Put a number there."""
        text = f"{value:.{self.digits}f}"
        self.line.setText(text.rstrip("0").rstrip(".") if "." in text else text)

    def given(self) -> FieldValue:
        """The number."""
        value = self.value()
        if value is None:
            raise RecordError("desk.no-number", typed=self.text())
        return value

    def _on_edited(self, _text: str) -> None:
        self.edited.emit()

    def _on_stepped(self, way: int) -> None:
        value = self.value()
        if value is not None:
            self.set_value(min(max(value + way * self.step, self.least), self.most))
            self.edited.emit()


class ChoiceField(NamedField):
    """One of several, from a list that opens."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        choice = ComboBox("")
        super().__init__(field.title, choice, choice, around.style, None)
        choice.setAccessibleName(field.name or field.title)
        self.choice, self.field = choice, field
        choice.offer(field.options, field.text)
        choice.setAccessibleDescription(field.about)
        self.about = field.about
        choice.activated.connect(self._on_activated)

    def text(self) -> str:
        """The key of the choice made."""
        return self.choice.key()

    def set_text(self, key: str) -> None:
        """Choose one."""
        self.choice.setCurrentIndex(max(0, self.choice.findData(key)))

    half_typed, recall = text, set_text

    def begin(self) -> None:
        """Go there."""
        self.choice.setFocus()

    def given(self) -> FieldValue:
        """The key of the choice made."""
        return self.choice.key()

    def _on_activated(self, _index: int) -> None:
        self.text_changed.emit(self.choice.key())


class RowField(NamedField):
    """A choice of one of several words in a row, with a text about it below."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        choice = ChoiceList(field.title, field.options)
        super().__init__(field.title, choice, choice, around.style, None)
        choice.setAccessibleName(field.name or field.title)
        self.choice, self.field = choice, field
        choice.done.connect(self.done)
        choice.changed.connect(self._on_changed)
        if field.text:
            choice.choose(field.text)
        self.note(field.says.get(choice.chosen(), ""))

    def text(self) -> str:
        """The key of the choice made."""
        return self.choice.chosen()

    def set_text(self, key: str) -> None:
        """Choose one."""
        self.choice.choose(key)

    half_typed, recall = text, set_text

    def begin(self) -> None:
        """Go there."""
        self.choice.setFocus()

    def given(self) -> FieldValue:
        """The key of the choice made."""
        return self.choice.chosen()

    def _on_changed(self, key: str) -> None:
        self.note(self.field.says.get(key, ""))
        self.text_changed.emit(key)
        self.chosen.emit()


class LinesField(NamedField):
    """Text of several lines."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        lines = QPlainTextEdit(field.text)
        super().__init__(field.title, lines, lines, around.style, None)
        lines.setAccessibleName(field.name or field.title)
        self.lines, self.field = lines, field
        lines.textChanged.connect(self._on_text)

    def text(self) -> str:
        """What is typed."""
        return self.lines.toPlainText()

    def set_text(self, text: str) -> None:
        """Put a text there."""
        self.lines.setPlainText(text)

    half_typed, recall, given = text, set_text, text

    def begin(self) -> None:
        """Go there."""
        self.lines.setFocus()

    def _on_text(self) -> None:
        self.text_changed.emit(self.text())


class ChipsField(NamedField):
    """Several, each found by typing: chips in a row, a line after them."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        name = field.name or field.title
        chips = Chips(name, field.hint, around.page, field.look, twice=field.twice, of=field.of)
        super().__init__(field.title, chips, chips.line, around.style, None)
        chips.line.setAccessibleName(name)
        self.chips, self.field = chips, field
        chips.line.textChanged.connect(self.text_changed)
        chips.changed.connect(self._on_changed)
        chips.done.connect(self.done)

    def text(self) -> str:
        """The words of the chips, and what is typed after them."""
        words = [entry.words for entry in self.chips.entries()]
        return ", ".join([*words, self.chips.line.text().strip()]).strip(", ")

    def set_text(self, text: str) -> None:
        """Put a text into the line."""
        self.chips.line.setText(text)

    def half_typed(self) -> object:
        """The chips and what is typed after them."""
        return self.chips.half_typed()

    def recall(self, half: Any) -> None:
        """Put back what `half_typed` said."""
        self.chips.recall(half)

    def begin(self) -> None:
        """Go there."""
        self.chips.line.setFocus()

    def given(self) -> FieldValue:
        """What the chips mean."""
        return tuple(entry.means for entry in self.chips.entries())

    def _on_changed(self) -> None:
        self.text_changed.emit(self.text())
        self.chosen.emit()


class PhotoField(NamedField):
    """A photo; what is kept of it is its name."""

    def __init__(self, field: Field, around: FieldContext) -> None:
        field = field.translated()
        photo = Photo()
        super().__init__(field.title, photo, photo.button, around.style, None)
        photo.show_name(field.text)
        self.photo, self.field = photo, field
        photo.changed.connect(self._on_changed)

    def text(self) -> str:
        """The photo's name, "" for none."""
        return self.photo.name

    def set_text(self, name: str) -> None:
        """Show the photo of that name."""
        self.photo.show_name(name)

    half_typed, recall = text, set_text

    def begin(self) -> None:
        """Go there."""
        self.photo.button.setFocus()

    def given(self) -> FieldValue:
        """The photo's name."""
        return self.photo.name

    def _on_changed(self) -> None:
        self.text_changed.emit(self.photo.name)
        self.chosen.emit()


Reader = (TextField | QuantityField | NumberField | ChoiceField | RowField | LinesField | ChipsField
          | PhotoField)  # fmt: skip
READERS: dict[str, Callable[[Field, FieldContext], Reader]] = {
    TEXT: TextField, AS_TYPED: AsTypedField, DAY: DateField, AMOUNT: AmountField,
    CHOICE: ChoiceField, ROW: RowField, CHIPS: ChipsField, NUMBER: NumberField, PHOTO: PhotoField,
    SECRET: SecretField, LINES: LinesField, PATH: PathField,
}  # fmt: skip
