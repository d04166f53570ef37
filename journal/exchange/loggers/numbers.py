"""Columns of numbers: either decimal mark, a unit behind the number, and what is no number."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from journal.exchange.loggers.cells import NOTHING
from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.units import stored_unit, unit_named

_HUGE = 1e15  # no reading and no time is as large
GOOD, EMPTY, NO_NUMBER, OTHER_UNIT = range(4)
_LONE = re.compile(r"([+\-−]?)([0-9][0-9.,' ]*|[.,][0-9]+)((?:[eE][+-]?[0-9]{1,3})?)\s*([^0-9]*)")
_GROUPS = re.compile(r"[0-9]{1,3}(?:[., '][0-9]{3})+")


def decimal_mark(cells: Sequence[str], delimiter: str) -> str:
    """ "." or ",": the mark most of the numbers in the cells have."""
    votes: Counter[str] = Counter()
    for cell in cells:
        found = re.match(r"\s*[+\-−]?[0-9]*((?:[.,][0-9]+)+)", cell)
        if not found:
            continue
        marks = re.findall(r"[.,]", found[1])
        if len(set(marks)) == 2 or (len(marks) == 1 and marks[0] == "."):
            votes[marks[-1]] += 1
        elif len(marks) == 1:
            doubtful = delimiter == "," and re.fullmatch(r",[0-9]{3}", found[1])
            votes[","] += not doubtful
    return "," if votes[","] > votes["."] else "."


def read_values(
    cells: Sequence[str], decimal: str, quantity: str, unit: str
) -> tuple[NDArray[np.float64], NDArray[np.uint8]]:
    """The numbers in the cells in the quantity's stored unit, (n,), and how each fared, (n,).

    A unit written behind a number goes before `unit` (a unit key). What is no number is NaN.
    """
    value = np.full(len(cells), np.nan)
    fared = np.zeros(len(cells), np.uint8)
    plain = cells
    if decimal == ",":  # a point there may stand between thousands: not to be read as it is
        plain = [cell.replace(",", ".") if "." not in cell else "" for cell in cells]
    try:
        value[:] = list(map(float, plain))
        rest = np.flatnonzero(~(np.abs(value) < _HUGE)).tolist()
    except ValueError:
        rest = _one_by_one(plain, value)
    kept = stored_unit(quantity).key
    value[rest] = np.nan
    value = convert(value, unit, kept)
    for suffix, rows in _lone(cells, rest, decimal, value, fared).items():
        _apply_unit(suffix, np.array(rows), value, fared, quantity, unit)
    return value, fared


def _one_by_one(plain: Sequence[str], value: NDArray[np.float64]) -> list[int]:
    """Fill in what is a plain number; the rows that are not."""
    rest = []
    for at, cell in enumerate(plain):
        try:
            number = float(cell)
        except ValueError:
            rest.append(at)
            continue
        if abs(number) < _HUGE:
            value[at] = number
        else:
            rest.append(at)
    return rest


def _lone(
    cells: Sequence[str], rest: list[int], decimal: str, value: NDArray[np.float64],
    fared: NDArray[np.uint8],
) -> dict[str, list[int]]:  # fmt: skip
    """Read the cells that are no plain number; the rows by the unit that stood in them."""
    suffixes: dict[str, list[int]] = {}
    for at in rest:
        cell = cells[at].strip()
        value[at] = np.nan
        if cell.lower() in NOTHING:
            fared[at] = EMPTY
            continue
        found = _LONE.fullmatch(cell) if len(cell) <= 60 else None
        number = _size(found[2].strip(), found[3], decimal) if found else math.nan
        if found is None or not number < _HUGE:
            fared[at] = NO_NUMBER
            continue
        value[at] = -number if found[1] in ("-", "−") else number
        suffixes.setdefault(found[4].strip(), []).append(at)
    return suffixes


def _size(text: str, exponent: str, decimal: str) -> float:
    other = "." if decimal == "," else ","
    head, mark, tail = text.rpartition(decimal)
    if not mark:
        head, tail = text, ""
    if _GROUPS.fullmatch(head) and decimal not in head:
        head = re.sub(r"[., ']", "", head)
    elif not mark and head.count(other) == 1:
        head = head.replace(other, ".")
    try:
        return float(head + ("." + tail if mark else "") + exponent)
    except ValueError:
        return math.nan


def _apply_unit(
    suffix: str, rows: NDArray[np.int64], value: NDArray[np.float64],
    fared: NDArray[np.uint8], quantity: str, unit: str,
) -> None:  # fmt: skip
    try:
        found = unit_named(quantity, suffix.replace("Â", "").replace("\ufffd", "°")).key
    except QuantityError:
        if suffix:
            fared[rows] = OTHER_UNIT
            value[rows] = np.nan
            return
        found = unit
    value[rows] = convert(value[rows], found, stored_unit(quantity).key)
