"""What each column of a table of past makes is: its date, its milk, a score, a make variable."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from journal.exchange import ExchangeError
from journal.exchange.loggers.headers import unit_in, words_of
from journal.exchange.loggers.mapping import find_column
from journal.exchange.loggers.stamps import read_parts
from journal.exchange.loggers.table import RawTable
from journal.exchange.past_cells import numeric, summing
from journal.findings.columns import only_numbers_rows
from journal.records.kinds import ATTRIBUTES

DATE, TASTED, AGE, NAME, PLAN, MILK, WHEEL, THERE = (
    "date", "tasted", "age", "name", "plan", "milk", "wheel", "there",
)  # fmt: skip
REMARK, ROW_NUMBER, SCORE, VARIABLE, WORDS, LEFT_OUT = (
    "remark", "row number", "score", "variable", "words", "left out",
)  # fmt: skip
# What a person may map a column to, beside a variable of any name.
CHOICES = (DATE, TASTED, AGE, NAME, PLAN, MILK, WHEEL, THERE, REMARK, "skip")
_ONCE = (DATE, TASTED, AGE, NAME, PLAN, MILK, WHEEL, THERE)

# Scores that are known by their name alone. Salt and acid are tastes too, but in a table of
# makes they are more often what was measured: those count as scores when a person chooses that.
_SCORES = {
    **{name: name for name in ATTRIBUTES if name not in ("salt", "acid")},
    "score": "overall", "total": "overall", "total score": "overall", "overall score": "overall",
    "flavor": "flavour", "odor": "odour", "taste": "taste", "texture": "texture", "aroma": "aroma",
}  # fmt: skip
_NAMES = {"name", "make", "batch", "code", "label", "title", "make name", "batch name"}
_PLANS = {"plan", "recipe", "style", "cheese", "kind", "type", "variety"}
_REMARKS = {"note", "notes", "remark", "remarks", "comment", "comments"}
_DATES = {"date", "dates", "day", "datum", "made"}
# Names of a column that says whether a wheel is still there, and the words for either.
_THERES = {"there", "still there", "status", "state", "left", "in the room", "on the shelf"}
_GONES = {"eaten", "gone", "given away", "sold", "finished"}
_YES, _NO = {"yes", "y", "true", "1", "x", "✓"}, {"no", "n", "false", "0", ""}
_IS_THERE = {"there", "still there", "ageing", "aging", "maturing", "ripening", "left", "kept",
             "in the room", "on the shelf", "in the cave"}  # fmt: skip
_IS_GONE = {"eaten", "gone", "given", "given away", "sold", "finished", "thrown", "thrown away",
            "thrown out", "used", "used up"}  # fmt: skip
_WEIGHTS = ({"green", "weight"}, {"wheel", "weight"}, {"cheese", "weight"})
_UNIT = re.compile(r"\s*[(\[]([^)\]]{1,20})[)\]]\s*$")


@dataclass(frozen=True)
class ChosenColumns:
    """What a person chose for a table: columns by name, all of it optional.

    `columns` maps a column to one of CHOICES or to a variable's name; `scores` are the columns
    that hold scores; `scales` gives the ends of a score column's own scale, "" for all of them;
    `date_order` is "dmy", "mdy" or "ymd"; `milk_l` and `date` are used where a row has none.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    scores: Sequence[str] = ()
    scales: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    date_order: str = ""
    milk_l: float | None = None
    date: str = ""


@dataclass(frozen=True)
class PastColumn:
    """One column: its place, what it is, and the name and unit its values go by."""

    index: int
    header: str
    role: str
    name: str
    unit: str = ""


def is_there(header: str, cell: str) -> bool | None:
    """Whether a cell says that a wheel is still there; None where it is not understood."""
    word, name = (" ".join(text.lower().split()).rstrip(".!") for text in (cell, bare(header)))
    if word in _IS_THERE or word in _IS_GONE:
        return word in _IS_THERE
    if word in _YES or word in _NO:
        return (word in _YES) != (name in _GONES)
    return None


