"""Wheels by command: listed, weighed, cared for, moved, cut, gone; and what is due."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, Value, figure
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, CommandOption, command, switch
from journal.command.values import amount, day_of, instant, to_read, to_write
from journal.records import id_of
from journal.records.instants import local, now_ms
from journal.records.kinds import CARE_KINDS, TAKEN_KINDS
from journal.records.wheels import Care, Weighing
from journal.wording import worded
from journal.wording.care import care_name

if TYPE_CHECKING:
    from datetime import date

    from journal.keeping import Journal
    from journal.records.due import Due, WheelLife
    from journal.records.wheels import Removal, Wheel
    from journal.reports.ageing import WheelStanding

WHEEL = CommandOption("wheel", "a wheel's code", "WHEEL")
WHEELS = CommandOption(
    "what", "a wheel, a make, a room, or a shelf, like “Cellar/top”", "WHEEL|SHELF"
)


def _due(one: Due) -> dict[str, object]:
    return {"kind": one.kind, "on": day_of(one.on).data, "at_days": one.at_days, "note": one.note}


def _dues(one: WheelStanding) -> Value:
    from journal.wording.dates import iso_date
    from journal.wording.wheels import wheel_need_words

    first = one.dues[0] if one.dues else None
    text = "" if first is None else f"{wheel_need_words(first)} {iso_date(first.on)}"
    return Value([_due(due) for due in one.dues], text)


def table_of_wheels(more: Sequence[AnswerColumn[WheelStanding]] = ()) -> Table[WheelStanding]:
    """The columns of a list of wheels, and those that are asked for besides."""
    from journal.wording.ages import old_words

    return Table(
        AnswerColumn("code", lambda one: one.wheel.code, "code"),
        AnswerColumn("room", lambda one: one.room or None, "room"),
        AnswerColumn("shelf", lambda one: one.wheel.shelf or None, "shelf"),
        AnswerColumn("place", lambda one: one.wheel.place),
        AnswerColumn(
            "weight_kg", lambda one: figure(one.weight.kg, 3, quantity="mass"), "weight", right=True
        ),
        AnswerColumn(
            "loss_pct", lambda one: figure(one.weight.lost_pct, 1, "%"), "lost", right=True
        ),
        AnswerColumn("left", lambda one: one.weight.left),
        AnswerColumn("age_days", lambda one: Value(one.age_days, old_words(one.age_days)), "age"),
        AnswerColumn("due", _dues, "due"),
        AnswerColumn("gone", lambda one: one.gone, "gone"),
        AnswerColumn("verdict", lambda one: one.verdict),
        *more,
    )


def _make_up(journal: Journal, found: Sequence[WheelStanding]) -> list[AnswerColumn[WheelStanding]]:
    """What each is made of, with the range that holds 80 in 100."""
    from journal.reports.make_up import make_up_of
    from journal.wording.wheels import MADE_OF

    known = {one.wheel.id: make_up_of(journal, one.wheel, one.weight) for one in found}

    def column(name: str, key: str) -> AnswerColumn[WheelStanding]:
        def read(one: WheelStanding) -> Value:
            kitchen = known[one.wheel.id]
            return figure(None if kitchen is None else getattr(kitchen, key), 1, "%")

        return AnswerColumn(key, read, name, right=True)

    def ranges(one: WheelStanding) -> dict[str, list[float]] | None:
        kitchen = known[one.wheel.id]
        if kitchen is None:
            return None
        return {key: list(kitchen.ranges_80[key]) for _, key in MADE_OF}

    return [
        *(column(worded(name), key) for name, key in MADE_OF),
        AnswerColumn("ranges_80", ranges),
    ]


def wheels_after(
    journal: Journal, wheels: Sequence[Wheel], at_ms: int, first: str = ""
) -> CommandAnswer:
    """The wheels as they stand after an act, a sentence before them and their verdicts below; the
    calendar file is written anew."""
    from journal.exchange.calendar_file import renew_calendar
    from journal.reports.ageing import standings

    renew_calendar(journal, now_ms())
    found = table_of_wheels().answer(
        standings(journal, at_ms, wheels=wheels), note=lambda row: row["verdict"] or ""
    )
    return CommandAnswer(found.data, f"{first}\n{found.text}".strip())


@command(
    "wheels",
    "list the wheels with their weight and what is due, room by room",
    FILE,
    CommandOption("what", "a wheel, a make, a room or a shelf; all if left out", "WHAT", nargs="?"),
    switch("--gone", "with those that are gone"),
    switch("--full", "with what they are made of; always for one wheel"),
    AT,
)
def _wheels(args: argparse.Namespace) -> CommandAnswer:
    from journal.reports.ageing import standings

    with to_read(args.file) as journal:
        at_ms = instant(args.at, journal.zone)
        wheels = None if args.what is None else journal.shelves.named(args.what)
        found = standings(journal, at_ms, wheels=wheels, gone=args.gone)
        full = args.full or (args.what is not None and len(found) == 1)
        more = _make_up(journal, found) if full else []
    return table_of_wheels(more).answer(
        found,
        worded("command.no-wheel-made-yet"),
        lambda row: f"{row['code']}: {row['verdict']}" if row["verdict"] else "",
    )


@command(
    "weigh",
    "save what a wheel weighs",
    FILE,
    WHEEL,
    CommandOption("weight", "like 1.18kg or 940g", "WEIGHT"),
    switch("--sure", "the weight is right, however unlikely"),
    AT,
)
def _weigh(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.wheels import weight_doubt, weight_jump

    kg = amount(args.weight, "mass")
    with to_write(args.file) as journal:
        wheel = journal.wheel_by_code(args.wheel)
        at_ms = instant(args.at, journal.zone)
        now = journal.shelves.course(wheel).now
        doubt = weight_doubt(now.green_kg, kg / now.left) if not now.is_gone else None
        doubt = doubt or weight_jump(now.kg, kg)
        if doubt is not None and not args.sure:
            raise CommandError("command.add-sure", why=doubt)
        journal.shelves.weigh(wheel, kg, at_ms)
        return wheels_after(journal, [wheel], at_ms)


@command(
    "care",
    "save care of a wheel, of all of a make, or of a whole shelf or room; shown if left out",
    FILE,
    WHEELS,
    CommandOption("kind", ", ".join(CARE_KINDS), "CARE", nargs="?"),
    CommandOption("--note", "a few words on it", "TEXT", default=""),
    AT,
)
def _care(args: argparse.Namespace) -> CommandAnswer:
    if args.kind is None:
        return _cares_given(args)
    if args.kind in ("weigh", "move"):
        raise CommandError("command.use-the-command", command=args.kind)
    with to_write(args.file) as journal:
        at_ms = instant(args.at, journal.zone)
        wheels = journal.shelves.named(args.what)
        if not wheels:
            raise CommandError("command.no-wheel-there", where=args.what)
        journal.shelves.care(wheels, args.kind, at_ms, args.note)
        first = worded("command.cared-for", care=care_name(args.kind), wheels=len(wheels))
        return wheels_after(journal, wheels, at_ms, first)


def _cares_given(args: argparse.Namespace) -> CommandAnswer:
    """What was done to those wheels, newest first."""
    from journal.command.values import moment
    from journal.wording.dates import iso_minute

    with to_read(args.file) as journal:
        wheels = {id_of(wheel): wheel for wheel in journal.shelves.named(args.what)}
        zone = journal.zone
        cares: list[Care | Weighing] = [
            *(care for key in wheels for care in journal.cares.where(wheel_id=key)),
            *(one for key in wheels for one in journal.weighings.where(wheel_id=key)),
        ]
    cares.sort(key=lambda one: -one.at_ms)
    table: Table[Care | Weighing] = Table(
        AnswerColumn("id", _record, "record"),
        AnswerColumn("at", lambda one: moment(one.at_ms, zone, iso_minute), "when"),
        AnswerColumn("code", lambda one: wheels[one.wheel_id].code, "wheel"),
        AnswerColumn("kind", _care_kind, "care"),
        AnswerColumn("note", _note, "note"),
    )
    return table.answer(cares, worded("command.no-care-yet"))


def _record(one: Care | Weighing) -> str:
    noun = "care" if isinstance(one, Care) else "weighing"
    return f"{noun}-{one.id}"


def _care_kind(one: Care | Weighing) -> Value:
    kind = one.kind if isinstance(one, Care) else "weigh"
    return Value(kind, care_name(kind))


def _note(one: Care | Weighing) -> str:
    return one.note if isinstance(one, Care) else figure(one.weight_kg, 3, quantity="mass").text


@command(
    "move",
    "put a wheel, a make's wheels or a shelf into a room, on a shelf of it",
    FILE,
    WHEELS,
    CommandOption("room", "the room; a new one is made", "ROOM"),
    CommandOption("--shelf", "the shelf there", "NAME", default=""),
    CommandOption("--place", "the place on the shelf, counted from 1", "N", type=int),
    AT,
)
def _move(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        at_ms = instant(args.at, journal.zone)
        wheels = journal.shelves.named(args.what)
        with journal.unit("keeping.act-move", room=args.room, wheels=len(wheels)):
            room = journal.shelves.room_named(args.room, new=True)
            journal.shelves.move(wheels, room, at_ms, args.shelf, args.place)
        return wheels_after(journal, wheels, at_ms)


@command(
    "split",
    "cut a wheel into pieces that go on as wheels of their own",
    FILE,
    WHEEL,
    CommandOption("parts", "each piece, like 1/2 1/2 or 480g 470g", "PART", nargs="+"),
    AT,
)
def _split(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.taken_typed import read_part

    read = [read_part(text) for text in args.parts]
    weights = [kg for _, kg in read if kg is not None]
    if weights and len(weights) < len(read):
        raise CommandError("command.parts-or-weights")
    parts = weights or [share for share, _ in read if share is not None]
    with to_write(args.file) as journal:
        wheel = journal.wheel_by_code(args.wheel)
        at_ms = instant(args.at, journal.zone)
        pieces = journal.shelves.cut(wheel, parts, at_ms, by_weight=bool(weights))
        return wheels_after(journal, pieces, at_ms, worded("command.is-cut", code=wheel.code))


@command(
    "gone",
    "save that a wheel, or a part of it, was eaten, given, sold, thrown away or tasted",
    FILE,
    WHEEL,
    CommandOption("kind", ", ".join(TAKEN_KINDS), "HOW"),
    CommandOption("--part", "how much of it, like 1/4 or 300g; all that is left if left out",
                  "PART"),
    CommandOption("--to", "to whom", "TEXT", default=""),
    CommandOption("--why", "why, in a few words", "TEXT", default=""),
    AT,
)  # fmt: skip
def _gone(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.taken_typed import read_part
    from journal.records.wheels import Removal

    share, kg = (None, None) if args.part is None else read_part(args.part)
    with to_write(args.file) as journal:
        wheel = journal.wheel_by_code(args.wheel)
        at_ms = instant(args.at, journal.zone)
        if args.part is None:
            taken = journal.shelves.take_all(wheel, args.kind, at_ms, args.to, args.why)
        else:
            taken = journal.shelves.take(
                Removal(id_of(wheel), args.kind, at_ms, share, kg, args.to, args.why)
            )
        return wheels_after(journal, [wheel], at_ms, f"{wheel.code}: {taken.words}.")


@command(
    "parts",
    "list what was taken of a wheel",
    FILE,
    WHEEL,
    CommandOption("--at", "until when, like 2026-03-14T09:30; all if left out", "ISO"),
)
def _parts(args: argparse.Namespace) -> CommandAnswer:
    from journal.command.values import day

    with to_read(args.file) as journal:
        course = journal.shelves.course(journal.wheel_by_code(args.wheel))
        zone = journal.zone
    until = None if args.at is None else instant(args.at, zone)
    parts = [part for part in course.parts if until is None or part[0].at_ms <= until]
    table: Table[tuple[Removal, float, float | None]] = Table(
        AnswerColumn("id", lambda one: f"taken-{one[0].id}", "record"),
        AnswerColumn("at", lambda one: day(one[0].at_ms, zone), "when"),
        AnswerColumn("kind", lambda one: one[0].kind, "how"),
        AnswerColumn("share", lambda one: Value(one[1], f"{100 * one[1]:.0f} %"), "part"),
        AnswerColumn(
            "weight_kg", lambda one: figure(one[2], 3, quantity="mass"), "weight", right=True
        ),
        AnswerColumn("to", lambda one: one[0].whom, "to"),
        AnswerColumn("why", lambda one: one[0].why, "why"),
    )
    return table.answer(parts, worded("command.nothing-taken-yet"))


@command(
    "due",
    "list what is due on a day, with what is late",
    FILE,
    CommandOption("--on", "the day, like 2026-12-24; today if left out", "DAY"),
    AT,
)
def _due_on(args: argparse.Namespace) -> CommandAnswer:
    from journal.records.care_ahead import ahead
    from journal.reports.ageing import standings

    with to_read(args.file) as journal:
        at_ms = instant(args.at, journal.zone)
        today = local(at_ms, journal.zone).date()
        on = today if args.on is None else _day_typed(args.on, journal.zone)
        if on < today:
            raise CommandError("command.day-is-past", day=day_of(on).text)
        lives = journal.care_tasks.lives()
        stands = {one.wheel.code: one for one in standings(journal, at_ms)}
        found = [due for due in ahead(lives, at_ms, on) if due.on == on]
        late = {} if on > today else _late(lives, at_ms)
    none = worded("command.nothing-due", day=day_of(on).text)
    return _table_of_dues(late, stands).answer(found, none)


def _day_typed(text: str, zone: str) -> date:
    return local(instant(text, zone), zone).date()


def _late(lives: Sequence[WheelLife], at_ms: int) -> dict[tuple[str, str], date]:
    """Since when what is due today waits, by wheel and kind."""
    from journal.records.due import cares_due, tastings_due

    dues = [*(due for life in lives for due in cares_due(life, at_ms)), *tastings_due(lives, at_ms)]
    return {(due.life.wheel.code, due.kind): due.on for due in dues}


def _table_of_dues(
    since: dict[tuple[str, str], date], stands: dict[str, WheelStanding]
) -> Table[Due]:
    from journal.wording.wheels import wheel_need_words

    def late(due: Due) -> Value:
        first = since.get((due.life.wheel.code, due.kind), due.on)
        days = max((due.on - first).days, 0)
        return Value(days, worded("wording.days-late", days=days) if days else "")

    def of(due: Due) -> WheelStanding:
        return stands[due.life.wheel.code]

    return Table(
        AnswerColumn("code", lambda due: due.life.wheel.code, "wheel"),
        AnswerColumn("kind", lambda due: Value(due.kind, wheel_need_words(due)), "what"),
        AnswerColumn("on", lambda due: day_of(due.on), "on"),
        AnswerColumn("late_days", late, ""),
        AnswerColumn("room", lambda due: due.life.room or None, "room"),
        AnswerColumn("shelf", lambda due: due.life.wheel.shelf or None, "shelf"),
        AnswerColumn("age_days", lambda due: of(due).age_days),
        AnswerColumn("weight_kg", lambda due: of(due).weight.kg),
        AnswerColumn("loss_pct", lambda due: of(due).weight.lost_pct),
        AnswerColumn("gone", lambda due: of(due).gone),
        AnswerColumn("verdict", lambda due: of(due).verdict),
        AnswerColumn("at_days", lambda due: due.at_days),
        AnswerColumn("note", lambda due: due.note, "note"),
    )


@command(
    "away",
    "save days when nobody is there, so that care moves off them; listed if left out",
    FILE,
    CommandOption("first", "the first day, like 2026-12-24", "FIRST", nargs="?"),
    CommandOption("last", "the last day; the first if left out", "LAST", nargs="?"),
    CommandOption("--note", "a few words on it", "TEXT", default=""),
    CommandOption("--at", "list those not over at that time; all if left out", "ISO"),
)
def _away(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.calendar_file import renew_calendar
    from journal.records.wheels import Absence

    with (to_read if args.first is None else to_write)(args.file) as journal:
        if args.first is not None:
            first, last = (
                _day_typed(text, journal.zone).isoformat()
                for text in (args.first, args.last or args.first)
            )
            journal.shelves.be_away(Absence(first, last, args.note))
            renew_calendar(journal, now_ms())
        since = "" if args.at is None else _day_typed(args.at, journal.zone).isoformat()
        found = sorted(
            (one for one in journal.absences.all() if one.last_day >= since),
            key=lambda one: one.first_day,
        )
    table: Table[Absence] = Table(
        AnswerColumn("id", lambda one: f"away-{one.id}", ""),
        AnswerColumn("first", lambda one: one.first_day, ""),
        AnswerColumn("last", lambda one: one.last_day, ""),
        AnswerColumn("note", lambda one: one.note, ""),
    )
    return table.answer(found, worded("command.no-days-away"))


COMMANDS = (_wheels, _weigh, _care, _move, _split, _gone, _parts, _due_on, _away)
