"""What is printed as PDF: a plan's make sheet, a make's record, sheets for assessors."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer
from journal.command.error import CommandError
from journal.command.panel_tests import test_of
from journal.command.parser import Command, Parser, add_file, add_make
from journal.command.sittings import sitting_of
from journal.command.values import amount, instant, make_id, plan_named, to_read
from journal.records.instants import iso, system_zone
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.records.plans import Plan

_PAPERS = ("A4", "Letter")


def _add_out(parser: Parser) -> None:
    parser.add_argument("out", metavar="OUT.pdf", help="the file to write")
    parser.add_argument("--paper", choices=_PAPERS, default="A4", help="A4 when left out")


def _sheet_arguments(parser: Parser) -> None:
    parser.add_argument("plan", metavar="PLAN", help="a plan, see “plans”, or a plan's TOML file")
    _add_out(parser)
    parser.add_argument("--milk", metavar="VOLUME", help="like 12l; without it, the plan's own")
    parser.add_argument("--start", metavar="ISO", help="when it begins, like 2026-03-14T09:30")
    parser.add_argument("--journal", metavar="FILE", help="a journal the plan is in")


def _sheet(args: argparse.Namespace) -> Answer:
    out = _pdf(args.out)
    plan, zone = _plan_and_zone(args.plan, args.journal)
    if args.milk is not None:
        from journal.records.plan_scaled import for_milk

        plan = for_milk(plan, amount(args.milk, "volume"))
    start_ms = None if args.start is None else instant(args.start, zone)
    kept_for_qt = _drawing()
    from journal.desk.sheets import make_sheet

    pages = make_sheet(plan, out, paper=args.paper, start_ms=start_ms, zone=zone)
    del kept_for_qt
    data: dict[str, Any] = {
        "file": args.out,
        "plan": plan.name,
        "version": plan.version,
        "milk_l": plan.milk_l,
        "start_at": None if start_ms is None else iso(start_ms, zone),
        "paper": args.paper,
        "pages": pages,
    }
    return Answer(
        f"Wrote the make sheet of {plan.name}, {counted(pages, 'page')}, to {args.out}.", data
    )


def _record_arguments(parser: Parser) -> None:
    add_make(parser)
    _add_out(parser)


def _record(args: argparse.Namespace) -> Answer:
    out = _pdf(args.out)
    with to_read(args.file) as journal:
        whole = journal.whole(make_id(journal.makes.by_code(args.make)))
    kept_for_qt = _drawing()
    from journal.desk.sheets import make_record

    pages = make_record(whole, out, paper=args.paper)
    del kept_for_qt
    code = whole.make.code
    data = {"file": args.out, "code": code, "paper": args.paper, "pages": pages}
    return Answer(f"Wrote the record of {code}, {counted(pages, 'page')}, to {args.out}.", data)


def _plan_and_zone(name: str, journal_path: str | None) -> tuple[Plan, str]:
    """The plan of a file or a name, and the zone its clock is in."""
    from journal.exchange.plan_files import SUFFIX, read_plan_file

    if name.lower().endswith(SUFFIX):
        return read_plan_file(name), system_zone()
    if journal_path is None:
        return plan_named(name, None), system_zone()
    with to_read(journal_path) as journal:
        return plan_named(name, journal), journal.zone


def _pdf(out: str) -> Path:
    path = Path(out)
    if path.suffix.lower() != ".pdf":
        raise CommandError(f"{out} is no name for a PDF: write it like sheet.pdf.")
    if not path.parent.is_dir():
        raise CommandError(f"There is no folder {path.parent} to write {path.name} into.")
    return path


def _drawing() -> object:
    """What has to be held while something is drawn."""
    from journal.desk.undisplayed import application

    return application(never_shown=True)


def _sitting_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("sitting", metavar="SITTING", help="its number in “sittings”, or latest")
    _add_out(parser)


def _sitting(args: argparse.Namespace) -> Answer:
    out = _pdf(args.out)
    with to_read(args.file) as journal:
        tasting = sitting_of(journal, args.sitting)
        if tasting.lifted_ms is not None:
            raise CommandError("The cloth of this sitting is lifted: nobody needs its sheets.")
        kept_for_qt = _drawing()
        from journal.desk.tastings.blind.printing import key_beside, write_sheets

        pages = write_sheets(journal, tasting, out, args.paper)
    del kept_for_qt
    return _printed(args, pages, key_beside(out), {"sitting": tasting.id})


def _test_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("test", metavar="TEST", help="its number in “tests”, or latest")
    _add_out(parser)


def _test(args: argparse.Namespace) -> Answer:
    out = _pdf(args.out)
    with to_read(args.file) as journal:
        test = test_of(journal, args.test).test
        if test.lifted_ms is not None:
            raise CommandError("The cloth of this test is lifted: nobody needs its sheets.")
        kept_for_qt = _drawing()
        from journal.desk.tastings.blind.printing import key_beside
        from journal.desk.tastings.panel_tests.printing import write_sets

        pages = write_sets(journal, test, out, args.paper)
    del kept_for_qt
    return _printed(args, pages, key_beside(out), {"test": test.id})


def _printed(args: argparse.Namespace, pages: int, key: Path, of: dict[str, Any]) -> Answer:
    data = {**of, "file": args.out, "key": str(key), "paper": args.paper, "pages": pages}
    return Answer(
        f"Wrote the sheets, {counted(pages, 'page')}, to {args.out}; the helper's key, for nobody "
        f"who tastes, to {key}.",
        data,
    )


COMMANDS = (
    Command("sheet", "write the make sheet of a plan as PDF", _sheet_arguments, _sheet),
    Command("record", "write the record of a make as PDF", _record_arguments, _record),
    Command("sitting-sheet", "write a sitting's sheets as PDF", _sitting_arguments, _sitting),
    Command("test-sheet", "write a panel test's sheets as PDF", _test_arguments, _test),
)
