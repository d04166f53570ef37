"""A series as it is asked for, and what it would be: calculated in the background."""

from __future__ import annotations

from dataclasses import dataclass

from journal.background import State
from journal.findings import FindingError
from journal.findings.series import LEAST, MOST, MOST_MIDDLE, Design, design
from journal.findings.series_plans import SeriesOffer, rounded, variants
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.series_kinds import (
    alias_words,
    efficiency_words,
    kind_words,
    middle_words,
    season_words,
    series_range_words,
)


@dataclass(frozen=True)
class SeriesRequest:
    """A plan, what is varied between which values, how many makes over how many seasons,
    and how many in the middle of all."""

    plan: Plan
    varied: tuple[tuple[SeriesOffer, float, float], ...]
    makes: int
    seasons: int
    seed: int
    middle: int = 0

    @property
    def keys(self) -> tuple[str, ...]:
        """The make variables varied."""
        return tuple(offer.key for offer, _, _ in self.varied)


@dataclass(frozen=True, eq=False)
class PlannedSeries:
    """A series as it would be: its design, the values and the plan of each make, and its words."""

    asked: SeriesRequest
    design: Design
    wanted: list[tuple[float, ...]]
    plans: list[Plan]
    heading: str
    words: list[str]


def work_out(asked: SeriesRequest, scatter: float, state: State) -> PlannedSeries:
    """The set of makes that was asked for.

    Parameters
    ----------
    asked : SeriesRequest
    scatter : float
        How far makes made alike differ in their score, points; NaN where that is not known.

    Raises
    ------
    FindingError
        When it is no series, or a make of it could not be.
    """
    if len(asked.varied) != len(set(asked.keys)):
        raise FindingError("reports.variable-twice")
    factors = [offer.factor(low, high) for offer, low, high in asked.varied]
    found = design(factors, asked.makes, blocks=asked.seasons, seed=asked.seed, middle=asked.middle)
    if state.stopped():
        raise FindingError("reports.series-not-set-up")
    plans = variants(asked.plan, asked.keys, found)
    which = "reports.series-kind-and-middle" if asked.middle else "reports.series-kind"
    heading = worded(which, kind=found.kind, makes=asked.makes, middle=asked.middle)
    words = [kind_words(found), efficiency_words(found), *alias_words(found)]
    words += [*middle_words(found), *season_words(found), *series_range_words(found, scatter)]
    return PlannedSeries(asked, found, rounded(asked.keys, found), plans, heading, words)


def check_count(
    makes: float | None, seasons: float | None, middle: float | None
) -> tuple[int, int, int]:
    """Makes, seasons and makes in the middle as whole numbers.

    Raises
    ------
    FindingError
        When they are not.
    """
    if makes is None or makes != int(makes) or not LEAST <= makes <= MOST:
        raise FindingError("reports.makes-of-a-series", least=LEAST, most=MOST)
    if seasons is None or seasons != int(seasons) or seasons < 1:
        raise FindingError("reports.seasons-of-milk")
    if middle is None or middle != int(middle) or not 0 <= middle <= MOST_MIDDLE:
        raise FindingError("reports.makes-in-the-middle", most=MOST_MIDDLE)
    return int(makes), int(seasons), int(middle)
