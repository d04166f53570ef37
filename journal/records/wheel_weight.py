"""What a wheel weighs and what is left of it: weighings and the parts that were taken, in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from journal.records.wheels import Removal, Weighing

LEAST_LEFT = 1e-6  # a share below this is nothing


@dataclass(frozen=True)
class WheelWeight:
    """A wheel at one moment.

    Attributes
    ----------
    green_kg : float | None
        What all of it weighed when it left the press; of a piece the part of that it is.
    left : float
        The share of the whole that is still there, 0 to 1. Drying does not change it.
    whole_kg : float | None
        What it would weigh now had nothing been taken.
    weighed_ms : int | None
        When it was last on the scale.
    """

    green_kg: float | None = None
    left: float = 1.0
    whole_kg: float | None = None
    weighed_ms: int | None = None

    @property
    def kg(self) -> float | None:
        """What is there now, kg; None where it was never weighed."""
        return None if self.whole_kg is None else self.whole_kg * self.left

    @property
    def lost_pct(self) -> float | None:
        """What it lost by drying, % of its green weight; parts that were taken do not count."""
        if not self.green_kg or self.whole_kg is None:
            return None
        return 100 * (1 - self.whole_kg / self.green_kg)

    @property
    def is_gone(self) -> bool:
        """Nothing is left of it."""
        return self.left <= LEAST_LEFT


@dataclass(frozen=True)
class WeightCourse:
    """How a wheel's weight went: `points` are instants with what the whole would have weighed,
    `parts` each taking with its share of the whole and its weight (None: not known)."""

    now: WheelWeight
    points: tuple[tuple[int, float], ...]
    parts: tuple[tuple[Removal, float, float | None], ...]


def weight_course(
    green_kg: float | None,
    weighings: Iterable[Weighing],
    removals: Iterable[Removal],
    first_kg: float | None = None,
) -> WeightCourse:
    """The course of a wheel from what was noted, in the order of time; `first_kg` is what it
    weighed at first where that is not its green weight.

    A weighing says what is there; what the whole would weigh follows from the share that is left.
    A part given as a weight is the share that it is of the whole then. At one instant a part was
    taken before the scale, unless the weight fits what was there before it better. More than is
    left cannot be taken: the rest counts.
    """
    state = WheelWeight(green_kg, 1.0, green_kg if first_kg is None else first_kg)
    points: list[tuple[int, float]] = []
    parts: list[tuple[Removal, float, float | None]] = []
    waiting = sorted(weighings, key=_at)
    for taken in sorted(removals, key=_at):
        while waiting and (
            waiting[0].at_ms < taken.at_ms
            or (waiting[0].at_ms == taken.at_ms and _is_before(waiting[0], taken, state))
        ):
            state = _weighed(state, waiting.pop(0), points)
        share = share_of(taken, state)
        parts.append((taken, share, None if state.whole_kg is None else share * state.whole_kg))
        state = replace(state, left=max(state.left - share, 0.0))
    for weighing in waiting:
        state = _weighed(state, weighing, points)
    return WeightCourse(state, tuple(points), tuple(parts))


def share_of(taken: Removal, state: WheelWeight) -> float:
    """The share of the whole that a taking is, never more than is left; 0 for a weight of a wheel
    whose own is not known."""
    if taken.share is not None:
        return min(taken.share, state.left)
    if not state.whole_kg:
        return 0.0
    return min((taken.weight_kg or 0.0) / state.whole_kg, state.left)


def green_of_piece(parent: WeightCourse, share: float) -> float | None:
    """The green weight that a piece stands for: its share of what was left of its wheel's."""
    green = parent.now.green_kg
    return None if green is None else green * parent.now.left * share


def weight_of_piece(parent: WeightCourse, share: float) -> float | None:
    """What a piece weighed when it was cut, by its wheel's weight."""
    kg = parent.now.kg
    return None if kg is None else kg * share


def _weighed(
    state: WheelWeight, weighing: Weighing, points: list[tuple[int, float]]
) -> WheelWeight:
    if state.is_gone:
        return state
    whole = weighing.weight_kg / state.left
    points.append((weighing.at_ms, whole))
    return replace(state, whole_kg=whole, weighed_ms=weighing.at_ms)


def _is_before(weighing: Weighing, taken: Removal, state: WheelWeight) -> bool:
    """Whether a weight at the very instant of a taking is that of what was there before it."""
    if state.whole_kg is None:
        return taken.weight_kg is not None
    before = state.whole_kg * state.left
    after = before - share_of(taken, state) * state.whole_kg
    return abs(weighing.weight_kg - before) < abs(weighing.weight_kg - after)


def _at(one: Weighing | Removal) -> int:
    return one.at_ms
