"""What a command answers: values that each know their text and their JSON, in rows or a sentence.

A `Value` is written once; the text for a person and, with `--json`, the plain values for a
program both come from it. A list is a `Table` of columns, a single answer is made with `answer`.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from journal.wording import word_of, worded
from journal.wording.shown import write

Row = TypeVar("Row")
Json = dict[str, Any]
_LEFT_OUT = object()


@dataclass(frozen=True)
class Value:
    """One value as JSON holds it, and as a person reads it."""

    data: Any
    text: str


@dataclass(frozen=True)
class CommandAnswer(Value):
    """All that a command answers, and its exit code."""

    code: int = 0


@dataclass(frozen=True)
class AnswerColumn(Generic[Row]):
    """One value of each row: its key in JSON, how it is read, its heading.

    `read` gives a `Value`, or anything that is written as it is. Without a key a column is for
    people alone, without a heading (None) for programs alone. A heading is the code of a word in
    "command.head-", or a name as it is.
    """

    key: str
    read: Callable[[Row], Any]
    head: str | None = None
    right: bool = False


class Table(Generic[Row]):
    """Columns that make lines and records of rows; with headings where there are any."""

    def __init__(self, *columns: AnswerColumn[Row]) -> None:
        self._columns = columns

    def of(self, rows: Iterable[Row]) -> Value:
        """The rows as one value: records, and lines with even columns."""
        read = [[(c, as_value(c.read(row))) for c in self._columns] for row in rows]
        shown = [column for column in self._columns if column.head is not None]
        heads = [[(c.head and word_of("command.head-", c.head)) or "" for c in shown]]
        heads = heads if any(c.head for c in shown) else []
        lines = [[value.text for c, value in row if c.head is not None] for row in read]
        right = [index for index, column in enumerate(shown) if column.right]
        records = [_record((column.key, value) for column, value in row) for row in read]
        return Value(records, aligned([*heads, *lines], right))

    def answer(
        self, rows: Iterable[Row], none: str = "", note: Callable[[Json], str] | None = None
    ) -> CommandAnswer:
        """The rows as a whole answer: `none` where there are none, or a `note` of each below."""
        found = self.of(rows)
        notes = filter(None, map(note, found.data)) if note else ()
        return CommandAnswer(found.data, "\n".join([found.text, *notes]) if found.data else none)


def answer(says: str | Sequence[str], code: int = 0, /, **fields: Any) -> CommandAnswer:
    """A single answer: JSON has its fields; what it says is a line or several.

    A line is the id of a sentence that names fields, or such names in braces alone. A number is
    handed over as it is, of every other field its text. A line of which nothing is left is left
    out.
    """
    values = {key: as_value(value) for key, value in fields.items()}
    known = {
        key: fields[key] if isinstance(fields[key], int | float) else value.text
        for key, value in values.items()
    }
    lines = [says] if isinstance(says, str) else says
    message = [(line, _written(line, known).rstrip()) for line in lines]
    text = "\n".join(done for line, done in message if done or not line)
    return CommandAnswer(_record(values.items()), text, code)


def _written(line: str, known: dict[str, Any]) -> str:
    return line.format_map(known) if "{" in line or not line else worded(line, **known)


def _record(values: Iterable[tuple[str, Value]]) -> Json:
    return {key: one.data for key, one in values if key and one.data is not _LEFT_OUT}


def as_value(value: Any) -> Value:
    """Anything as it is: nothing for None, names with commas between them."""
    if isinstance(value, Value):
        return value
    if isinstance(value, list | tuple):
        return Value(list(value), ", ".join(map(str, value)))
    return Value(value, "" if value is None else str(value))


def lines(parts: Iterable[Value | str]) -> Value:
    """Sentences or other values, one below another."""
    found = [as_value(part) for part in parts]
    return Value([part.data for part in found], "\n".join(part.text for part in found))


def optional(value: str | Sequence[str] | None) -> Value:
    """A sentence or several lines; JSON has the key only where there are any."""
    if not value:
        return text_only("")
    return as_value(value) if isinstance(value, str) else lines(value)


def text_only(text: str) -> Value:
    """What a person reads and JSON does not hold."""
    return Value(_LEFT_OUT, text)


def count(number: int, sentence: str) -> Value:
    """How many there are, by the id of what says it: "2 stages"."""
    return Value(number, worded(sentence, number=number))


def figure(
    value: float | None, digits: int, unit: str = "", *, sign: bool = False, quantity: str = ""
) -> Value:
    """A number of which a person reads so many digits, one of a `quantity` in the unit that is
    chosen; a program reads it as it is stored."""
    if quantity and value is not None and math.isfinite(value):
        text = write(value, quantity, digits=digits)
        return Value(value, f"+{text}" if sign and value > 0 else text)
    return Value(value, number(value, digits, unit, sign=sign))


def give(answer: CommandAnswer, *, as_json: bool) -> int:
    """Write the answer to standard output; returns its exit code."""
    text = json.dumps(plain(answer.data), indent=2, allow_nan=False) if as_json else answer.text
    if text:
        sys.stdout.write(text + "\n")
        sys.stdout.flush()
    return answer.code


def plain(value: Any) -> Any:
    """The same with null in place of numbers that are none, at any depth."""
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, dict):
        return {key: plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    return value


def aligned(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> str:
    """Rows of cells as lines with even columns; the columns in `right` are set to the right."""
    if not rows:
        return ""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines)


def number(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    """A number for a person, a dash where there is none."""
    if value is None or not math.isfinite(value):
        return "–"
    text = f"{value:{'+' if sign else ''}.{digits}f}"
    if not text.strip("+-0."):
        text = text.lstrip("+-")
    return f"{text.replace('-', '−')} {unit}".rstrip()


def sentence(text: str) -> str:
    """What went wrong, on one line, with a full stop; a name that begins it stays as it is."""
    line = " ".join(text.split())
    return line if line.endswith((".", "?")) else f"{line}."
