"""After the press: the rooms and their air, what wheels lose, and the care they get."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.records.instants import local
from journal.records.plans import CareRule

GONE_AFTER_DAYS = 290.0  # soon after its last tasting a wheel is eaten
NOTED_AFTER_DAYS = 165.0  # those of the notebook had their last one sooner
THROWN_AFTER_DAYS = 85.0  # one that grew gassy is thrown away soon after its first


@dataclass(frozen=True)
class RoomAir:
    """A room as it is on the mean of the year."""

    name: str
    temp_c: float
    humidity_pct: float


ROOMS = (RoomAir("Cellar", 11.6, 86.0), RoomAir("Larder", 11.4, 79.0))


def air_at(rng: np.random.Generator, room: RoomAir, at_ms: int, zone: str) -> tuple[float, float]:
    """°C and % humidity of a room as read at an instant."""
    day = local(at_ms, zone).timetuple().tm_yday
    season = float(np.cos(2 * np.pi * (day - 225) / 365.25))
    temp = room.temp_c + 1.1 * season + float(rng.normal(0.0, 0.3))
    humidity = room.humidity_pct + 1.5 * season + float(rng.normal(0.0, 1.6))
    return round(temp, 1), float(round(min(humidity, 98.0)))


def weight_kg(green_kg: float, room: RoomAir, days: float) -> float:
    """Weight of a wheel after some days: quick while its face dries, slow under its coat.

    A small wheel loses more than the 2.5 to 8 % in 20 weeks published for large ones (Thom and
    Fisk 1918, table XIX): here about 9 to 12 %.
    """
    dry = (92.0 - room.humidity_pct) / 10.0
    lost = 0.03 * (1.0 - np.exp(-days / 5.0)) + 0.0005 * days * (0.7 + 0.5 * dry)
    return float(green_kg * (1.0 - lost))


def care_days(rng: np.random.Generator, rule: CareRule, until_day: float) -> list[float]:
    """The days (from the press) on which a care was really given, until `until_day`."""
    due = np.arange(rule.from_day, rule.to_day + 1e-9, rule.every_days)
    given = due + rng.uniform(0.0, 0.35, len(due)) + 0.3
    skipped = rng.random(len(due)) < (0.04 if len(due) > 2 else 0.0)
    return [float(day) for day in given[~skipped] if day <= until_day]
