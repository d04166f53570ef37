"""What was noted of a wheel or a room, corrected later: its time, its value, or that it is not."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer, answer
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, CommandOption, command, switch
from journal.command.values import amount, instant, to_write
from journal.records.instants import now_ms

if TYPE_CHECKING:
    from journal.keeping import Journal

_TAKES = {
    "care": {"kind", "note", "room"},
    "weighing": {"weight"},
    "taken": {"kind", "part", "to", "why"},
    "air_reading": {"temp", "humidity"},
    "away": {"note"},
}


@command(
    "correct",
    "correct what was noted of a wheel or a room: care, a weight, a part taken, its air",
    FILE,
    CommandOption("record", "as “care”, “parts” and “history” name it, like care-12", "RECORD"),
    CommandOption("--kind", "another care, or how it went", "KIND"),
    CommandOption("--room", "the room it was moved to", "ROOM"),
    CommandOption("--weight", "the right weight", "WEIGHT"),
    CommandOption("--part", "the right part", "PART"),
    CommandOption("--temp", "the right temperature", "TEMPERATURE"),
    CommandOption("--humidity", "the right humidity", "PERCENT"),
    CommandOption("--to", "to whom", "TEXT"),
    CommandOption("--why", "why", "TEXT"),
    CommandOption("--note", "the right words", "TEXT"),
    switch("--remove", "it never was"),
    AT,
)
def _correct(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.calendar_file import renew_calendar

    noun, _, number = args.record.rpartition("-")
    if noun not in _TAKES or not number.isdecimal():
        known = list(_TAKES)
        raise CommandError("command.not-corrected-here", record=args.record, known=known)
    every = set().union(*_TAKES.values())
    given = {name for name in every if getattr(args, name) is not None}
    if strange := sorted(given - _TAKES[noun]):
        raise CommandError("command.record-has-no", record=args.record, column=strange[0])
    if not (given or args.at or args.remove):
        raise CommandError("command.what-was-wrong")
    with to_write(args.file) as journal:
        _save(journal, noun, int(number), args, given)
        renew_calendar(journal, now_ms())
    done = "removed" if args.remove else "corrected"
    which = "command.is-removed" if args.remove else "command.is-corrected"
    return answer(which, record=args.record, done=done)


def _save(journal: Journal, noun: str, key: int, args: argparse.Namespace, given: set[str]) -> None:
    keeper = next(one for one in journal.keepers() if one.noun == noun)
    record = keeper.get(key)
    if args.remove and noun == "taken":
        journal.shelves.put_back(record)
    elif args.remove and noun == "care":
        journal.shelves.remove_care(record)
    elif args.remove:
        keeper.remove(key)
    elif noun == "taken":
        journal.shelves.correct(replace(record, **_changes(journal, args, given)))
    elif noun == "care":
        cared = replace(record, **_changes(journal, args, given))
        journal.shelves.correct_care(cared, args.room)
    else:
        keeper.save(replace(record, **_changes(journal, args, given)))


def _changes(journal: Journal, args: argparse.Namespace, given: set[str]) -> dict[str, Any]:
    from journal.records.taken_typed import read_part

    found: dict[str, Any] = {}
    if args.at is not None:
        found["at_ms"] = instant(args.at, journal.zone)
    for name, column in (("kind", "kind"), ("note", "note"), ("to", "whom"), ("why", "why")):
        if name in given:
            found[column] = getattr(args, name)
    for name, column, quantity in (
        ("weight", "weight_kg", "mass"), ("temp", "temp_c", "temperature"),
        ("humidity", "humidity_pct", "humidity"),
    ):  # fmt: skip
        if name in given:
            found[column] = amount(getattr(args, name), quantity)
    if "part" in given:
        found["share"], found["weight_kg"] = read_part(args.part)
    return found


COMMANDS = (_correct,)
