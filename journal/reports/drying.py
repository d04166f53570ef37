"""How the wheels of a kitchen dry: what each is expected to weigh, and what dries too fast."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.drying import (
    USUAL_C,
    USUAL_PCT,
    DriedWheel,
    Drying,
    Expected,
    air_sum,
    drying,
    expected,
    rind_of,
)
from journal.keeping import Journal
from journal.reckoning.drying import dryness_kpa
from journal.reckoning.loss import Loss
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.tables import table
from journal.records.traces import AirTrace, Floats
from journal.records.wheels import Care, Wheel
from journal.reports.wheel_air import WheelAirs, recent_wheels
from journal.wording.wheels import drying_words

_STEPS = 60
_EVER_MS = 1 << 52


@dataclass(frozen=True)
class ExpectedWeight:
    """What a wheel is expected to weigh, kg, at days since it was pressed (all (n,)); the range
    holds 80 in 100; `wheels` of the kitchen's own it is drawn from."""

    days: Floats
    low: Floats
    middle: Floats
    high: Floats
    wheels: int


class DryingKitchen:
    """What dried of late in a journal, and the wheels named, read once."""

    def __init__(self, journal: Journal, also: Sequence[Wheel] = ()) -> None:
        self._series = _series()
        wheels = {id_of(wheel): wheel for wheel in (*recent_wheels(journal), *also)}
        self._airs = WheelAirs(journal, wheels.values())
        of = journal.makes.of_any("id", {wheel.make_id for wheel in wheels.values()})
        makes = {make.id: make for make in of if not make.failed}
        cares: dict[int, list[Care]] = {}
        for care in journal.cares.of_any("wheel_id", wheels):
            cares.setdefault(care.wheel_id, []).append(care)
        courses = journal.shelves.courses(wheels)
        self._begun: dict[int, int] = {}
        self._dried: dict[int, DriedWheel] = {}
        for wheel in wheels.values():
            make, course = makes.get(wheel.make_id), courses[id_of(wheel)]
            if make is None or not wheel.green_weight_kg or wheel.cut_from_id is not None:
                continue
            pressed = make.finished_ms or make.started_ms
            points = [p for p in course.points if p[0] >= pressed] or [
                (pressed, wheel.green_weight_kg)
            ]
            until = self._sum(wheel)
            rind = rind_of(cares.get(id_of(wheel), ()), wheel.green_weight_kg)
            self._begun[id_of(wheel)] = pressed
            self._dried[id_of(wheel)] = DriedWheel(
                wheel.code, wheel.green_weight_kg, rind,
                tuple((at - pressed) / DAY_MS for at, _ in points),
                tuple(kg for _, kg in points),
                tuple(until(pressed, at) for at, _ in points),
            )  # fmt: skip

    def usual(self, wheel: Wheel) -> Expected | None:
        """What is usual for a wheel, by all others; None where nothing is known of its weight."""
        own = self._dried.get(id_of(wheel))
        if own is None:
            return None
        others = [one for key, one in self._dried.items() if key != wheel.id]
        return expected(own.rind, others, self._series)

    def drying(self, wheel: Wheel) -> Drying | None:
        """How a wheel dries of late; None while too little is known."""
        usual = self.usual(wheel)
        if usual is None:
            return None
        room = self._airs.rooms.get(wheel.room_id)
        wanted = (
            USUAL_C if room is None or room.target_c is None else room.target_c,
            USUAL_PCT
            if room is None or room.target_humidity_pct is None
            else room.target_humidity_pct,
        )
        return drying(self._dried[id_of(wheel)], usual, float(dryness_kpa(*wanted)))

    def expected_weight(self, wheel: Wheel, until_ms: int) -> ExpectedWeight | None:
        """The curve a wheel is expected to follow in its room, from the press to an instant."""
        usual = self.usual(wheel)
        if usual is None:
            return None
        own, begun = self._dried[id_of(wheel)], self._begun[id_of(wheel)]
        at = np.linspace(begun, max(until_ms, begun + DAY_MS), _STEPS)
        since = self._sum(wheel)
        spent = np.array([since(begun, int(one)) for one in at])
        low, middle, high = usual.course(own.green_kg, spent)
        return ExpectedWeight((at - begun) / DAY_MS, low, middle, high, usual.wheels)

    def words(self, wheel: Wheel) -> str | None:
        """ "dries too fast: 0.31 % a day, usual 0.12 to 0.18 …", None where it does not."""
        found = self.drying(wheel)
        if found is None or not found.too_fast:
            return None
        return drying_words(found, self._humidity(wheel))

    def _sum(self, wheel: Wheel) -> Callable[[int, int], float]:
        return air_sum(self._trace(wheel), self._airs.rooms.get(wheel.room_id))

    def _trace(self, wheel: Wheel) -> AirTrace:
        """The air about a wheel, until today."""
        return self._airs.through(wheel, 0, _EVER_MS)

    def _humidity(self, wheel: Wheel) -> float | None:
        """The mean humidity about a wheel of late, %."""
        trace = self._trace(wheel)
        recent = trace.at_ms >= (trace.at_ms[-1] if len(trace.at_ms) else 0) - 21 * DAY_MS
        values = trace.humidity_pct[recent]
        values = values[np.isfinite(values)]
        return float(values.mean()) if len(values) else None


def _series() -> list[Loss]:
    rows = table("weight_loss")
    names = ("cheese_kg", "room_c", "weeks", "loss_pct")
    values: Sequence[tuple[str, ...]] = list(zip(*(rows[name] for name in names), strict=True))
    return [Loss(*(float(text) for text in row)) for row in values]
