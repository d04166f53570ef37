"""A journal goes to another computer: as a bundle, and out of one."""

from __future__ import annotations

import argparse

from journal.command.answer import CommandAnswer, answer, count
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import to_read


@command(
    "bundle",
    "write a journal, its photos and plans as one zip file",
    FILE,
    CommandOption("out", "the file to write", "OUT.vatside.zip"),
)
def _bundle(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.bundle import write_bundle

    with to_read(args.file) as journal:
        made = write_bundle(journal, args.out)
    return answer(
        "Wrote {path}: the journal, {photos} and {plans}.",
        path=str(made.path),
        photos=count(made.photos, "photo"),
        plans=count(made.plans, "plan"),
    )


@command(
    "unbundle",
    "take a journal with its photos and plans out of a bundle",
    CommandOption("zip", "the bundle", "ZIP"),
    CommandOption("dir", "the folder to put them into", "DIR"),
)
def _unbundle(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.bundle import read_bundle

    made = read_bundle(args.zip, args.dir)
    return answer(
        "Took {path} out of the bundle, {photos} and {plans}.",
        path=str(made.path),
        photos=count(made.photos, "photo"),
        plans=count(made.plans, "plan"),
    )


COMMANDS = (_bundle, _unbundle)
