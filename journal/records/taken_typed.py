"""A part of a wheel and a wheel's size, as they are typed."""

from __future__ import annotations

import re

from journal.quantities import QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.quantities.typed import parse
from journal.records import RecordError

_WORDS = {"all": 1.0, "half": 0.5, "a half": 0.5, "a third": 1 / 3, "a quarter": 0.25}
_OF = re.compile(r"(\d{1,3})\s*/\s*(\d{1,3})")
_SIZE = re.compile(r"\s*(.+?)\s*(?:x|×|by)\s*(.+?)\s*", re.IGNORECASE)
_UNIT = re.compile(r"[\d.,\s½¼¾/]+")


def read_part(text: str) -> tuple[float | None, float | None]:
    """A part as a share of the whole wheel (0 to 1) or as a weight, kg; the other is None.

    Reads "1/4", "half", "25 %", "300 g", "0.3 kg".

    Raises
    ------
    RecordError
        When it is neither, or is no part.
    """
    plain = tidy(text).lower()
    share = _WORDS.get(plain)
    if (parts := _OF.fullmatch(plain)) and int(parts[2]):
        share = int(parts[1]) / int(parts[2])
    elif plain.endswith("%"):
        share = parse(plain, "percent").stored / 100
    if share is not None:
        if not 0 < share <= 1:
            raise RecordError("records.part-share", share=share)
        return share, None
    try:
        if not read_number(plain)[1]:  # a bare number is neither kg nor a share
            raise RecordError("records.part-unknown")
        return None, parse(plain, "mass").stored
    except QuantityError as error:
        raise RecordError("records.part-typed", typed=text) from error


def read_size(text: str) -> tuple[float, float]:
    """Diameter and height, mm: "16 x 8 cm", "160 × 80 mm"; RecordError when it is no size."""
    parts = _SIZE.fullmatch(text)
    if parts is None:
        raise RecordError("records.size-typed", typed=text)
    first, second = parts[1], parts[2]
    unit = _UNIT.sub("", second, count=1).strip()
    try:
        one = parse(first, "length", default_unit=unit or None).stored
        return one, parse(second, "length").stored
    except QuantityError as error:
        raise RecordError("records.size-typed", typed=text) from error
