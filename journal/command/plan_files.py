"""Plans as files: one written out as TOML, one brought into a journal."""

from __future__ import annotations

import argparse

from journal.command.answer import Answer
from journal.command.error import CommandError
from journal.command.parser import Command, Parser, add_file
from journal.command.values import plan_named, to_read, to_write

_BUILT_IN = "builtin"


def _export_arguments(parser: Parser) -> None:
    parser.add_argument("file", metavar="FILE", help=f"the journal, or “{_BUILT_IN}”")
    parser.add_argument("name", metavar="NAME", help="a plan, see “plans”")
    parser.add_argument("out", metavar="OUT.toml", help="the file to write")


def _export(args: argparse.Namespace) -> Answer:
    from journal.exchange.plan_files import SUFFIX, write_plan_file

    if not args.out.lower().endswith(SUFFIX):
        raise CommandError(f"{args.out} is no name for a plan's file: write it like plan.toml.")
    if args.file == _BUILT_IN:
        plan = plan_named(args.name, None)
    else:
        with to_read(args.file) as journal:
            plan = plan_named(args.name, journal)
    write_plan_file(plan, args.out)
    data = {"file": args.out, "plan": plan.name, "version": plan.version}
    return Answer(f"Wrote {plan.name}, version {plan.version}, to {args.out}.", data)


def _import_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("plan", metavar="PLAN.toml", help="the plan's file")


def _import(args: argparse.Namespace) -> Answer:
    from journal.exchange.plan_files import bring_in, coming, read_plan_file

    read = read_plan_file(args.plan)
    with to_write(args.file) as journal:
        found = coming(journal, read)
        plan = bring_in(journal, found)
    data = {"plan": plan.name, "version": plan.version, "kept": not found.same}
    if found.same:
        return Answer(f"{plan.name} is known already and says the same. Nothing was changed.", data)
    after = "" if found.known is None else f", after version {found.known.version}"
    return Answer(f"Kept {plan.name}, version {plan.version}{after}.", data)


COMMANDS = (
    Command("plan-export", "write a plan as a TOML file", _export_arguments, _export),
    Command("plan-import", "bring a plan's TOML file in", _import_arguments, _import),
)
