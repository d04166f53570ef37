"""How texts sort as people read them."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"(?:(?<!\w)[−-])?\d+(?:\.\d+)?")


def natural(text: str) -> list[tuple[int, float, str]]:
    """A key by which texts sort as people read them: "HL-9" before "HL-10", case aside."""
    found: list[tuple[int, float, str]] = []
    last = 0
    for number in _NUMBER.finditer(text):
        found.append((1, 0.0, text[last : number.start()].casefold()))
        found.append((0, float(number[0].replace("−", "-")), ""))
        last = number.end()
    return [*found, (1, 0.0, text[last:].casefold())]
