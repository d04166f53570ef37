"""What became of a make: it failed, it is deleted or restored, it must not be eaten."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from journal.command.answer import CommandAnswer, answer, text_only
from journal.command.error import CommandError
from journal.command.parser import AT, FILE, MAKE, CommandOption, command, switch
from journal.command.values import instant_in, make_id, to_write
from journal.wording import text_of

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.records.makes import Make


def verdict_now(journal: Journal, make: Make) -> str | None:
    """Why a make must not be eaten, found from its readings and saved; None if nothing is wrong."""
    from journal.command.asking import past_fits, sours
    from journal.curves import CurveError
    from journal.curves.acidity import fit
    from journal.curves.verdict import verdict_of

    message = journal.outcomes.verdict(make)
    whole = journal.whole(make_id(make))
    if message is None and sours(whole):
        try:
            found = verdict_of(whole, fit(whole, list(past_fits(journal, whole))))
        except CurveError:  # a plan whose culture is of no known type
            return None
        message = None if found is None else journal.outcomes.save_verdict(make, found)
    return None if message is None else text_of(message.message)


def not_to_eat(journal: Journal, wheels: list[str] | None) -> list[str]:
    """Why these wheels must not be eaten, a line for each make that must not."""
    ids = dict.fromkeys(journal.wheel_by_code(code).make_id for code in wheels or ())
    makes = [journal.makes.get(one) for one in ids]
    message = [(make.code, journal.outcomes.verdict(make)) for make in makes]
    return [f"{code}: {text_of(one.message)}" for code, one in message if one is not None]


@command(
    "fail",
    "mark a make as failed, with the reason",
    FILE,
    MAKE,
    CommandOption("--reason", "why it failed, in a few words", "TEXT"),
    switch("--undo", "remove the mark"),
    AT,
)
def _fail(args: argparse.Namespace) -> CommandAnswer:
    if args.undo == (args.reason is not None):
        raise CommandError("command.reason-or-undo")
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        if args.undo:
            done = journal.outcomes.take_back_failure(make_id(make))
            message = "command.runs-again" if done.running else "command.no-longer-failed"
        else:
            at_ms = instant_in(args.at, journal, make)
            done = journal.outcomes.fail(make_id(make), args.reason, at_ms)
            message = "{make}: {why}"
        why = journal.whole(make_id(make)).why_failed
    return answer(
        message, make=make.code, failed=done.failed, reason=args.reason, why=text_only(why)
    )


@command("delete", "move a make to the bin", FILE, MAKE)
def _delete(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        make = journal.makes.by_code(args.make)
        journal.outcomes.delete(make_id(make))
    return answer("command.make-in-bin", make=make.code, deleted=True)


@command("undelete", "restore a make from the bin", FILE, MAKE)
def _undelete(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        make = journal.outcomes.undelete(args.make)
    return answer("command.make-restored", make=make.code, deleted=False)


COMMANDS = (_fail, _delete, _undelete)
