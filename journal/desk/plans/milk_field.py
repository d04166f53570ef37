"""The field of the milk: litres, or a mass taken by the density of milk."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from journal.desk.form.readers import QuantityField
from journal.desk.form.spec import Field, FieldContext
from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.typed import Typed, parse
from journal.reckoning.density import MILK_KG_PER_L
from journal.records import RecordError
from journal.records.makes import Milk
from journal.wording import text_of, worded
from journal.wording.shown import shown_value


class MilkField(QuantityField):
    """Understands "12 L", "3 gal" and "22 kg"; what is no milk is marked at each key. `typed` says
    that somebody wrote it: then it stays when another plan is picked."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(Field("milk", "Milk", "volume", "L"), FieldContext(page))
        self.typed = False
        self._kept = ("", 0.0)
        self.line.textEdited.connect(self._on_edited)

    def read(self) -> Typed:
        text = self.line.text()
        try:
            typed = parse(text, self.quantity, default_unit=self.unit)
        except QuantityError as error:
            typed = _by_mass(text, error)
        try:
            Milk(typed.stored)
        except RecordError as error:
            raise QuantityError(error.message) from None
        return typed

    def report(self, typed: Typed) -> str:
        if typed.quantity == "volume":
            return super().report(typed)
        density = f"{MILK_KG_PER_L:.3f} kg/L"
        return worded("desk.milk-at-density", litres=typed.stored, density=density)

    def show_litres(self, litres: float) -> None:
        """Show so much milk in the unit that is chosen; it stays exact until somebody types."""
        text = f"{round(shown_value(litres, 'volume'), 3):g}"
        self._kept = (text, litres)
        self.set_text(text)

    def litres(self) -> float | None:
        """The milk, None while what stands there is none."""
        text, kept = self._kept
        if text and self.line.text() == text:
            return kept  # as exact as it was, whatever unit it is shown in
        typed = self.value()
        return typed.stored if typed is not None and 0 < typed.stored <= 10_000 else None

    def _on_edited(self, _text: str) -> None:
        self.typed = True

    def _on_text(self, text: str) -> None:
        super()._on_text(text)
        if text.strip():
            try:
                self.read()
            except QuantityError as error:
                self.refuse(text_of(error))


def _by_mass(text: str, problem: QuantityError) -> Typed:
    """The litres of a mass of milk; what was wrong with it as a volume where it is none."""
    try:
        typed = parse(text, "mass")
    except AmbiguousNumber:
        raise
    except QuantityError:
        raise problem from None
    return replace(typed, stored=typed.stored / MILK_KG_PER_L)
