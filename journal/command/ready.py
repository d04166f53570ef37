"""Readiness by command: when wheels are ready, which one to open, when to make for a day."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, Value, figure
from journal.command.parser import AT, FILE, CommandOption, command
from journal.command.values import day_of, instant, plan_named, to_read
from journal.records.dates import read_weekdays
from journal.records.instants import local
from journal.wording import shown, worded
from journal.wording.ages import age_words

if TYPE_CHECKING:
    from journal.reports.readiness import MakeDay, Opening, Readiness


def _at_best(inside: bool) -> Value:
    return Value(inside, worded("command.at-best") if inside else "")


def _age(one: MakeDay) -> Value:
    return Value(one.age_days, "" if one.on is None else age_words(one.age_days))


def _degree_days(one: Readiness) -> Value:
    return Value(one.degree_days, shown.figure(one.degree_days, shown.DEGREE_DAYS, 0).whole)


@command(
    "ready",
    "when each wheel is ready: by its plan, the law for raw milk, and the scores given here",
    FILE,
    CommandOption("what", "a wheel, a make, a room or a shelf; all if left out", "WHAT", nargs="?"),
    AT,
)
def _ready(args: argparse.Namespace) -> CommandAnswer:
    from journal.reports.readiness import Ripening

    with to_read(args.file) as journal:
        ripening = Ripening(journal, instant(args.at, journal.zone))
        asked = None if args.what is None else {w.id for w in journal.shelves.named(args.what)}
    table: Table[Readiness] = Table(
        AnswerColumn("code", lambda one: one.life.wheel.code, "wheel"),
        AnswerColumn("least", lambda one: day_of(one.least), "least age"),
        AnswerColumn("from", lambda one: day_of(one.best and one.best[0]), "best from"),
        AnswerColumn("to", lambda one: day_of(one.best and one.best[1]), "to"),
        AnswerColumn("degree_days", _degree_days, "has", right=True),
        AnswerColumn("best_degree_days", lambda one: one.best_at),
        AnswerColumn("raw", lambda one: one.raw or None),
    )
    lives = [life for life in ripening.lives if asked is None or life.wheel.id in asked]
    return table.answer(
        [ripening.of(life) for life in lives],
        worded("command.no-wheel-yet"),
        lambda row: f"{row['code']}: {row['raw']}" if row["raw"] else "",
    )


@command(
    "open",
    "which wheel to open on a day, the first one first",
    FILE,
    CommandOption("on", "the day, like 2026-12-24", "DAY"),
    CommandOption("--guests", "for how many", "N", type=int, default=0),
    AT,
)
def _open(args: argparse.Namespace) -> CommandAnswer:
    from journal.reports.readiness import Ripening, openings

    with to_read(args.file) as journal:
        ripening = Ripening(journal, instant(args.at, journal.zone))
        on = local(instant(args.on, journal.zone), journal.zone).date()
    table: Table[Opening] = Table(
        AnswerColumn("code", lambda one: one.life.wheel.code, "wheel"),
        AnswerColumn("plan", lambda one: one.life.plan, "plan"),
        AnswerColumn("age_days", lambda one: Value(one.age_days, age_words(one.age_days)), "age"),
        AnswerColumn("score", lambda one: figure(one.score, 1), "expected", right=True),
        AnswerColumn("in_window", lambda one: _at_best(one.in_window), ""),
        AnswerColumn(
            "weight_kg", lambda one: figure(one.kg, 3, quantity="mass"), "weight", right=True
        ),
        AnswerColumn("against", lambda one: one.against or None, ""),
    )
    return table.answer(openings(ripening, on, args.guests), worded("command.no-wheel-yet"))


@command(
    "make-for",
    "when to make a plan for wanted days, given vat days and room",
    FILE,
    CommandOption("plan", "a plan, see “plans”", "PLAN"),
    CommandOption("days", "the wanted days, like 2027-12-24", "DAY", nargs="+"),
    CommandOption("--vat-days", "the weekdays of the vat, like sat,sun; any if left out", "DAYS"),
    CommandOption("--room", "the room they go to", "ROOM"),
    CommandOption("--wheels", "how many wheels of each make; 1 if left out", "N", type=int,
                  default=1),
    AT,
)  # fmt: skip
def _make_for(args: argparse.Namespace) -> CommandAnswer:
    from journal.reports.readiness import Ripening, make_days

    with to_read(args.file) as journal:
        ripening = Ripening(journal, instant(args.at, journal.zone))
        found = make_days(
            ripening,
            plan_named(args.plan, journal),
            [local(instant(text, journal.zone), journal.zone).date() for text in args.days],
            read_weekdays(args.vat_days or ""),
            wheels=args.wheels,
            room=None if args.room is None else journal.shelves.room_named(args.room),
            away=[one.days for one in journal.absences.all()],
        )
    table: Table[MakeDay] = Table(
        AnswerColumn("wanted", lambda one: day_of(one.wanted), "for"),
        AnswerColumn("make_on", lambda one: day_of(one.on), "make on"),
        AnswerColumn("age_days", _age, "age"),
        AnswerColumn("why", lambda one: one.why or None, ""),
    )
    return table.answer(found)


COMMANDS = (_ready, _open, _make_for)
