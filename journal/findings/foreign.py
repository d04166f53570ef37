"""A table that was kept elsewhere, its columns understood already, as wheel scores and variables.

What each column is, `exchange` says, the same for findings and for an import (`past_columns.py`);
here rows become makes, people and sessions are levelled as in a journal, words become contrasts,
and each column that is not looked at is named with the reason.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np

from journal.findings.categories import contrasts, one_spelling, why_no_contrast
from journal.findings.columns import (
    AGE,
    CODE,
    DATE,
    GONE,
    LEFT_OUT,
    MAKE,
    MILK,
    NAME,
    PERSON,
    REMARK,
    REPEAT,
    ROW_NUMBER,
    SCORE,
    SESSION,
    TASTED,
    THERE,
    USED,
    VARIABLE,
    WORDS,
)
from journal.findings.error import FindingError
from journal.findings.levelled import levelled
from journal.findings.spreads import LEAST_SESSIONS
from journal.findings.table import Floats, NotLookedAt, ScoreTable, Variable, looked_past, snake
from journal.message import Message

_LABELS = {
    DATE: "findings.column-dates",
    TASTED: "findings.column-dates",
    GONE: "findings.column-dates",
    THERE: "findings.column-there",
    NAME: "findings.column-names",
    CODE: "findings.column-names",
    MAKE: "findings.column-make",
    ROW_NUMBER: "findings.column-row-numbers",
    REMARK: "findings.column-remarks",
    PERSON: "findings.column-people",
    SESSION: "findings.column-sessions",
    REPEAT: "findings.column-repeats",
    LEFT_OUT: "findings.column-left-out",
}


@dataclass(frozen=True)
class ForeignColumn:
    """A column as understood.

    `numbers` are NaN where a cell holds none, and None where the column holds words; `words` are
    the cells as text, "" where empty. `attribute` is what was scored and `who` the one who scored,
    where the name says so; `unread` counts cells that should be numbers and are not.
    """

    name: str
    role: str
    numbers: list[float] | None
    words: list[str]
    unit: str = ""
    unread: int = 0
    attribute: str = ""
    who: str = ""

    @property
    def is_empty(self) -> bool:
        """Whether no cell holds anything."""
        if self.numbers is None:
            return not any(self.words)
        return all(np.isnan(self.numbers))


@dataclass
class _Remarks:
    """What is to be said of the table, gathered on the way."""

    notes: list[Message] = field(default_factory=list)
    past: list[NotLookedAt] = field(default_factory=list)

    def pass_over(self, column: ForeignColumn, why: str, **values: object) -> None:
        self.past.append(NotLookedAt(column.name, Message(why, **values)))


def score_table_of(
    columns: Sequence[ForeignColumn],
    score: str,
    variables: Sequence[str] | None = None,
    *,
    notes: Sequence[Message] = (),
) -> ScoreTable:
    """Make a table of scores from the understood columns of a foreign table.

    Numbers are variables, words are contrasts with the usual one. Rows with one entry under
    "make" are one make; with a column of people rows that are alike in everything else are. A row
    without a score is left out.

    Parameters
    ----------
    columns : sequence of ForeignColumn
    score : str
        The column with the scores, or what several people scored in a column each.
    variables : sequence of str, optional
        Columns to look at; by default all that can be.
    notes : sequence of Message
        What the reading of the table left to be said.

    Raises
    ------
    FindingError
        When a column is missing, holds no numbers, or no row has a score.
    """
    scored = _scored(columns, score)
    passed = _Remarks(list(notes))
    names = None if variables is None else {find(columns, v).name for v in variables}
    looked = [c for c in columns if c not in scored and _is_looked_at(c, names, passed)]
    if not looked:
        raise FindingError("findings.no-column-to-look-at")
    makes = _make_codes(columns, scored, passed)
    values = np.array([c.numbers for c in scored], dtype=float)
    if not np.isfinite(values).any():
        raise FindingError("findings.no-number-under", column=scored[0].name)
    unscored = int((~np.isfinite(values).any(axis=0)).sum())
    if unscored:
        passed.notes.append(_left_out(unscored))
    passed.notes += [_unread(c) for c in (*scored, *looked) if c.unread]
    units = _levelled(columns, scored, values, makes, passed)
    own, x = _variables(looked, units, passed)
    if not own:
        raise FindingError("findings.no-column-to-look-at")
    others = [c.name for c in looked if c.role == SCORE]
    if others:
        passed.notes.append(Message("findings.other-scores", names=others))
    return ScoreTable(
        score_name=scored[0].name if len(scored) == 1 else scored[0].attribute,
        make=units.make,
        wheel=units.wheel,
        y=units.y,
        y_se=units.se,
        variables=own,
        x=x,
        assessors=units.people,
        notes=[*passed.notes, *looked_past(passed.past)],
        shared=units.shared,
        not_looked_at=tuple(passed.past),
    )


def as_read(sums: int, uneven: int, again: Sequence[str]) -> list[Message]:
    """What is to be said of a table as such: rows of sums at its end, rows longer or shorter than
    most, columns that had the name of one before them."""
    notes = []
    if sums:
        last = Message("findings.summing-row")
        notes.append(last if sums == 1 else Message("findings.summing-rows", rows=sums))
    if uneven:
        notes.append(Message("findings.rows-of-other-length", rows=uneven))
    if again:
        notes.append(Message("findings.columns-of-one-name", names=list(again)))
    return notes


def find(columns: Sequence[ForeignColumn], name: str) -> ForeignColumn:
    """The column of that name, whatever its capitals.

    Raises
    ------
    FindingError
        When there is none, or several.
    """
    exact = [c for c in columns if c.name == name]
    alike = [c for c in columns if snake(name) in (snake(c.name), snake(_bare(c)))]
    for found in (exact, alike):
        if len(found) == 1:
            return found[0]
    raise FindingError("findings.no-such-column", column=name, columns=[c.name for c in columns])


def _bare(column: ForeignColumn) -> str:
    """The name without the unit behind it."""
    head, bracket, _ = column.name.replace("[", "(").rpartition("(")
    return head.strip() if bracket and head.strip() else column.name


def _scored(columns: Sequence[ForeignColumn], score: str) -> list[ForeignColumn]:
    """The columns with the scores: the one named, or one each of several people."""
    people = [c for c in columns if c.who and snake(c.attribute) == snake(score)]
    whole = [c for c in columns if not c.who or c.name == score]
    try:
        found = [find(whole, score)]
    except FindingError:
        if not people:
            raise
        found = people
    for column in found:
        if column.numbers is None:
            raise FindingError("findings.column-without-numbers", column=column.name)
    return found


def _is_looked_at(column: ForeignColumn, names: set[str] | None, passed: _Remarks) -> bool:
    """Whether a column can be a variable; what cannot is noted with the reason."""
    if names is not None:
        return column.name in names
    if column.who:
        passed.pass_over(column, "findings.column-another-taster")
    elif (column.role == SESSION and not is_block(column.words)) or (
        column.role == NAME and column.numbers is None and _repeats(column.words)
    ):
        return True
    elif column.role in _LABELS:
        passed.pass_over(column, _LABELS[column.role])
    elif column.is_empty:
        passed.pass_over(column, "findings.column-empty")
    else:
        if column.numbers is not None and snake(column.name) == "time":
            passed.notes.append(Message("findings.time-is-a-variable", column=column.name))
        return True
    return False


def _make_codes(
    columns: Sequence[ForeignColumn], scored: Sequence[ForeignColumn], passed: _Remarks
) -> list[str]:
    """The make of each row: by its column, else rows that only differ in who tasted, else each."""
    rows = len(scored[0].words)
    made = next((c for c in columns if c.role == MAKE and c not in scored), None)
    if made is not None:
        if made.numbers is not None:
            passed.notes.append(Message("findings.make-by-number", column=made.name))
        named = [word or f"row {i + 1}" for i, word in enumerate(made.words)]
        return _dated_apart(named, [c for c in columns if c not in scored], made.name, passed)
    aside = {PERSON, REPEAT, SESSION, SCORE, ROW_NUMBER, REMARK, TASTED, AGE}
    if not any(c.role in (PERSON, REPEAT) for c in columns):
        return [str(i + 1) for i in range(rows)]
    kept = [c for c in columns if c.role not in aside and c not in scored]
    keys: dict[Hashable, str] = {}
    return [keys.setdefault(tuple(c.words[i] for c in kept), str(i + 1)) for i in range(rows)]


def _dated_apart(
    named: list[str], columns: Sequence[ForeignColumn], header: str, passed: _Remarks
) -> list[str]:
    """The names, where rows of one name but of several days that differ in what was done are makes
    of their own: numbers that begin again each year."""
    dates = next((c.words for c in columns if c.role == DATE), [""] * len(named))
    done = [c.words for c in columns if c.role in (VARIABLE, WORDS, USED, MILK)]
    groups: dict[str, list[list[int]]] = {}
    for i, name in enumerate(named):
        own = groups.setdefault(name, [])
        fitting = next((rows for rows in own if dates[rows[0]] == dates[i] or all(
            not words[i] or words[i] == words[rows[0]] for words in done)), None)  # fmt: skip
        if fitting is None:
            own.append([i])
        else:
            fitting.append(i)
    if all(len(own) == 1 for own in groups.values()):
        return named
    passed.notes.append(Message("findings.makes-apart", column=header))
    out = list(named)
    for name, own in groups.items():
        for number, rows in enumerate(own[1:], 2):
            for i in rows:
                out[i] = f"{name} ({number})"
    return out


@dataclass(frozen=True)
class _Units:
    """Wheels at an age: their make, wheel, score, its error, what scores share, who scored, and
    the rows behind each."""

    make: list[str]
    wheel: list[str]
    y: Floats
    se: Floats
    shared: object
    people: int | None
    rows: list[list[int]]


def _levelled(
    columns: Sequence[ForeignColumn],
    scored: Sequence[ForeignColumn],
    values: Floats,
    makes: list[str],
    passed: _Remarks,
) -> _Units:
    """The scores of the rows; levelled where people or sessions are known."""
    person = next((c for c in columns if c.role == PERSON), None)
    session = next((c for c in columns if c.role == SESSION and is_block(c.words)), None)
    if person is None and session is None and len(scored) == 1:
        rows = np.flatnonzero(np.isfinite(values[0])).tolist()
        return _Units(
            [makes[i] for i in rows], [str(i + 1) for i in rows], values[0][rows],
            np.full(len(rows), np.nan), None, None, [[i] for i in rows],
        )  # fmt: skip
    alone = person is None and len(scored) == 1
    given = _singles(columns, scored, values, makes, (person, session))
    wheels = list(dict.fromkeys(one[1] for one in given))
    singles = np.array(
        [
            _numbered([makes[one[0]] for one in given]),
            _numbered([one[1] for one in given], wheels),
            _numbered([one[2] for one in given]),
            _numbered([one[3] for one in given]),
            [one[4] for one in given],
            [one[5] for one in given],
        ],
        dtype=float,
    )
    fit = levelled(singles)
    people = len({one[2] for one in given})
    if not alone:
        passed.notes += fit.panel.notes
    if fit.spreads is not None:
        passed.notes.append(fit.spreads.message())
    behind: dict[tuple[int, float], list[int]] = {}
    for one, wheel in zip(given, singles[1], strict=True):
        days = round(one[4]) if np.isfinite(one[4]) else -1.0
        behind.setdefault((int(wheel), float(days)), []).append(one[0])
    keys = [
        (int(w), -1.0 if np.isnan(a) else float(a))
        for w, a in zip(fit.panel.wheel_ix, fit.panel.age_days, strict=True)
    ]
    own = [behind[key] for key in keys]
    return _Units(
        [makes[rows[0]] for rows in own], [wheels[w] for w, _ in keys], fit.panel.score, fit.se,
        fit.shared, None if alone else people, own,
    )  # fmt: skip


_Single = tuple[int, str, str, str, float, float]


def _singles(
    columns: Sequence[ForeignColumn],
    scored: Sequence[ForeignColumn],
    values: Floats,
    makes: list[str],
    of: tuple[ForeignColumn | None, ForeignColumn | None],
) -> list[_Single]:
    """Each score with its row, wheel, person, session and age."""
    age = next((c.numbers for c in columns if c.role == AGE and c.numbers is not None), None)
    whose, held = ([] if column is None else column.words for column in of)
    alone = not whose and len(scored) == 1
    return [
        (
            i,
            str(i) if alone else makes[i],
            column.who or (whose[i] if whose else ""),
            held[i] if held else "",
            age[i] if age is not None else float("nan"),
            float(values[k][i]),
        )
        for k, column in enumerate(scored)
        for i in range(len(makes))
        if np.isfinite(values[k][i])
    ]


def _numbered(words: Sequence[str], known: Sequence[str] | None = None) -> list[int]:
    at = {word: i for i, word in enumerate(known or dict.fromkeys(words))}
    return [at[word] for word in words]


def _variables(
    looked: Sequence[ForeignColumn], units: _Units, passed: _Remarks
) -> tuple[list[Variable], Floats]:
    """The variables of the columns looked at, and their values (units, variables)."""
    own: list[Variable] = []
    values: list[Sequence[float]] = []
    for column in looked:
        if column.numbers is not None and column.role != SESSION:
            own.append(Variable(column.name, unit=column.unit))
            values.append(_means(column.numbers, units.rows))
            continue
        kinds = one_spelling(column.words)
        words = [kinds[rows[0]] for rows in units.rows]
        found = contrasts(column.name, units.make, words, of_words=True)
        if found:
            own += [variable for variable, _ in found]
            values += [numbers for _, numbers in found]
        else:
            passed.past.append(NotLookedAt(column.name, why_no_contrast(units.make, words)))
    return own, np.array(values, dtype=float).T.reshape(len(units.rows), len(own))


def _means(numbers: Sequence[float], rows: Sequence[Sequence[int]]) -> list[float]:
    """The mean of each unit's known values, NaN without one."""
    out = []
    for own in rows:
        known = [numbers[i] for i in own if np.isfinite(numbers[i])]
        out.append(sum(known) / len(known) if known else float("nan"))
    return out


def _repeats(words: Sequence[str]) -> bool:
    return len(set(words) - {""}) < len([word for word in words if word])


def is_block(words: Sequence[str]) -> bool:
    """Whether sessions are so many that their moods can be told, and not compared one by one."""
    return len(set(words) - {""}) >= LEAST_SESSIONS


def _left_out(count: int) -> Message:
    if count == 1:
        return Message("findings.row-left-out")
    return Message("findings.rows-left-out", rows=count)


def _unread(column: ForeignColumn) -> Message:
    if column.unread == 1:
        return Message("findings.cell-unread", column=column.name)
    return Message("findings.cells-unread", column=column.name, cells=column.unread)
