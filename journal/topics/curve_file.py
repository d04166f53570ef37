"""A curve of temperature from a small CSV file: minutes and degC."""

from __future__ import annotations

import math
import re
from pathlib import Path

from journal.topics import TopicError
from journal.wording.amounts import quoted

_LARGEST = 20_000_000
_BOILING_C = 101  # milk in an open pan


def read_curve(path: str) -> tuple[list[float], list[float]]:
    """The first two columns of a CSV file as minutes and °C.

    A first row of names is skipped; where the second name ends in F the column is in °F. Without
    a unit there, values that would be hotter than boiling milk are refused. Between columns are
    commas, or semicolons or tabs with either decimal mark.

    Raises
    ------
    TopicError
        When a row is no pair of numbers; the sentence names the row.
    """
    file = Path(path)
    try:
        if not file.is_file():
            raise TopicError("topics.no-file", path=path)
        if file.stat().st_size > _LARGEST:
            raise TopicError("topics.curve-too-large", path=path)
        lines = file.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    except OSError as error:
        raise TopicError("keeping.file-not-read", file=quoted(path), why=error) from None
    rows = [(i, _cells(line)) for i, line in enumerate(lines, 1) if line.strip(" ,;\t")]
    unit = ""
    if rows and _pair(rows[0][1]) is None:
        unit = _unit(rows.pop(0)[1])
    pairs = []
    for number, cells in rows:
        pair = _pair(cells)
        if pair is None:
            raise TopicError("topics.curve-row-unread", number=number, path=path)
        pairs.append(pair)
    minutes = [minute for minute, _ in pairs]
    temps = [temp for _, temp in pairs]
    if not unit and max(temps, default=0.0) > _BOILING_C:
        raise TopicError("topics.curve-without-unit", most=max(temps), path=path)
    return minutes, [(temp - 32) / 1.8 for temp in temps] if unit == "F" else temps


def _cells(line: str) -> list[str]:
    mark = next((mark for mark in (";", "\t") if mark in line), ",")
    cells = [cell.strip().strip('"') for cell in line.split(mark)]
    return cells if mark == "," else [cell.replace(",", ".") for cell in cells]


def _unit(names: list[str]) -> str:
    """C or F by the name of the second column; "" when it names neither."""
    name = names[1].lower().rstrip(")]") if len(names) > 1 else ""
    if re.search(r"(deg|°|\b)f$|fahrenheit$", name):
        return "F"
    return "C" if re.search(r"(deg|°|\b)c$|celsius$", name) else ""


def _pair(cells: list[str]) -> tuple[float, float] | None:
    try:
        minute, temp = float(cells[0]), float(cells[1])
    except (ValueError, IndexError):
        return None
    return (minute, temp) if math.isfinite(minute) and math.isfinite(temp) else None
