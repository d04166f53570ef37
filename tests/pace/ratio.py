"""A ratio of two measurements taken in turn, and how it is printed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True)
class Ratio:
    """Ours over the baseline, pair by pair, with the bound it is promised to stay under."""

    what: str
    ours_ms: list[float]
    bare_ms: list[float]
    promise: float | None
    unit: str = "ms"

    @property
    def pairs(self) -> list[float]:
        """The ratio of each pair."""
        return [a / b for a, b in zip(self.ours_ms, self.bare_ms, strict=True)]

    @property
    def middle(self) -> float:
        """The median of the pairs' ratios."""
        return median(self.pairs)

    @property
    def kept(self) -> bool:
        """Whether the median keeps the promise (always, where none was made)."""
        return self.promise is None or self.middle <= self.promise

    def line(self) -> str:
        """One line: the median ratio, its span, the promise, and both medians."""
        pairs, unit = self.pairs, self.unit
        promise = "no promise" if self.promise is None else f"at most {self.promise:g}"
        span = f"{min(pairs):.2f} to {max(pairs):.2f}"
        both = f"{median(self.ours_ms):.2f} {unit} against {median(self.bare_ms):.2f} {unit}"
        return f"{self.middle:5.2f} ×  ({span}; {promise})  {self.what}: {both}"


def in_turn(
    what: str,
    ours: Callable[[], float],
    bare: Callable[[], float],
    rounds: int,
    promise: float | None,
    *,
    warm: int = 1,
    unit: str = "ms",
) -> Ratio:
    """Measure both in turn, bare first, after `warm` rounds that do not count."""
    for _ in range(warm):
        bare()
        ours()
    pairs = [(bare(), ours()) for _ in range(rounds)]
    return Ratio(what, [b for _, b in pairs], [a for a, _ in pairs], promise, unit)
