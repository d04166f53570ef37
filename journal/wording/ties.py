"""Amounts that are not torn apart where a line ends: the space before a unit does not break."""

from __future__ import annotations

import re

NO_BREAK = "\u00a0"
_UNITS = (
    r"%|°[CF]|°C/min|kPa|kg|g|mg|lb|oz|L|l|ml|gal|mm|cm|min|h|s|days?|weeks?|months?|years?|points?"
)
_AMOUNT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w°]))|(?<=\bpH) (?=\d)")


def tied(text: str) -> str:
    """A sentence whose amounts stay whole: "86 %", "12.5 kg", "pH 6.4"."""
    return _AMOUNT.sub(NO_BREAK, text)
