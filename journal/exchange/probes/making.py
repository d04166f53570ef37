"""The reader of a sensor: which class reads it, where it begins, and how a try is made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from journal.exchange.probes.probe import Backoff, Clock, Probe
from journal.exchange.probes.secrets import password_of
from journal.records.sources import FILE, TOPIC, Source

Password = Callable[[], str | None]


def probe_for(
    source: Source,
    *,
    zone: str,
    since_ms: int,
    clock: Clock,
    mark: dict[str, Any] | None = None,
    password: Password | None = None,
    trial: bool = False,
    backoff: Backoff | None = None,
) -> Probe:
    """The reader of a source; it connects nowhere until it is started.

    Parameters
    ----------
    zone, since_ms
        The make's zone and its start: what a file or a broker has from before is left out.
    mark
        What `intake.mark_of` gives: where an earlier run for this make was.
    password
        Asked for in the sensor's thread; without it the keyring is.
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
    }
    if source.kind == FILE:
        from journal.exchange.probes.growing_file import FileProbe

        return FileProbe(source, **shared)
    if source.kind == TOPIC:
        from journal.exchange.probes.topic import TopicProbe

        return TopicProbe(source, password=password or from_keyring, trial=trial, **shared)
    from journal.exchange.probes.serial_line import LineProbe

    return LineProbe(source, **shared)
