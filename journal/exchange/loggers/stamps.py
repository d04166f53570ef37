"""Dates and times in every usual form, read as arrays of milliseconds."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from journal.exchange.loggers.patterns import CellPattern, Ints, forms
from journal.records.dates import MONTHS

DAY_MS = 86_400_000
FIRST_YEAR, LAST_YEAR = 1970, 2199
NO_OFFSET = np.iinfo(np.int64).min
# The order of the three numbers of a date.
NO_DATE, YEAR_FIRST, YEAR_LAST, ALL_SHORT, DAY_FIRST = range(5)

_MONTHS = tuple(name[:3].lower() for name in MONTHS)
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
_DATES = {
    YEAR_FIRST: (
        r"(?P<a>\d{4})(?P<s>[-/. ])(?P<b>\d{1,2})(?P=s)(?P<c>\d{1,2})\.?",
        r"(?P<a>\d{4})(?P<b>\d{2})(?P<c>\d{2})",
        r"(?P<a>\d{4})[-/. ](?P<b>[a-z]{3,9})[-/. ](?P<c>\d{1,2})",
    ),
    ALL_SHORT: (r"(?P<a>\d{1,2})(?P<s>[-/. ])(?P<b>\d{1,2})(?P=s)(?P<c>\d{2})",),
    YEAR_LAST: (r"(?P<a>\d{1,2})(?P<s>[-/. ])(?P<b>\d{1,2})(?P=s)(?P<c>\d{4})",),
    DAY_FIRST: (
        r"(?P<a>\d{1,2})\.?[-/ ]?(?P<b>[a-z]{3,9})\.?[-/, ]*(?P<c>\d{4}|\d{2})",
        r"(?P<b>[a-z]{3,9})\.?[- ](?P<a>\d{1,2})(?:,\s*|[- ])(?P<c>\d{4})",
    ),
}
_CLOCK = (
    r"(?:(?P<h>\d{1,2})[:.h](?P<m>\d{2})(?:[:.](?P<sec>\d{2})(?:[.,:](?P<f>\d{1,9}))?)?"
    r"|(?P<h2>\d{2})(?P<m2>\d{2})(?P<sec2>\d{2})?)"
    r"\s*(?P<half>[ap]\.?\s?m\.?)?"
    r"\s*(?P<zone>z|utc|gmt)?(?P<off>(?P<sign>[+-])(?P<oh>\d{2}):?(?P<om>\d{2})?)?"
)
_JOINT = r"(?:\s*t\s*|\s*,\s*|\s+|_|\s+-\s+|\s+at\s+|-)"


def _compiled() -> tuple[tuple[int, re.Pattern[str]], ...]:
    found = []
    for kind, dates in _DATES.items():
        for date in dates:
            whole = rf"{_WEEKDAY}{date}(?:{_JOINT}{_CLOCK})?"
            found.append((kind, re.compile(whole, re.IGNORECASE | re.ASCII)))
    for kind in (YEAR_FIRST, YEAR_LAST, ALL_SHORT):
        whole = rf"{_CLOCK}(?:\s+|\s*,\s*){_DATES[kind][0]}"
        found.append((kind, re.compile(whole, re.IGNORECASE | re.ASCII)))
    found.append((NO_DATE, re.compile(_CLOCK, re.IGNORECASE | re.ASCII)))
    return tuple(found)


_STAMPS = _compiled()
_ELAPSED = re.compile(
    r"(?:(?P<d>\d{1,4})(?:\s*d(?:ays?)?,?\s*|[ .]))?(?P<h>\d{1,5}):(?P<m>\d{1,2})"
    r"(?::(?P<sec>\d{1,2}))?(?:[.,](?P<f>\d{1,9}))?",
    re.IGNORECASE | re.ASCII,
)


@dataclass
class Parts:
    """Dates and times in parts, each array (n,).

    `form` says how the numbers `a`, `b`, `c` of the date stand; `clock_ms` is the time of day
    and -1 where there is none; `offset_min` is NO_OFFSET where none was written.
    """

    form: NDArray[np.int8]
    a: Ints
    b: Ints
    c: Ints
    clock_ms: Ints
    offset_min: Ints

    @property
    def dated(self) -> NDArray[np.bool_]:
        """Which cells hold a date."""
        return np.asarray(self.form != NO_DATE)

    @property
    def timed(self) -> NDArray[np.bool_]:
        """Which cells hold a time of day."""
        return np.asarray(self.clock_ms >= 0)


def read_parts(cells: Sequence[str]) -> Parts:
    """Take the dates and times in the cells apart; other cells have neither."""
    n = len(cells)
    parts = Parts(
        form=np.zeros(n, np.int8),
        a=np.zeros(n, np.int64),
        b=np.zeros(n, np.int64),
        c=np.zeros(n, np.int64),
        clock_ms=np.full(n, -1, np.int64),
        offset_min=np.full(n, NO_OFFSET, np.int64),
    )
    for form in forms(cells):
        for kind, pattern in _STAMPS:
            found = pattern.fullmatch(form.example)
            if found and _fill(parts, form, kind, found):
                break
    return parts


def _fill(parts: Parts, form: CellPattern, kind: int, found: re.Match[str]) -> bool:
    at = form.at
    if kind != NO_DATE:
        named = found["b"].isalpha()
        month = _MONTHS.index(found["b"][:3].lower()) + 1 if _is_month(found["b"]) else 0
        if named and not month:
            return False
        parts.form[at] = kind
        parts.a[at] = form.number(found, "a")
        parts.b[at] = month or form.number(found, "b")
        year = form.number(found, "c")
        parts.c[at] = year
    _fill_clock(parts, form, found)
    return True


def is_stamp(text: str) -> bool:
    """Whether `text` has the form of a date, a time of day, both, or an elapsed time."""
    if len(text) > 48 or not any(c.isdigit() for c in text):
        return False
    plain = text.replace("\u202f", " ").replace("\u00a0", " ")
    if _ELAPSED.fullmatch(plain):
        return True
    for kind, pattern in _STAMPS:
        found = pattern.fullmatch(plain)
        if found and (kind == NO_DATE or not found["b"].isalpha() or _is_month(found["b"])):
            return True
    return False


def _is_month(text: str) -> bool:
    return text[:3].lower() in _MONTHS


def _fill_clock(parts: Parts, form: CellPattern, found: re.Match[str]) -> None:
    tail = "" if found["h"] else "2"
    if not found["h" + tail]:
        return
    hour, minute = form.number(found, "h" + tail), form.number(found, "m" + tail)
    second = form.number(found, "sec" + tail) if found["sec" + tail] else np.zeros_like(hour)
    good = (minute < 60) & (second < 60) & (hour < 24)
    if found["half"]:
        good &= (hour >= 1) & (hour <= 12)
        hour = hour % 12 + (12 if found["half"][0] in "pP" else 0)
    else:
        good |= (hour == 24) & (minute == 0) & (second == 0)
    clock = ((hour * 60 + minute) * 60 + second) * 1000 + (
        _thousandths(form, found) if found["h"] else 0
    )
    parts.clock_ms[form.at] = np.where(good, clock, -1)
    parts.form[form.at[~good]] = NO_DATE
    if found["zone"] or found["off"]:
        parts.offset_min[form.at] = _offset(form, found)


def _thousandths(form: CellPattern, found: re.Match[str]) -> Ints | int:
    if not found["f"]:
        return 0
    digits = len(found["f"])
    return np.asarray(form.number(found, "f", 3) * 10 ** max(0, 3 - digits))


def _offset(form: CellPattern, found: re.Match[str]) -> Ints | int:
    if not found["off"]:
        return 0
    minutes = form.number(found, "oh") * 60
    minutes += form.number(found, "om") if found["om"] else 0
    return np.asarray(-minutes if found["sign"] == "-" else minutes)


def date_ms(parts: Parts, order: str) -> tuple[Ints, NDArray[np.bool_]]:
    """Midnight of each date as milliseconds on its own calendar, and which dates exist.

    `order` ("dmy", "mdy" or "ymd") decides where the form does not.
    """
    year, month, day = parts.a, parts.b, parts.c
    last = (parts.form == YEAR_LAST) | (parts.form == DAY_FIRST)
    if order in ("dmy", "mdy"):
        last |= parts.form == ALL_SHORT
    year = np.where(last, parts.c, year)
    day = np.where(last, parts.a, day)
    if order == "mdy":
        swap = (parts.form == YEAR_LAST) | (parts.form == ALL_SHORT)
        day, month = np.where(swap, parts.b, day), np.where(swap, parts.a, month)
    year = np.where(year < 70, year + 2000, np.where(year < 100, year + 1900, year))
    good = parts.dated & (year >= FIRST_YEAR) & (year <= LAST_YEAR)
    good &= (month >= 1) & (month <= 12) & (day >= 1) & (day <= 31)
    months = (np.where(good, year, 1970) - 1970) * 12 + np.where(good, month, 1) - 1
    first = months.astype("datetime64[M]").astype("datetime64[D]")
    days = first.astype(np.int64) + np.where(good, day, 1) - 1
    good &= days.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) == months
    return days * DAY_MS, good


def read_elapsed(cells: Sequence[str], *, minutes_first: bool = False) -> Ints:
    """Milliseconds from the start out of "h:mm:ss", "h:mm" or, if so told, "m:ss"; -1 if none."""
    found_ms = np.full(len(cells), -1, np.int64)
    for form in forms(cells):
        found = _ELAPSED.fullmatch(form.example)
        if not found:
            continue
        big, small = form.number(found, "h"), form.number(found, "m")
        good = small < 60
        if found["sec"]:
            second = form.number(found, "sec")
            total = (big * 60 + small) * 60 + second
            good &= second < 60
        else:
            total = big * 60 + small
            total = total if minutes_first or found["f"] else total * 60
        total = total * 1000 + _thousandths(form, found)
        total += form.number(found, "d") * DAY_MS if found["d"] else 0
        found_ms[form.at] = np.where(good, total, -1)
    return found_ms
