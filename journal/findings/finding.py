"""What the journal can say about one make variable and one score."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from journal.findings.curve import BestValue
from journal.findings.evidence import HARDLY, HARDLY_SD, NEVER, UNDECIDED, UNKNOWN, Effects
from journal.findings.least_squares import LeastSquares
from journal.findings.scales import PLAIN, entered_step, fits, left
from journal.findings.table import Floats, ScoreTable
from journal.findings.together import Entries
from journal.message import Message

RANGE = ("effect", "low80", "high80", "low95", "high95", "chance_positive")
HAS_TOP = 0.95
"""Of the draws of a curve that must have a top before a best value is named."""
Points = Callable[[float], float]
"""How an effect in the model becomes points of score."""


@dataclass(frozen=True)
class Finding:
    """What the journal can say about one make variable and one score.

    `effect` and the ranges are points of score for `step`; `ols_effect` and `slope` are points
    per unit of the variable. A number that cannot be told is NaN. Variables in `moved_with`
    share one effect: it is that of all of them moving together. `makes_to_settle` is None where
    it is clear, where it cannot be told, and where the effect is too small ever to be clear. The
    value is known of `known` makes out of `makes`; `always` is the only one it had (NaN: several).
    Of a curve (`curved`) the effect is that in the journal's middle, and `best` where the score is
    best, None where that lies outside of what was made.
    `of_words` says that it compares a word of a table with the usual one.
    """

    variable: str
    key: str
    step: float
    unit: str
    step_label: Message | None
    effect: float
    low80: float
    high80: float
    low95: float
    high95: float
    chance_positive: float
    ols_effect: float
    slope: float
    rho: float
    p: float
    q: float
    partial_r: float
    evidence: str
    moved_with: list[str]
    makes_to_settle: int | None
    strength: float = 0.0
    known: int = 0
    makes: int = 0
    always: float = math.nan
    makes_to_settle_low: int | None = None
    makes_to_settle_high: int | None = None
    curved: bool = False
    best: BestValue | None = None
    of_words: bool = False

    @property
    def known_of(self) -> Message:
        """The makes it is known of: "16 makes", or "7 of 16 makes"."""
        if self.known == self.makes:
            return Message("findings.every-make", makes=self.makes)
        return Message("findings.some-makes", known=self.known, makes=self.makes)

    def as_json(self) -> dict[str, Any]:
        """Return the finding with the keys of the command line, null where it is unknown."""
        more = ("ols_effect", "rho", "p", "q", "partial_r")
        return {
            "variable": self.variable,
            "step": None
            if self.of_words
            else {"value": plain_number(self.step), "unit": self.unit},
            **{name: plain_number(getattr(self, name)) for name in RANGE + more},
            "evidence": self.evidence,
            "moved_with": list(self.moved_with),
            "makes_to_settle": self.makes_to_settle,
            "makes_to_settle_low": self.makes_to_settle_low,
            "makes_to_settle_high": self.makes_to_settle_high,
            "shape": "curve" if self.curved else "line",
            "best": None if self.best is None else asdict(self.best),
        }


def finding_of(
    table: ScoreTable,
    j: int,
    entries: Entries,
    effects: Effects | None,
    plain: LeastSquares | None,
    single: tuple[float, ...],
    points: Points | None = None,
) -> Finding:
    """Gather what is known of column `j` of a table.

    Parameters
    ----------
    single : rho, p, slope and q of the variable on its own.
    points : callable, optional
        Turns an effect of the model into points; by default it is in points already.
    """
    variable, sd = table.variables[j], float(entries.sd[j])
    rho, p, slope, q = single
    index, column = entries.of(j), table.x[:, j]
    count = (table.known_makes(j), table.makes)
    step = variable.step if variable.step is not None else (sd or math.nan)
    moves = entered_step(column, variable.scale, step) if sd else math.nan
    i, sign = index or (0, 1)
    estimated = index is not None and effects is not None
    hardly = bool(
        estimated and effects and variable.step is not None and len(entries.entries[i].members) == 1
        and effects.evidence[i] == UNDECIDED and sd < HARDLY_SD * abs(moves)
    )  # fmt: skip
    estimated = estimated and not hardly
    others = (
        [table.variables[m].name for m in entries.entries[i].members if m != j] if index else []
    )
    has_plain = index is not None and plain is not None
    return Finding(
        variable=variable.name,
        key=variable.key,
        step=step,
        unit=variable.unit,
        step_label=variable.step_label,
        **_ranges(effects if estimated else None, i, sign * moves / sd if sd else math.nan, points),
        ols_effect=sign * float(plain.coef[i]) * moves / (sd * step)
        if has_plain and plain
        else math.nan,
        slope=slope,
        rho=rho,
        p=p,
        q=q,
        partial_r=sign * float(plain.partial_r[i]) if has_plain and plain else math.nan,
        evidence=HARDLY
        if hardly
        else _evidence(effects.evidence[i] if estimated and effects else UNDECIDED, index, count),
        moved_with=others,
        makes_to_settle=effects.more_makes[i] if estimated and effects else None,
        strength=float(effects.strength[i]) if estimated and effects else 0.0,
        known=count[0],
        makes=count[1],
        of_words=variable.of_words,
        always=float(np.nanmin(column)) if index is None and count[0] else math.nan,
        makes_to_settle_low=effects.soonest[i] if estimated and effects else None,
        makes_to_settle_high=effects.latest[i] if estimated and effects else None,
        curved=bool(estimated and effects and i in effects.curved),
        best=_best(table, j, effects.curved.get(i)) if estimated and effects else None,
    )


def _best(table: ScoreTable, j: int, tops: Floats | None) -> BestValue | None:
    """Where the score is best, of draws of where it is; None on a line, and where it lies outside
    of what was made or may as well have no top."""
    if tops is None or np.isfinite(tops).mean() < HAS_TOP:
        return None
    column = table.x[:, j]
    scale = table.variables[j].scale if fits(column, table.variables[j].scale) else PLAIN
    low, middle, high = left(np.nanquantile(tops, [0.1, 0.5, 0.9]), scale)
    if not np.nanmin(column) <= middle <= np.nanmax(column):
        return None
    return BestValue(float(middle), float(low), float(high))


def _evidence(word: str, index: tuple[int, int] | None, known: tuple[int, int]) -> str:
    """The word of what varied; else whether it never did, or nobody knows."""
    if index is not None:
        return word
    return UNKNOWN if known[0] < min(2, known[1]) else NEVER


def _ranges(effects: Effects | None, i: int, sds: float, points: Points | None) -> dict[str, float]:
    """Turn an entry's effect per sd into that of a step of `sds` (which may be negative)."""
    if effects is None:
        return dict.fromkeys(RANGE, math.nan)
    at80 = sorted((sds * float(effects.low80[i]), sds * float(effects.high80[i])))
    at95 = sorted((sds * float(effects.low95[i]), sds * float(effects.high95[i])))
    chance = float(effects.chance_positive[i])
    values = [sds * float(effects.effect[i]), *at80, *at95]
    shown = values if points is None else [points(value) for value in values]
    return dict(zip(RANGE, (*shown, chance if sds > 0 else 1 - chance), strict=True))


def plain_number(value: float) -> float | None:
    """A number for JSON: null where it is unknown."""
    return float(value) if math.isfinite(value) else None
