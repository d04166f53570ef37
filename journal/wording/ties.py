"""Amounts that are not torn apart where a line ends: the space before a unit does not break."""

from __future__ import annotations

import re

NO_BREAK, _JOINER = "\u00a0", "\u2060"
_UNITS = (
    r"%|°[CF]|°C/min|kPa|kg|g|mg|lb|oz|L|l|ml|gal|mm|cm|min|h|s|days?|weeks?|months?|years?|points?"
)
_AMOUNT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w°]))|(?<=\bpH) (?=\d)")


def tied(text: str) -> str:
    """A sentence whose amounts stay whole: "86 %", "12.5 kg", "pH 6.4"."""
    return _AMOUNT.sub(NO_BREAK, text)


def tied_on_screen(text: str) -> str:
    """The same, and the ratio S/M too, which a screen would break behind its stroke."""
    return tied(text).replace("S/M", f"S/{_JOINER}M")
