"""The lists: plans by name, makes newest first."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Json, Table, Value, count, figure
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import moment, to_read
from journal.wording import text_of, worded
from journal.wording.dates import iso_minute
from journal.wording.shown import write

if TYPE_CHECKING:
    from journal.keeping import MakeRow
    from journal.records.plans import Plan


PLANS: Table[Plan] = Table(
    AnswerColumn("name", lambda plan: plan.name, ""),
    AnswerColumn("style", lambda plan: plan.style, ""),
    AnswerColumn("version", lambda plan: plan.version),
    AnswerColumn("builtin", lambda plan: plan.builtin),
    AnswerColumn("milk_l", lambda plan: plan.milk_l),
    AnswerColumn("stages", lambda plan: count(len(plan.stages), "wording.many-stage"), ""),
    AnswerColumn("minutes", lambda plan: Value(plan.minutes, write(plan.minutes, "duration")), ""),
    AnswerColumn("source", lambda plan: plan.source),
)


@command(
    "plans",
    "list the plans by name",
    CommandOption("file", "a journal, to list its plans too", "FILE", nargs="?"),
)
def _plans(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.plan_text import builtin_plans

    found = {plan.name: plan for plan in builtin_plans()}
    if args.file is not None:
        with to_read(args.file) as journal:
            found |= {plan.name: plan for plan in journal.plans.latest()}
    return PLANS.answer([found[name] for name in sorted(found)])


MAKES: Table[MakeRow] = Table(
    AnswerColumn("code", lambda row: row.code, "code"),
    AnswerColumn("name", lambda row: row.name, "name"),
    AnswerColumn("plan", lambda row: row.plan),
    AnswerColumn("started_at", lambda row: moment(row.started_ms, row.zone, iso_minute), "started"),
    AnswerColumn(
        "milk_l", lambda row: figure(row.milk_l, 1, quantity="volume"), "milk", right=True
    ),
    AnswerColumn("readings", lambda row: row.readings, "readings", right=True),
    AnswerColumn("wheels", lambda row: row.wheels, "wheels", right=True),
    AnswerColumn("best_score", lambda row: figure(row.best_score, 1), "best", right=True),
    AnswerColumn("failed", lambda row: row.failed),
    AnswerColumn("why_failed", lambda row: row.why_failed or None),
    AnswerColumn("verdict", lambda row: text_of(row.verdict.message) if row.verdict else None),
    AnswerColumn("", lambda row: _state(row), ""),
)


@command("makes", "list the makes, newest first", FILE)
def _makes(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        found = journal.makes.rows()
    return MAKES.answer(found, worded("keeping.no-make-yet"), _do_not_eat)


def _do_not_eat(make: Json) -> str:
    return f"{make['code']}: {make['verdict']}" if make["verdict"] else ""


def _state(row: MakeRow) -> str:
    """ "running", "Failed: the culture was dead", "do not eat", or "" after a usual end."""
    if row.failed:
        return row.why_failed or worded("wording.make-failed")
    if row.verdict is not None:
        return worded("wording.make-do-not-eat")
    return "" if row.finished_ms is not None else worded("wording.make-running")


COMMANDS = (_plans, _makes)
