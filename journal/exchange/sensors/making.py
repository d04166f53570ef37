"""The reader of a sensor: which class reads it, where it begins, and how a try is made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from journal.exchange.sensors.secrets import password_of
from journal.exchange.sensors.sensor import SILENT_AFTER_MS, Backoff, Clock, Sensor
from journal.records.sources import FILE, TOPIC, Source

Password = Callable[[], str | None]


def sensor_for(
    source: Source,
    *,
    zone: str,
    since_ms: int,
    clock: Clock,
    mark: dict[str, Any] | None = None,
    password: Password | None = None,
    trial: bool = False,
    backoff: Backoff | None = None,
    silent_after_ms: int = SILENT_AFTER_MS,
) -> Sensor:
    """The reader of a source; it connects nowhere until it is started.

    Parameters
    ----------
    zone, since_ms
        The zone, and from when on: what a file or a broker has from before is left out.
    mark
        What `intake.mark_of` gives: where an earlier run for this make was.
    password
        Asked for in the sensor's thread; without it the keyring is.
    silent_after_ms
        With nothing for so long it is silent.
    trial
        For a preview: nothing is left at a broker.

    Raises
    ------
    ExchangeError
        When its settings cannot be followed.
    """

    def from_keyring() -> str | None:
        return password_of(source)

    shared: dict[str, Any] = {
        "zone": zone,
        "clock": clock,
        "since_ms": since_ms,
        "mark": mark,
        "backoff": backoff,
        "silent_after_ms": silent_after_ms,
    }
    if source.kind == FILE:
        from journal.exchange.sensors.growing_file import FileSensor

        return FileSensor(source, **shared)
    if source.kind == TOPIC:
        from journal.exchange.sensors.topic import TopicSensor

        return TopicSensor(source, password=password or from_keyring, trial=trial, **shared)
    from journal.exchange.sensors.serial_line import SerialSensor

    return SerialSensor(source, **shared)
