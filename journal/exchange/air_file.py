"""A logger's file of a room's air: understood as any logger's file, kept with the room."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from journal.exchange import ExchangeError
from journal.exchange.bring_in import source_of
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import understand
from journal.keeping import Journal
from journal.records import id_of
from journal.records.wheels import AirReading, Room

_EARLIEST_MS = 631_152_000_000  # 1990: no logger is older
_TEMP, _PCT = "room-temp", "room-humidity"


@dataclass(frozen=True)
class AirReport:
    """What came of a file: rows read, readings saved, known before, values skipped and why."""

    read: int
    kept: int
    known: int
    skipped: int
    reasons: dict[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def bring_air(
    journal: Journal, room: Room, path: str | Path, mapping: Mapping | None = None,
    start_ms: int = 0,
) -> AirReport:  # fmt: skip
    """Save the air of a room from a file, as one act, nothing twice.

    A temperature that no header says whose it is is the room's. `start_ms` is what elapsed times
    count from.

    Raises
    ------
    ExchangeError
        When the file cannot be read, holds no air, or a question is open; nothing is saved then.
    """
    taken = _taken(journal, path, mapping or Mapping(), start_ms)
    readings = air_readings(taken, id_of(room), source_of(Path(path).name))
    if readings and readings[0].at_ms < _EARLIEST_MS:
        raise ExchangeError("exchange.begin-not-known", asks="begin")
    if not readings:
        raise ExchangeError("exchange.no-air", file=Path(path).name)
    kept = journal.air.bring(room, readings)
    return AirReport(
        taken.read,
        kept,
        len(readings) - kept,
        taken.skipped,
        taken.reasons,
        (*taken.unsure.words, *taken.notes),
    )


def air_readings(taken: LoggerReadings, room_id: int, source: str) -> list[AirReading]:
    """Readings of one instant as one, in the order of time."""
    temps = taken.series.get(_TEMP) or taken.series.get("milk-temp")
    parts: dict[int, AirReading] = {}
    if temps is not None:
        for at, value in zip(temps.at_ms.tolist(), temps.value.tolist(), strict=True):
            if -30 <= value <= 60:
                parts[at] = AirReading(room_id, at, value, None, source)
    if (humid := taken.series.get(_PCT)) is not None:
        for at, value in zip(humid.at_ms.tolist(), humid.value.tolist(), strict=True):
            there = parts.get(at)
            parts[at] = (
                replace(there, humidity_pct=value)
                if there is not None
                else AirReading(room_id, at, None, value, source)
            )
    return [parts[at] for at in sorted(parts)]


def _taken(journal: Journal, path: str | Path, mapping: Mapping, start_ms: int) -> LoggerReadings:
    understood = understand(read_table(path), mapping)
    return take(understood, zone=journal.zone, start_ms=start_ms)
