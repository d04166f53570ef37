"""The day at the vat: begin a make, log a reading, end a stage, finish."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    figure,
    number,
    optional,
    text_only,
)
from journal.command.error import CommandError
from journal.command.outcomes import verdict_now
from journal.command.parser import AT, FILE, MAKE, CommandOption, command, several
from journal.command.values import (
    amount,
    instant,
    instant_in,
    keep_clock,
    make_id,
    moment,
    now_in,
    plan_named,
    to_make,
    to_write,
)
from journal.records.instants import DAY_MS, now_ms, system_zone
from journal.records.kinds import READING_KINDS, ReadingKind, reading_kind
from journal.records.makes import Make, Milk, StageRun
from journal.records.own_files import own_folder
from journal.records.plans import Plan
from journal.records.traces import DOUBTFUL
from journal.wording import text_if_any, worded
from journal.wording.dates import clock
from journal.wording.shown import write

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.records.wheels import Wheel


@command(
    "begin",
    "begin a make from a plan; FILE is made if it is new",
    FILE,
    CommandOption("--plan", "a plan, see “plans”", "NAME"),
    CommandOption(
        "--series", "or the next make of a series: its name in “series”, or latest", "NAME"
    ),
    CommandOption("--milk", "how much milk, like 12l", "VOLUME", required=True),
    AT,
)
def _begin(args: argparse.Namespace) -> CommandAnswer:
    litres = amount(args.milk, "volume")
    if (args.plan is None) == (args.series is None):
        raise CommandError("command.plan-or-series")
    if Path(args.file).exists() or args.series is not None:
        with to_write(args.file) as journal:
            named = args.plan is not None
            plan = plan_named(args.plan, journal) if named else _next_of(args.series, journal)
            return _begun(journal, plan, litres, args.at, "")
    plan = plan_named(args.plan, None)
    _milk(plan, litres)
    instant(args.at, system_zone())
    with to_make(args.file) as journal:
        made = worded("command.made-journal", file=args.file)
        remark = text_if_any(own_folder(args.file))
        return _begun(journal, plan, litres, args.at, f"{made} {remark}".strip())


def _next_of(name: str, journal: Journal) -> Plan:
    """The plan of the next make of a series."""
    found = journal.designs.all()
    if name.casefold() != "latest":
        found = [one for one in found if one.series.name.casefold() == name.casefold()]
    if not found:
        raise CommandError("command.no-such-series", name=name)
    if found[0].next is None:
        raise CommandError("command.series-is-made", name=found[0].series.name)
    return journal.designs.plan_of(found[0].next.one)


def _milk(plan: Plan, litres: float) -> Milk:
    return Milk(litres, animal=plan.animal, treatment=plan.treatment)


def _begun(
    journal: Journal, plan: Plan, litres: float, at: str | None, first: str
) -> CommandAnswer:
    running = journal.makes.running()
    at_ms = instant(at, journal.zone) if at else now_in(journal, running)
    make = journal.makes.begin(plan, _milk(plan, litres), at_ms)
    if not running:
        keep_clock(journal)
    stage = plan.stages[0]
    return answer(
        ("{made_journal}", "{caution}", "command.begun", "{stage}", "command.make-is"),
        code=make.code,
        plan=plan.name,
        started_at=moment(at_ms, make.zone),
        milk_l=Value(litres, write(litres, "volume")),
        made_journal=Value(bool(first), first),
        caution=plan.caution.strip(),
        stage=text_only(worded("command.first-stage", stage=stage.label, minutes=stage.minutes)),
    )


@command(
    "log",
    "save one reading",
    FILE,
    MAKE,
    CommandOption("kind", ", ".join(READING_KINDS), "KIND"),
    CommandOption("value", "like 31.4, 88F or 5.42", "VALUE", nargs="+"),
    AT,
)
def _log(args: argparse.Namespace) -> CommandAnswer:
    from journal.curves.trend import is_doubtful

    kind = reading_kind(args.kind)
    value = amount(" ".join(args.value), kind.quantity)
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant_in(args.at, journal, make, ahead=True)
        read = journal.readings.corrected(kind.key, value, at_ms)
        doubtful = is_doubtful(journal.whole(make_id(make)), kind.key, read, at_ms)
        flags = DOUBTFUL if doubtful else 0
        kept = journal.readings.log(make_id(make), kind.key, value, at_ms, flags)
        verdict = verdict_now(journal, make) if kind.quantity in ("ph", "acidity") else None
    remarks = [*_odd(at_ms, make), *([worded("command.unusual", kind=kind.key)] * doubtful)]
    return answer(
        ("command.logged", "{verdict}"),
        make=make.code,
        kind=kind.key,
        value=kept.value,
        unit=kind.unit,
        at=moment(at_ms, make.zone),
        doubtful=doubtful,
        verdict=optional(verdict),
        reading=text_only(_reading(kind, value)),
        remarks=text_only(" ".join(remarks)),
    )


def _odd(at_ms: int, make: Make) -> list[str]:
    """What is unlikely about an instant; it is saved all the same."""
    if at_ms < make.started_ms:
        return [worded("command.before-make-began")]
    return [worded("command.over-a-day-ahead")] if at_ms > now_ms() + DAY_MS else []


def _reading(kind: ReadingKind, value: float) -> str:
    from journal.wording.readings import figure_text, unit_text

    unit = "" if kind.quantity == "ph" else unit_text(kind.key)
    return f"{kind.label} {figure_text(kind.key, value)} {unit}".rstrip()


@command(
    "stage",
    "end the running stage and begin the next",
    FILE,
    MAKE,
    CommandOption("act", "ends the running stage", "end", choices=["end"]),
    AT,
)
def _stage(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant_in(args.at, journal, make)
        ended, following = journal.makes.end_stage(make_id(make), at_ms)
        plan = journal.makes.plan_of(make)
    if following is None:
        then = worded("command.was-last-stage", make=make.code)
    else:
        stage = plan.stages[following.position]
        which = "command.next-stage" if stage.target_c is None else "command.next-stage-warm"
        then = worded(which, stage=stage.label, minutes=stage.minutes, target_c=stage.target_c,
                      timing=_late(following))  # fmt: skip
    return answer(
        "command.stage-ended",
        make=make.code,
        ended=_run(ended, plan, make),
        next=None if following is None else _run(following, plan, make),
        clock=text_only(clock(at_ms, make.zone)),
        then=text_only(then),
    )


def _late(run: StageRun) -> str:
    delay = run.delay_min
    if delay is None or abs(delay) < 0.5:
        return worded("wording.on-time")
    which = "command.minutes-late" if delay > 0 else "command.minutes-early"
    return worded(which, minutes=number(abs(delay), 0))


def _run(run: StageRun, plan: Plan, make: Make) -> Value:
    return answer(
        "{name}",
        position=run.position,
        kind=run.kind,
        name=plan.stages[run.position].label,
        began_at=moment(run.began_ms, make.zone),
        ended_at=moment(run.ended_ms, make.zone),
        slip_min=run.delay_min,
    )


WHEELS: Table[Wheel] = Table(
    AnswerColumn("code", lambda wheel: wheel.code, ""),
    AnswerColumn(
        "green_weight_kg", lambda wheel: figure(wheel.green_weight_kg, 3, quantity="mass"), ""
    ),
)


@command(
    "finish",
    "finish a make with its wheels' green weights",
    FILE,
    MAKE,
    several(
        "--wheel",
        "a wheel's green weight, like 1.18kg; repeat for each wheel",
        "WEIGHT",
        required=True,
    ),
    several("--size", "their size, like “16 x 8 cm”; or one for each wheel", "SIZE"),
    AT,
)
def _finish(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.taken_typed import read_size
    from journal.wording.outcomes import outcome_lines

    weights = [amount(text, "mass") for text in args.wheel]
    sizes = [read_size(text) for text in args.size or ()]
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant_in(args.at, journal, make)
        wheels = journal.makes.finish(make_id(make), weights, at_ms, sizes)
        verdict = verdict_now(journal, make)
        outcome = outcome_lines(journal.whole(make_id(make)))
    return answer(
        ("{wheels}", "{outcome}"),
        make=make.code,
        finished_at=moment(at_ms, make.zone),
        wheels=WHEELS.of(wheels),
        verdict=verdict,
        outcome=text_only("\n".join(outcome)),
    )


COMMANDS = (_begin, _log, _stage, _finish)
