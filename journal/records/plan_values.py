"""Values as a plan's file writes them: one number and one unit of a short closed list."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol
from uuid import UUID

from journal.message import Message
from journal.records import RecordError

_VALUE = re.compile(r"([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?) +(\S.*)")
_ESCAPES = {"\b": "\\b", "\t": "\\t", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


class Shape(Protocol):
    """What may stand behind a key: how it is read, and how it is written."""

    def read(self, value: object) -> Any:
        """The value for the record; raises RecordError with what is wrong and what would do."""

    def write(self, value: Any) -> str:
        """The value as TOML."""


@dataclass(frozen=True)
class PlanUnit:
    """A unit: what one of it is in the quantity's kept unit, and where its scale begins."""

    name: str
    factor: float = 1.0
    zero: float = 0.0


@dataclass(frozen=True)
class Amount:
    """A number with a unit, as text: "31.5 degC". The first unit is the one kept; `noun` is the id
    of what a person calls it."""

    noun: str
    example: str
    units: tuple[PlanUnit, ...]
    written: tuple[str, ...] = ()  # larger units, largest first, for whole multiples

    def read(self, value: object) -> float:
        """The number in the kept unit."""
        number, name = _split(value, self.noun, self.example)
        unit = next((u for u in self.units if u.name == name), None)
        if unit is None:
            raise RecordError(
                "records.value-of-another-unit",
                value=value,
                what=Message(self.noun),
                known=tuple(u.name for u in self.units),
                example=self.example,
            )
        return (number - unit.zero) * unit.factor

    def write(self, value: float) -> str:
        """The number with the largest unit it is a whole multiple of."""
        for name in self.written:
            unit = next(u for u in self.units if u.name == name)
            many = value / unit.factor
            if value and many.is_integer() and many * unit.factor == value:
                return f'"{plain(many)} {singular(name) if many == 1 else name}"'
        name = self.units[0].name
        return f'"{plain(value)} {singular(name) if value == 1 else name}"'


@dataclass(frozen=True)
class Rate:
    """What goes into a litre of milk, "0.02 g/l": a number and whether grams or millilitres."""

    def read(self, value: object) -> tuple[float, str]:
        """The number and "g" or "ml"."""
        number, name = _split(value, "records.noun-dose", '"0.02 g/l"')
        if name not in ("g/l", "ml/l"):
            raise RecordError("records.dose-of-another-unit", value=value)
        return number, name.removesuffix("/l")

    def write(self, value: tuple[float, str]) -> str:
        """The dose of a litre."""
        return f'"{plain(value[0])} {value[1]}/l"'


@dataclass(frozen=True)
class Text:
    """Words."""

    def read(self, value: object) -> str:
        """The text as it stands."""
        if not isinstance(value, str):
            raise RecordError("records.no-text", value=value)
        return value

    def write(self, value: str) -> str:
        """A quoted string, over several lines where the text has them."""
        return quoted(value)


@dataclass(frozen=True)
class OneOf:
    """A word of a closed list; `refusal` is the id of the message for any other."""

    refusal: str
    allowed: tuple[str, ...]

    def read(self, value: object) -> str:
        """The word; raises RecordError with those there are."""
        if value not in self.allowed:
            raise RecordError(self.refusal, word=value, known=self.allowed)
        return str(value)

    def write(self, value: str) -> str:
        """The word in quotation marks."""
        return quoted(value)


@dataclass(frozen=True)
class Number:
    """A bare number, for what has no unit."""

    noun: str

    def read(self, value: object) -> float:
        """The number; yes and no, nan and inf are none."""
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            try:
                number = float(value)
            except OverflowError:
                number = math.inf
            if math.isfinite(number):
                return number
        raise RecordError("records.no-bare-number", value=value, what=Message(self.noun))

    def write(self, value: float) -> str:
        """The shortest number that reads back the same."""
        return plain(value)


@dataclass(frozen=True)
class Count:
    """A bare whole number."""

    noun: str

    def read(self, value: object) -> int:
        """The whole number from 0 to 1,000,000."""
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 1_000_000:
            return value
        raise RecordError("records.no-whole-number", value=value, what=Message(self.noun))

    def write(self, value: int) -> str:
        """The digits."""
        return str(value)


