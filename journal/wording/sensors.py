"""The state of a sensor: one line, and the sentence when it needs attention."""

from __future__ import annotations

from collections.abc import Sequence

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
from journal.wording.counts import listed
from journal.wording.dates import clock, clock_seconds
from journal.wording.readings import value_text


def value_words(latest: Sequence[Arrived], zone: str) -> str:
    """ "31.4 °C, pH 6.52 at 09:31:05", "" before the first."""
    if not latest:
        return ""
    at_ms = max(one.at_ms for one in latest)
    shown = sorted(latest, key=_place)
    return f"{', '.join(map(_value, shown))} at {clock_seconds(at_ms, zone)}"


def _place(one: Arrived) -> int:
    return list(READING_KINDS).index(one.kind)


def _value(one: Arrived) -> str:
    return value_text(one.kind, one.value)


def line_words(name: str, state: SensorState, latest: Sequence[Arrived], zone: str) -> str:
    """The one line of a source that is switched on."""
    value = value_words(latest, zone)
    if state.word == CONNECTED:
        return f"{name}: {value}" if value else f"{name}: connected, no reading yet"
    if state.word == SILENT:
        lately = f", last {value}" if value else ""
        return f"{name}: silent since {clock(state.since_ms, zone)}{lately}"
    if state.word == FAILED:
        return f"{name}: {state.sentence}"
    return f"{name}: {state.sentence or 'connecting…'}"


def attention_words(name: str, state: SensorState, zone: str) -> str:
    """What happened and what to do."""
    if state.asks_password:
        return f"{name}: {state.sentence} Type it in the sensor's line below."
    if state.word == SILENT:
        return (
            f"No reading has come from {name} since {clock(state.since_ms, zone)}. "
            "Check the sensor and its battery; readings you type are still saved."
        )
    return f"{name} has been out of reach for a minute. {state.sentence}"


def together_words(wrong: Sequence[tuple[str, SensorState]], zone: str) -> str:
    """What is wrong with one sensor or with several, in one message; "" where nothing is."""
    if len(wrong) < 2:
        return "".join(attention_words(name, state, zone) for name, state in wrong)
    asking = [name for name, state in wrong if state.asks_password]
    silent = [name for name, state in wrong if state.word == SILENT]
    away = [name for name, _ in wrong if name not in (*asking, *silent)]
    options = [
        f"{what} {listed(names)}."
        for what, names in (
            ("No reading has come for a minute from", silent),
            ("Out of reach:", away),
            ("Password needed for", asking),
        )
        if names
    ]
    return " ".join(options)


def source_words(source: Source) -> str:
    """ "the topic kitchen/vat at 10.0.0.7; milk"."""
    spec = READING_KINDS[source.reading]
    where = {
        FILE: f"the file {source.text('path')}",
        TOPIC: f"the topic {source.text('topic')} at {source.text('host')}",
        LINE: f"the serial line {source.text('device')}",
    }[source.kind]
    return f"{where}; {spec.label}"