def columns_of(raw: RawTable, chosen: ChosenColumns) -> list[PastColumn]:
    """What every column is: as a person chose, else by its name and cells.

    Raises
    ------
    ExchangeError
        When a column that was named is not there, or two columns are the same thing.
    """
    given = {find_column(raw.header, name): word for name, word in chosen.columns.items()}
    scored = {find_column(raw.header, name) for name in chosen.scores}
    found: list[PastColumn] = []
    taken = {word.lower() for word in chosen.columns.values() if word.lower() in _ONCE}
    for index, header in enumerate(raw.header):
        if index in scored:
            column = PastColumn(index, header, SCORE, _score_name(header, given.get(index)))
        elif index in given:
            column = _as_told(index, header, given[index])
        else:
            column = _guessed(raw, index, taken)
        taken |= {column.role} & set(_ONCE)
        found.append(column)
    _refuse_doubles(found)
    return found


def unit_of(header: str) -> str:
    """The unit in brackets at the end of a header, "" when there is none."""
    found = _UNIT.search(header)
    return found[1].strip() if found else ""


def bare(header: str) -> str:
    """The header without its unit."""
    return _UNIT.sub("", header).strip() or header.strip()


def _score_name(header: str, given: str | None) -> str:
    plain = " ".join((given or bare(header)).lower().replace("_", " ").split())
    return _SCORES.get(plain, plain)


def _as_told(index: int, header: str, word: str) -> PastColumn:
    plain = " ".join(word.lower().split())
    if plain == "skip":
        return PastColumn(index, header, LEFT_OUT, header)
    if plain in CHOICES:
        return PastColumn(index, header, plain, bare(header), unit_of(header))
    if plain in _SCORES:
        return PastColumn(index, header, SCORE, _SCORES[plain])
    return PastColumn(index, header, VARIABLE, bare(word), unit_of(word) or unit_of(header))


def _guessed(raw: RawTable, index: int, taken: set[str]) -> PastColumn:
    header, cells = raw.header[index], _makes_of(raw, index)
    plain = " ".join(bare(header).lower().replace("_", " ").split())
    role = _role(raw, index, plain)
    if role in taken or role in (VARIABLE, WORDS):
        role = VARIABLE if numeric(cells) is not None else WORDS
    if role == SCORE:
        return PastColumn(index, header, SCORE, _SCORES[plain])
    return PastColumn(index, header, role, bare(header), unit_of(header))


def _makes_of(raw: RawTable, index: int) -> Sequence[str]:
    """A column's cells without those at the end that sum the others up."""
    return raw.columns[index][: raw.rows - summing(raw)]


def _role(raw: RawTable, index: int, plain: str) -> str:
    """What a column's name and cells say it is, whatever the others are."""
    header, cells = raw.header[index], _makes_of(raw, index)
    words = set(words_of(header))
    if plain in _THERES | _GONES and all(is_there(header, cell) is not None for cell in cells):
        return THERE
    if _holds_dates(cells):
        return TASTED if any(word.startswith("tast") for word in words) else DATE
    values = numeric(cells)
    if words & _DATES and any("/" in cell for cell in cells):
        return WORDS  # a day and a month without a year, no fraction
    if values is not None and only_numbers_rows(bare(header), values.values, first=index == 0):
        return ROW_NUMBER
    for role, names in ((NAME, _NAMES), (PLAN, _PLANS), (REMARK, _REMARKS)):
        if plain in names and (values is None or role == NAME):
            return role
    if values is None:
        return WORDS
    return _number_role(header, plain, words)


def _number_role(header: str, plain: str, words: set[str]) -> str:
    if plain in _SCORES:
        return SCORE
    if plain.startswith("age") and unit_in(header, "duration"):
        return AGE
    litres = unit_in(header, "volume") is not None
    if plain in ("milk", "litres", "liters") or ("milk" in words and litres):
        return MILK
    if any(pair <= words for pair in _WEIGHTS):
        return WHEEL
    return VARIABLE


def _holds_dates(cells: Sequence[str]) -> bool:
    filled = [cell.strip() for cell in cells if cell.strip()]
    return bool(filled) and float(read_parts(filled).dated.mean()) > 0.8


def _refuse_doubles(columns: Sequence[PastColumn]) -> None:
    """Two columns cannot be the same score, variable, date or amount."""
    seen: dict[tuple[str, str], str] = {}
    for column in columns:
        named = column.role in (SCORE, VARIABLE, WORDS)
        key = (column.role, column.name.lower() if named else "")
        if not named and column.role not in _ONCE:
            continue
        if key in seen:
            raise ExchangeError(
                f"The columns “{seen[key]}” and “{column.header}” would both be the {column.role} "
                f"“{column.name}”. Map one of them to another name, or to skip."
            )
        seen[key] = column.header
