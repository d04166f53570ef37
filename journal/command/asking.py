"""Questions about one make: how far from its plan, and when it will reach a pH."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    as_value,
    figure,
    text_only,
)
from journal.command.error import CommandError
from journal.command.parser import FILE, MAKE, CommandOption, command
from journal.command.values import amount, make_id, moment, to_read, to_write
from journal.records.instants import iso
from journal.wording import text_of, word_of
from journal.wording.dates import clock, iso_day

if TYPE_CHECKING:
    from journal.curves.acidity import AcidFit, Forecast
    from journal.curves.deviation import Delay
    from journal.keeping import Journal
    from journal.records.makes import Make
    from journal.records.plans import Plan
    from journal.records.verdicts import Verdict
    from journal.records.whole import WholeMake

MOST_PAST = 24  # earlier makes a forecast uses


@command(
    "deviation",
    "how far a make was from its plan",
    FILE,
    MAKE,
    CommandOption(
        "--clock",
        "the plan with each stage as it really began (the default), or by its own clock",
        choices=["day", "plan"],
        default="day",
    ),
)
def _deviation(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        return deviation_answer(journal, args.make, args.clock)


def deviation_answer(journal: Journal, code: str, by: str = "day") -> CommandAnswer:
    """How far a make was from its plan."""
    from journal.curves.deviation import deviation

    whole = journal.whole(make_id(journal.makes.by_code(code)))
    found = deviation(whole, by)
    zone = whole.make.zone
    known = found.rms_c is not None
    says = ["command.beside-plan-by-stage" if by == "day" else "command.beside-plan-by-clock"]
    says += ["command.from-plan" if known else "command.from-plan-unknown"]
    if known or found.worst_c is not None:
        says += ["command.worst" if found.worst_at_ms is None else "command.worst-at"]
    if known:
        says += ["command.minutes-outside"]
    if known or found.cook_rate_c_per_min is not None:
        says += ["command.cook-rate"]
    if found.delay_min:
        says += ["command.delays", "{slip_min}"]
    return answer(
        says,
        rms_c=figure(found.rms_c, 2, quantity="temperature_difference"),
        worst_c=figure(found.worst_c, 1, sign=True, quantity="temperature_difference"),
        worst_at=moment(found.worst_at_ms, zone, clock),
        minutes_outside=figure(found.minutes_outside, 0, "min"),
        cook_rate_c_per_min=figure(found.cook_rate_c_per_min, 2, quantity="temperature_rate"),
        planned_cook_rate_c_per_min=figure(
            found.planned_cook_rate_c_per_min, 2, quantity="temperature_rate"
        ),
        slip_min=_delays(whole.plan).of(found.delay_min),
        make=text_only(whole.make.code),
        name=text_only(whole.make.name),
    )


def _delays(plan: Plan) -> Table[Delay]:
    return Table(
        AnswerColumn("", lambda delay: plan.stages[delay.position].label, ""),
        AnswerColumn("position", lambda delay: delay.position),
        AnswerColumn("kind", lambda delay: delay.kind),
        AnswerColumn(
            "minutes", lambda delay: figure(delay.minutes, 0, "min", sign=True), "", right=True
        ),
    )


@command(
    "forecast",
    "when a make reaches a pH",
    FILE,
    MAKE,
    CommandOption("--ph", "the pH to reach, like 5.4", "PH", required=True),
    CommandOption("--of", "curd if left out", choices=["curd", "whey"], default="curd"),
)
def _forecast(args: argparse.Namespace) -> CommandAnswer:
    ph = amount(args.ph, "ph")
    with to_read(args.file) as journal:
        prediction, verdict = _predicted(journal, args.make, ph, args.of)
        make = journal.makes.by_code(args.make)
    if verdict is not None:
        _save_verdict(args.file, make, verdict)
    return prediction


def _save_verdict(path: str, make: Make, verdict: Verdict) -> None:
    """Save the verdict that was given; where the file cannot be written to it is only given."""
    from journal.keeping import KeepingError

    try:
        with to_write(path) as journal:
            journal.outcomes.save_verdict(make, verdict)
    except KeepingError:
        return


def forecast_answer(journal: Journal, code: str, ph: float, of: str = "curd") -> CommandAnswer:
    """When a make reaches a pH, with the makes before it."""
    return _predicted(journal, code, ph, of)[0]


def _predicted(
    journal: Journal, code: str, ph: float, of: str
) -> tuple[CommandAnswer, Verdict | None]:
    """The answer, and whether the make is safe to eat."""
    from journal.curves.acidity import fit, forecast, has_acid
    from journal.curves.verdict import verdict_of

    whole = journal.whole(make_id(journal.makes.by_code(code)))
    if not whole.plan.sours:
        raise CommandError("command.no-culture-in-plan", code=whole.make.code)
    if not sours(whole):
        raise CommandError("command.nothing-to-predict-from", code=whole.make.code)
    past = list(past_fits(journal, whole))
    fitted = fit(whole, past)
    found = forecast(whole, ph, of, past, fitted=fitted)
    verdict = whole.verdict or verdict_of(whole, fitted)
    zone, reached = whole.make.zone, found.reached_at_ms
    asked = Value(found.ph, word_of("command.ph-in-", found.of, ph=found.ph))
    message = answer(
        (_forecast_says(found), "{basis}", "{also}", "{verdict}"),
        ph=asked,
        of=found.of,
        reached_at=_second(reached, zone),
        low_at=_second(reached and found.low_at_ms, zone, reached),
        high_at=_second(found.high_at_ms, zone, reached),
        basis=text_of(found.basis),
        stalled=found.stalled if has_acid(whole) else None,
        chance=found.chance,
        called=found.called,
        verdict=None if verdict is None else text_of(verdict.message),
        make=text_only(whole.make.code),
        never=text_only(f"{10 - (found.tenths or 0)}"),
        doubt=text_only(_doubt(found, zone, asked.text)),
        also=text_only("" if found.message is None else text_of(found.message)),
    )
    return message, verdict


def _second(at_ms: int | None, zone: str, beside_ms: int | None = None) -> Value:
    """A predicted instant, to the second; a person reads no day where `beside_ms` has it."""
    if at_ms is None:
        return as_value(None)
    bare = beside_ms is not None and iso_day(beside_ms, zone) == iso_day(at_ms, zone)
    message = clock(at_ms, zone) if bare else moment(at_ms, zone).text
    return Value(iso(round(at_ms / 1000) * 1000, zone), message)


def sours(whole: WholeMake) -> bool:
    """Whether anything speaks of acid: a reading, a culture that was used, or a planned one."""
    from journal.curves.acidity import has_acid

    given = any(addition.kind == "culture" for addition in whole.additions)
    planned = any(dose.kind == "culture" for stage in whole.plan.stages for dose in stage.doses)
    return whole.plan.sours and (has_acid(whole) or given or planned)


def _forecast_says(found: Forecast) -> str:
    if found.reached_at_ms is None or found.low_at_ms is None:
        return "command.forecast-doubt" if found.tenths else "command.forecast-ph-doubt"
    return "command.forecast-open" if found.high_at_ms is None else "command.forecast"


def _doubt(found: Forecast, zone: str, what: str) -> str:
    """The text where no time can be given."""
    from journal.wording.vat import doubt_text

    return doubt_text(found, moment(found.by_at_ms, zone).text, what)


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


COMMANDS = (_deviation, _forecast)
