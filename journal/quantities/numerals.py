"""The number at the front of what was typed: decimals with either mark, fractions, signs."""

from __future__ import annotations

import re

from journal.quantities import AmbiguousNumber, QuantityError

_VULGAR = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5),
    "⅗": (3, 5), "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8),
    "⅞": (7, 8),
}  # fmt: skip
_PARTS = "".join(_VULGAR)
_SPACES = [chr(code) for code in (0xA0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000)]
_DIGITS = ("٠١٢٣٤٥٦٧٨٩", "۰۱۲۳۴۵۶۷۸۹", "０１２３４５６７８９")  # Arabic, Persian, full width
_SAME = str.maketrans(
    {
        **{digit: str(value) for row in _DIGITS for value, digit in enumerate(row)},
        **dict.fromkeys("٫．", "."),
        **dict.fromkeys(_SPACES, " "),
        **dict.fromkeys("\u200b\ufeff\u2060", ""),
        **dict.fromkeys("−–‒﹣－", "-"),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("′’‘", "'"),
        "⁄": "/",
        "∕": "/",
        "℃": "°C",
        "℉": "°F",
        "ℓ": "l",
        "％": "%",
    }
)
_NUMBER = re.compile(
    rf"""(?P<sign>[+-]?)\s*(?:
        (?P<before>[0-9]{{1,6}})?\s*(?P<vulgar>[{_PARTS}])
      | (?:(?P<whole>[0-9]{{1,6}})\s+)?(?P<top>[0-9]{{1,4}})\s*/\s*(?P<bottom>[0-9]{{1,4}})
      | (?P<grouped>[0-9]{{1,3}}(?:\ [0-9]{{3}})+(?:[.,][0-9]+)?)(?![0-9])
      | (?P<plain>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)
    )""",
    re.VERBOSE,
)
# A decimal comma to some and a mark between thousands to others.
_TWO_READINGS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_LONGEST = 80


def tidy(text: str) -> str:
    """`text` with its spaces, signs and degree signs brought to one spelling each."""
    return " ".join(text.translate(_SAME).split())


def read_number(text: str) -> tuple[float, str]:
    """The number `text` (tidied) begins with and what follows it, spaces removed.

    Reads "31.4", "31,4", "1 200", "1/2", "1 1/2", "1½" with a sign before.

    Raises
    ------
    AmbiguousNumber
        When one comma stands before three digits and either reading could be meant.
    QuantityError
        When no number stands there, or it could be read in two ways.
    """
    if len(text) > _LONGEST:
        raise QuantityError("quantities.too-long")
    found = _NUMBER.match(text)
    if found is None:
        raise QuantityError("quantities.no-number", typed=text)
    rest = text[found.end() :]
    _refuse_tail(text, rest)
    size = -_size(found) if found["sign"] == "-" else _size(found)
    if _TWO_READINGS.fullmatch(found["plain"] or ""):
        digits, unit = found["plain"], rest.strip()
        raise AmbiguousNumber(
            decimal=size, digits=digits, rest=unit, unit=f" {unit}".rstrip(),
            one=digits.replace(",", "."), other=digits.replace(",", ""),
        )  # fmt: skip
    return size, rest.strip()


def has_fraction(text: str) -> bool:
    """Whether the number at the front of `text` is written with a fraction: "1/8", "1½"."""
    found = _NUMBER.match(tidy(text))
    return bool(found and (found["vulgar"] or found["bottom"]))


def _refuse_tail(text: str, rest: str) -> None:
    if re.match(r"[eE][+-]?[0-9]", rest):
        raise QuantityError("quantities.exponent", typed=text)
    if rest[:1] in (".", ",") and rest[1:2].isdigit():
        raise QuantityError("quantities.two-marks", typed=text)
    if re.match(rf"[.,/:^*+0-9{_PARTS}]|'[0-9]", rest):
        raise QuantityError("quantities.not-one-number", typed=text)


def _size(found: re.Match[str]) -> float:
    if found["vulgar"]:
        top, bottom = _VULGAR[found["vulgar"]]
        return int(found["before"] or 0) + top / bottom
    if found["bottom"]:
        return _fraction(found)
    return float((found["grouped"] or found["plain"]).replace(" ", "").replace(",", "."))


def _fraction(found: re.Match[str]) -> float:
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise QuantityError("quantities.divides-by-nothing", typed=found[0])
    if found["whole"] and not 0 < top < bottom:
        raise QuantityError("quantities.mixed-number", typed=found[0])
    return int(found["whole"] or 0) + top / bottom
