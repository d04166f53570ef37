"""What was read during a make: the loggers' traces, and what a person measured and typed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.records.instants import MINUTE_MS
from journal.sample.made import Made

Floats = npt.NDArray[np.float64]
Instants = npt.NDArray[np.int64]

LOGGED_MIN = 480.0  # how long a logger runs: eight hours
ROOM_SHARE = 5  # one room reading for so many of the milk
PH_NOISE = 0.018  # of one reading of a kitchen's thermometer
_LOOKS = 14  # at the thermometer from warm milk to the drain, where there was no logger
_EVERY_MIN = 24.0  # between two readings of the curd


@dataclass(frozen=True)
class SensorReadings:
    """Readings of one kind: instants (n,), values (n,)."""

    kind: str
    at_ms: Instants
    value: Floats


def loggers(rng: np.random.Generator, one: Made, readings: int | None) -> list[SensorReadings]:
    """A logger's milk and room temperature; `readings` of both together, else one a minute."""
    if one.noted:
        return []
    rooms = round(LOGGED_MIN / ROOM_SHARE) if readings is None else readings // (ROOM_SHARE + 1)
    milks = round(LOGGED_MIN) if readings is None else readings - rooms
    milk_min, room_min = _clock(rng, milks), _clock(rng, rooms)
    offset = rng.normal(0.0, 0.08)
    milk = one.day.vat.temperature_at(milk_min) + rng.normal(offset, 0.06, len(milk_min))
    drift = 0.3 * np.sin(2 * np.pi * (room_min / LOGGED_MIN + rng.random()))
    room = one.day.room_c + drift + rng.normal(0.0, 0.08, len(room_min))
    return [
        _read(one, "milk-temp", milk_min * MINUTE_MS, np.round(milk, 1)),
        _read(one, "room-temp", room_min * MINUTE_MS, np.round(room, 1)),
    ]


def _clock(rng: np.random.Generator, count: int) -> Floats:
    """Even minutes over the logged hours, beginning anywhere within the first interval."""
    out: Floats = (np.arange(count) + rng.random()) * LOGGED_MIN / max(count, 1)
    return out


def typed(rng: np.random.Generator, one: Made, mould_mm: float) -> list[SensorReadings]:
    """What a person measured: pH of milk, whey and curd, the kitchen's air, the press's load."""
    out = list(_acidity(rng, one))
    out.append(_glances(rng, one) if one.noted else _humidity(rng, one))
    if one.facts is not None and not one.running:
        out.append(_load(rng, one, mould_mm))
    if one.running:
        out.append(_looks(rng, one))
    return [read for read in out if len(read.at_ms)]


def _acidity(rng: np.random.Generator, one: Made) -> list[SensorReadings]:
    sensor = float(rng.normal(0.0, 0.012))  # how far the thermometer is off today
    at = _moments(rng, one)
    out, souring = [], one.day.souring
    for kind in ("milk-ph", "whey-ph", "curd-ph"):
        minutes = np.array(at[kind])
        true = souring.ph_at(minutes)
        if kind == "whey-ph":
            true = true + souring.culture.whey_above(true)
        value = np.round(true + sensor + rng.normal(0.0, PH_NOISE, len(minutes)), 2)
        out.append(_typed(one, kind, minutes, value))
    return out


def _moments(rng: np.random.Generator, one: Made) -> dict[str, list[float]]:
    """When what was measured: at each turn of the day, and every half hour or so between."""
    day = one.day
    cut, cook, end = day.end_of("cut"), day.begin_of("cook"), day.begins[-1]
    until = end if day.failed else day.begin_of("mill")
    steady = np.arange(cook + 20.0, until - 12.0, _EVERY_MIN)
    steady = steady + rng.uniform(-4.0, 4.0, len(steady))
    curd, whey = [float(m) for m in steady], [cut]
    whey += [m + 1.0 for m in curd if day.failed or m < day.begin_of("drain") - 8.0][::2]
    if not day.failed:
        drain = day.begin_of("drain")
        curd = [m for m in curd if abs(m - drain) > 8.0]
        whey.append(drain - 1.0)
        night = day.begin_of("press") + float(rng.uniform(150.0, 210.0))
        curd += [drain, day.begin_of("mill"), day.begin_of("mould"), night, end - 5.0]
    milk = [day.begin_of("ripen") - 2.0, day.begin_of("set") - 1.0]
    return {"milk-ph": milk, "whey-ph": sorted(whey), "curd-ph": sorted(curd)}


def _humidity(rng: np.random.Generator, one: Made) -> SensorReadings:
    minutes = np.array([12.0, 130.0, 255.0, 370.0]) + rng.uniform(-10.0, 10.0, 4)
    value = np.round(rng.normal(57.0, 4.0) + rng.normal(0.0, 1.0, 4))
    return _typed(one, "room-humidity", minutes, value)


def _load(rng: np.random.Generator, one: Made, mould_mm: float) -> SensorReadings:
    """The load on each wheel, kg, read at the press: pressure times the mould's area."""
    day = one.day
    kg_per_kpa = 1000.0 * np.pi * (mould_mm / 2000.0) ** 2 / 9.80665
    first, night = (stage for stage in day.plan.stages if stage.kind == "press")
    begins = day.begins[-3:]
    minutes = np.array([begins[0] + 2.0, begins[1] + 2.0, begins[1] + 150.0])
    kpa = np.array([first.pressure_kpa, night.pressure_kpa, night.pressure_kpa], dtype=float)
    kg = kpa * kg_per_kpa * (1.0 + rng.normal(0.0, 0.015, 3))
    return _typed(one, "load", minutes, np.round(kg * 2) / 2)


def _glances(rng: np.random.Generator, one: Made) -> SensorReadings:
    """What the notebook has of the milk's temperature, most of it from the cook."""
    begin, end = one.day.begin_of("cook"), one.day.end_of("cook")
    minutes = np.append(begin - 25.0, np.linspace(begin, end - 0.2, _LOOKS - 1))
    value = one.day.vat.temperature_at(minutes) + rng.normal(0.0, 0.15, _LOOKS)
    return _typed(one, "milk-temp", minutes, np.round(value, 1))


def _looks(rng: np.random.Generator, one: Made) -> SensorReadings:
    """The last looks at the running make's thermometer, typed in."""
    minutes = one.until_min - np.array([14.0, 9.0, 5.0, 1.0])
    value = one.day.vat.temperature_at(minutes) + rng.normal(0.0, 0.1, len(minutes))
    return _typed(one, "milk-temp", minutes, np.round(value, 1))


def _typed(one: Made, kind: str, minutes: Floats, value: Floats) -> SensorReadings:
    """What a person typed, to the second."""
    return _read(one, kind, np.round(minutes * 60) * 1000, value)


def _read(one: Made, kind: str, after_ms: Floats, value: Floats) -> SensorReadings:
    """With instants, and without what has not happened yet."""
    past = after_ms <= one.until_min * MINUTE_MS
    at_ms = one.started_ms + np.round(after_ms[past]).astype(np.int64)
    return SensorReadings(kind, at_ms, value[past])
