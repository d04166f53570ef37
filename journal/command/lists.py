"""The lists: plans by name, makes newest first."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from journal.command.answer import Answer, aligned, number
from journal.command.parser import Command, Parser, add_file
from journal.command.values import to_read
from journal.records.instants import iso, local
from journal.wording import text_of
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.keeping import MakeRow


def _plans_arguments(parser: Parser) -> None:
    parser.add_argument("file", metavar="FILE", nargs="?", help="a journal whose plans to list too")


def _plans(args: argparse.Namespace) -> Answer:
    from journal.quantities.written import write
    from journal.records.plan_text import builtin_plans

    found = {plan.name: plan for plan in builtin_plans()}
    if args.file is not None:
        with to_read(args.file) as journal:
            found |= {plan.name: plan for plan in journal.plans.latest()}
    plans = [found[name] for name in sorted(found)]
    rows = [
        [plan.name, plan.style, counted(len(plan.stages), "stage"), write(plan.minutes, "duration")]
        for plan in plans
    ]
    data = [
        {
            "name": plan.name,
            "style": plan.style,
            "version": plan.version,
            "builtin": plan.builtin,
            "milk_l": plan.milk_l,
            "stages": len(plan.stages),
            "minutes": plan.minutes,
            "source": plan.source,
        }
        for plan in plans
    ]
    return Answer(aligned(rows), data)


def _makes(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        found = journal.makes.rows()
    if not found:
        return Answer("There is no make in this journal yet.", [])
    rows = [["code", "name", "started", "milk", "readings", "wheels", "best", ""]]
    rows += [
        [
            row.code,
            row.name,
            local(row.started_ms, row.zone).strftime("%Y-%m-%d %H:%M"),
            number(row.milk_l, 1, "L"),
            str(row.readings),
            str(row.wheels),
            number(row.best_score, 1),
            _state(row),
        ]
        for row in found
    ]
    data = [
        {
            "code": row.code,
            "name": row.name,
            "plan": row.plan,
            "started_at": iso(row.started_ms, row.zone),
            "milk_l": row.milk_l,
            "readings": row.readings,
            "wheels": row.wheels,
            "best_score": row.best_score,
            "failed": row.failed,
            "why_failed": row.why_failed or None,
            "verdict": None if row.verdict is None else text_of(row.verdict.message),
        }
        for row in found
    ]
    said = [f"{row.code}: {text_of(row.verdict.message)}" for row in found if row.verdict]
    return Answer("\n".join([aligned(rows, right=(3, 4, 5, 6)), *said]), data)


def _state(row: MakeRow) -> str:
    """ "running", "Failed: the culture was dead", "do not eat", or "" after a usual end."""
    if row.failed:
        return row.why_failed or "failed"
    if row.verdict is not None:
        return "do not eat"
    return "" if row.finished_ms is not None else "running"


COMMANDS = (
    Command("plans", "list the plans by name", _plans_arguments, _plans),
    Command("makes", "list the makes, newest first", add_file, _makes),
)
