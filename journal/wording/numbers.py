"""Numbers as they are written: their sign, their digits, a dash where there is none."""

from __future__ import annotations

import math

NOTHING = "–"


def minus(text: str) -> str:
    """A number's text with a minus of its own, which is no hyphen."""
    return text.replace("-", "−")


def number(value: float | None, digits: int, *, sign: bool = False) -> str:
    """A number with so many decimals, a dash where there is none; zero has no sign."""
    if value is None or not math.isfinite(value):
        return NOTHING
    text = f"{value:{'+' if sign else ''}.{digits}f}"
    return minus(text if text.strip("+-0.") else text.lstrip("+-"))


def signed(value: float, digits: int = 2) -> str:
    """A number with its sign: "+0.42", "−0.42", "0.00"."""
    return number(value, digits, sign=True)


def short(value: float, digits: int = 4) -> str:
    """A number without decimals that say nothing: "2.9", "12", "−0.05"."""
    text = f"{value:.{digits}f}"
    return minus(text.rstrip("0").rstrip(".") if "." in text else text)


def percent(share: float) -> str:
    """A share as it is written: "50 %"."""
    return f"{100 * share:.0f} %"
