"""Watching a sensor without the window: its readings are saved as they come."""

from __future__ import annotations

import argparse
import sys
import threading
import time
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer, answer, optional
from journal.command.error import CommandError
from journal.command.outcomes import verdict_now
from journal.command.parser import FILE, MAKE, CommandOption, command
from journal.command.values import amount, make_id, to_write
from journal.records import id_of
from journal.records.instants import DAY_MS, now_ms
from journal.records.sources import Source
from journal.wording import word_of, worded
from journal.wording.dates import clock

if TYPE_CHECKING:
    from journal.exchange.sensors.intake import Intake
    from journal.exchange.sensors.room_intake import RoomIntake
    from journal.exchange.sensors.sensor import Batch, Sensor
    from journal.keeping import Journal
    from journal.records.makes import Make
    from journal.records.wheels import Room

_KEEP_EVERY_S = 1.0


@command(
    "watch",
    "save a sensor's readings as they come",
    FILE,
    MAKE,
    CommandOption(
        "--sensor", "a sensor set up in the window", "NAME", formerly="--source", required=True
    ),
    CommandOption("--for", "how long, like 90min; until Ctrl+C if left out", "TIME", dest="length"),
)
def _watch(args: argparse.Namespace) -> CommandAnswer:
    length_s = 60 * amount(args.length, "duration") if args.length else None
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        if make.finished_ms is not None:
            raise CommandError("command.nothing-to-watch", code=make.code)
        source = _source(journal, args.sensor)
        kept = _run(journal, make, source, length_s)
        verdict = verdict_now(journal, make) if kept else None
    return answer(
        ("command.watched", "{verdict}"),
        make=make.code,
        source=source.name,
        kept=kept,
        verdict=optional(verdict),
    )


def _source(journal: Journal, name: str) -> Source:
    found = journal.sources.all()
    for source in found:
        if source.name.casefold() == name.casefold():
            return source
    which = "command.no-such-sensor" if found else "command.no-sensor-yet"
    raise CommandError(which, name=name, known=[source.name for source in found])


def _run(journal: Journal, make: Make, source: Source, length_s: float | None) -> int:
    """Save what comes until the time is over, the make is finished, or Ctrl+C."""
    from journal.exchange.sensors.intake import Intake, mark_of

    key = make_id(make)
    return _go_on(
        Intake(journal), source, key, make.zone, make.started_ms,
        mark_of(journal, source.uuid, key),
        lambda: journal.makes.get(key).finished_ms is not None, length_s,
    )  # fmt: skip


def watch_room(journal: Journal, room: Room, name: str, length: str | None) -> int:
    """Save what a sensor says of a room's air, from now on and what it has of the last day, until
    the time is over or Ctrl+C; how many readings were new."""
    from journal.exchange.sensors.room_intake import RoomIntake, room_mark_of

    length_s = 60 * amount(length, "duration") if length else None
    source, key = _source(journal, name), id_of(room)
    return _go_on(
        RoomIntake(journal), source, key, journal.zone, now_ms() - DAY_MS,
        room_mark_of(journal, source.uuid, key), lambda: False, length_s,
    )  # fmt: skip


def _go_on(
    intake: Intake | RoomIntake,
    source: Source,
    key: int,
    zone: str,
    since_ms: int,
    mark: dict[str, Any],
    over: Callable[[], bool],
    length_s: float | None,
) -> int:
    """Save what comes of a sensor until the time is over, it is over, or Ctrl+C."""
    from journal.exchange.sensors.making import sensor_for

    sensor = sensor_for(
        source,
        zone=zone,
        since_ms=since_ms,
        clock=now_ms,
        mark=mark,
        password=partial(_typed, _password(source)),
    )
    sensor.start(partial(_take, intake, sensor, key))
    kept, message = 0, ""
    tick, end = threading.Event(), time.monotonic() + (length_s or 0)
    try:
        while length_s is None or time.monotonic() < end:
            tick.wait(min(_KEEP_EVERY_S, length_s or _KEEP_EVERY_S))
            kept += _save(intake)
            message = _say(sensor, message, zone)
            if over():
                break
    except KeyboardInterrupt:
        pass
    finally:
        sensor.stop()
    return kept + _save(intake)


def _save(intake: Intake | RoomIntake) -> int:
    kept = 0
    while intake.waiting:
        kept += intake.save()
    return kept


def _say(sensor: Sensor, before: str, zone: str) -> str:
    """Write to standard error how the sensor is, when that has changed."""
    state = sensor.state
    name = sensor.source.name
    said = word_of("command.sensor-", state.word, sensor=name)
    words = f"{name}: {state.sentence}" if state.sentence else said
    if words != before:
        sys.stderr.write(f"{clock(now_ms(), zone)} {words}\n")
        sys.stderr.flush()
    return words


def _take(intake: Intake | RoomIntake, sensor: Sensor, key: int, batch: Batch) -> None:
    intake.take(sensor, key, batch)


def _typed(password: str | None) -> str | None:
    return password


def _password(source: Source) -> str | None:
    """The keyring's, else asked for where somebody can answer."""
    if not source.text("user"):
        return None
    from journal.exchange.sensors.secrets import password_of

    found = password_of(source)
    if found is None and sys.stdin.isatty():
        import getpass

        asked = worded("command.password-of", user=source.text("user"))
        found = getpass.getpass(asked, sys.stderr)
    if found is None:
        raise CommandError("command.no-password", user=source.text("user"))
    return found


COMMANDS = (_watch,)
