"""How often "so many more makes would settle it" comes true.

A journal goes on as it began, and one of its variables that is not settled is watched: it is
settled once it is clear, or once its 95 % range rules out an effect worth knowing. Asked: the told
range holds the makes that took in four of five tame journals. Untidy ones keep habits for months
(each variable keeps eight tenths of where it was), move together by 0.5, are scored in halves, and
a tenth of their makes go wrong by a point and a half: those are printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from journal.findings import CLEAR, ScoreTable, Study, Variable, study
from journal.findings.evidence import WORTH_KNOWING
from tests.pace.kept import Kept, Rows, each

SIZES = (12, 25, 40)
VARIABLES, MATTER, EFFECT, NOISE = 12, 4, 0.5, 0.8
LONGEST = 900
LOOKED_AT = 14


@dataclass(frozen=True)
class Going:
    """A kitchen that goes on: its makes so far, and whether it is an untidy one."""

    makes: int
    untidy: bool = False


def journal_of(going: Going, number: int, seed: int) -> ScoreTable:
    """A journal far longer than that of so many makes; its first makes are the journal's."""
    draw = np.random.default_rng([seed, going.makes, going.untidy, number])
    fresh = draw.normal(size=(LONGEST, VARIABLES))
    x = fresh
    if going.untidy:
        fresh = np.sqrt(0.5) * fresh + np.sqrt(0.5) * draw.normal(size=(LONGEST, 1))
        x = np.empty_like(fresh)
        x[0] = fresh[0]
        for i in range(1, LONGEST):
            x[i] = 0.8 * x[i - 1] + 0.6 * fresh[i]
    truth = np.zeros(VARIABLES)
    truth[:MATTER] = EFFECT * draw.normal(size=MATTER)
    score = 6 + x @ truth + NOISE * draw.normal(size=LONGEST)
    if going.untidy:
        score -= 1.5 * (draw.random(LONGEST) < 0.1)
        score = np.round(2 * score) / 2
    return table_of(x, score)


def table_of(x: np.ndarray, score: np.ndarray) -> ScoreTable:
    """A wheel a make, tasted once."""
    rows = len(score)
    return ScoreTable(
        "overall", [f"m{i}" for i in range(rows)], ["A"] * rows, score, np.full(rows, np.nan),
        [Variable(f"v{j}") for j in range(x.shape[1])], x,
    )  # fmt: skip


def settled(answer: Study, key: str, spread: float) -> bool:
    """Whether a variable is clear, or what is left of it is not worth knowing."""
    found = answer.finding(key)
    small = max(abs(found.low95), abs(found.high95)) < WORTH_KNOWING * spread
    return found.evidence == CLEAR or small


def watched(going: Going, seed: int, number: int) -> tuple[float, float, float, float]:
    """What was told of one variable (low, middle, high), and the makes it took; NaN: none waits."""
    whole = journal_of(going, number, seed)
    answer = _study(whole, going.makes)
    waiting = [one for one in answer.findings if one.makes_to_settle is not None]
    if not waiting:
        return (np.nan,) * 4
    rng = np.random.default_rng([seed, number, 3])
    one = waiting[int(rng.integers(len(waiting)))]
    low, high = float(one.makes_to_settle_low or 0), float(one.makes_to_settle_high or 0)
    room = LONGEST - going.makes
    sizes = np.unique(np.geomspace(1, room, LOOKED_AT).round().astype(int))
    sizes = np.unique([*sizes, min(max(int(low) - 1, 1), room), min(int(high), room)])
    for more in sizes.tolist():
        until = going.makes + more
        spread = float(whole.y[:until].std(ddof=1))
        if settled(_study(whole, until), one.key, spread):
            return low, float(one.makes_to_settle or 0), high, float(more)
    return low, float(one.makes_to_settle or 0), high, np.inf


def _study(whole: ScoreTable, makes: int) -> Study:
    return study(table_of(whole.x[:makes], whole.y[:makes]), permutations=1)


def came_true(rows: np.ndarray) -> float:
    """The share of the told ranges (rows of `watched`) that held what it took."""
    known = rows[np.isfinite(rows[:, 0])]
    low, _, high, took = known.T
    high = np.where(high >= LONGEST / 2, np.inf, high)
    return float(((low <= took) & (took <= high)).mean())


def _part(going: Going, seed: int, numbers: Sequence[int]) -> Rows:
    return each(partial(watched, going, seed), numbers)


def show_settling(count: int, seeds: Sequence[int], jobs: int, kept: Kept) -> None:
    """Print the table."""
    print(f"\nHow many more makes settle a variable ({count} journals a line)")
    print(" makes  kind      told range held %   too soon %   too late %   told, middle of all")
    for untidy in (False, True):
        for makes in SIZES:
            going = Going(makes, untidy)
            rows = kept.over(f"{going}", partial(_part, going), seeds, count, jobs)
            known = rows[np.isfinite(rows[:, 0])]
            early = float((known[:, 3] < known[:, 0]).mean())
            held = came_true(rows)
            output = "{:.0f} to {:.0f}".format(*np.median(known[:, [0, 2]], axis=0))
            kind = "untidy" if untidy else "tame"
            print(f"{makes:6d}  {kind:8}{100 * held:19.1f}{100 * early:13.1f}"
                  f"{100 * (1 - held - early):13.1f}   {output}", flush=True)  # fmt: skip
