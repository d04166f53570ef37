"""What the name of a column says: which kind of reading, in which unit, or which sort of time."""

from __future__ import annotations

import re

from journal.quantities.units import spellings_of
from journal.records.kinds import READING_KINDS

# Words that loggers put into a header (common practice, no source).
_TIME_WORDS = re.compile(
    r"\b(time|date|datetime|timestamp|stamp|clock|when|zeit|uhrzeit|datum|heure|hora|fecha|tijd)",
    re.IGNORECASE,
)
_ELAPSED_WORDS = re.compile(
    r"elapsed|duration|runtime|run time|since|relative|laufzeit|\bt\b|\bt ?[(\[]|seconds|minutes"
    r"|hours|\bsecs?\b|\bmins?\b|\bhrs?\b",
    re.IGNORECASE,
)
_NO_READING = re.compile(
    r"^#|\b(no|nr|number|index|idx|record|row|sample|seq|id|serial|battery|batt|volt|voltage|vcc"
    r"|signal|rssi|status|event|alarm|button|dew ?point|error|host|logged|series)\b",
    re.IGNORECASE,
)
_TEMPERATURE = re.compile(
    r"temp|celsius|fahrenheit|°\s?[cf]\b|\bdeg ?[cf]\b|thermo|probe|sonde|\bt\d*\b", re.IGNORECASE
)
_TEMPERATURE_UNIT = re.compile(r"°|\bdeg|\([cf]\)|\[[cf]\]|temp", re.IGNORECASE)
_ROOM = re.compile(r"\b(room|air|ambient|cave|cellar|cabinet|fridge|raum|luft|rh)\b", re.IGNORECASE)
_HUMIDITY = re.compile(r"humid|\brh\b|%\s?rh|feuchte|humedad", re.IGNORECASE)
_VAT = re.compile(r"\b(milk|vat|curd|whey)\b", re.IGNORECASE)
_BATH = re.compile(r"\b(bath|jacket|wasserbad)\b", re.IGNORECASE)
_PH = re.compile(r"(^|[^a-z])ph([^a-z]|$)", re.IGNORECASE)
_ACIDITY = re.compile(
    r"acidity|titrat|\bta\b|dornic|lactic|°\s?(d|sh|th)\b|\b(deg)?sh\b", re.IGNORECASE
)
_LOAD = re.compile(r"\bload\b|weight|force|press(?!ure)|\bkg\b|\blbs?\b", re.IGNORECASE)
_HEAT = re.compile(r"heat|heater|duty|output|power", re.IGNORECASE)
_TIME_UNITS = {
    "msec": ("ms", "msec", "millis", "milliseconds"),
    "s": ("s", "sec", "secs", "second", "seconds", "sekunden"),
    "min": ("min", "mins", "minute", "minutes", "minuten"),
    "h": ("h", "hr", "hrs", "hour", "hours", "stunden"),
}
_OFFSET = re.compile(r"\b(?:UTC|GMT)\s*(?:([+-])\s*([0-9]{1,2}):?([0-9]{2})?)?", re.IGNORECASE)
_FORMAT = re.compile(r"[ymdhs:./\- ]{2,22}", re.IGNORECASE)


def words_of(name: str) -> list[str]:
    """The words of a header in lower case, degree signs kept with their letter."""
    apart = re.sub(r"(?<=[a-z]{2})(?=[A-Z])", " ", name.replace("pH", " ph "))
    joined = re.sub(r"°\s+", "°", apart.lower())
    return [word for word in re.split(r"[\s,;:/()\[\]{}_|=-]+", joined) if word]


def is_unit_row(cells: list[str]) -> bool:
    """Whether a row below the names holds only units, formats and empty cells."""
    filled = [cell.strip("()[] ").lower() for cell in cells if cell.strip("()[] ")]
    return bool(filled) and all(_is_unit(cell) for cell in filled)


