"""What each column of a table of past makes is: its date, its milk, a score, a make variable."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field, replace

from journal.exchange import ExchangeError
from journal.exchange.loggers.headers import unit_in, words_of
from journal.exchange.loggers.mapping import find_column
from journal.exchange.loggers.stamps import read_parts
from journal.exchange.loggers.table import RawTable
from journal.exchange.past_cells import clean, first_unit, numeric, summing
from journal.exchange.past_meanings import (
    Meaning,
    is_about,
    meaning_as,
    meaning_of,
    variable_named,
    word_meaning,
)
from journal.exchange.past_people import whose
from journal.findings.columns import (
    AGE,
    CODE,
    DATE,
    DATE_NAMES,
    GONE,
    LEFT_OUT,
    MAKE,
    MAKE_NAMES,
    MILK,
    NAME,
    PERSON,
    PERSON_NAMES,
    PLAN,
    REMARK,
    REPEAT,
    REPEAT_NAMES,
    ROW_NUMBER,
    SCORE,
    SESSION,
    SESSION_NAMES,
    TASTED,
    THERE,
    USED,
    VARIABLE,
    WHEEL,
    WORDS,
    only_numbers_makes,
    only_numbers_rows,
)
from journal.records.kinds import ATTRIBUTES

# What a person may map a column to, beside a variable of any name.
CHOICES = (DATE, TASTED, AGE, NAME, CODE, MAKE, PLAN, MILK, WHEEL, THERE, GONE, PERSON, SESSION,
           REPEAT, REMARK, "skip")  # fmt: skip
_ONCE = (DATE, TASTED, AGE, NAME, CODE, MAKE, PLAN, MILK, WHEEL, THERE, GONE, SESSION, REPEAT)

# Scores that are known by their name alone. Salt and acid are tastes too, but in a table of
# makes they are more often what was measured: those count as scores when a person chooses that.
_SCORES = {
    **{name: name for name in ATTRIBUTES if name not in ("salt", "acid")},
    "score": "overall", "total": "overall", "total score": "overall", "overall score": "overall",
    "flavor": "flavour", "odor": "odour", "taste": "taste", "texture": "texture", "aroma": "aroma",
    "bewertung": "overall", "gesamt": "overall", "gesamtnote": "overall", "punkte": "overall",
    "geschmack": "flavour", "geruch": "odour", "aussehen": "appearance",
    "konsistenz": "consistency",
}  # fmt: skip
_NAMES = (
    frozenset({"name", "make", "batch", "label", "title", "make name", "batch name"}) | MAKE_NAMES
)
_MANY_ROWS = 6  # of one entry, and it names no make
_CODES = {"code", "make code", "cheese code", "kennung", "kürzel"}
_CODE = re.compile(r"[^\W_][\w ./#-]{0,15}")
_PLANS = frozenset({"plan", "recipe", "style", "cheese", "kind", "type", "variety", "rezept",
                    "käse", "sorte"})  # fmt: skip
_REMARKS = frozenset({"note", "notes", "remark", "remarks", "comment", "comments", "bemerkung",
                      "notizen"})  # fmt: skip
_DATES = {"date", "dates", "day", "datum", "made"}
# Names of a column that says whether a wheel is still there, and the words for either.
_THERES = {"there", "still there", "status", "state", "left", "in the room", "on the shelf"}
_GONES = {"eaten", "gone", "given away", "sold", "finished"}
_GONE_WORDS = {"eaten", "gone", "sold", "finished", "given"}
_YES, _NO = {"yes", "y", "true", "1", "x", "✓", "ja", "oui"}, {"no", "n", "false", "0", "", "nein"}
_IS_THERE = {"there", "still there", "ageing", "aging", "maturing", "ripening", "left", "kept",
             "in the room", "on the shelf", "in the cave"}  # fmt: skip
_IS_GONE = {"eaten", "gone", "given", "given away", "sold", "finished", "thrown", "thrown away",
            "thrown out", "used", "used up"}  # fmt: skip
_WEIGHTS = ({"green", "weight"}, {"wheel", "weight"}, {"cheese", "weight"})
_UNIT = re.compile(r"\s*[(\[](?![0-9]+[)\]])([^)\]]{1,20})[)\]]\s*$")


@dataclass(frozen=True)
class ChosenColumns:
    """What a person chose for a table: columns by name, all of it optional.

    `columns` maps a column to one of CHOICES or to a variable's name; `scores` are the columns
    that hold scores; those `apart` stay variables of their own name, whatever they may mean;
    `known` were chosen at an earlier import; `scales` gives the ends of a score column's own
    scale, "" for all of them; `date_order` is "dmy", "mdy" or "ymd"; `milk_l` and `date` are used
    where a row has none.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    scores: Sequence[str] = ()
    apart: Sequence[str] = ()
    known: Sequence[str] = ()
    scales: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    date_order: str = ""
    milk_l: float | None = None
    date: str = ""


