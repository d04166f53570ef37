"""Several values of one quantity on one line: "1.18 kg, 1.16 kg", "1,18 kg; 1160 g"."""

from __future__ import annotations

import re

from journal.quantities import QuantityError
from journal.quantities.numerals import tidy
from journal.quantities.typed import Typed, parse

_LONGEST = 2000
# A comma parts two values only before a space or after a unit: "1,18" is a decimal comma.
_PARTS = re.compile(r"\s*(?:;|\+|\band\b|(?<=[A-Za-z°%]),|,(?=\s))\s*", re.IGNORECASE)


def parse_several(text: str, quantity: str, *, default_unit: str | None = None) -> list[Typed]:
    """Read every value of a line, in order; empty for an empty line.

    Values are parted by a semicolon, "+", "and", a comma before a space or a comma after a unit.

    Raises
    ------
    QuantityError
        When one of them cannot be understood.
    """
    line = tidy(text)
    if len(line) > _LONGEST:
        raise QuantityError("quantities.too-long")
    parts = [part for part in _PARTS.split(line) if part]
    return [parse(part, quantity, default_unit=default_unit) for part in parts]
