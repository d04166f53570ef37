"""What was done and what was deleted: the history, what is taken back, the bin."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    text_only,
)
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import make_id, moment, to_read, to_write
from journal.records import id_of
from journal.wording import text_of, worded
from journal.wording.dates import short_moment
from journal.wording.sentences import seat_word

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.keeping.past import HistoryAct


@command(
    "history",
    "list what was done, newest first, with what was there before",
    FILE,
    CommandOption(
        "what",
        "a make, a wheel, a plan's name, or a record, such as session-3; all if left out",
        "WHAT",
        nargs="?",
    ),
    CommandOption("--last", "at most so many", "N", type=int),
    CommandOption("--filter", "only what has these words, like “weigh HL-0031”", "WORDS"),
    CommandOption("--without", "leave out what has these words, like “compare”", "WORDS"),
)
def _history(args: argparse.Namespace) -> CommandAnswer:
    from journal.wording.history import NO_CHANGES, act_words, first_words, row_words

    most = -1 if args.last is None else max(args.last, 0)
    with to_read(args.file) as journal:
        zone = journal.zone
        about = None if args.what is None else _about(journal, args.what)
        words = args.filter is not None or args.without is not None
        read = -1 if words else most
        found = journal.history.all(read) if about is None else journal.history.of(*about, read)
    if words:
        kept = [past for past in found if _fits(past, args.filter, args.without, zone)]
        found = kept if args.last is None else kept[:most]
    table: Table[HistoryAct] = Table(
        AnswerColumn("act", lambda past: past.act.id, "act", right=True),
        AnswerColumn("at", lambda past: moment(past.act.at_ms, zone, short_moment), "when"),
        AnswerColumn("by", lambda past: Value(past.act.seat, seat_word(past.act.seat)), "by"),
        AnswerColumn("what", lambda past: act_words(past, zone), "what"),
        AnswerColumn("taken_back", lambda past: Value(past.act.undone_ms is not None,
                     "" if past.act.undone_ms is None else worded("desk.was-taken-back")), ""),
        AnswerColumn("undoes", lambda past: past.act.undoes),
        AnswerColumn("rows", lambda past: past.count),
        AnswerColumn("changes", lambda past: [row_words(row, zone) for row in past.rows]),
        AnswerColumn("fields", _fields),
        AnswerColumn("", lambda past: first_words(past, zone), ""),
    )  # fmt: skip
    return table.answer(found, worded(NO_CHANGES))


def _fits(past: HistoryAct, wanted: str | None, unwanted: str | None, zone: str) -> bool:
    """Whether an act has all words that are wanted, and not all that are not."""
    from journal.wording.history import act_words, row_words

    words_of_act = " ".join([act_words(past, zone), *(row_words(row, zone) for row in past.rows)])
    words_of_act = words_of_act.casefold()
    has = [
        all(w in words_of_act for w in (words or "").casefold().split())
        for words in (wanted, unwanted)
    ]
    return has[0] and not (unwanted and has[1])


def _fields(past: HistoryAct) -> list[dict[str, Any]]:
    return [
        {"record": row.called.noun, "field": field.column,
         "before": _bare(field.before), "after": _bare(field.after)}
        for row in past.rows
        for field in row.fields
    ]  # fmt: skip


def _bare(value: Any) -> Any:
    from journal.keeping.called import RowName

    return value.text if isinstance(value, RowName) else value


def _about(journal: Journal, what: str) -> tuple[str, int]:
    """The table and the id of what was named."""
    noun, _, number = what.rpartition("-")
    noun = {"session": "tasting", "test": "panel_test"}.get(noun, noun)
    wheels = journal.wheels.where(code=what.upper())
    if wheels:
        return "wheel", id_of(wheels[0])
    if noun.islower() and number.isdecimal():
        return noun, int(number)
    for plan in journal.plans.latest():
        if plan.name.casefold() == what.casefold():
            return "plan", id_of(plan)
    return "make", make_id(journal.makes.by_code(what))


@command(
    "take-back",
    "take back one act, whenever it was, if nothing was done to its records since",
    FILE,
    CommandOption("act", "its number, from “history”", "ACT", type=int),
)
def _take_back(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        name = journal.take_back(args.act)
    return answer("command.taken-back", act=args.act, what=text_of(name))


@command("bin", "list what was deleted, newest first", FILE)
def _bin(args: argparse.Namespace) -> CommandAnswer:
    from journal.keeping.binned import Binned
    from journal.wording.history import BIN_EMPTY, called

    with to_read(args.file) as journal:
        found, zone = journal.bin.all(), journal.zone
    table: Table[Binned] = Table(
        AnswerColumn("id", lambda one: one.id, "id"),
        AnswerColumn("what", lambda one: called(one.called, zone), "what"),
        AnswerColumn("deleted_at", lambda one: moment(one.at_ms, zone, short_moment), "deleted"),
    )
    return table.answer(found, worded(BIN_EMPTY))


@command(
    "bin-restore",
    "restore records from the bin",
    FILE,
    CommandOption("ids", "which, from “bin”", "ID", nargs="+"),
)
def _bin_restore(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        journal.bin.restore(args.ids)
    return answer("desk.restored-from-bin", restored=args.ids, what=text_only(", ".join(args.ids)))


@command("bin-empty", "delete for good what is in the bin; only a backup has it then", FILE)
def _bin_empty(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        gone = journal.bin.empty()
        left = len(journal.bin.all())
    needed = worded("command.still-in-bin", left=left) if left else ""
    return answer("command.deleted-for-good", deleted=gone, left=left, needed=text_only(needed))


COMMANDS = (_history, _take_back, _bin, _bin_restore, _bin_empty)
