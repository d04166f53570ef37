"""The fields of a form, made from what is asked and read together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, Signal

from journal.desk.form.chips import Chips
from journal.desk.form.choice import ChoiceList, ComboBox
from journal.desk.form.line_field import LineField, TextLine
from journal.desk.form.photo import Photo
from journal.desk.form.readers import (
    READERS,
    AmountField,
    ChipsField,
    ChoiceField,
    NumberField,
    PhotoField,
    QuantityField,
    Reader,
    RowField,
    TextField,
)
from journal.desk.form.spec import Field, FieldContext, FieldValue, FormValues
from journal.quantities import QuantityError
from journal.records import RecordError
from journal.wording import text_of


class Fields(QObject):
    """The fields of a form, made from what is asked and read together. `edited` carries the words
    at every letter and choice, `chosen` comes where something was picked, `done` carries the field
    that Enter leaves, `taken` the one whose words were taken from what hung there."""

    edited = Signal(str)
    chosen = Signal()
    done = Signal(object)
    taken = Signal(object)

    def __init__(self, fields: Sequence[Field], around: FieldContext, parent: QObject) -> None:
        super().__init__(parent)
        self.made: dict[str, Reader] = {
            one.key: READERS.get(one.kind, QuantityField)(one, around) for one in fields
        }
        for made in self.made.values():
            made.text_changed.connect(self._on_edited)
            made.chosen.connect(self.chosen)
            made.done.connect(partial(self._on_done, made))
            if isinstance(made, TextField):
                made.picked.connect(partial(self._on_taken, made))
        self._follow()

    @property
    def lines(self) -> dict[str, TextLine]:
        """The lines there are, by the key of their field."""
        return {k: made.line for k, made in self.made.items() if isinstance(made, LineField)}

    @property
    def choices(self) -> dict[str, ComboBox]:
        """The choices there are, by the key of their field."""
        return {k: made.choice for k, made in self.made.items() if isinstance(made, ChoiceField)}

    @property
    def chips(self) -> dict[str, Chips]:
        """The chips there are, by the key of their field."""
        return {k: made.chips for k, made in self.made.items() if isinstance(made, ChipsField)}

    @property
    def rows(self) -> dict[str, ChoiceList]:
        """The rows of choices there are, by the key of their field."""
        return {k: made.choice for k, made in self.made.items() if isinstance(made, RowField)}

    @property
    def numbers(self) -> dict[str, NumberField]:
        """The numbers there are, by the key of their field."""
        return {k: made for k, made in self.made.items() if isinstance(made, NumberField)}

    @property
    def photos(self) -> dict[str, Photo]:
        """The photos there are, by the key of their field."""
        return {k: made.photo for k, made in self.made.items() if isinstance(made, PhotoField)}

    @property
    def hanging(self) -> bool:
        """What could be meant hangs under a line, and has the keys."""
        fields = [made for made in self.made.values() if isinstance(made, TextField)]
        return any(one.suggestions is not None and one.suggestions.isVisible() for one in fields)

    def watch(self, watcher: QObject) -> None:
        """Let the keys go through that one's `eventFilter` first."""
        for made in self.made.values():
            made.entry.installEventFilter(watcher)

    def asked_for(self, key: str) -> bool:
        """Whether a field is asked for, as the others stand."""
        other, keys = self.made[key].field.only_where
        return not other or self.made[other].text() in keys

    def half_typed(self) -> dict[str, object]:
        """What stands in the fields, by their keys, as it can be stored."""
        return {key: made.half_typed() for key, made in self.made.items()}

    def recall(self, half: Mapping[str, Any]) -> None:
        """Put back what `half_typed` said; raises where that was no such thing."""
        for key, made in self.made.items():
            made.recall(half[key])

    def texts(self) -> tuple[str, ...]:
        """What stands in the fields, understood or not."""
        return tuple(
            made.line.text() if isinstance(made, LineField) else made.text()
            for made in self.made.values()
        )

    def put_texts(self, texts: Sequence[str]) -> None:
        """Put back what stood there before."""
        for made, text in zip(self.made.values(), texts, strict=False):
            made.set_text(text)

    def after(self, entry: QObject) -> Reader | None:
        """The field after the one whose keys those are."""
        made = list(self.made.values())
        here = next(index for index, one in enumerate(made) if one.entry is entry)
        return made[here + 1] if here + 1 < len(made) else None

    def read(self) -> FormValues | None:
        """What was typed; None where a field cannot be, which then says why and has the focus."""
        values: dict[str, FieldValue] = {}
        for key, made in self.made.items():
            try:
                values[key] = _value(made)
            except (QuantityError, RecordError) as error:
                self.refuse(key, text_of(error))
                return None
        return FormValues(values)

    def refuse(self, key: str, sentence: str) -> None:
        """Say at a field what was wrong, and go there."""
        self.made[key].refuse(sentence)
        self.made[key].entry.setFocus()

    def take_away(self) -> None:
        """Take the fields off the page."""
        for made in self.made.values():
            if isinstance(made, TextField) and made.suggestions is not None:
                made.suggestions.deleteLater()
            made.hide()
            made.deleteLater()
        self.deleteLater()

    def _on_edited(self, text: str) -> None:
        self._follow()
        self.edited.emit(text)

    def _on_done(self, made: Reader) -> None:
        self.done.emit(made)

    def _on_taken(self, made: TextField, _words: object) -> None:
        self.taken.emit(made)

    def _follow(self) -> None:
        """A bare amount is in the unit that goes with what another field says."""
        for made in self.made.values():
            if isinstance(made, AmountField) and made.field.follows:
                made.follow(self.made[made.field.follows].text())


def _value(made: Reader) -> FieldValue:
    if made.text():
        return made.given()
    if made.field.needed:
        raise RecordError("desk.nothing-typed", field=made.field.title)
    return None
