"""The study of one score, and where its makes are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings import AGE_KEY, Finding, Scatter, ScoreTable, Study, scatter
from journal.findings.literature import Literature, literature_on
from journal.findings.next_make import NextMake
from journal.findings.trade import family_of_all
from journal.records.plans import Plan


@dataclass(frozen=True)
class StudiedMake:
    """A make by its key in the file, and when it began."""

    make_id: int
    started_ms: int
    plan: Plan


@dataclass(frozen=True, eq=False)
class StudyAnswer:
    """A study with the table it was made of, and the makes in it by code."""

    table: ScoreTable
    study: Study
    makes: dict[str, StudiedMake]
    next_make: NextMake

    @property
    def newest(self) -> str:
        """The newest make that was scored: the next one starts from it; of a foreign table, whose
        makes nobody knows the days of, the last."""
        return newest_of(self.makes) if self.makes else self.table.make[-1]

    def value_at_newest(self, variable: str) -> float:
        """The variable of the newest make; where that is not known, what most makes had."""
        newest = self.newest
        own = np.array([make == newest for make in self.table.make])
        values = self.table.x[own, self.table.position(variable)]
        known = values[np.isfinite(values)]
        if known.size:
            return float(known.mean())
        column = self.table.x[:, self.table.position(variable)]
        return float(np.nanmedian(column)) if np.isfinite(column).any() else float("nan")

    def rows_of(self, variable: str) -> np.ndarray:
        """The rows of the table that have a point in the variable's picture."""
        return np.flatnonzero(np.isfinite(self.table.x[:, self.table.position(variable)]))

    @property
    def is_defect(self) -> bool:
        """Whether it is about a defect, in samples of 100, and not about a score."""
        return self.table.samples is not None

    def literature(self, finding: Finding) -> Literature:
        """What the books expect of a finding, for the family its makes are of."""
        family = family_of_all(self.makes[code].plan for code in set(self.table.make))
        return literature_on(finding, self.study.score, family)

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


def newest_of(makes: dict[str, StudiedMake]) -> str:
    """The code of the make begun last."""
    return max(makes, key=lambda code: makes[code].started_ms)
