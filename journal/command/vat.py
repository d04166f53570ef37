"""The day at the vat: begin a make, log a reading, end a stage, finish."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, number
from journal.command.error import CommandError
from journal.command.outcomes import said_of, verdict_now
from journal.command.parser import Command, Parser, add_at, add_file, add_make
from journal.command.values import (
    amount,
    day_and_clock,
    instant,
    iso_or_none,
    make_id,
    plan_named,
    to_make,
    to_write,
)
from journal.records.instants import DAY_MS, iso, now_ms, system_zone
from journal.records.kinds import READING_KINDS, ReadingKind, reading_kind
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan
from journal.records.shelf import own_folder
from journal.records.traces import DOUBTFUL
from journal.wording import text_if_any
from journal.wording.dates import clock

if TYPE_CHECKING:
    from journal.keeping import Journal


def _begin_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("--plan", metavar="NAME", help="a plan, see “plans”")
    parser.add_argument("--series", metavar="NAME", help="instead: the next make of a series; "
                        "its name in “series”, or latest")  # fmt: skip
    parser.add_argument("--milk", metavar="VOLUME", required=True, help="like 12l")
    add_at(parser)


def _begin(args: argparse.Namespace) -> Answer:
    litres = amount(args.milk, "volume")
    if (args.plan is None) == (args.series is None):
        raise CommandError("Name either a plan with --plan or a series with --series.")
    if Path(args.file).exists() or args.series is not None:
        with to_write(args.file) as journal:
            named = args.plan is not None
            plan = plan_named(args.plan, journal) if named else _next_of(args.series, journal)
            return _begun(journal, plan, litres, args.at, "")
    plan = plan_named(args.plan, None)
    _milk(plan, litres)
    instant(args.at, system_zone())
    with to_make(args.file) as journal:
        made = f"Made a new journal, {args.file}. {text_if_any(own_folder(args.file))}".strip()
        return _begun(journal, plan, litres, args.at, made)


def _next_of(name: str, journal: Journal) -> Plan:
    """The plan of the next make of a series."""
    found = journal.designs.all()
    if name.casefold() != "latest":
        found = [one for one in found if one.series.name.casefold() == name.casefold()]
    if not found:
        raise CommandError(f"There is no series {name}. “series” lists those there are.")
    if found[0].next is None:
        raise CommandError(f"All makes of {found[0].series.name} are made.")
    return journal.designs.plan_of(found[0].next.one)


def _milk(plan: Plan, litres: float) -> Milk:
    return Milk(litres, animal=plan.animal, treatment=plan.treatment)


def _begun(journal: Journal, plan: Plan, litres: float, at: str | None, first: str) -> Answer:
    at_ms = instant(at, journal.zone)
    make = journal.makes.begin(plan, _milk(plan, litres), at_ms)
    stage = plan.stages[0]
    lines = [
        first,
        plan.caution.strip(),
        f"{plan.name} began at {day_and_clock(at_ms, make.zone)} with {litres:g} L of milk.",
        f"First comes: {stage.label}, {stage.minutes:g} min.",
        f"The make is {make.code}",
    ]
    data = {
        "code": make.code,
        "plan": plan.name,
        "started_at": iso(at_ms, make.zone),
        "milk_l": litres,
        "made_journal": bool(first),
        "caution": plan.caution.strip(),
    }
    return Answer("\n".join(line for line in lines if line), data)


def _log_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument("kind", metavar="KIND", help=", ".join(READING_KINDS))
    parser.add_argument("value", metavar="VALUE", nargs="+", help="like 31.4, 88F or 5.42")
    add_at(parser)


def _log(args: argparse.Namespace) -> Answer:
    from journal.curves.trend import is_doubtful

    kind = reading_kind(args.kind)
    value = amount(" ".join(args.value), kind.quantity)
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant(args.at, journal.zone)
        read = journal.readings.corrected(kind.key, value, at_ms)
        doubtful = is_doubtful(journal.whole(make_id(make)), kind.key, read, at_ms)
        flags = DOUBTFUL if doubtful else 0
        kept = journal.readings.log(make_id(make), kind.key, value, at_ms, flags)
        verdict = verdict_now(journal, make) if kind.quantity in ("ph", "acidity") else None
    odd = _odd(at_ms, make)
    when = day_and_clock(at_ms, make.zone)
    data = {
        "make": make.code,
        "kind": kind.key,
        "value": kept.value,
        "unit": kind.unit,
        "at": iso(at_ms, make.zone),
        "doubtful": doubtful,
        **said_of(verdict),
    }
    text = f"Kept for {make.code}: {_reading(kind, value)} at {when}.{odd}"
    if doubtful:
        text += f" That is unusual for {kind.label} here: it is marked as doubtful."
    return Answer(f"{text}\n{verdict}" if verdict else text, data)


def _odd(at_ms: int, make: Make) -> str:
    """What is unlikely about an instant, said and not refused."""
    if at_ms < make.started_ms:
        return " That is before the make began."
    if at_ms > now_ms() + DAY_MS:
        return " That is over a day ahead: check the date."
    return ""


def _reading(kind: ReadingKind, value: float) -> str:
    unit = "" if kind.quantity == "ph" else kind.unit
    return f"{kind.label} {number(value, kind.digits, unit)}"


def _stage_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument("act", metavar="end", choices=["end"], help="ends the running stage")
    add_at(parser)


def _stage(args: argparse.Namespace) -> Answer:
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant(args.at, journal.zone)
        ended, following = journal.makes.end_stage(make_id(make), at_ms)
        plan = journal.makes.plan_of(make)
    said = f"Ended at {clock(at_ms, make.zone)}: {plan.stages[ended.position].label}."
    if following is None:
        said += f" That was the last stage; “vatside finish” ends {make.code}."
    else:
        stage = plan.stages[following.position]
        warm = "" if stage.target_c is None else f" at {number(stage.target_c, 1, '°C')}"
        said += f" Next: {stage.label}, {stage.minutes:g} min{warm}{_late(following)}."
    data = {
        "make": make.code,
        "ended": _run(ended, plan, make),
        "next": None if following is None else _run(following, plan, make),
    }
    return Answer(said, data)


def _late(run: StageRun) -> str:
    slip = run.slip_min
    if slip is None or abs(slip) < 0.5:
        return ", on time"
    return f", {number(abs(slip), 0)} min {'late' if slip > 0 else 'early'}"


def _run(run: StageRun, plan: Plan, make: Make) -> dict[str, Any]:
    return {
        "position": run.position,
        "kind": run.kind,
        "name": plan.stages[run.position].label,
        "began_at": iso_or_none(run.began_ms, make.zone),
        "ended_at": iso_or_none(run.ended_ms, make.zone),
        "slip_min": run.slip_min,
    }


def _finish_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument(
        "--wheel",
        metavar="WEIGHT",
        action="append",
        required=True,
        help="a wheel's green weight, like 1.18kg; once for each wheel",
    )
    add_at(parser)


def _finish(args: argparse.Namespace) -> Answer:
    from journal.wording.outcomes import outcome_lines

    weights = [amount(text, "mass") for text in args.wheel]
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        at_ms = instant(args.at, journal.zone)
        wheels = journal.makes.finish(make_id(make), weights, at_ms)
        verdict = verdict_now(journal, make)
        outcome = outcome_lines(journal.whole(make_id(make)))
    lines = [f"{w.code}  {number(w.green_weight_kg, 3, 'kg')}" for w in wheels]
    text = "\n".join([*lines, *outcome])
    data = {
        "make": make.code,
        "finished_at": iso(at_ms, make.zone),
        "wheels": [{"code": w.code, "green_weight_kg": w.green_weight_kg} for w in wheels],
        "verdict": verdict,
    }
    return Answer(text, data)


COMMANDS = (
    Command("begin", "begin a make from a plan (a new FILE is made)", _begin_arguments, _begin),
    Command("log", "keep one reading", _log_arguments, _log),
    Command("stage", "end the running stage and begin the next", _stage_arguments, _stage),
    Command(
        "finish",
        "finish a make with its wheels' green weights",
        _finish_arguments,
        _finish,
        repeated=("--wheel",),
        places=2,
    ),
)
