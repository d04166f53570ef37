"""The state of a sensor: one line, and the sentence when it needs attention."""

from __future__ import annotations

from collections.abc import Sequence

from journal.message import Instant
from journal.records.kinds import READING_KINDS
from journal.records.sources import (
    CONNECTED,
    FAILED,
    FILE,
    LINE,
    SILENT,
    TOPIC,
    Arrived,
    SensorState,
    Source,
)
from journal.wording import worded
from journal.wording.dates import clock_seconds
from journal.wording.readings import value_text


def latest_words(latest: Sequence[Arrived], zone: str) -> str:
    """ "31.4 °C, pH 6.52 at 09:31:05", "" before the first."""
    if not latest:
        return ""
    at_ms = max(one.at_ms for one in latest)
    shown = sorted(latest, key=_kind_index)
    values = [value_text(one.kind, one.value) for one in shown]
    return worded("wording.values-at", values=values, at=clock_seconds(at_ms, zone))


def _kind_index(one: Arrived) -> int:
    return list(READING_KINDS).index(one.kind)


def sensor_line_words(name: str, state: SensorState, latest: Sequence[Arrived], zone: str) -> str:
    """The one line of a source that is switched on."""
    value, since = latest_words(latest, zone), Instant(state.since_ms, zone)
    if state.word == CONNECTED:
        return f"{name}: {value}" if value else worded("wording.sensor-connected", sensor=name)
    if state.word == SILENT:
        which = "wording.sensor-silent-last" if value else "wording.sensor-silent"
        return worded(which, sensor=name, since=since, last=value)
    if state.word == FAILED or state.sentence:
        return f"{name}: {state.sentence}"
    return worded("wording.sensor-connecting", sensor=name)


def attention_words(name: str, state: SensorState, zone: str) -> str:
    """What happened and what to do."""
    if state.asks_password:
        return worded("wording.sensor-password", sensor=name, why=state.sentence)
    if state.word == SILENT:
        since = Instant(state.since_ms, zone)
        return worded("wording.sensor-no-reading", sensor=name, since=since)
    return worded("wording.sensor-out-of-reach", sensor=name, why=state.sentence)


def wrong_sensors_words(wrong: Sequence[tuple[str, SensorState]], zone: str) -> str:
    """What is wrong with one sensor or with several, in one message; "" where nothing is."""
    if len(wrong) < 2:
        return "".join(attention_words(name, state, zone) for name, state in wrong)
    asking = [name for name, state in wrong if state.asks_password]
    silent = [name for name, state in wrong if state.word == SILENT]
    away = [name for name, _ in wrong if name not in (*asking, *silent)]
    options = [
        worded(which, sensors=names)
        for which, names in (
            ("wording.sensors-silent", silent),
            ("wording.sensors-out-of-reach", away),
            ("wording.sensors-password", asking),
        )
        if names
    ]
    return " ".join(options)


def sensor_source_words(source: Source) -> str:
    """ "the topic kitchen/vat at 10.0.0.7; milk"."""
    which, *keys = {
        FILE: ("wording.source-file", "path"),
        TOPIC: ("wording.source-topic", "topic", "host"),
        LINE: ("wording.source-line", "device"),
    }[source.kind]
    return worded(which, kind=source.reading, **{key: source.text(key) for key in keys})
