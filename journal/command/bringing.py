"""Imports: a logger's file into a make, a table of past makes into the journal."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import (
    CommandAnswer,
    Value,
    aligned,
    answer,
    lines,
    optional,
    text_only,
)
from journal.command.error import CommandError
from journal.command.outcomes import verdict_now
from journal.command.parser import FILE, MAKE, CommandOption, command, pairs, several, switch
from journal.command.values import amount, to_make, to_read, to_write
from journal.message import Message
from journal.records.instants import system_zone
from journal.wording import text_if_any, text_of, worded

if TYPE_CHECKING:
    from journal.exchange.bring_in import ImportReport, LoggerFile
    from journal.exchange.loggers.mapping import Mapping
    from journal.exchange.past_columns import ChosenColumns
    from journal.exchange.past_keeping import PastReport
    from journal.exchange.past_makes import PastTable
    from journal.keeping import Journal

_HINTS = {
    "date order": Message("command.add-date-order"),
    "date": Message("command.add-date"),
    "unit": Message("command.add-unit"),
    "columns": Message("command.add-column"),
    "air": Message("command.add-column-of-milk"),
    "scale": Message("command.add-scale"),
}
_SCALE = re.compile(r"(?:(?P<column>.+)=)?(?P<low>-?[0-9.]+)\s*(?:-|–|to)\s*(?P<high>-?[0-9.]+)")


DATE_ORDER = CommandOption(
    "--date-order",
    "the order of day, month and year in its dates",
    choices=["dmy", "mdy", "ymd"],
    default="",
)
PREVIEW = switch("--preview", "show what would be imported, and import nothing")


@command(
    "import-readings",
    "import a logger's file into a make",
    FILE,
    MAKE,
    CommandOption("csv", "the file a logger wrote", "CSV"),
    several("--map", "what a column is; repeat for each", "COLUMN=KIND"),
    several("--time", "the column of the time, or those of the date and the time", "COLUMN"),
    DATE_ORDER,
    CommandOption("--unit", "the unit of columns without one, like degF", "UNIT", default=""),
    PREVIEW,
)
def _readings(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.bring_in import bring_in, preview

    chosen = mapping_of(args, "Probe=milk-temp")
    with (to_read if args.preview else to_write)(args.file) as journal:
        make = journal.makes.by_code(args.make)
        with _hints():
            if args.preview:
                return _seen(preview(journal, make, args.csv, chosen))
            report = bring_in(journal, make, args.csv, chosen)
        return _brought(report, make.code, verdict_now(journal, make))


@contextmanager
def _hints() -> Iterator[None]:
    """Add to a question of the exchange which option answers it."""
    from journal.exchange import ExchangeError

    try:
        yield
    except ExchangeError as error:
        if error.asks not in _HINTS:
            raise CommandError(error.message) from error
        raise CommandError(
            "command.question", why=error.message, hint=_HINTS[error.asks]
        ) from error


def mapping_of(args: argparse.Namespace, like: str) -> Mapping:
    """What was said of a logger's columns; `like` shows how."""
    from journal.exchange.loggers.mapping import Mapping

    return Mapping(
        kinds=dict(pairs(args.map, like)),
        unit=args.unit,
        time=tuple(args.time or ()),
        date_order=args.date_order,
    )


def _brought(report: ImportReport, code: str, verdict: str | None) -> CommandAnswer:
    return answer(
        ("command.readings-imported", "{reasons}", "{notes}", "{verdict}"),
        **_account(report),
        doubtful=report.doubtful,
        verdict=optional(verdict),
        make=text_only(code),
    )


def _account(report: ImportReport | PastReport) -> dict[str, Any]:
    return {
        "read": report.read,
        "kept": report.kept,
        "skipped": report.skipped,
        "reasons": _why(report.reasons),
        "notes": lines(report.notes),
    }


def _why(reasons: dict[str, int]) -> Value:
    from journal.exchange.skipped import reason_texts

    return Value(
        reasons, "\n".join(f"  {reason}: {n:,}" for reason, n in reason_texts(reasons).items())
    )


