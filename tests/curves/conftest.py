"""A small plan and makes of it, built from plain numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake

START_MS = 1_760_000_000_000
STAGES = (
    Stage("warm", 26, target_c=31.0),
    Stage("ripen", 30, target_c=31.0, ramp_min=0),
    Stage("set", 40, target_c=31.0, ramp_min=0, tolerance_c=0.5),
    Stage("cut", 8),
    Stage("cook", 40, target_c=39.0),
    Stage("pitch", 20, target_c=39.0, ramp_min=0),
    Stage("drain", 15),
)
PLAN = Plan("A plain one", STAGES, milk_c=5.0)


@dataclass
class Kitchen:
    """Builds whole makes; times are minutes from the start."""

    start_ms: int = START_MS
    plan: Plan = PLAN
    made: int = 0

    def trace(
        self,
        kind: str,
        minutes: Sequence[float],
        value: Sequence[float],
        flags: Sequence[int] | None = None,
    ) -> Trace:
        at = self.start_ms + np.round(np.asarray(minutes, float) * 60_000).astype(np.int64)
        marks = np.zeros(len(at), np.uint8) if flags is None else np.asarray(flags, np.uint8)
        return Trace(kind, at, np.asarray(value, float), marks)

    def make(
        self,
        *traces: Trace,
        delays: dict[int, float] | None = None,
        begun: int | None = None,
        finished: bool = True,
        litres: float = 10.0,
    ) -> WholeMake:
        """A make whose stages began on the plan's clock plus their delays (by place).

        `begun` is how many stages began; the last of them runs on unless the make is finished.
        """
        starts = [s + (delays or {}).get(i, 0.0) for i, s in enumerate(self.plan.starts())]
        count = len(starts) if begun is None else begun
        ends = [*starts[1:], starts[-1] + self.plan.stages[-1].minutes]
        runs = tuple(
            self._run(i, starts[i] if i < count else None, self._end(ends, i, count, finished))
            for i in range(len(starts))
        )
        finished_ms = self.at(ends[count - 1]) if finished else None
        self.made += 1
        make = Make(f"HL-{self.made:04d}", 1, Milk(litres), self.start_ms, finished_ms=finished_ms)
        return WholeMake(make, self.plan, runs, traces={t.kind: t for t in traces})

    def at(self, minutes: float) -> int:
        return self.start_ms + round(minutes * 60_000)

    def _end(self, ends: list[float], i: int, count: int, finished: bool) -> float | None:
        return ends[i] if i < count - 1 or (finished and i < count) else None

    def _run(self, i: int, began: float | None, ended: float | None) -> StageRun:
        start, stage = self.plan.starts()[i], self.plan.stages[i]
        return StageRun(
            1,
            i + 1,
            stage.kind,
            self.at(start),
            self.at(start + stage.minutes),
            None if began is None else self.at(began),
            None if ended is None else self.at(ended),
        )


@pytest.fixture
def kitchen() -> Kitchen:
    return Kitchen()


@pytest.fixture
def kitchen_of() -> Callable[..., Kitchen]:
    """Kitchens with a plan or a start of their own."""
    return Kitchen
