"""A triangle test of the panel: whether they can tell a hard cheese from a washed one.

Each cup is sensed as the cheese's true quality with the moment's noise, and the cup furthest from
the other two is named: how people answer a triangle by the usual model of it (Frijters 1979,
Br. J. Math. Stat. Psychol. 32, 229-241; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.setting_up import CupSet, set_up_sets
from journal.records.instants import MINUTE_MS
from journal.records.panel_tests import TRIANGLE
from journal.sample.made import Made, SimulatedCheese
from journal.sample.panel import SimulatedSession, Tasted
from journal.sample.seeds import PANEL, stream
from journal.sample.truth import ASSESSORS, SCORE_SD, quality

_AFTER_MIN, _LONG_MIN = 30, 25
_TIMES = 2  # sets for each of the panel


@dataclass(frozen=True)
class PairTasted:
    """One set, whose it was, and the place of the cup that was named."""

    assessor: str
    served: CupSet
    named: int


@dataclass(frozen=True)
class SimulatedTriangle:
    """The test: when, of which two cheeses, and what was answered."""

    at_ms: int
    cheeses: tuple[SimulatedCheese, SimulatedCheese]
    answers: tuple[PairTasted, ...]

    @property
    def lifted_ms(self) -> int:
        """When it was revealed."""
        return self.at_ms + _LONG_MIN * MINUTE_MS


def triangle(seed: int, makes: list[Made], sat: list[SimulatedSession]) -> SimulatedTriangle | None:
    """The test after the newest session; None where it had not both kinds of cheese."""
    if not sat:
        return None
    pair = [_first(sat[-1].tasted, makes, washed=washed) for washed in (False, True)]
    hard, washed = pair
    if hard is None or washed is None:
        return None
    rng = stream(seed, PANEL, 3, 1)
    true = [_true(one, makes) for one in (hard, washed)]
    people = list(ASSESSORS) * _TIMES
    answers = tuple(
        PairTasted(who, planned, _odd(rng, planned, true))
        for who, planned in zip(
            people, set_up_sets(TRIANGLE, len(people), int(rng.integers(1 << 31))), strict=True
        )
    )
    at_ms = sat[-1].lifted_ms + _AFTER_MIN * MINUTE_MS
    return SimulatedTriangle(at_ms, (hard.cheese, washed.cheese), answers)


def _first(tasted: tuple[Tasted, ...], makes: list[Made], *, washed: bool) -> Tasted | None:
    return next((t for t in tasted if _washed(makes[t.cheese.make]) == washed), None)


def _washed(one: Made) -> bool:
    return one.intent.version.washed


def _true(one: Tasted, makes: list[Made]) -> float:
    facts = makes[one.cheese.make].facts
    assert facts is not None
    return quality(facts, one.age_days) + one.cheese.random_effect


def _odd(rng: np.random.Generator, planned: CupSet, true: list[float]) -> int:
    """The cup that seems furthest from the other two."""
    sensed = np.array([true[cup] for cup in planned.cups]) + rng.normal(0.0, SCORE_SD, 3)
    apart = [float(abs(sensed - value).sum()) for value in sensed]
    return int(np.argmax(apart))
