"""Care by command: the schedule of a plan, of a make and of a wheel, shown and set."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, answer
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import plan_named, to_read, to_write
from journal.wording import worded
from journal.wording.shown import shown_figure, unit_label

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.records.care_written import CareLine
    from journal.records.makes import Make
    from journal.records.wheels import Wheel

_SCHEDULE = CommandOption(
    "schedule",
    "the care, such as “turn weekly from 2 weeks; eat from 6 months”, or “none”; shown if left out",
    "SCHEDULE",
    nargs="?",
)


@command(
    "plan-care",
    "show or set the schedule of a plan",
    FILE,
    CommandOption("name", "a plan, see “plans”", "PLAN"),
    _SCHEDULE,
)
def _plan_care(args: argparse.Namespace) -> CommandAnswer:
    from dataclasses import replace

    from journal.records.care_written import care_fields, care_lines

    if args.schedule is None:
        with to_read(args.file) as journal:
            return _shown(care_lines(plan_named(args.name, journal)))
    with to_write(args.file) as journal:
        plan = plan_named(args.name, journal)
        care = care_fields(_read(args.schedule, plan.care_from_day))
        changed = replace(plan, **care._asdict(), builtin=False)
        kept = journal.plans.save(changed)
    return answer("command.saved-plan", plan=kept.name, version=kept.version)


@command(
    "wheel-care",
    "show or set the schedule of a make, or of one wheel",
    FILE,
    CommandOption("code", "a make's or a wheel's code", "CODE"),
    _SCHEDULE,
)
def _wheel_care(args: argparse.Namespace) -> CommandAnswer:
    if args.schedule is None:
        with to_read(args.file) as journal:
            make, wheel = _named(journal, args.code)
            schedules = journal.schedules
            return _shown(schedules.of_make(make) if wheel is None else schedules.of_wheel(wheel))
    with to_write(args.file) as journal:
        make, wheel = _named(journal, args.code)
        lines = _read(args.schedule, journal.makes.plan_of(make).care_from_day)
        if wheel is None:
            journal.schedules.give_make(make, lines)
        else:
            journal.schedules.give_wheel(wheel, lines)
    code = make.code if wheel is None else wheel.code
    if not lines:
        return answer("command.goes-by-plan", code=code, own=False)
    return answer("command.own-schedule", code=code, own=True)


def _named(journal: Journal, code: str) -> tuple[Make, Wheel | None]:
    """The make of a code, and the wheel where it is a wheel's."""
    if code.upper().count("-") > 1:
        wheel = journal.wheel_by_code(code)
        return journal.makes.get(wheel.make_id), wheel
    return journal.makes.by_code(code), None


def _read(text: str, from_day: float) -> Sequence[CareLine]:
    """The lines of a schedule, none for "none"; RecordError with what is not understood."""
    from journal.records import RecordError
    from journal.records.care_typed import Ending, read_schedule

    if text.strip().lower() == "none":
        return ()
    read = read_schedule(text, Ending(from_day, from_day))
    if read.why is not None:
        raise RecordError(read.why)
    return read.lines


def _room_temp(line: CareLine) -> str:
    celsius = getattr(line, "room_c", None)
    return "" if celsius is None else shown_figure(celsius, "temperature", 1)


def _shown(lines: Sequence[CareLine]) -> CommandAnswer:
    from journal.records.care_written import AgeLine, care_cell_text, when_text

    def cell(column: str) -> AnswerColumn[CareLine]:
        return AnswerColumn(column, lambda line: getattr(line, column, None))

    table: Table[CareLine] = Table(
        AnswerColumn("kind", lambda line: line.kind, "care"),
        AnswerColumn("when", when_text, "when"),
        AnswerColumn("", _room_temp, unit_label("temperature"), right=True),
        AnswerColumn("", lambda line: care_cell_text(line, "what"), "note"),
        *(cell(name) for name in ("from_day", "to_day", "every_days", "room_c")),
        *(cell(name) for name in ("room_humidity_pct", "note")),
        AnswerColumn("days", lambda line: line.days if isinstance(line, AgeLine) else None),
    )
    return table.answer(lines, worded("command.no-care-at-all"))


COMMANDS = (_plan_care, _wheel_care)