def _seen(seen: LoggerFile) -> CommandAnswer:
    from journal.exchange.bring_in import AS_BEFORE

    shown, taken, why_not = seen.preview, seen.taken, seen.why_not
    asked = (*shown.questions, *([] if why_not is None else [text_of(why_not)]))
    hint = None if why_not is None else _HINTS.get(why_not.asks)
    rows = [[column.name for column in shown.columns]]
    rows += [[f"({column.taken_as})" for column in shown.columns], *map(list, shown.rows)]
    return answer(
        ("{remembered}", "{sentences}", "{questions}", "{hint}", "", "{rows}"),
        read=seen.understood.raw.rows,
        kept=0,
        skipped=0 if taken is None else taken.skipped,
        reasons={} if taken is None else taken.reasons,
        would_keep=0 if taken is None else taken.kept,
        doubtful=seen.doubts.count,
        remembered=Value(seen.remembered, worded(AS_BEFORE) * seen.remembered),
        columns=[
            {"name": c.name, "kind": c.kind or None, "taken_as": c.taken_as} for c in shown.columns
        ],
        rows=Value(shown.rows, aligned(rows)),
        sentences=lines(shown.sentences),
        questions=lines(dict.fromkeys(asked)),
        hint=text_only(text_if_any(hint)),
    )


@command(
    "import-makes",
    "import a table of past makes",
    FILE,
    CommandOption("table", "one row a make, as CSV or XLSX", "TABLE"),
    several(
        "--map",
        "what a column is: a variable's name, or date, tasted, age, name, code, make (rows of one "
        "are one make), plan, milk, wheel, there (whether the wheel is still there), gone (the day "
        "it was eaten), taster, session, repeat, remark or skip; repeat for each",
        "COLUMN=VARIABLE",
    ),
    several("--score", "a column of scores; repeat for each", "COLUMN"),
    several("--scale", "the scale of the scores, where it is not 0 to 10", "[COLUMN=]LOW-HIGH"),
    DATE_ORDER,
    CommandOption("--date", "the day of rows without one", "ISO", default=""),
    CommandOption("--milk", "the milk of rows that do not say", "VOLUME"),
    PREVIEW,
)
def _makes(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.past_known import known_columns
    from journal.exchange.past_makes import read_past

    chosen = _chosen_columns(args)
    if not Path(args.file).exists():
        with _hints():
            table = read_past(args.table, chosen, zone=system_zone())
        if args.preview or not table.makes:
            return _understood(table)
        with to_make(args.file) as journal:
            return _kept(journal, table, worded("command.made-journal", file=args.file))
    with (to_read if args.preview else to_write)(args.file) as journal:
        with _hints():
            known = known_columns(journal)
            table = read_past(args.table, chosen, zone=journal.zone, known=known)
        return _understood(table) if args.preview else _kept(journal, table)


def _kept(journal: Journal, table: PastTable, first: str = "") -> CommandAnswer:
    from journal.exchange.past_keeping import save_past

    report = save_past(journal, table)
    codes = report.codes
    says = {
        (False, False): "command.makes-imported",
        (True, False): "command.makes-imported-as",
        (False, True): "command.makes-updated",
        (True, True): "command.makes-imported-and-updated",
    }
    return answer(
        ("{first}", says[bool(codes), bool(report.updated)], "{reasons}", "{notes}"),
        **_account(report) | {"notes": lines((*report.notes, *table.questions))},
        questions=Value(list(table.questions), ""),
        codes=Value(codes, _from_to(codes)),
        updated=report.updated,
        first=text_only(first),
    )


def _from_to(codes: Sequence[str]) -> str:
    if len(codes) < 2:
        return "".join(codes)
    return worded("wording.from-to", first=codes[0], last=codes[-1])


def _chosen_columns(args: argparse.Namespace) -> ChosenColumns:
    from journal.exchange.past_columns import ChosenColumns

    return ChosenColumns(
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
        raise CommandError("command.no-scale", text=text)
    return (found["column"] or "").strip(), (low, high)


def _understood(table: PastTable) -> CommandAnswer:
    return answer(
        ("{sentences}", "{questions}", "command.would-be-saved", "{reasons}"),
        read=table.read,
        kept=0,
        skipped=sum(table.reasons.values()),
        reasons=_why(table.reasons),
        would_keep=len(table.makes),
        columns=[
            {"name": c.header, "taken_as": c.role, "as": c.name, "unit": c.unit}
            for c in table.columns
        ],
        sentences=lines(table.sentences),
        questions=lines(table.questions),
    )


COMMANDS = (_readings, _makes)
