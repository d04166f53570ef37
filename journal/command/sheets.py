"""What is printed as PDF: a plan's make sheet, a make's record, sheets for assessors."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer, answer
from journal.command.error import CommandError
from journal.command.panel_tests import TEST, test_of
from journal.command.parser import FILE, MAKE, CommandOption, command
from journal.command.sessions import SESSION, session_of
from journal.command.values import amount, instant, make_id, moment, plan_named, to_read
from journal.records.instants import system_zone
from journal.wording.style import style_in_use

if TYPE_CHECKING:
    from journal.records.plans import Plan

OUT = CommandOption("out", "the file to write", "OUT.pdf")
PAPER = CommandOption("--paper", "as in the window's settings, or A4", choices=("A4", "Letter"))


def paper_of(args: argparse.Namespace) -> str:
    """The paper that was asked for, else the one of the settings, else A4."""
    return args.paper or style_in_use().paper or "A4"


@command(
    "sheet",
    "write the make sheet of a plan as PDF",
    CommandOption("plan", "a plan, see “plans”, or a plan's TOML file", "PLAN"),
    OUT,
    PAPER,
    CommandOption("--milk", "like 12l; the plan's own if left out", "VOLUME"),
    CommandOption("--start", "when it begins, like 2026-03-14T09:30", "ISO"),
    CommandOption("--journal", "a journal with the plan", "FILE"),
)
def _sheet(args: argparse.Namespace) -> CommandAnswer:
    out = pdf_named(args.out)
    plan, zone = _plan_and_zone(args.plan, args.journal)
    if args.milk is not None:
        from journal.records.plan_scaled import for_milk

        plan = for_milk(plan, amount(args.milk, "volume"))
    start_ms = None if args.start is None else instant(args.start, zone)
    kept_for_qt = drawing()
    from journal.desk.sheets import make_sheet

    pages = make_sheet(plan, out, paper=paper_of(args), start_ms=start_ms, zone=zone)
    del kept_for_qt
    return _wrote(
        "command.wrote-make-sheet",
        args,
        pages,
        plan=plan.name,
        version=plan.version,
        milk_l=plan.milk_l,
        start_at=moment(start_ms, zone),
    )


@command("record", "write the record of a make as PDF", FILE, MAKE, OUT, PAPER)
def _record(args: argparse.Namespace) -> CommandAnswer:
    out = pdf_named(args.out)
    kept_for_qt = drawing()
    from journal.desk.sheets import make_record
    from journal.desk.sheets.photos import photos_to_print
    from journal.reports.profile import profiles_of_make

    with to_read(args.file) as journal:
        whole = journal.whole(make_id(journal.makes.by_code(args.make)))
        photos, profiles = photos_to_print(journal, whole), profiles_of_make(journal, whole)
    pages = make_record(whole, out, paper=paper_of(args), photos=photos, profiles=profiles)
    del kept_for_qt
    return _wrote("command.wrote-record", args, pages, code=whole.make.code)


def _wrote(says: str, args: argparse.Namespace, pages: int, **of: Any) -> CommandAnswer:
    return answer(says, file=args.out, **of, paper=paper_of(args), pages=pages)


def _plan_and_zone(name: str, journal_path: str | None) -> tuple[Plan, str]:
    """The plan of a file or a name, and the zone its clock is in."""
    from journal.exchange.plan_files import SUFFIX, read_plan_file

    if name.lower().endswith(SUFFIX):
        return read_plan_file(name), system_zone()
    if journal_path is None:
        return plan_named(name, None), system_zone()
    with to_read(journal_path) as journal:
        return plan_named(name, journal), journal.zone


def pdf_named(out: str) -> Path:
    """The file to write, refused where it is no PDF or has no folder."""
    return file_named(out, (".pdf",), "sheet")


_NOT_ENDING = {1: "command.not-ending", 2: "command.not-ending-of-two",
               3: "command.not-ending-of-three"}  # fmt: skip


def file_named(out: str, endings: Sequence[str], like: str) -> Path:
    """The file to write, refused where its ending is another or it has no folder."""
    path = Path(out)
    if path.suffix.lower() not in endings:
        known = dict(zip(("first", "second", "third"), endings, strict=False))
        raise CommandError(_NOT_ENDING[len(endings)], file=out, like=like, **known)
    if not path.parent.is_dir():
        raise CommandError("command.no-such-folder", folder=path.parent, file=path.name)
    return path


def drawing() -> object:
    """The application, which must be held while something is drawn."""
    from journal.desk.undisplayed import application

    return application(never_shown=True)


@command(
    "session-sheet",
    "write a session's score sheets as PDF",
    FILE,
    SESSION,
    OUT,
    PAPER,
    formerly="sitting-sheet",
)
def _session(args: argparse.Namespace) -> CommandAnswer:
    out = pdf_named(args.out)
    with to_read(args.file) as journal:
        tasting = session_of(journal, args.session)
        if tasting.lifted_ms is not None:
            raise CommandError("command.session-needs-no-sheets")
        kept_for_qt = drawing()
        from journal.desk.tastings.blind.printing import key_beside, write_sheets

        pages = write_sheets(journal, tasting, out, paper_of(args))
    del kept_for_qt
    return _printed(args, pages, key_beside(out), {"sitting": tasting.id})


@command("test-sheet", "write a panel test's sheets as PDF", FILE, TEST, OUT, PAPER)
def _test(args: argparse.Namespace) -> CommandAnswer:
    out = pdf_named(args.out)
    with to_read(args.file) as journal:
        test = test_of(journal, args.test).test
        if test.lifted_ms is not None:
            raise CommandError("command.test-needs-no-sheets")
        kept_for_qt = drawing()
        from journal.desk.tastings.blind.printing import key_beside
        from journal.desk.tastings.panel_tests.printing import write_sets

        pages = write_sets(journal, test, out, paper_of(args))
    del kept_for_qt
    return _printed(args, pages, key_beside(out), {"test": test.id})


def _printed(args: argparse.Namespace, pages: int, key: Path, of: dict[str, Any]) -> CommandAnswer:
    return answer(
        "command.wrote-sheets",
        **of,
        file=args.out,
        key=str(key),
        paper=paper_of(args),
        pages=pages,
    )


COMMANDS = (_sheet, _record, _session, _test)
