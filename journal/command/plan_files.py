"""Plans as files: one exported as TOML, one imported into a journal."""

from __future__ import annotations

import argparse

from journal.command.answer import CommandAnswer, answer, text_only
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import plan_named, to_read, to_write

_BUILT_IN = "builtin"


@command(
    "export-plan",
    "export a plan as a TOML file",
    CommandOption("file", "the journal, or “builtin”", "FILE"),
    CommandOption("name", "a plan, see “plans”", "NAME"),
    CommandOption("out", "the file to write", "OUT.toml"),
    formerly="plan-export",
)
def _export(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.plan_files import SUFFIX, write_plan_file

    if not args.out.lower().endswith(SUFFIX):
        raise CommandError("command.no-toml-file", file=args.out)
    if args.file == _BUILT_IN:
        plan = plan_named(args.name, None)
    else:
        with to_read(args.file) as journal:
            plan = plan_named(args.name, journal)
    write_plan_file(plan, args.out)
    return answer("command.wrote-plan", file=args.out, plan=plan.name, version=plan.version)


@command(
    "import-plan",
    "import a plan from a TOML file",
    FILE,
    CommandOption("plan", "the plan's file", "PLAN.toml"),
    formerly="plan-import",
)
def _import(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.plan_files import bring_in, coming, read_plan_file

    read = read_plan_file(args.plan)
    with to_write(args.file) as journal:
        found = coming(journal, read)
        plan = bring_in(journal, found)
    which = "command.saved-plan" if found.known is None else "command.saved-plan-after"
    return answer(
        "command.plan-is-here" if found.same else which,
        plan=plan.name,
        version=plan.version,
        kept=not found.same,
        before=text_only("" if found.known is None else f"{found.known.version}"),
    )


COMMANDS = (_export, _import)
