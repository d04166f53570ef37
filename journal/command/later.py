"""What goes out of the journal for the wheels' later life: a calendar, labels."""

from __future__ import annotations

import argparse
from datetime import time

from journal.command.answer import CommandAnswer, answer
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, CommandOption, command
from journal.command.sheets import PAPER, drawing, paper_of, pdf_named
from journal.command.values import instant, to_read, to_write


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
        raise CommandError("command.no-hour", text=args.hour) from None
    days = DAYS if args.days is None else args.days
    if not 0 <= days <= 3660:
        raise CommandError("command.days-ahead")
    with to_write(args.file) as journal:
        report = write_calendar(
            journal, args.out, instant(args.at, journal.zone), hour=hour, days=days
        )
        remember_calendar(journal, args.out, hour)
    return answer(
        "command.calendar-written",
        path=args.out,
        events=report.events,
        cancelled=report.cancelled,
        changed=report.changed,
    )


@command(
    "label",
    "write labels of wheels as PDF, each with a QR code of its code",
    FILE,
    CommandOption("out", "the file to write", "OUT.pdf"),
    CommandOption("wheels", "wheels, makes, rooms or shelves", "WHEEL", nargs="+"),
    PAPER,
    CommandOption("--size", "single labels of that size instead of a sheet, like 60x40mm", "SIZE"),
    AT,
)
def _label(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.taken_typed import read_size
    from journal.reports.label import labels_of
    from journal.wording.labels import no_room_words

    out = pdf_named(args.out)
    size = None if args.size is None else read_size(args.size)
    with to_read(args.file) as journal:
        named = [wheel for text in args.wheels for wheel in journal.shelves.named(text)]
        labels = labels_of(journal, named, instant(args.at, journal.zone))
    kept_for_qt = drawing()
    from journal.desk.sheets.label_sheet import write_labels

    written = write_labels(labels, out, paper=paper_of(args), size_mm=size)
    del kept_for_qt
    return answer(
        "command.labels-cut" if written.left_out else "command.labels",
        file=args.out,
        labels=len(labels),
        pages=written.pages,
        missing=no_room_words(written.left_out),
        left_out={code: list(words) for code, words in written.left_out.items()},
    )


COMMANDS = (_calendar, _label)
