"""A curve of temperature from a small CSV file: minutes and degC."""

from __future__ import annotations

import math
from pathlib import Path

from journal.command.error import CommandError

_LARGEST = 20_000_000


def read_curve(path: str) -> tuple[list[float], list[float]]:
    """The first two columns of a CSV file as minutes and °C.

    A first row of names is skipped; where the second name ends in F the column is in °F. Columns
    stand between commas, or between semicolons or tabs with either decimal mark.

    Raises
    ------
    CommandError
        When a row is no pair of numbers; the sentence names the row.
    """
    file = Path(path)
    if not file.is_file():
        raise CommandError(f"there is no file {path}.")
    if file.stat().st_size > _LARGEST:
        raise CommandError(f"{path} is too large for a curve of one pasteurising.")
    lines = file.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    rows = [(i, _cells(line)) for i, line in enumerate(lines, 1) if line.strip(" ,;\t")]
    fahrenheit = False
    if rows and _pair(rows[0][1]) is None:
        fahrenheit = _in_fahrenheit(rows.pop(0)[1])
    pairs = []
    for number, cells in rows:
        pair = _pair(cells)
        if pair is None:
            raise CommandError(f"row {number} of {path} is no pair of minutes and degC.")
        pairs.append(pair)
    minutes = [minute for minute, _ in pairs]
    temps = [temp for _, temp in pairs]
    return minutes, [(temp - 32) / 1.8 for temp in temps] if fahrenheit else temps


def _cells(line: str) -> list[str]:
    mark = next((mark for mark in (";", "\t") if mark in line), ",")
    cells = [cell.strip().strip('"') for cell in line.split(mark)]
    return cells if mark == "," else [cell.replace(",", ".") for cell in cells]


def _in_fahrenheit(names: list[str]) -> bool:
    return len(names) > 1 and names[1].lower().rstrip(")]").endswith(("degf", "°f", "fahrenheit"))


def _pair(cells: list[str]) -> tuple[float, float] | None:
    try:
        minute, temp = float(cells[0]), float(cells[1])
    except (ValueError, IndexError):
        return None
    return (minute, temp) if math.isfinite(minute) and math.isfinite(temp) else None