def _is_unit(text: str) -> bool:
    known = {kind.quantity for kind in READING_KINDS.values()}
    return (
        any(text in spellings_of(quantity) for quantity in known)
        or any(text in units for units in _TIME_UNITS.values())
        or bool(_FORMAT.fullmatch(text))
    )


def says_time(name: str) -> bool:
    """Whether the name is that of a date or time."""
    return bool(_TIME_WORDS.search(name)) or says_elapsed(name)


def says_elapsed(name: str) -> bool:
    """Whether the name is that of a time counted from the start."""
    return bool(_ELAPSED_WORDS.search(name)) and not _TEMPERATURE_UNIT.search(name)


def elapsed_unit(name: str) -> str | None:
    """ "msec", "s", "min" or "h" when the name says it."""
    words = words_of(name)
    for unit, spellings in _TIME_UNITS.items():
        if any(word in spellings for word in words):
            return unit
    return None


def offset_in(name: str) -> int | None:
    """Minutes from UTC when the name gives them: "Time, GMT-05:00", "Date (UTC)"."""
    found = _OFFSET.search(name)
    if not found:
        return None
    minutes = int(found[2] or 0) * 60 + int(found[3] or 0)
    return -minutes if found[1] == "-" else minutes


def is_counting(name: str) -> bool:
    """Whether the name is that of a number that is no reading: of the row, the battery."""
    return bool(_NO_READING.search(" ".join(words_of(name))) or _NO_READING.search(name))


def unit_in(name: str, quantity: str) -> str | None:
    """The key of the unit of `quantity` that stands in the name: "Temp (°F)", "tempC"."""
    known = spellings_of(quantity)
    words = words_of(name)
    for word in sorted(words, key=lambda word: "°" not in word):
        if word in known and word != quantity:
            return known[word].key
    glued = re.search(r"temp(?:erature)?([cf])\b", name, re.IGNORECASE)
    if glued and quantity == "temperature":
        return known[glued[1].lower()].key
    return None


def kinds_of(names: list[str]) -> list[str | None]:
    """The likely kind of reading of each named column; None where nothing is likely.

    A kind is given once: of two columns that could be the milk's temperature the first is.
    A temperature beside a humidity is the room's.
    """
    humid = any(_HUMIDITY.search(name) for name in names)
    found: list[str | None] = []
    for name in names:
        kind = _kind(" ".join(words_of(name)), name, humid)
        found.append(kind if kind not in found else None)
    return found


def rivals_of(names: list[str]) -> list[list[str]]:
    """Names that could each be the same kind of reading, where none says more than the others."""
    groups: dict[str, list[str]] = {}
    for name in names:
        kind = kinds_of([name])[0]
        if kind:
            groups.setdefault(kind, []).append(name)
    return [
        group
        for group in groups.values()
        if len(group) > 1 and sum(bool(_VAT.search(name)) for name in group) != 1
    ]


def _kind(spaced: str, name: str, humid: bool) -> str | None:
    if is_counting(name):
        return None
    if _HUMIDITY.search(spaced) or _HUMIDITY.search(name):
        return "room-humidity"
    if _PH.search(spaced):
        return _of_what(spaced, "milk-ph", "whey-ph", "curd-ph", usual="curd-ph")
    if _ACIDITY.search(spaced):
        return _of_what(spaced, "milk-acidity", "whey-acidity", None, usual="whey-acidity")
    if (
        _TEMPERATURE.search(spaced)
        or unit_in(name, "temperature")
        or "milk" in spaced
        or (_BATH.search(spaced))
    ):
        if _BATH.search(spaced):
            return "bath-temp"
        room = _ROOM.search(spaced) or (humid and not _VAT.search(spaced))
        return "room-temp" if room else "milk-temp"
    if _HEAT.search(spaced):
        return "heat"
    return "load" if _LOAD.search(spaced) else None


def _of_what(spaced: str, milk: str, whey: str, curd: str | None, *, usual: str) -> str:
    if "whey" in spaced:
        return whey
    if "curd" in spaced and curd:
        return curd
    return milk if "milk" in spaced else usual