@dataclass(frozen=True)
class YesNo:
    """true or false."""

    def read(self, value: object) -> bool:
        """Whether it is so."""
        if not isinstance(value, bool):
            raise RecordError("records.no-yes-or-no", value=value)
        return value

    def write(self, value: bool) -> str:
        """TOML's own word."""
        return "true" if value else "false"


@dataclass(frozen=True)
class Identity:
    """A UUID."""

    def read(self, value: object) -> str:
        """The UUID as it stands."""
        try:
            UUID(str(value))
        except ValueError:
            raise RecordError("records.no-uuid", value=value) from None
        return str(value)

    def write(self, value: str) -> str:
        """The UUID in quotation marks."""
        return quoted(value)


@dataclass(frozen=True)
class Several:
    """A list of one shape."""

    shape: Shape

    def read(self, value: object) -> tuple[Any, ...]:
        """Each of the list, in its order."""
        if not isinstance(value, list):
            raise RecordError("records.no-list", value=value)
        return tuple(self.shape.read(one) for one in value)

    def write(self, value: Iterable[Any]) -> str:
        """The list on one line."""
        return f"[{', '.join(self.shape.write(one) for one in value)}]"


TEMPERATURE = Amount(
    "records.noun-temperature",
    '"31.5 degC"',
    (PlanUnit("degC"), PlanUnit("degF", factor=5 / 9, zero=32.0)),
)
LENGTH_OF_TIME = Amount(
    "records.noun-length-of-time",
    '"40 min"',
    (
        PlanUnit("min"),
        PlanUnit("s", 1 / 60),
        PlanUnit("h", 60.0),
        PlanUnit("days", 1440.0),
        PlanUnit("day", 1440.0),
    ),
    written=("days", "h"),
)
AGE = Amount(
    "records.noun-age",
    '"2 days"',
    (
        PlanUnit("days"),
        PlanUnit("day"),
        PlanUnit("h", 1 / 24),
        PlanUnit("week", 7.0),
        PlanUnit("weeks", 7.0),
    ),
)
SIZE = Amount("records.noun-size", '"12 mm"', (PlanUnit("mm"), PlanUnit("cm", 10.0)))
VOLUME = Amount("records.noun-volume", '"10 l"', (PlanUnit("l"), PlanUnit("ml", 0.001)))
SHARE = Amount("records.noun-share-of-milk", '"0.3 l/l"', (PlanUnit("l/l"),))
PRESSURE = Amount("records.noun-pressure", '"15 kPa"', (PlanUnit("kPa"),))
SLOPE = Amount("records.noun-slope", '"0.2 degC/min"', (PlanUnit("degC/min"),))
DIFFERENCE = Amount("records.noun-temperature-difference", '"1.5 degC"', (PlanUnit("degC"),))
PERCENT = Amount("records.noun-percentage", '"85 %"', (PlanUnit("%"),))
PH = Amount("records.noun-ph", '"6.2 pH"', (PlanUnit("pH"),))
ACIDITY = Amount("records.noun-acidity", '"0.16 % lactic"', (PlanUnit("% lactic"),))


def plain(value: float) -> str:
    """The shortest decimal number that reads back as `value`, without a trailing ".0"."""
    return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(float(value))


def singular(unit: str) -> str:
    """The unit's name for one of it."""
    return "day" if unit == "days" else unit


def quoted(text: str) -> str:
    """`text` as a TOML string that reads back the same."""
    if "\n" not in text:
        return f'"{_escaped(text)}"'
    return '"""\n' + "\n".join(_escaped(line) for line in text.split("\n")) + '"""'


def _escaped(line: str) -> str:
    return "".join(
        _ESCAPES.get(c) or (f"\\u{ord(c):04X}" if ord(c) < 0x20 or ord(c) == 0x7F else c)
        for c in line
    )


def _split(value: object, noun: str, example: str) -> tuple[float, str]:
    """The number and the unit of a value such as "31.5 degC"."""
    found = _VALUE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise RecordError(
            "records.value-without-unit", value=value, what=Message(noun), example=example
        )
    number = float(found[1])
    if not math.isfinite(number):
        raise RecordError(
            "records.value-too-large", value=value, what=Message(noun), example=example
        )
    return number, found[2]
