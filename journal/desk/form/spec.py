"""What a form asks: its fields, each with its kind, and the values that were filled in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from PySide6.QtWidgets import QWidget

from journal.desk.form.line_field import USUAL, FieldStyle
from journal.desk.form.suggest import LookUp, Suggestion
from journal.quantities.typed import Typed
from journal.records import RecordError
from journal.wording.languages import translated

TEXT, AS_TYPED, DAY, AMOUNT, SECRET = "text", "as typed", "day", "amount", "secret"
CHOICE, ROW, CHIPS, NUMBER, PHOTO = "choice", "row of choices", "chips", "number", "photo"
LINES, PATH = "lines", "path"
FieldValue = str | int | float | Typed | tuple[object, ...] | None


def finds_nothing(_text: str) -> list[Suggestion]:
    return []


@dataclass(frozen=True)
class Field:
    """One field: its key, its title, and what is typed there.

    `kind` is TEXT, AS_TYPED (with the blanks within it), DAY, AMOUNT (a weight or a volume),
    SECRET, CHOICE (one of `options`, from a list), ROW (one of them, side by side), CHIPS (several
    that `look` finds), NUMBER (a bare one, with steps), PHOTO, LINES (text of several), PATH (a
    file of readings) or the name of a quantity; `unit` is that of a bare number. `choices`, or what
    `look` finds, are offered under it, and only they will do where `only` is set. `name` is read
    aloud, where that is not the title, and `about` while nothing is said under it.
    """

    key: str
    title: str
    kind: str = TEXT
    unit: str = ""
    text: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()
    only: bool = False
    needed: bool = False
    follows: str = ""  # the field whose words say the unit of a bare number, by `units`
    units: tuple[tuple[str, str], ...] = ()
    options: Sequence[tuple[str, str]] = ()
    says: Mapping[str, str] = field(default_factory=dict)  # of each option, under a row of them
    only_where: tuple[str, tuple[str, ...]] = ("", ())  # another field, and what it must say
    look: LookUp = finds_nothing
    twice: bool = False  # the same chip may stand there twice
    of: Callable[..., object] = str  # builds again what a chip means
    name: str = ""
    about: str = ""
    stretch: int = 1  # its share of a row

    def translated(self) -> Field:
        """The same in the language in use: what it says itself, not what may be chosen."""
        title, hint, name, about = map(translated, (self.title, self.hint, self.name, self.about))
        says = {key: translated(text) for key, text in self.says.items()}
        return replace(self, title=title, hint=hint, name=name, about=about, says=says)


@dataclass(frozen=True)
class FieldContext:
    """What stands around a field: the page what could be meant hangs over, the zone and the
    present by which days are read, and how it is dressed."""

    page: QWidget
    instants: tuple[str, int] = ("UTC", 0)
    style: FieldStyle = USUAL


@dataclass(frozen=True)
class FormValues:
    """What was typed in a form, by the key of its field; None where it was left empty."""

    values: Mapping[str, FieldValue]

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
            raise RecordError("desk.number-missing")
        return value

    def amount(self, key: str) -> Typed | None:
        """The weight or the volume."""
        value = self.values[key]
        return value if isinstance(value, Typed) else None
