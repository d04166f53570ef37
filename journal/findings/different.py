"""What was different this time: facts of a make beside the same facts of other makes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.course import Course, course_of
from journal.curves.figures import MakeFigures, figures
from journal.findings.categories import CATEGORIES
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.variables import value_of
from journal.message import Message
from journal.records.makes import Make
from journal.records.whole import WholeMake

LEAST = 3  # other makes without which nothing is called unusual
CHANCE = 0.01  # of facts that differ by chance alone so many are called unusual
MOST = 3  # are said; the rest is folded
# The least spread that is taken for real, by unit: what a clock, a thermometer, a sensor, a kitchen
# scale resolve (from memory); of other units a share of the usual value.
RESOLVED = {"min": 1.0, "°C": 0.2, "pH": 0.03, "°C/min": 0.01, "l": 0.1, "°C·min": 5.0, "%": 0.1,
            "days": 0.5, "kPa": 0.2, "kg": 0.1, "mm": 0.5}  # fmt: skip
RESOLVED_SHARE = 0.02
MAD_TO_SD = 1.4826  # of a normal spread
# What the median distance is too small by in small samples: C. Croux and P. J. Rousseeuw 1992,
# Time-efficient algorithms for two highly robust estimators of scale, Computational Statistics 1,
# 411-428 (the factors from memory; tests/findings checks them by simulation).
_SMALL = {2: 1.196, 3: 1.495, 4: 1.363, 5: 1.206, 6: 1.200, 7: 1.140, 8: 1.129, 9: 1.107}
# How many makes' worth the median distance tells beside the standard deviation (37 %, the same).
_EFFICIENCY = 0.37
# Variables that stages say too: told once, by the stage.
_BY_STAGE = {"set", "heal", "stirring", "cheddaring", "time_in_the_press", "time_in_brine",
             "ph_at_drain", "ph_at_milling", "cook_temperature", "milk_ripened"}  # fmt: skip
_CULTURE_PARTS = {
    "cold": "findings.fact-culture-cold", "slow": "findings.fact-culture-slow",
    "well": "findings.fact-culture-well", "warm": "findings.fact-culture-warm",
    "hot": "findings.fact-culture-hot",
}  # fmt: skip
_JUDGED_PARTS = ("well", "warm")
CONSEQUENCE = "told"  # the theme of what is told and not judged: it follows from what is
_BY_LENGTHS = ("delay", "culture")  # themes that follow from how long stages took


@dataclass(frozen=True)
class Fact:
    """One thing that can be said of a make: `what` it is, and `of` what, among its values; `theme`
    says what kind of thing it is. `key` is what it is known by in every make. `kind` is set where
    it is no number (a lot, an animal)."""

    key: str
    what: Message
    unit: str
    value: float
    theme: str
    kind: str = ""


@dataclass(frozen=True)
class Different:
    """A fact beside the other makes: the usual value (median), its spread and the robust z; `low`
    and `high` are where eight in ten makes would lie.

    `z` is None where fewer than three other makes have the fact, and for kinds, of which
    `usual_kind` is that of most others. `far` is how many spreads are unusual among so many makes.
    """

    fact: Fact
    usual: float | None
    spread: float | None
    z: float | None
    far: float
    makes: int
    usual_kind: str = ""

    @property
    def unusual(self) -> bool:
        """It lies further out than chance alone would have it in one fact of a hundred; a kind that
        no other make has while all others have another."""
        if self.fact.kind:
            return bool(self.usual_kind) and self.makes >= LEAST
        return self.z is not None and abs(self.z) >= self.far

    @property
    def low(self) -> float:
        """Where one in ten other makes lies below."""
        return (self.usual or 0.0) - 1.2816 * (self.spread or 0.0)

    @property
    def high(self) -> float:
        """Where one in ten other makes lies above."""
        return (self.usual or 0.0) + 1.2816 * (self.spread or 0.0)


FactsByKey = dict[str, Fact]
"""What can be said of a make, by key."""


def facts_of(whole: WholeMake, course: Course | None = None) -> FactsByKey:
    """Every fact of a make, by what it is."""
    known = course or course_of(whole)
    found = [
        *_stage_facts(known),
        *_variables(whole),
        *_figures(figures(whole, known), known, whole.make),
        *_amounts(whole),
        *_kinds(whole),
    ]
    return {fact.key: fact for fact in found if np.isfinite(fact.value)}


def what_was_different(mine: FactsByKey, others: Sequence[FactsByKey]) -> list[Different]:
    """The facts of a make beside those of other makes, the most unusual first; those that cannot be
    judged come last.

    The spread is 1.4826 × the median distance from the median, corrected for small samples, never
    less than what the instrument resolves.
    """
    rows = []
    for key, fact in mine.items():
        same = [other[key] for other in others if key in other]
        if fact.kind:
            rows += _kind_beside(fact, same)
        else:
            rows.append(_beside(fact, [other.value for other in same]))
    return sorted(rows, key=_strangeness)


def standing_out(rows: Sequence[Different], most: int = MOST) -> list[Different]:
    """The unusual facts to be said, one of each thing: what moves together is said once, and what
    follows from the lengths of stages only where no stage says it."""
    stages_say = any(row.unusual and row.fact.theme == "length" for row in rows)
    out: list[Different] = []
    taken: set[tuple[str, str]] = set()
    for row in rows:
        theme = row.fact.theme
        name = (
            theme if theme in ("acid", "figure", *_BY_LENGTHS) else str(row.fact.what.values["of"])
        )
        repeated = (theme, name) in taken or (theme in _BY_LENGTHS and stages_say)
        if row.unusual and not repeated and len(out) < most:
            taken.add((theme, name))
            out.append(row)
    return out


def robust_spread(values: Sequence[float]) -> float:
    """The spread of values by their median distance from the median, as that of a normal one."""
    number = len(values)
    middle = float(np.median(values))
    distance = float(np.median(np.abs(np.asarray(values) - middle)))
    return MAD_TO_SD * _SMALL.get(number, number / (number - 0.8)) * distance


def far_from(number: int) -> float:
    """How many robust spreads from the median of so many makes another lies once in a hundred by
    chance: Student's t with the degrees of freedom that the median distance is worth, widened by
    the median's own error (its variance is π/2 of the mean's)."""
    from scipy.stats import t

    degrees = max(1.0, _EFFICIENCY * number)
    wide = np.sqrt(1 + np.pi / 2 / number)
    return float(t.ppf(1 - CHANCE / 2, degrees) * wide)


def _stage_facts(course: Course) -> Iterator[Fact]:
    for stage in course.stages:
        key, name = stage.key, _name_of(course, stage.key)
        if stage.done or stage.delay > 0:  # one that never ended took that long at least
            what = Message("findings.fact-length", of=name)
            yield Fact(f"length/{key}", what, "min", stage.minutes, "length")
        if stage.done:
            warmth = float(course.temp.at(stage.end))
            what = Message("findings.fact-milk-at-end", of=name)
            yield Fact(f"temp/{key}", what, "°C", warmth, "temp")
        kind = course.acid.kind
        unit = "pH" if kind.endswith("-ph") else "%"
        what = Message("findings.fact-acid", of=name, kind=kind)
        yield Fact(f"{kind}/{key}", what, unit, float(course.acid.at(stage.begin)), "acid")
    if course.stages and course.stages[-1].done:
        late = sum(stage.delay for stage in course.stages[:-1])
        yield Fact("delay", Message("findings.fact-delay", of=""), "min", late, "delay")


def _name_of(course: Course, key: str) -> str:
    """What a stage is called, counted where a name comes again."""
    labels = [stage.label for stage in course.stages]
    index = [stage.key for stage in course.stages].index(key)
    label = labels[index]
    return label if labels.count(label) == 1 else f"{label} {labels[: index + 1].count(label)}"


def _variables(whole: WholeMake) -> Iterator[Fact]:
    for one in MAKE_VARIABLES:
        if one.variable.key not in _BY_STAGE:
            what = Message("findings.fact-variable", of=one.variable.name)
            theme = "dose" if "dose" in one.variable.key else "variable"
            value = value_of(whole, one)[0]
            yield Fact(one.variable.key, what, one.variable.unit, value, theme)


def _figures(found: MakeFigures, course: Course, make: Make) -> Iterator[Fact]:
    """Sums over the day only of a day that was gone through, gains only of stages that ended."""
    done = {stage.key for stage in course.stages if stage.done}
    for stage in found.stages:
        if stage.acid_gain is not None and stage.key in done:
            what = Message("findings.fact-acid-gain", of=stage.label)
            unit = "pH" if str(found.acid_kind).endswith("-ph") else "%"
            yield Fact(f"gain/{stage.key}", what, unit, stage.acid_gain, "acid")
        if found.culture is not None and stage.key in done:
            what = Message("findings.fact-culture-time", of=stage.label)
            yield Fact(f"culture/{stage.key}", what, "min", stage.culture_min, CONSEQUENCE)
    if make.running or make.failed:
        return
    numbers = (
        ("findings.fact-degree-minutes", "°C·min", found.degree_minutes),
        ("findings.fact-outside", "min",
         None if found.minutes_read is None else found.minutes_read - (found.minutes_inside or 0)),
        ("findings.fact-steepest", "°C/min", found.steepest_c_per_min),
    )  # fmt: skip
    if found.culture is not None:
        for part, name in _CULTURE_PARTS.items():
            minutes = float(getattr(found.culture, part))
            theme = "culture" if part in _JUDGED_PARTS else CONSEQUENCE
            yield Fact(f"culture/{part}", Message(name, of=""), "min", minutes, theme)
    for name, unit, value in numbers:
        if value is not None:
            yield Fact(name, Message(name, of=""), unit, value, "figure")


def _amounts(whole: WholeMake) -> Iterator[Fact]:
    litres = whole.make.milk.litres
    yield Fact("litres", Message("findings.fact-litres", of="milk"), "l", litres, "milk")
    green = sum(wheel.green_weight_kg or 0.0 for wheel in whole.wheels)
    if green > 0:
        what = Message("findings.fact-yield", of="yield")
        yield Fact("yield", what, "kg/100 L", 100 * green / litres, "yield")


def _kinds(whole: WholeMake) -> Iterator[Fact]:
    for one in CATEGORIES:
        kind = one.read(whole)
        if kind and one.name != "rind":
            what = Message("findings.fact-variable", of=one.name)
            yield Fact(one.name, what, "", 0.0, "kind", kind)


def _beside(fact: Fact, others: list[float]) -> Different:
    usual = float(np.median(others)) if others else None
    if len(others) < LEAST or usual is None or fact.theme == CONSEQUENCE:
        return Different(fact, usual, None, None, float("inf"), len(others))
    least = RESOLVED.get(fact.unit, RESOLVED_SHARE * abs(usual) or 1e-9)
    spread = max(robust_spread(others), least)
    return Different(
        fact, usual, spread, (fact.value - usual) / spread, far_from(len(others)), len(others)
    )


def _kind_beside(fact: Fact, others: list[Fact]) -> list[Different]:
    """A kind that no other has, where all others have another one."""
    kinds = Counter(other.kind for other in others)
    usual = kinds.most_common(1)[0][0] if kinds else ""
    alone = len(kinds) == 1 and usual != fact.kind
    return [Different(fact, None, None, None, 0.0, len(others), usual if alone else "")]


def _strangeness(row: Different) -> tuple[bool, bool, float, str]:
    beyond = abs(row.z or 0.0) / row.far if row.z is not None else 0.0
    judged = row.z is not None or row.unusual
    return not judged, not row.unusual, -beyond, row.fact.key
