"""Whole kitchens for the proof of the next make: worlds, makes and tasters, with what is true.

Nothing here knows how the journal reasons: no code and no prior is shared with it. A kitchen makes
every three weeks and can change 14 things, each by up to three typical changes either way. A wheel
is tasted at three months and another at six, so that the last makes are never scored. All luck is
drawn beforehand from the world's number: whoever chooses, the milk, the hands and the tasters are
the same.

Three worlds: *middle*, where each change has a best value somewhere and 2.5 points are to be
gained in all; *slopes*, where more (or less) is always better, a few times much; *few*, where four
of the 14 matter. An untidy kitchen has besides what homes have: habits that drift, milk that goes
with the season, a taster who uses half the scale and one whose level drifts, whole points, wrecked
makes, values and scores that nobody wrote down, a long pause, and changes kept once made.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

KINDS = ("middle", "slopes", "few")
CHANGES, MAKES, REACH = 14, 30, 3.0
EVERY_DAYS = 21.0
AGES = (90.0, 180.0)
MILK = 4
ASSESSORS = 2
LEVEL = 6.0
LUCK_OF_MAKE, LUCK_OF_WHEEL, LUCK_OF_SESSION, LUCK_OF_SCORE = 0.5, 0.2, 0.2, 0.5
LEVELS_APART = 0.5
AGE_EFFECT = 0.2
BY_HAND = 0.3
PAUSE_AFTER, PAUSE_DAYS = 14, 84.0


def carried_out_sd() -> Numbers:
    """How far from what was meant each change is carried out: a knife is exact, acid is not."""
    sd = np.full(CHANGES, BY_HAND)
    sd[4] = 0.0
    sd[[10, 12]] = 0.4
    return sd


@dataclass(frozen=True)
class World:
    """What is true: the score of settings in typical changes is LEVEL + slope·u + bend·u²."""

    kind: str
    slope: Numbers
    bend: Numbers

    def worth(self, settings: Numbers) -> Numbers:
        """The true score of settings (…, changes)."""
        return np.asarray(LEVEL + settings @ self.slope + settings**2 @ self.bend)

    @classmethod
    def drawn(cls, kind: str, rng: np.random.Generator) -> World:
        """A world of a kind."""
        none = np.zeros(CHANGES)
        if kind == "middle":
            best = rng.uniform(-REACH, REACH, CHANGES)
            sharp = np.abs(rng.standard_t(3, CHANGES))
            sharp *= 2.5 / float(sharp @ best**2)
            return cls(kind, 2 * sharp * best, -sharp)
        if kind == "slopes":
            slope = rng.standard_t(3, CHANGES)
            return cls(kind, slope * 3.0 / (REACH * np.abs(slope).sum()), none)
        slope = none.copy()
        slope[rng.permutation(CHANGES)[:4]] = 0.35 * rng.choice([-1.0, 1.0], 4)
        return cls(kind, slope, none)


@dataclass(frozen=True)
class Kitchen:
    """A world with all its luck, drawn beforehand."""

    world: World
    untidy: bool
    hands: Numbers  # (makes, changes): off what was meant
    habits: Numbers  # (makes, changes): where habit has drifted
    milk: Numbers  # (makes, milk), in sds
    milk_effect: Numbers
    luck: Numbers  # (makes,)
    wheel: Numbers  # (makes, ages)
    age: Numbers  # (makes, ages), days
    level: Numbers  # (makes, ages, assessors)
    scale: Numbers  # (assessors,)
    single: Numbers  # (makes, ages, assessors)
    mood: Numbers  # (sessions,)
    kept: NDArray[np.bool_]  # (makes, changes): a change of the make before is kept
    unwritten: NDArray[np.bool_]  # (makes, changes)
    unscored: NDArray[np.bool_]  # (makes, ages, assessors)
    days: Numbers  # (makes,)
    step: float  # scores are rounded to it

    @classmethod
    def drawn(cls, kind: str, untidy: bool, number: int, seed: int = 13) -> Kitchen:
        """The kitchen of that number."""
        rng = np.random.default_rng([seed, KINDS.index(kind), number])
        world = World.drawn(kind, rng)
        two = (MAKES, len(AGES))
        three = (*two, ASSESSORS)
        days = EVERY_DAYS * np.arange(MAKES)
        hands = rng.normal(size=(MAKES, CHANGES)) * carried_out_sd()
        phase = rng.uniform(0, 2 * np.pi, MILK)
        milk = 0.8 * np.sin(2 * np.pi * days[:, None] / 365 + phase) * np.sqrt(2)
        milk = milk + 0.6 * rng.normal(size=(MAKES, MILK))
        effect = 0.08 * rng.choice([-1.0, 1.0], MILK)
        luck = LUCK_OF_MAKE * rng.normal(size=MAKES)
        wheel = LUCK_OF_WHEEL * rng.normal(size=two)
        age = np.array(AGES) + 6.0 * rng.normal(size=two)
        level = np.broadcast_to(LEVELS_APART * rng.normal(size=ASSESSORS), three).copy()
        single = LUCK_OF_SCORE * rng.normal(size=three)
        mood = LUCK_OF_SESSION * rng.normal(size=60)
        plain = cls(
            world, untidy, hands, np.zeros((MAKES, CHANGES)), milk, effect, luck, wheel, age, level,
            np.ones(ASSESSORS), single, mood, np.zeros((MAKES, CHANGES), bool),
            np.zeros((MAKES, CHANGES), bool), np.zeros(three, bool), days, 0.5,
        )  # fmt: skip
        return plain._made_untidy(np.random.default_rng([seed, 77, number])) if untidy else plain

    def _made_untidy(self, rng: np.random.Generator) -> Kitchen:
        """The same kitchen as homes are."""
        steps = 0.12 * rng.normal(size=(MAKES, CHANGES)) * (rng.random(CHANGES) < 0.5)
        drift = np.linspace(0.0, 1.0, MAKES)[:, None] * np.array([0.8, 0.0])
        wrecked = (rng.random(MAKES) < 1 / 15) * rng.uniform(2, 4, MAKES)
        days = self.days + PAUSE_DAYS * (np.arange(MAKES) > PAUSE_AFTER)
        return Kitchen(
            self.world, True, self.hands, np.clip(np.cumsum(steps, axis=0), -1, 1), self.milk,
            3 * self.milk_effect, self.luck - wrecked, self.wheel, self.age,
            self.level + drift[:, None, :] * rng.choice([-1, 1]), np.array([1.0, 0.5]),
            self.single, self.mood, rng.random((MAKES, CHANGES)) < 0.25,
            rng.random((MAKES, CHANGES)) < 0.15, rng.random(self.unscored.shape) < 0.1, days, 1.0,
        )  # fmt: skip


@dataclass
class Seen:
    """What a maker has on paper when the next make is chosen.

    `settings` (makes, changes) is what each plan said, `carried` what was noted of it (NaN where
    nobody wrote it down), both in typical changes from the first plan; `scores` holds make, wheel,
    assessor, session, age in days and value of each single score given so far.
    """

    settings: Numbers
    carried: Numbers
    milk: Numbers
    days: Numbers
    scores: Numbers
    reach: float = REACH
    a_year: float = 365 / EVERY_DAYS
    remembered: dict[str, object] = field(default_factory=dict)

    @property
    def makes(self) -> int:
        """How many makes there are so far."""
        return len(self.settings)


class Run:
    """A kitchen led by a chooser, make by make."""

    def __init__(self, kitchen: Kitchen) -> None:
        self.kitchen = kitchen
        self.used = np.zeros((0, CHANGES))
        self.wanted = np.zeros((0, CHANGES))
        self._remembered: dict[str, object] = {}
        self._scores = np.empty((0, 6))
        self._day = np.empty(0)

    def seen(self) -> Seen:
        """What is on paper on the day of the make to come."""
        n, k = len(self.used), self.kitchen
        now = k.days[n] if n < MAKES else k.days[-1] + EVERY_DAYS
        carried = np.where(k.unwritten[:n], np.nan, self.really())
        return Seen(
            self.used.copy(), carried, k.milk[:n], k.days[:n],
            self._scores[self._day < now], remembered=self._remembered,
        )  # fmt: skip

    def really(self) -> Numbers:
        """What was really done (makes, changes)."""
        n = len(self.used)
        return np.asarray(self.used + self.kitchen.hands[:n] + self.kitchen.habits[:n])

    def make(self, wanted: Numbers) -> None:
        """Make what was chosen; in an untidy kitchen some changes of the make before are kept."""
        n, k = len(self.used), self.kitchen
        wanted = np.clip(np.asarray(wanted, dtype=float), -REACH, REACH)
        used = np.where(k.kept[n], self.used[-1], wanted) if n else wanted
        self.wanted = np.vstack([self.wanted, wanted])
        self.used = np.vstack([self.used, used])
        self._taste(n)

    def _taste(self, n: int) -> None:
        k = self.kitchen
        true = float(k.world.worth(self.really()[n])) + float(k.milk[n] @ k.milk_effect) + k.luck[n]
        for a in range(len(AGES)):
            day = k.days[n] + k.age[n, a]
            session = round(day / EVERY_DAYS)
            of_age = AGE_EFFECT * (k.age[n, a] - 135.0) / 45.0
            score = true + k.wheel[n, a] + of_age + k.mood[min(session, k.mood.size - 1)]
            for who in range(ASSESSORS):
                given = LEVEL + k.scale[who] * (score - LEVEL) + k.level[n, a, who]
                given = round((given + k.single[n, a, who]) / k.step) * k.step
                if k.untidy:
                    given = min(max(given, 0.0), 10.0)
                if not k.unscored[n, a, who]:
                    row = [n, 2 * n + a, who, session, k.age[n, a], given]
                    self._scores = np.vstack([self._scores, row])
                    self._day = np.append(self._day, day)

    def worths(self) -> Numbers:
        """The true score of each make (makes,): what it was meant to be and habit made of it,
        without the luck of hands, milk and day, which is the same for all."""
        n = len(self.used)
        return self.kitchen.world.worth(self.used + self.kitchen.habits[:n])
