"""What goes out of the journal for the wheels' later life: a calendar, labels."""

from __future__ import annotations

import argparse
from datetime import time

from journal.command.answer import CommandAnswer, answer, count
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, CommandOption, command
from journal.command.values import instant, to_write


@command(
    "calendar",
    "write what is due as a calendar file; written anew whenever it changes",
    FILE,
    CommandOption("out", "the calendar file", "OUT.ics"),
    CommandOption("--hour", "the hour of the events, like 08:30; 09:00 if left out", "HH:MM"),
    CommandOption("--days", "how many days ahead; 400 if left out", "N", type=int),
    AT,
)
def _calendar(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.calendar_file import DAYS, HOUR, remember_calendar, write_calendar

    try:
        hour = HOUR if args.hour is None else time.fromisoformat(args.hour)
    except ValueError:
        raise CommandError(f"{args.hour} is no hour: write it like 08:30.") from None
    days = DAYS if args.days is None else args.days
    if not 0 <= days <= 3660:
        raise CommandError("--days can be 0 to 3660.")
    with to_write(args.file) as journal:
        report = write_calendar(
            journal, args.out, instant(args.at, journal.zone), hour=hour, days=days
        )
        remember_calendar(journal, args.out, hour)
    return answer(
        "{path}: {events}, {cancelled} cancelled.",
        path=args.out,
        events=count(report.events, "event"),
        cancelled=report.cancelled,
        changed=report.changed,
    )


COMMANDS = (_calendar,)
