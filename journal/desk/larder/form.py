"""A form at the foot of a page: fields side by side, filled by keyboard, kept as one change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.fields import Box, Line, TypedField
from journal.desk.labels import Hairline, Label, Triangle
from journal.desk.tastings.suggest import Suggestion, Suggestions
from journal.desk.theme import LEAD, SMALL, STEP, TEXT
from journal.keeping import KeepingError
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse_any
from journal.records import RecordError
from journal.records.dates import read_date
from journal.wording import text_of
from journal.wording.dates import short_day

TEXT_ASK, DAY, AMOUNT = "text", "day", "amount"
_FIELD_WIDTH = 44 * STEP
_QUANTITIES = {"g": ("mass_g", "volume_ml"), "ml": ("volume_ml", "mass_g")}


@dataclass(frozen=True)
class Ask:
    """One field: its key, its title, and what is typed there.

    `kind` is TEXT_ASK, DAY, AMOUNT (a weight or a volume) or the name of a quantity, `unit` that
    of a bare number; `choices` are offered under it, and only they will do where `only` is set.
    """

    key: str
    title: str
    kind: str = TEXT_ASK
    unit: str = ""
    text: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()
    only: bool = False
    needed: bool = False
    follows: str = ""  # the field whose words say the unit of a bare number, by `units`
    units: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Filled:
    """What was typed in a form, by the key of its field; None where it was left empty."""

    values: Mapping[str, str | int | float | Typed | None]

    def text(self, key: str) -> str:
        """The words, "" for none."""
        value = self.values[key]
        return value if isinstance(value, str) else ""

    def instant(self, key: str) -> int | None:
        """The noon of the day."""
        value = self.values[key]
        return value if isinstance(value, int) else None

    def number(self, key: str) -> float | None:
        """The number, in the unit that is kept; None also where the form has no such field."""
        value = self.values.get(key)
        return value if isinstance(value, (int, float)) else None

    def needed(self, key: str) -> float:
        """The number of a field that is not left empty."""
        value = self.number(key)
        if value is None:
            raise RecordError("A number is missing.")
        return value

    def amount(self, key: str) -> Typed | None:
        """The weight or the volume."""
        value = self.values[key]
        return value if isinstance(value, Typed) else None


@dataclass(frozen=True)
class FormSpec:
    """A form: what it is called, its fields, and what keeps them; `keep` raises with a sentence
    what cannot be.
    """

    title: str
    asks: tuple[Ask, ...]
    keep: Callable[[Filled], None]
    words: str = "Keep it"
    caution: str = ""
    note: str = ""
    first: str = ""  # the key of the field to begin with
    instants: tuple[str, int] = field(default=("UTC", 0))  # zone and now, for days


class AmountField(TypedField):
    """A weight or a volume, whichever is typed; a bare number is in `unit`."""

    def follow(self, unit: str) -> None:
        """Take a bare number in another unit from now on."""
        if unit != self.unit:
            self.set_kind(self.line.accessibleName(), _QUANTITIES[unit][0], unit)

    def value(self) -> Typed | None:
        """What is understood, None when nothing is."""
        try:
            return self.read()
        except QuantityError:
            return None

    def read(self) -> Typed:
        """What is understood; QuantityError with a sentence when nothing is."""
        kinds = _QUANTITIES[self.unit]
        return parse_any(self.line.text(), kinds, default_unit=self.unit)


class TextField(QWidget):
    """A line for words, dressed as a TypedField; what could be meant hangs under it."""

    def __init__(self, ask: Ask, page: QWidget, instants: tuple[str, int]) -> None:
        super().__init__()
        self.ask = ask
        self._instants = instants
        self.line = Line()
        self.line.setAccessibleName(ask.title)
        self.line.setPlaceholderText(ask.hint)
        self.line.setText(ask.text)
        title = Label(ask.title, role="quiet")
        title.setBuddy(self.line)
        self.box = Box(self.line, max(9 * STEP, TEXT + 7 * STEP))  # as high as a TypedField's
        row = QHBoxLayout(self.box)
        row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        row.addWidget(self.line)
        self.said = Label("", SMALL, role="quiet", wrap=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        for part in (title, self.box, self.said):
            column.addWidget(part)
        self.setFocusProxy(self.line)
        self.said.hide()
        self.line.textChanged.connect(self._on_text)
        self.suggestions: Suggestions | None = None
        if ask.choices:
            self.suggestions = Suggestions(self.line, page, self._look, 72 * STEP)
            self.suggestions.picked.connect(self.line.setText)

    def read(self) -> str:
        """The words; one of the choices where only they will do."""
        plain = " ".join(self.line.text().split())
        if not self.ask.only or not plain:
            return plain
        fits = [c for c in self.ask.choices if c.casefold().startswith(plain.casefold())]
        same = [c for c in fits if c.casefold() == plain.casefold()]
        if len(same or fits) != 1:
            known = ", ".join(self.ask.choices[:9])
            raise RecordError(f"“{plain}” is none of these: {known}.")
        return (same or fits)[0]

    def read_day(self) -> int | None:
        """The noon of the day typed, None when nothing was."""
        if not self.line.text().strip():
            return None
        return read_date(self.line.text(), *self._instants)

    def refuse(self, sentence: str) -> None:
        """Say what was wrong, and leave what was typed."""
        self._show(f"▲ {sentence}", wrong=True)

    def _show(self, sentence: str, *, wrong: bool) -> None:
        self.said.set_role("attention" if wrong else "quiet")
        self.said.setText(sentence)
        self.said.setHidden(not sentence)
        self.line.setAccessibleDescription(sentence)
        self.box.wrong = wrong
        self.box.update()

    def _on_text(self, _text: str) -> None:
        said = ""
        if self.ask.kind == DAY:
            try:
                at_ms = self.read_day()
                said = "" if at_ms is None else short_day(at_ms, self._instants[0])
            except RecordError:
                said = ""
        self._show("" if said == self.line.text().strip() else said, wrong=False)

    def _look(self, text: str) -> list[Suggestion]:
        plain = " ".join(text.split()).casefold()
        found = [c for c in self.ask.choices if plain in c.casefold()]
        found.sort(key=lambda c: not c.casefold().startswith(plain))
        if found and found[0].casefold() == plain:
            return []
        return [Suggestion(words, "", words) for words in found]


class Form(QWidget):
    """Shows one FormSpec at a time. Enter goes on, and keeps from the last field; Ctrl+Enter keeps
    from any; Esc puts it away. `closed` when it is gone."""

    closed = Signal()

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self._page = page
        self._spec: FormSpec | None = None
        self._fields: dict[str, TypedField | TextField] = {}
        self.title = Label("", LEAD, bold=True)
        self.caution = Marked(SMALL)
        self.note = Label("", SMALL, role="quiet", wrap=True)
        self.keep = Button("Keep it", MAIN, "Ctrl ⏎")
        self.keep.clicked.connect(self.submit)
        self.away = Button("Put away", key="Esc")
        self.away.clicked.connect(self.put_away)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(4 * STEP)
        self._grid.setVerticalSpacing(2 * STEP)
        self._build()
        self.hide()

    def _build(self) -> None:
        buttons = QHBoxLayout()
        buttons.setSpacing(3 * STEP)
        buttons.addWidget(self.keep)
        buttons.addWidget(self.away)
        buttons.addStretch(1)
        inside = QVBoxLayout()
        inside.setContentsMargins(3 * STEP, 2 * STEP, 3 * STEP, 0)
        inside.setSpacing(2 * STEP)
        inside.addWidget(self.title)
        inside.addLayout(self._grid)
        inside.addWidget(self.note)
        inside.addWidget(self.caution)
        inside.addLayout(buttons)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Hairline())
        column.addLayout(inside)

    @property
    def open(self) -> bool:
        """A form is shown."""
        return self._spec is not None

    def field(self, key: str) -> TypedField | TextField:
        """The field of that key."""
        return self._fields[key]

    def show_form(self, spec: FormSpec) -> None:
        """Show this form, the first field ready to be typed in."""
        self._clear()
        self._spec = spec
        self.title.setText(spec.title)
        self.caution.say(spec.caution)
        self.note.setText(spec.note)
        self.note.setVisible(bool(spec.note))
        self.keep.set_words(spec.words, "Ctrl ⏎")
        for ask in spec.asks:
            made = self._field(ask, spec)
            made.line.installEventFilter(self)
            if isinstance(made, TextField) and made.suggestions is not None:
                made.suggestions.picked.connect(self._on_taken)
            self._fields[ask.key] = made
            if ask.key in {other.follows for other in spec.asks}:
                made.line.textChanged.connect(self._on_followed)
        self._on_followed()
        self._arrange()
        self.show()
        first = self._fields[spec.first or spec.asks[0].key].line
        first.setFocus()
        first.selectAll()

    def submit(self) -> None:
        """Keep what was typed; a field that cannot be says why and gets the focus."""
        spec = self._spec
        if spec is None:
            return
        values: dict[str, str | int | float | Typed | None] = {}
        for ask in spec.asks:
            try:
                values[ask.key] = self._read(ask)
            except (QuantityError, RecordError) as error:
                self._refuse(ask.key, text_of(error))
                return
        try:
            spec.keep(Filled(values))
        except (KeepingError, RecordError, QuantityError) as error:
            self._refuse(spec.asks[-1].key, text_of(error))
            return
        self.put_away()

    def put_away(self) -> None:
        """Close it."""
        self._clear()
        self._spec = None
        self.hide()
        self.closed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        pressed = event.type() == QEvent.Type.KeyPress
        if not isinstance(event, QKeyEvent) or not pressed or not self.open:
            return False
        if any(_hangs(made) for made in self._fields.values()):
            return False  # what hangs under the line has the keys
        return self._on_key(watched, event)

    def _on_key(self, watched: QObject, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Escape:
            self.put_away()
            return True
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter) or not plain:
            return False
        if not self._go_on(watched):
            self.submit()
        return True

    def _go_on(self, line: QObject) -> bool:
        """To the field after that one; False when it is the last."""
        lines = [made.line for made in self._fields.values()]
        here = next(place for place, one in enumerate(lines) if one is line)
        if here == len(lines) - 1:
            return False
        lines[here + 1].setFocus()
        lines[here + 1].selectAll()
        return True

    def _on_followed(self, _text: str = "") -> None:
        """A bare amount is in the unit that goes with what another field says."""
        for ask in self._spec.asks if self._spec is not None else ():
            made, other = self._fields.get(ask.key), self._fields.get(ask.follows)
            if isinstance(made, AmountField) and isinstance(other, TextField):
                unit = dict(ask.units).get(other.line.text().strip().casefold())
                made.follow(unit or ask.unit)

    def _on_taken(self, _words: str) -> None:
        here = self.focusWidget()
        if any(made.line is here for made in self._fields.values()):
            self._go_on(here)

    def _field(self, ask: Ask, spec: FormSpec) -> TypedField | TextField:
        if ask.kind in (TEXT_ASK, DAY):
            return TextField(ask, self._page, spec.instants)
        if ask.kind == AMOUNT:
            made: TypedField = AmountField(ask.title, _QUANTITIES[ask.unit][0], ask.unit)
        else:
            made = TypedField(ask.title, ask.kind, ask.unit)
        made.line.setPlaceholderText(ask.hint)
        made.set_text(ask.text)
        return made

    def _read(self, ask: Ask) -> str | int | float | Typed | None:
        made = self._fields[ask.key]
        if not made.line.text().strip():
            if ask.needed:
                raise RecordError(f"{ask.title}: say it, nothing was typed.")
            return None
        if isinstance(made, AmountField):
            return made.read()
        if isinstance(made, TypedField):
            return parse_any(made.line.text(), (ask.kind,), default_unit=ask.unit or None).kept
        return made.read_day() if ask.kind == DAY else made.read()

    def _refuse(self, key: str, sentence: str) -> None:
        self._fields[key].refuse(sentence)
        self._fields[key].line.setFocus()

    def _arrange(self) -> None:
        """As many fields beside each other as there is room for."""
        across = max(2, (self.width() - 6 * STEP) // (_FIELD_WIDTH + 4 * STEP))
        for place, made in enumerate(self._fields.values()):
            self._grid.addWidget(made, place // across, place % across, Qt.AlignmentFlag.AlignTop)
        for column in range(self._grid.columnCount()):
            self._grid.setColumnStretch(column, 1 if column < across else 0)

    def _clear(self) -> None:
        for made in self._fields.values():
            self._grid.removeWidget(made)
            made.hide()
            if isinstance(made, TextField) and made.suggestions is not None:
                made.suggestions.deleteLater()
            made.deleteLater()
        self._fields.clear()


class Marked(QWidget):
    """A sentence that wants attention: the triangle, and the words in ink."""

    def __init__(self, size: int = TEXT) -> None:
        super().__init__()
        self.words = Label("", size, wrap=True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * STEP)
        mark = QVBoxLayout()
        mark.setContentsMargins(0, 2 if size == SMALL else STEP, 0, 0)
        mark.addWidget(Triangle())
        mark.addStretch(1)
        row.addLayout(mark)
        row.addWidget(self.words, 1)

    def say(self, sentence: str) -> None:
        """Say it; "" takes no room."""
        self.words.setText(sentence)
        self.setAccessibleName(sentence)
        self.setVisible(bool(sentence))


def _hangs(made: TypedField | TextField) -> bool:
    suggestions = made.suggestions if isinstance(made, TextField) else None
    return suggestions is not None and suggestions.isVisible()
