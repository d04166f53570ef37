"""Questions about one make: how far from its plan, and when it will reach a pH."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, aligned, number
from journal.command.error import CommandError
from journal.command.parser import Command, Parser, add_make
from journal.command.values import (
    amount,
    day_and_clock,
    iso_or_none,
    make_id,
    second_or_none,
    to_read,
    to_write,
)
from journal.records.instants import local
from journal.wording import text_of
from journal.wording.dates import clock

if TYPE_CHECKING:
    from journal.curves.acidity import AcidFit, Forecast
    from journal.curves.deviation import Deviation
    from journal.keeping import Journal
    from journal.records.makes import Make
    from journal.records.verdicts import Verdict
    from journal.records.whole import WholeMake

MOST_PAST = 24  # earlier makes a forecast leans on


def _deviation_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument(
        "--clock",
        choices=["day", "plan"],
        default="day",
        help="against the plan re-timed to the day (the default), or on its own clock",
    )


def _deviation(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        return deviation_answer(journal, args.make, args.clock)


def deviation_answer(journal: Journal, code: str, by: str = "day") -> Answer:
    """How far a make strayed from its plan."""
    from journal.curves.deviation import deviation

    whole = journal.whole(make_id(journal.makes.by_code(code)))
    found = deviation(whole, by)
    zone = whole.make.zone
    data = {
        "rms_c": found.rms_c,
        "worst_c": found.worst_c,
        "worst_at": iso_or_none(found.worst_at_ms, zone),
        "minutes_outside": found.minutes_outside,
        "cook_rate_c_per_min": found.cook_rate_c_per_min,
        "planned_cook_rate_c_per_min": found.planned_cook_rate_c_per_min,
        "slip_min": [slip._asdict() for slip in found.slip_min],
    }
    return Answer(_deviation_text(whole, found, by), data)


def _deviation_text(whole: WholeMake, found: Deviation, by: str) -> str:
    clocked = "re-timed to the day" if by == "day" else "on its own clock"
    worst_at = found.worst_at_ms
    when = "" if worst_at is None else f" at {clock(worst_at, whole.make.zone)}"
    cook = number(found.cook_rate_c_per_min, 2, "°C/min")
    planned = number(found.planned_cook_rate_c_per_min, 2)
    rows = [
        ["temperature", f"{number(found.rms_c, 2, '°C')} off the plan (root mean square)"],
        ["worst", f"{number(found.worst_c, 1, '°C', sign=True)}{when}"],
        ["outside", f"{number(found.minutes_outside, 0, 'min')} outside the corridor"],
        ["cook rate", f"{cook}, planned {planned} over the whole cook"],
    ]
    if found.rms_c is None:
        rows[0][1] = "cannot be told: it needs readings at most ten minutes apart"
        known = (found.worst_c is not None, False, found.cook_rate_c_per_min is not None)
        rows[1:] = [row for row, told in zip(rows[1:], known, strict=True) if told]
    slips = [
        [whole.plan.stages[slip.position].label, f"{number(slip.minutes, 0, sign=True)} min"]
        for slip in found.slip_min
    ]
    head = f"{whole.make.code}, {whole.make.name}: against the plan {clocked}"
    told = ["Slip of each stage", aligned(slips, right=(1,))] if slips else []
    return "\n".join([head, aligned(rows), *told])


def _forecast_arguments(parser: Parser) -> None:
    add_make(parser)
    parser.add_argument("--ph", metavar="PH", required=True, help="the pH asked for, like 5.4")
    parser.add_argument("--of", choices=["curd", "whey"], default="curd", help="curd by default")


def _forecast(args: argparse.Namespace) -> Answer:
    ph = amount(args.ph, "ph")
    with to_read(args.file) as journal:
        answer, verdict = _foretold(journal, args.make, ph, args.of)
        make = journal.makes.by_code(args.make)
    if verdict is not None:
        _keep_said(args.file, make, verdict)
    return answer


def _keep_said(path: str, make: Make, verdict: Verdict) -> None:
    """Keep the verdict that was given; where the file cannot be written to it is only given."""
    from journal.keeping import KeepingError

    try:
        with to_write(path) as journal:
            journal.outcomes.keep_verdict(make, verdict)
    except KeepingError:
        return


def forecast_answer(journal: Journal, code: str, ph: float, of: str = "curd") -> Answer:
    """When a make reaches a pH, leaning on the makes before it."""
    return _foretold(journal, code, ph, of)[0]


def _foretold(journal: Journal, code: str, ph: float, of: str) -> tuple[Answer, Verdict | None]:
    """The answer, and what it says of eating the make."""
    from journal.curves.acidity import fit, forecast, has_acid
    from journal.curves.verdict import verdict_of

    whole = journal.whole(make_id(journal.makes.by_code(code)))
    if not sours(whole):
        raise CommandError(
            f"{whole.make.code} has no pH reading and no culture to go by: log a pH first."
        )
    past = list(past_fits(journal, whole))
    fitted = fit(whole, past)
    found = forecast(whole, ph, of, past, fitted=fitted)
    verdict = whole.verdict or verdict_of(whole, fitted)
    zone, reached = whole.make.zone, found.reached_at_ms
    data: dict[str, Any] = {
        "ph": found.ph,
        "of": found.of,
        "reached_at": second_or_none(reached, zone),
        "low_at": second_or_none(reached and found.low_at_ms, zone),
        "high_at": second_or_none(found.high_at_ms, zone),
        "basis": text_of(found.basis),
        "stalled": found.stalled if has_acid(whole) else None,
        "chance": found.chance,
        "called": found.called,
        "verdict": None if verdict is None else text_of(verdict.message),
    }
    also = [found.basis, found.message, None if verdict is None else verdict.message]
    lines = [f"{whole.make.code}: {_forecast_text(found, zone)}"]
    lines += [text_of(said) for said in also if said is not None]
    return Answer("\n".join(lines), data), verdict


def sours(whole: WholeMake) -> bool:
    """Whether anything speaks of acid: a reading, a culture that went in, or a planned one."""
    from journal.curves.acidity import has_acid

    given = any(addition.kind == "culture" for addition in whole.additions)
    planned = any(dose.kind == "culture" for stage in whole.plan.stages for dose in stage.doses)
    return has_acid(whole) or given or planned


def _forecast_text(found: Forecast, zone: str) -> str:
    from journal.wording.vat import doubt_text

    what = f"pH {found.ph:.2f} in the {found.of}"
    if found.reached_at_ms is None or found.low_at_ms is None:
        by = "" if found.by_at_ms is None else day_and_clock(found.by_at_ms, zone)
        said = doubt_text(found, by, what)
        return f"{said}." if found.tenths else f"{what} {said}."
    day = local(found.reached_at_ms, zone).strftime("%Y-%m-%d")
    low, mid = _clock_from(found.low_at_ms, day, zone), clock(found.reached_at_ms, zone)
    if found.high_at_ms is None:
        never = f"{10 - found.tenths} in 10 that it is never reached"
        return f"{what} at {mid} on {day}, not before {low} (9 times in 10); {never}."
    high = _clock_from(found.high_at_ms, day, zone)
    return f"{what} at {mid} on {day} (8 times in 10 between {low} and {high})."


def _clock_from(at_ms: int, day: str, zone: str) -> str:
    """The time of day, with its date where it is another than `day`."""
    said = day_and_clock(at_ms, zone)
    return said.removesuffix(f" on {day}")


def past_fits(journal: Journal, whole: WholeMake) -> Iterator[AcidFit]:
    """The acid courses of the makes before this one with its type of culture, newest first.

    Failed ones are among them: they tell how often a culture fails.
    """
    from journal.curves.acidity import FEW, fit

    earlier = [m for m in journal.makes.all() if m.started_ms < whole.make.started_ms]
    earlier.sort(key=lambda make: make.started_ms, reverse=True)
    found = 0
    for make in earlier:
        plan = journal.makes.plan_of(make)
        if plan.culture_type != whole.plan.culture_type:
            continue
        fitted = fit(journal.whole(make_id(make)))
        if fitted.readings >= FEW:
            yield fitted
            found += not make.failed
        if found == MOST_PAST:
            return


COMMANDS = (
    Command("deviation", "how far a make strayed from its plan", _deviation_arguments, _deviation),
    Command("forecast", "when a make reaches a pH", _forecast_arguments, _forecast),
)
