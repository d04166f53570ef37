"""Plans as files: one exported as TOML, one imported into a journal."""

from __future__ import annotations

import argparse

from journal.command.answer import CommandAnswer, answer
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import plan_named, to_read, to_write

_BUILT_IN = "builtin"


@command(
    "export-plan",
    "export a plan as a TOML file",
    CommandOption("file", f"the journal, or “{_BUILT_IN}”", "FILE"),
    CommandOption("name", "a plan, see “plans”", "NAME"),
    CommandOption("out", "the file to write", "OUT.toml"),
    formerly="plan-export",
)
def _export(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.plan_files import SUFFIX, write_plan_file

    if not args.out.lower().endswith(SUFFIX):
        raise CommandError(f"{args.out} does not end in .toml. Name a file like plan.toml.")
    if args.file == _BUILT_IN:
        plan = plan_named(args.name, None)
    else:
        with to_read(args.file) as journal:
            plan = plan_named(args.name, journal)
    write_plan_file(plan, args.out)
    return answer(
        "Wrote {plan}, version {version}, to {file}.",
        file=args.out,
        plan=plan.name,
        version=plan.version,
    )


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
    after = "" if found.known is None else f", after version {found.known.version}"
    message = "{plan} is here already and is the same. Nothing was changed."
    return answer(
        message if found.same else f"Saved {{plan}} as version {{version}}{after}.",
        plan=plan.name,
        version=plan.version,
        kept=not found.same,
    )


COMMANDS = (_export, _import)
