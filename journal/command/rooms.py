"""Rooms by command: what air they allow, and their air, typed, by two bulbs, or from a file."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, answer, figure, lines
from journal.command.bringing import DATE_ORDER, mapping_of
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, CommandOption, command, pairs, several
from journal.command.values import amount, day_of, instant, moment, to_read, to_write
from journal.command.watching import watch_room
from journal.records import id_of
from journal.wording import worded

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.records.wheels import AirReading, Room
    from journal.reports.air import RoomNow

_ROOM = CommandOption("room", "the room", "ROOM")
_TEMP = CommandOption("--temp", "its temperature, like 12C", "TEMPERATURE")
_HUMIDITY = CommandOption("--humidity", "its relative humidity, like 84%%", "PERCENT")


@command(
    "room",
    "set what a room allows; a new room is made; all are listed without a name",
    FILE,
    CommandOption("room", "the room", "ROOM", nargs="?"),
    CommandOption("--temp", "the temperature wanted, like 12C", "TEMPERATURE"),
    CommandOption("--humidity", "the relative humidity wanted, like 85%%", "PERCENT"),
    CommandOption("--within-temp", "how far it may be off, like 2C; 2 if left out", "DEGREES"),
    CommandOption("--within-humidity", "how far it may be off, like 5%%; 5 if left out", "POINTS"),
    CommandOption("--holds", "how many wheels it has room for", "N", type=int),
    several("--shelf", "a shelf of it, empty or not; repeat for each, those there were go", "NAME"),
    AT,
)
def _room(args: argparse.Namespace) -> CommandAnswer:
    if args.room is None:
        with to_read(args.file) as journal:
            return _listed(journal, instant(args.at, journal.zone))
    from journal.records.wheels import Room

    given = {
        "target_c": args.temp and amount(args.temp, "temperature"),
        "target_humidity_pct": args.humidity and amount(args.humidity, "humidity"),
        "within_c": args.within_temp and amount(args.within_temp, "temperature_difference"),
        "within_pct": args.within_humidity and amount(args.within_humidity, "humidity"),
        "holds": args.holds,
        "shelves": args.shelf and tuple(dict.fromkeys(args.shelf)),
    }
    with to_write(args.file) as journal:
        known = {room.name.casefold(): room for room in journal.rooms.all()}
        room = known.get(args.room.casefold()) or Room(args.room)
        change = {name: value for name, value in given.items() if value is not None}
        journal.shelves.set_room(replace(room, **change))
        return _listed(journal, instant(args.at, journal.zone))


def _listed(journal: Journal, at_ms: int) -> CommandAnswer:
    from journal.reports.air import room_now

    there = [life.wheel.room_id for life in journal.care_tasks.lives()]
    table: Table[RoomNow] = Table(
        AnswerColumn("room", lambda one: one.room.name, "room"),
        AnswerColumn("temp_c", lambda one: figure(one.last.temp_c, 1, quantity="temperature"),
                     "now", right=True),
        AnswerColumn(
            "humidity_pct", lambda one: figure(one.last.humidity_pct, 0, "%"), "", right=True
        ),
        AnswerColumn("target_c", lambda one: figure(one.room.target_c, 1, quantity="temperature"),
                     "wanted"),
        AnswerColumn("target_humidity_pct",
                     lambda one: figure(one.room.target_humidity_pct, 0, "%"),
                     ""),
        AnswerColumn("wheels", lambda one: there.count(one.room.id), "wheels", right=True),
        AnswerColumn("holds", lambda one: one.room.holds, "holds", right=True),
        AnswerColumn("shelves", lambda one: ", ".join(one.room.shelves), "shelves"),
        AnswerColumn("out", lambda one: one.out or None, ""),
    )  # fmt: skip
    rooms = [room_now(journal, room, at_ms) for room in journal.rooms.all()]
    return table.answer(rooms, worded("command.no-room-yet"))


@command(
    "air",
    "save the air of a room, typed, by two bulbs or from a file; shown if left out",
    FILE,
    _ROOM,
    _TEMP,
    _HUMIDITY,
    CommandOption("--dry", "what the dry bulb shows", "TEMPERATURE"),
    CommandOption("--wet", "what the wet bulb shows", "TEMPERATURE"),
    CommandOption("--csv", "a file that a logger wrote", "CSV"),
    several("--map", "what a column of it is; repeat for each", "COLUMN=KIND"),
    several("--time", "the column of the time, or those of the date and the time", "COLUMN"),
    DATE_ORDER,
    CommandOption("--sensor", "or watch a sensor that was set up in the window", "NAME"),
    CommandOption("--for", "how long to watch it, like 90min; until Ctrl+C if left out", "TIME",
                  dest="length"),
    CommandOption("--unit", "the unit of columns without one, like degF", "UNIT", default=""),
    several("--salt", "a wet salt that the hygrometer stood over, and what it showed",
            "SALT=PERCENT"),
    AT,
)  # fmt: skip
def _air(args: argparse.Namespace) -> CommandAnswer:
    two_bulbs = (args.dry, args.wet) != (None, None)
    ways = [args.temp or args.humidity, two_bulbs, args.csv, args.sensor]
    if args.salt is None and not any(ways):
        return _show_air(args)
    beside_salt = args.salt and (args.humidity or any(ways[1:]))
    if sum(map(bool, ways)) > 1 or beside_salt:
        raise CommandError("command.air-in-one-way")
    if two_bulbs and None in (args.dry, args.wet):
        raise CommandError("command.both-bulbs")
    with to_write(args.file) as journal:
        room = journal.shelves.room_named(args.room)
        if args.csv:
            return _brought(journal, room, args)
        if args.sensor:
            kept = watch_room(journal, room, args.sensor, args.length)
            return answer("command.air-watched", room=room.name, kept=kept)
        at_ms = instant(args.at, journal.zone)
        if args.salt:
            return _checked(journal, room, args, at_ms)
        saved = journal.air.note(_reading(args, id_of(room), at_ms, two_bulbs))
        return answer(
            ("command.air-saved", "{out}"),
            room=room.name,
            at=moment(at_ms, journal.zone),
            temp_c=figure(saved.temp_c, 1, quantity="temperature")
            if saved.temp_c is not None
            else None,
            humidity_pct=figure(saved.humidity_pct, 0, "%")
            if saved.humidity_pct is not None
            else None,
            out=_out(journal, room, at_ms),
        )


def _reading(args: argparse.Namespace, room_id: int, at_ms: int, two_bulbs: bool) -> AirReading:
    from journal.reckoning.air import rh_from_wet_bulb_pct
    from journal.records.wheels import WET_BULB, AirReading

    if two_bulbs:
        dry, wet = amount(args.dry, "temperature"), amount(args.wet, "temperature")
        humidity = float(rh_from_wet_bulb_pct(dry, wet))
        return AirReading(room_id, at_ms, dry, humidity, WET_BULB)
    temp = amount(args.temp, "temperature") if args.temp else None
    humid = amount(args.humidity, "humidity") if args.humidity else None
    return AirReading(room_id, at_ms, temp, humid)


def _brought(journal: Journal, room: Room, args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.air_file import bring_air

    mapping = mapping_of(args, "Probe=room-temp")
    start = 0 if args.at is None else instant(args.at, journal.zone)
    report = bring_air(journal, room, args.csv, mapping, start)
    return answer(
        ("command.air-imported", "{notes}"),
        room=room.name,
        read=report.read,
        kept=report.kept,
        known=report.known,
        skipped=report.skipped,
        reasons=(report.reasons and dict(report.reasons)) or None,
        notes=lines(report.notes),
    )


def _checked(journal: Journal, room: Room, args: argparse.Namespace, at_ms: int) -> CommandAnswer:
    """A check of the room's hygrometer: one salt shifts it, two lay a line."""
    from journal.records.wheels import AirCheck
    from journal.topics.ageing import SALTS, salt_humidity_pct

    temp = amount(args.temp, "temperature") if args.temp else 20.0
    given = pairs(args.salt, "“sodium chloride=77%”")
    for name, _ in given:
        if name not in SALTS:
            raise CommandError("command.no-such-salt", name=name, known=list(SALTS))
    shown = tuple(amount(text, "humidity") for _, text in given)
    known = tuple(salt_humidity_pct(name, temp) for name, _ in given)
    check = journal.air.check(AirCheck(id_of(room), at_ms, shown, known))
    slope, offset = check.line
    return answer(
        "command.hygrometer-checked",
        room=room.name,
        at=moment(at_ms, journal.zone),
        temp_c=figure(temp, 1, quantity="temperature"),
        shown=lines(f"{value:g} %" for value in shown),
        known=lines(f"{value:.1f} %" for value in known),
        slope=slope,
        offset_pct=offset,
    )


def _show_air(args: argparse.Namespace) -> CommandAnswer:
    from journal.reports.air import days_of

    with to_read(args.file) as journal:
        room = journal.shelves.room_named(args.room)
        at_ms = instant(args.at, journal.zone)
        last = journal.air.last(room, at_ms)
        days = days_of(journal, room)
        outside = [one for one in days if one.outside]
        return answer(
            ("command.air-last", "{out}"),
            room=room.name,
            at=moment(last.at_ms, journal.zone),
            temp_c=figure(last.temp_c, 1, quantity="temperature"),
            humidity_pct=figure(last.humidity_pct, 0, "%"),
            days=len(days),
            outside=len(outside),
            days_outside=[day_of(one.day).data for one in outside],
            out=_out(journal, room, at_ms),
        )


def _out(journal: Journal, room: Room, at_ms: int) -> str | None:
    from journal.reports.air import room_now

    return room_now(journal, room, at_ms).out or None


COMMANDS = (_room, _air)