@dataclass(frozen=True)
class PastColumn:
    """One column: its place, what it is, and the name and unit its values go by. Scores may be
    those of one person (`who`); `meaning` is what it means in this journal, None where nothing."""

    index: int
    header: str
    role: str
    name: str
    unit: str = ""
    who: str = ""
    meaning: Meaning | None = None


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
        When a column that was named is not there.
    """
    given = {find_column(raw.header, name): word for name, word in chosen.columns.items()}
    scored = {find_column(raw.header, name) for name in chosen.scores}
    apart = {find_column(raw.header, name) for name in chosen.apart}
    people = whose(raw.header, _SCORES)
    found: list[PastColumn] = []
    taken = {word.lower() for word in chosen.columns.values() if word.lower() in _ONCE}
    for index, header in enumerate(raw.header):
        if index in scored and (index not in people or index in given):
            column = PastColumn(index, header, SCORE, _score_name(header, given.get(index)))
        elif index in given:
            column = _as_given(raw, index, given[index])
        elif index in people and numeric(_makes_of(raw, index)) is not None:
            column = PastColumn(index, header, SCORE, people[index][0], who=people[index][1])
        else:
            column = _guessed(raw, index, taken)
            if index not in apart:
                column = _meant(raw, column)
        taken |= {column.role} & set(_ONCE)
        found.append(column)
    return found if MAKE in taken else _numbering_makes(raw, found, given.keys() | apart)


def _numbering_makes(raw: RawTable, found: list[PastColumn], known: Set[int]) -> list[PastColumn]:
    """The columns, where one that only numbers what several people tasted says the make."""
    if not any(column.role in (PERSON, REPEAT) for column in found):
        return found
    apart_by = [_makes_of(raw, one.index) for one in found if one.role in (WORDS, PLAN)]
    for column in found:
        values = numeric(_makes_of(raw, column.index))
        if column.role != VARIABLE or column.meaning or values is None or column.index in known:
            continue
        if only_numbers_makes(values.values, apart_by):
            make = replace(column, role=MAKE)
            return [make if one is column else one for one in found]
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


def _as_given(raw: RawTable, index: int, word: str) -> PastColumn:
    header, plain = raw.header[index], " ".join(word.lower().split())
    unit = unit_of(word) or unit_of(header)
    own = variable_named(bare(word))
    if plain == "skip":
        return PastColumn(index, header, LEFT_OUT, header)
    if plain == PERSON and numeric(_makes_of(raw, index)) is not None:
        return PastColumn(index, header, SCORE, "overall", who=bare(header))
    if plain in CHOICES:
        return PastColumn(index, header, plain, bare(header), unit_of(header))
    if plain in _SCORES:
        return PastColumn(index, header, SCORE, _SCORES[plain])
    if own is not None:
        meaning = meaning_as(own, header, unit)
        return PastColumn(index, header, VARIABLE, own.name, own.unit, meaning=meaning)
    return PastColumn(index, header, VARIABLE, bare(word), unit)


def _guessed(raw: RawTable, index: int, taken: set[str]) -> PastColumn:
    header, cells = raw.header[index], _makes_of(raw, index)
    plain = plain_name(header)
    role = _role(raw, index, plain)
    if role in taken or role in (VARIABLE, WORDS):
        role = VARIABLE if numeric(cells) is not None else WORDS
    if role == SCORE:
        return PastColumn(index, header, SCORE, _SCORES[plain])
    return PastColumn(index, header, role, bare(header), unit_of(header))


def _meant(raw: RawTable, column: PastColumn) -> PastColumn:
    """The column by what it means in this journal, as it is where that is nothing."""
    cells = _makes_of(raw, column.index)
    if column.role not in (VARIABLE, WORDS):
        return column
    found = numeric(cells)
    unit = column.unit or (found.unit if found is not None else first_unit(cells))
    meaning = meaning_of(column.header, unit, found.values if found is not None else ())
    if meaning is not None and meaning.amounts(cells) is not None:
        role = USED if meaning.use else VARIABLE
        return replace(column, role=role, name=meaning.name, unit=meaning.unit, meaning=meaning)
    word = word_meaning(column.header) if column.role == WORDS else ""
    return replace(column, name=word) if word else column


def plain_name(header: str) -> str:
    """A header in small letters, without its unit."""
    return " ".join(bare(header).lower().replace("_", " ").split())


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
        if words & _GONE_WORDS:
            return GONE
        return TASTED if any(word.startswith("tast") for word in words) else DATE
    values = numeric(cells)
    if words & _DATES and any("/" in cell for cell in cells):
        return WORDS  # a day and a month without a year, no fraction
    if values is not None and only_numbers_rows(bare(header), values.values, first=index == 0):
        return ROW_NUMBER
    if values is not None and plain in DATE_NAMES:
        return DATE
    if values is not None and plain == "year" and all(1900 <= v <= 2100 for v in values.values):
        return LEFT_OUT
    named = _named_role(plain, cells, is_number=values is not None)
    if named or values is None:
        return named or WORDS
    return _number_role(header, plain, words)


def _named_role(plain: str, cells: Sequence[str], *, is_number: bool) -> str:
    """What a column is by its name: people, sessions, makes, plans; "" where that says nothing."""
    filled = [clean(cell) for cell in cells if clean(cell)]
    repeats = len(set(filled)) < len(filled)
    if plain in MAKE_NAMES and _tells_no_makes(plain, filled):
        return "" if is_number else WORDS if plain == "vat" else NAME
    for role, names in ((PERSON, PERSON_NAMES), (SESSION, SESSION_NAMES), (REPEAT, REPEAT_NAMES),
                        (MAKE, MAKE_NAMES)):  # fmt: skip
        if plain in names and repeats:
            return role
    if plain in _CODES:
        is_code = not repeats and filled and all(_CODE.fullmatch(one) for one in filled)
        return CODE if is_code else NAME
    for role, names in ((NAME, _NAMES), (PLAN, _PLANS), (REMARK, _REMARKS)):
        if plain in names and (not is_number or role == NAME):
            return role
    return ""


def _tells_no_makes(plain: str, filled: Sequence[str]) -> bool:
    """Whether many rows say the same there, so that it is no name of a make: one word for all of
    them, or which of two vats it was."""
    kinds = len(set(filled))
    return len(filled) >= _MANY_ROWS and (kinds == 1 or (plain == "vat" and kinds == 2))


def _number_role(header: str, plain: str, words: set[str]) -> str:
    if plain in _SCORES:
        return SCORE
    if plain.startswith("age") and unit_in(header, "duration"):
        return AGE
    litres = unit_in(header, "volume") is not None
    if plain in ("litres", "liters") or (is_about("milk", plain) and " " not in plain):
        return MILK
    if is_about("milk", header) and litres:
        return MILK
    if any(pair <= words for pair in _WEIGHTS):
        return WHEEL
    return VARIABLE


def _holds_dates(cells: Sequence[str]) -> bool:
    filled = [cell.strip() for cell in cells if cell.strip()]
    return bool(filled) and float(read_parts(filled).dated.mean()) > 0.8


def refuse_doubles(columns: Sequence[PastColumn]) -> None:
    """Refuse two columns that cannot both be the same score, variable, date or amount."""
    seen: dict[tuple[str, str, str], str] = {}
    for column in columns:
        named = column.role in (SCORE, VARIABLE, WORDS, USED)
        key = (column.role, column.name.lower() if named else "", column.who)
        if not named and column.role not in _ONCE:
            continue
        if key in seen:
            raise ExchangeError(
                "exchange.both-would-be", one=seen[key], other=column.header, role=column.role,
                name=column.name,
            )  # fmt: skip
        seen[key] = column.header
