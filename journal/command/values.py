"""What arguments mean: journals, makes, instants, amounts."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from journal.command.answer import Value, as_value
from journal.command.error import CommandError
from journal.message import Instant, Message
from journal.records.clocks import Timekeeper, machine_clocks
from journal.records.instants import DAY_MS, from_iso, from_typed, iso, local, now_ms
from journal.wording import text_of, worded
from journal.wording.dates import format_day, iso_date, iso_day

if TYPE_CHECKING:
    from datetime import date

    from journal.keeping import Journal
    from journal.records.makes import Make
    from journal.records.plans import Plan

Row = TypeVar("Row")
_FIRST_MS = from_iso("1990-01-01", "UTC")
_LAST_MS = from_iso("2199-12-31", "UTC")
_WEEK_MS = 7 * DAY_MS


def to_read(path: str) -> Journal:
    """The journal opened for reading."""
    from journal.keeping import Journal

    return _telling(Journal.open(path, read_only=True))


def to_write(path: str) -> Journal:
    """The journal opened for writing."""
    from journal.keeping import Journal
    from journal.keeping.file import older
    from journal.keeping.seats import COMMAND

    if (remark := older(Path(path))) is not None:
        print(text_of(remark), file=sys.stderr)
    return _telling(Journal.open(path, seat=COMMAND))


def _telling(journal: Journal) -> Journal:
    """The journal, which says on the error stream how its file was found, and what damaged rows a
    list goes without."""
    shown: list[Message] = []

    def tell() -> None:
        fresh = journal.left_out()[len(shown) :]
        shown.extend(fresh)
        for one in fresh:
            print(text_of(one), file=sys.stderr)

    for remark in journal.remarks:
        print(text_of(remark), file=sys.stderr)
    journal.on_left_out(tell)
    return journal


def to_make(path: str) -> Journal:
    """A new journal in the zone of this machine."""
    from journal.keeping import Journal
    from journal.keeping.seats import COMMAND

    return Journal.create(path, seat=COMMAND)


def instant(text: str | None, zone: str) -> int:
    """UTC milliseconds of `--at`; without an offset it is in `zone`, without a text it is now."""
    if text is None:
        return now_ms()
    at_ms = from_typed(text, zone)
    if not _FIRST_MS <= at_ms <= _LAST_MS:
        raise CommandError("command.outside-years", text=text)
    return at_ms


def instant_in(text: str | None, journal: Journal, make: Make, *, ahead: bool = False) -> int:
    """UTC milliseconds of `--at` for something that happened in a make; without a text it is now,
    by the clock that a running make began with.

    Raises
    ------
    CommandError
        When it lies ahead, as a mistyped year does (`ahead` lets it), or without a text when the
        computer's clock is before the make's last entry, or was set meanwhile.
    """
    from journal.reports.entries import last_entry_ms

    if text is None:
        return now_in(journal, [make] if make.running else [])
    at_ms = instant(text, journal.zone)
    latest = max(now_ms(), last_entry_ms(journal, make)) + _WEEK_MS
    if at_ms > latest and not ahead:
        day = format_day(local(at_ms, journal.zone))
        raise CommandError("command.still-to-come", day=day)
    return at_ms


def now_in(journal: Journal, running: Sequence[Make]) -> int:
    """The present instant by the clock that these makes go by, UTC milliseconds; the computer's
    where none runs. CommandError when it is before their last entry, or was set meanwhile."""
    from journal.reports.entries import timekeeper_for
    from journal.wording.clock_doubt import doubt_words

    keeper = timekeeper_for(machine_clocks(), journal, running)
    if keeper.doubt is not None and not keeper.doubt.only_late:
        why = doubt_words(keeper.doubt, journal.zone)
        raise CommandError("command.clock-in-doubt", why=why)
    return keeper.now()


def keep_clock(journal: Journal) -> None:
    """Write down how the computer's clocks stand as the only running make begins, so that one that
    is set from here on is noticed by whoever looks next."""
    from journal.reports.entries import CLOCK

    kept = Timekeeper(machine_clocks()).kept()
    if kept:
        journal.set_setting(CLOCK, kept)


def numbered(rows: Sequence[Row], ids: Sequence[int | None], text: str, refusal: str) -> Row:
    """The row of that number, or the latest, which is the first; CommandError with that refusal
    when there is none."""
    wanted = text.strip()
    if wanted.lower() == "latest" and rows:
        return rows[0]
    for row, number in zip(rows, ids, strict=True):
        if str(number) == wanted:
            return row
    known: list[str | Message] = [str(number) for number in ids] or [Message("wording.none")]
    raise CommandError(refusal, number=text, known=known)


def amount(text: str, quantity: str) -> float:
    """A typed value in the quantity's stored unit."""
    from journal.quantities.typed import parse

    return parse(text, quantity).stored


def plan_named(name: str, journal: Journal | None) -> Plan:
    """The plan of that name in the journal, else the built-in one; letter case is free."""
    from journal.records.plan_text import builtin_plans

    found = {plan.name: plan for plan in builtin_plans()}
    if journal is not None:
        found |= {plan.name: plan for plan in journal.plans.latest()}
    wanted = " ".join(name.casefold().split())
    for each in (found.get(name), *found.values()):
        if each is not None and " ".join(each.name.casefold().split()) == wanted:
            return each
    raise CommandError("records.no-such-plan", name=name, known=sorted(found))


def make_id(make: Make) -> int:
    """The key of a saved make."""
    if make.id is None:
        raise CommandError("command.make-not-saved", code=make.code)
    return make.id


def clock_on_day(at_ms: int, zone: str) -> str:
    """ "09:30 on 2026-03-14"."""
    return worded("command.clock-on-day", at=Instant(at_ms, zone), day=iso_day(at_ms, zone))


def moment(
    at_ms: int | None, zone: str, written: Callable[[int, str], str] = clock_on_day
) -> Value:
    """An instant: ISO 8601, and for a person as `written` has it; nothing for None."""
    if at_ms is None:
        return as_value(None)
    return Value(iso(at_ms, zone), written(at_ms, zone))


def day(at_ms: int, zone: str) -> Value:
    """An instant of which a person reads the day: "2026-03-14"."""
    return moment(at_ms, zone, iso_day)


def day_of(on: date | None) -> Value:
    """A day of the calendar as a list has it: "2026-03-14"."""
    return as_value(None) if on is None else Value(iso_date(on), iso_date(on))
