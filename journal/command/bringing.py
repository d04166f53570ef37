"""Bringing in: a logger's file into a make, a table of past makes into the journal."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, aligned
from journal.command.error import CommandError
from journal.command.outcomes import said_of, verdict_now
from journal.command.parser import Command, Parser, add_file, add_make, pairs
from journal.command.values import amount, to_make, to_read, to_write
from journal.records.instants import system_zone
from journal.wording import text_of
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.exchange.bring_in import Report, Seen
    from journal.exchange.loggers.mapping import Mapping
    from journal.exchange.past_columns import Said
    from journal.exchange.past_keeping import PastReport
    from journal.exchange.past_makes import PastTable
    from journal.keeping import Journal

_ORDERS = ["dmy", "mdy", "ymd"]
_HINTS = {
    "date order": "Add --date-order dmy or --date-order mdy.",
    "date": "Add --map COLUMN=date, or --date 2026-01-31.",
    "unit": "Add --unit degF or --unit degC.",
    "columns": "Add --map COLUMN=milk-temp.",
    "air": "Add --map COLUMN=milk-temp if one of them is the milk's.",
    "scale": "Add --scale COLUMN=0-100.",
}
_SCALE = re.compile(r"(?:(?P<column>.+)=)?(?P<low>-?[0-9.]+)\s*(?:-|–|to)\s*(?P<high>-?[0-9.]+)")


def _readings_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument("csv", metavar="CSV", help="the file a logger wrote")
    parser.add_argument(
        "--map", metavar="COLUMN=KIND", action="append", help="what a column is; once for each"
    )
    parser.add_argument(
        "--time", metavar="COLUMN", action="append", help="the time, or the date and the time"
    )
    parser.add_argument("--date-order", choices=_ORDERS, default="", help="how its dates go")
    parser.add_argument("--unit", metavar="UNIT", default="", help="a unit, like degF")
    parser.add_argument("--preview", action="store_true", help="show what was understood only")


def _readings(args: argparse.Namespace) -> Answer:
    from journal.exchange.bring_in import bring_in, preview

    said = _mapping(args)
    with (to_read if args.preview else to_write)(args.file) as journal:
        make = journal.makes.by_code(args.make)
        with _hints():
            if args.preview:
                return _seen(preview(journal, make, args.csv, said))
            report = bring_in(journal, make, args.csv, said)
        return _brought(report, make.code, verdict_now(journal, make))


@contextmanager
def _hints() -> Iterator[None]:
    """Say with a question of the exchange which option answers it."""
    from journal.exchange import ExchangeError

    try:
        yield
    except ExchangeError as error:
        raise CommandError(f"{text_of(error)}{_hint(error.asks)}") from error


def _hint(asks: str) -> str:
    return f" {_HINTS[asks]}" if asks in _HINTS else ""


def _mapping(args: argparse.Namespace) -> Mapping:
    from journal.exchange.loggers.mapping import Mapping

    return Mapping(
        kinds=dict(pairs(args.map, "Probe=milk-temp")),
        unit=args.unit,
        time=tuple(args.time or ()),
        date_order=args.date_order,
    )


def _brought(report: Report, code: str, verdict: str | None) -> Answer:
    lines = [
        f"{code}: {counted(report.read, 'row')} read, {counted(report.kept, 'value')} kept, "
        f"{report.skipped:,} skipped.",
        *_why(report.reasons),
        *report.notes,
        *([verdict] if verdict else ()),
    ]
    data = {**_account(report), "doubtful": report.doubtful, **said_of(verdict)}
    return Answer("\n".join(lines), data)


def _account(report: Report | PastReport) -> dict[str, Any]:
    return {
        "read": report.read,
        "kept": report.kept,
        "skipped": report.skipped,
        "reasons": report.reasons,
        "notes": list(report.notes),
    }


def _seen(seen: Seen) -> Answer:
    from journal.exchange.bring_in import AS_BEFORE

    shown, taken = seen.preview, seen.taken
    rows = [[column.name for column in shown.columns]]
    rows += [[f"({column.taken_as})" for column in shown.columns], *map(list, shown.rows)]
    known = AS_BEFORE if seen.remembered else ""
    asked = list(dict.fromkeys((*shown.questions, seen.why_not)))
    told = [known, *shown.sentences, *asked, _hint(seen.asks).strip()]
    lines = [*(line for line in told if line), "", aligned(rows)]
    data = {
        "read": seen.understood.raw.rows,
        "kept": 0,
        "skipped": 0 if taken is None else taken.skipped,
        "reasons": {} if taken is None else taken.reasons,
        "would_keep": 0 if taken is None else taken.kept,
        "doubtful": seen.doubts.count,
        "remembered": seen.remembered,
        "columns": [
            {"name": column.name, "kind": column.kind or None, "taken_as": column.taken_as}
            for column in shown.columns
        ],
        "rows": [list(row) for row in shown.rows],
        "sentences": list(shown.sentences),
        "questions": [one for one in asked if one],
    }
    return Answer("\n".join(lines), data)


def _makes_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("table", metavar="TABLE", help="one row a make, as CSV or XLSX")
    parser.add_argument(
        "--map",
        metavar="COLUMN=VARIABLE",
        action="append",
        help="what a column is: a variable's name, or date, tasted, age, name, plan, milk, wheel, "
        "there (whether the wheel still is), remark or skip; once for each",
    )
    parser.add_argument("--score", metavar="COLUMN", action="append", help="a column of scores")
    parser.add_argument(
        "--scale",
        metavar="[COLUMN=]LOW-HIGH",
        action="append",
        help="the scale the scores were given on, where it is not 0 to 10",
    )
    parser.add_argument("--date-order", choices=_ORDERS, default="", help="how its dates go")
    parser.add_argument("--date", metavar="ISO", default="", help="the day of rows without one")
    parser.add_argument("--milk", metavar="VOLUME", help="the milk of rows that do not say")
    parser.add_argument("--preview", action="store_true", help="show what was understood only")


def _makes(args: argparse.Namespace) -> Answer:
    from journal.exchange.past_makes import read_past

    said = _said(args)
    if not Path(args.file).exists():
        with _hints():
            table = read_past(args.table, said, zone=system_zone())
        return _understood(table) if args.preview or not table.makes else _kept_anew(args, table)
    with (to_read if args.preview else to_write)(args.file) as journal:
        with _hints():
            table = read_past(args.table, said, zone=journal.zone)
        return _understood(table) if args.preview else _kept(journal, table)


def _kept_anew(args: argparse.Namespace, table: PastTable) -> Answer:
    """Keep the makes in a journal that is made for them."""
    with to_make(args.file) as journal:
        answer = _kept(journal, table)
    return replace(answer, text=f"Made a new journal, {args.file}.\n{answer.text}")


def _kept(journal: Journal, table: PastTable) -> Answer:
    from journal.exchange.past_keeping import keep_past

    report = keep_past(journal, table)
    ends = dict.fromkeys((report.codes[0], report.codes[-1]) if report.codes else ())
    codes = f": {' to '.join(ends)}" if ends else ""
    lines = [
        f"{counted(report.read, 'row')} read, {counted(report.kept, 'make')} kept{codes}; "
        f"{report.skipped:,} skipped.",
        *_why(report.reasons),
        *report.notes,
    ]
    return Answer("\n".join(lines), {**_account(report), "codes": list(report.codes)})


def _said(args: argparse.Namespace) -> Said:
    from journal.exchange.past_columns import Said

    return Said(
        columns=dict(pairs(args.map, "Salt=salt in curd")),
        scores=tuple(args.score or ()),
        scales=dict(_scale(text) for text in args.scale or ()),
        date_order=args.date_order,
        milk_l=None if args.milk is None else amount(args.milk, "volume"),
        date=args.date,
    )


def _scale(text: str) -> tuple[str, tuple[float, float]]:
    found = _SCALE.fullmatch(text.strip())
    try:
        low, high = (float(found["low"]), float(found["high"])) if found else (0.0, 0.0)
    except ValueError:
        low, high = 0.0, 0.0
    if not found or not low < high:
        raise CommandError(f"“{text}” is no scale: write it like 0-100, or taste=0-100.")
    return (found["column"] or "").strip(), (low, high)


def _understood(table: PastTable) -> Answer:
    data = {
        "read": table.read,
        "kept": 0,
        "skipped": table.read - len(table.makes),
        "reasons": table.reasons,
        "would_keep": len(table.makes),
        "columns": [
            {"name": c.header, "taken_as": c.role, "as": c.name, "unit": c.unit}
            for c in table.columns
        ],
        "sentences": list(table.sentences),
    }
    count = f"{counted(table.read, 'row')} read, {counted(len(table.makes), 'make')} would be kept."
    return Answer("\n".join([*table.sentences, count, *_why(table.reasons)]), data)


def _why(reasons: dict[str, int]) -> list[str]:
    return [f"  {reason}: {count:,}" for reason, count in reasons.items()]


COMMANDS = (
    Command(
        "import-readings",
        "bring a logger's file into a make",
        _readings_arguments,
        _readings,
        repeated=("--map", "--time"),
        places=3,
    ),
    Command(
        "import-makes",
        "bring in a table of past makes",
        _makes_arguments,
        _makes,
        repeated=("--map", "--score", "--scale"),
        places=2,
    ),
)
