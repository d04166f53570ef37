"""The panel: sessions every four weeks, what was due at each, and what three people gave it.

At the last sessions one cheese is on the board twice under two codes: a blind double.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from journal.records.instants import DAY_MS, MINUTE_MS, from_datetime, local
from journal.records.tastings import SCORE_TOP, STRENGTHS
from journal.sample.made import ZONE, Made, SimulatedCheese
from journal.sample.seeds import PANEL, stream
from journal.sample.truth import (
    ASSESSORS,
    ATTRIBUTE_SD,
    SCORE_SD,
    SESSION_SD,
    attributes,
    defect_chances,
    level_of,
    quality,
)

AGES = (60.0, 120.0, 180.0, 270.0)  # days: about 2, 4, 6 and 9 months
SECOND_AGES = (120.0, 270.0)  # the second wheel of a make waits longer
NOTED_AGES = (60.0, 150.0)  # of the notebook's makes, where only the overall score was written down
_DOUBLED = 4  # the last so many sessions have a blind double
_LAST_DAYS = 9.0  # how long ago the newest session was
_WORDS = (
    (7.6, ("hazelnut, a little broth", "long and savoury, clean finish", "sweet milk, then nuts")),
    (6.2, ("clean, milky, short", "good, could be longer", "butter and a little hay")),
    (4.8, ("plain", "a bit sharp at the back", "pleasant nose, little taste")),
    (-9.0, ("harsh", "dry in the mouth, not much there", "sharp and thin")),
)


@dataclass(frozen=True)
class ScoreSheet:
    """What one assessor gave one sample: attribute to score, defects, note."""

    assessor: str
    scores: dict[str, float]
    defects: tuple[tuple[str, str, str], ...]
    words: str


@dataclass(frozen=True)
class Tasted:
    """A wheel at a session, with its blind code and what it got."""

    cheese: SimulatedCheese
    age_days: float
    blind_code: str
    given: tuple[ScoreSheet, ...]


@dataclass(frozen=True)
class SimulatedSession:
    """One session."""

    at_ms: int
    tasted: tuple[Tasted, ...]
    doubled: bool = False  # the last one tasted is a cheese that is there already

    @property
    def lifted_ms(self) -> int:
        """When it was revealed."""
        return self.at_ms + (20 + 9 * len(self.tasted)) * MINUTE_MS


def sessions(seed: int, makes: list[Made], now_ms: int) -> list[SimulatedSession]:
    """Every session there was until `now_ms`, oldest first."""
    every = 28.0 if len(makes) <= 60 else 7.0
    due: dict[int, list[SimulatedCheese]] = {}
    for one in makes:
        for cheese in one.cheeses:
            for age in _ages(one, cheese.letter):
                ago = (now_ms - one.started_ms) / DAY_MS - age
                back = round((ago - _LAST_DAYS) / every)
                if back >= 0:
                    due.setdefault(back, []).append(cheese)
    return [
        _sit(
            stream(seed, PANEL, back),
            _evening(now_ms, _LAST_DAYS + back * every),
            cheeses,
            makes,
            now_ms,
            stream(seed, PANEL, 2, 1 + back) if back < _DOUBLED and len(cheeses) > 1 else None,
        )
        for back, cheeses in sorted(due.items(), reverse=True)
    ]


def _ages(one: Made, letter: str) -> tuple[float, ...]:
    """When a wheel is tasted: what grew gassy is thrown away after the first time."""
    if one.noted:
        return NOTED_AGES if letter == "A" else NOTED_AGES[1:]
    ages = AGES if letter == "A" else SECOND_AGES
    return ages[:1] if one.gassy else ages


def _evening(now_ms: int, days_ago: float) -> int:
    date = local(now_ms - round(days_ago * DAY_MS), ZONE)
    seven = date.replace(hour=19, minute=0, second=0, microsecond=0, tzinfo=None, fold=0)
    return from_datetime(seven + timedelta(minutes=30), ZONE)


def _sit(
    rng: np.random.Generator,
    at_ms: int,
    cheeses: list[SimulatedCheese],
    makes: list[Made],
    now_ms: int,
    again: np.random.Generator | None,
) -> SimulatedSession:
    """One session; `again` draws its double, apart from all else."""
    codes = 100 + rng.choice(900, len(cheeses), replace=False)
    there = [name for name in ASSESSORS if rng.random() > 0.08] or list(ASSESSORS)
    moods = {name: float(rng.normal(0.0, SESSION_SD)) for name in there}
    levels = {name: level_of(name, (now_ms - at_ms) / DAY_MS) + moods[name] for name in there}
    tasted = []
    for cheese, code in zip(cheeses, codes, strict=True):
        one = makes[cheese.make]
        age = (at_ms - one.started_ms) / DAY_MS
        given = tuple(_give(rng, one, cheese, age, name, level) for name, level in levels.items())
        tasted.append(Tasted(cheese, age, str(code), given))
    if again is not None:
        tasted.append(_double(again, tasted, makes, levels))
    return SimulatedSession(at_ms, tuple(tasted), again is not None)


def _double(
    rng: np.random.Generator, tasted: list[Tasted], makes: list[Made], levels: dict[str, float]
) -> Tasted:
    """One of the cheeses once more, under a code of its own."""
    one = tasted[int(rng.integers(len(tasted)))]
    used = {int(t.blind_code) for t in tasted}
    code = rng.choice([n for n in range(100, 1000) if n not in used])
    make = makes[one.cheese.make]
    given = tuple(
        _give(rng, make, one.cheese, one.age_days, name, level) for name, level in levels.items()
    )
    return Tasted(one.cheese, one.age_days, str(code), given)


def _give(
    rng: np.random.Generator,
    one: Made,
    cheese: SimulatedCheese,
    age: float,
    name: str,
    level: float,
) -> ScoreSheet:
    assert one.facts is not None
    true = quality(one.facts, age) + cheese.random_effect
    deserved = attributes(one.facts, age, true)
    overall = _halves(true + level + rng.normal(0.0, SCORE_SD))
    noise = rng.normal(0.0, ATTRIBUTE_SD, len(deserved))
    rest = {
        attribute: _halves(value + 0.6 * level + float(off))
        for (attribute, value), off in zip(deserved.items(), noise, strict=True)
    }
    defects = _defects(rng, defect_chances(one.facts, age, deserved["bitter"]))
    words = _remark(rng, overall - ASSESSORS[name]) if rng.random() < 0.3 else ""
    if one.noted:
        return ScoreSheet(name, {"overall": overall}, (), "")
    return ScoreSheet(name, {"overall": overall, **rest}, defects, words)


def _halves(value: float) -> float:
    """As a person gives it: 0 to 10 in halves."""
    return min(max(round(float(value) * 2) / 2, 0.0), SCORE_TOP)


def _defects(
    rng: np.random.Generator, chances: dict[tuple[str, str], float]
) -> tuple[tuple[str, str, str], ...]:
    drawn = rng.random(len(chances))
    strength = rng.choice(len(STRENGTHS), len(chances), p=(0.6, 0.33, 0.07))
    return tuple(
        (group, term, STRENGTHS[int(strength[k])])
        for k, ((group, term), chance) in enumerate(chances.items())
        if drawn[k] < chance
    )


def _remark(rng: np.random.Generator, overall: float) -> str:
    for at_least, words in _WORDS:
        if overall >= at_least:
            return words[int(rng.integers(len(words)))]
    return ""
