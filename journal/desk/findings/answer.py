"""What the place shows: the study of one score, and where its makes are; made in the background."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from journal.background import State
from journal.findings import AGE_KEY, Scatter, ScoreTable, Study, scatter, study
from journal.findings.defect_table import defect_table
from journal.findings.next_make import NextMake, next_make
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.records.plans import Plan
from journal.records.whole import WholeMake

DEFECT = "defect: "  # before a term, where a defect is asked about and not a score
READING_SHARE = 0.6  # of the work, as far as it can be told beforehand


@dataclass(frozen=True)
class Known:
    """A make by its key in the file, and when it began."""

    make_id: int
    started_ms: int
    plan: Plan


@dataclass(frozen=True, eq=False)
class Answer:
    """A study with the table it was made of, and the makes in it by code."""

    table: ScoreTable
    study: Study
    makes: dict[str, Known]
    next_make: NextMake

    @property
    def newest(self) -> str:
        """The newest make that was scored: the next one starts from it."""
        return newest_of(self.makes)

    def rows_of(self, variable: str) -> np.ndarray:
        """The rows of the table that have a point in the variable's picture."""
        return np.flatnonzero(np.isfinite(self.table.x[:, self.table.position(variable)]))

    @property
    def is_defect(self) -> bool:
        """Whether it is about a defect, told in cards of 100, and not about a score."""
        return self.table.cards is not None

    def picture(self, variable: str) -> Scatter:
        """The picture of a variable."""
        return scatter(self.table, self.study, variable)

    def age_days(self, row: int) -> float:
        """The wheel's age in that row; NaN when the table does not say."""
        keys = [v.key for v in self.table.variables]
        return float(self.table.x[row, keys.index(AGE_KEY)]) if AGE_KEY in keys else float("nan")

    def ages(self) -> tuple[float, float]:
        """The youngest and the oldest age at a tasting, days; NaN when the table does not say."""
        days = [self.age_days(row) for row in range(len(self.table.make))]
        known = [day for day in days if np.isfinite(day)]
        return (min(known), max(known)) if known else (float("nan"), float("nan"))


def look_at(journal: Journal, score: str, state: State) -> Answer:
    """Read every make and study the score, or the defect where its term follows `DEFECT`.

    Raises
    ------
    FindingError
        When there is nothing to study, or the work was stopped.
    """
    found: dict[str, Known] = {}

    def reading(share: float) -> None:
        words = "Reading the makes" if share < 1 else "Levelling the assessors"
        state.progress(READING_SHARE * share, words)

    def studying(share: float) -> None:
        state.progress(READING_SHARE + (1 - READING_SHARE) * share, "Weighing the variables")

    wholes = _noting(journal.wholes(state.stopped, reading), found)
    is_defect = score.startswith(DEFECT)
    table = (
        defect_table(wholes, score.removeprefix(DEFECT))
        if is_defect
        else score_table(wholes, score)
    )
    result = study(table, progress=studying, stop=state.stopped)
    makes = {code: found[code] for code in set(table.make)}
    newest = newest_of(makes)
    following = next_make(table, result, newest, makes[newest].plan, stop=state.stopped)
    return Answer(table, result, makes, following)


def newest_of(makes: dict[str, Known]) -> str:
    """The code of the make begun last."""
    return max(makes, key=lambda code: makes[code].started_ms)


def _noting(wholes: Iterable[WholeMake], found: dict[str, Known]) -> Iterator[WholeMake]:
    """Pass the makes on, noting where each is to be found."""
    for whole in wholes:
        found[whole.make.code] = Known(whole.make.id or 0, whole.make.started_ms, whole.plan)
        yield whole
