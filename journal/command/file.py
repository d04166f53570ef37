"""The journal as a file: a sample of it, its check, everything written out."""

from __future__ import annotations

import argparse

from journal.command.answer import Answer
from journal.command.error import CommandError
from journal.command.parser import Command, Parser, add_file
from journal.command.values import to_read
from journal.records.shelf import own_folder
from journal.wording import text_if_any, text_of
from journal.wording.counts import counted

_MOST_MAKES = 20_000


def _sample_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="another kitchen")
    parser.add_argument("--makes", type=int, default=24, metavar="N", help="24 when left out")
    parser.add_argument(
        "--readings-per-make",
        type=int,
        metavar="N",
        help="how many readings the loggers leave at each make; the two dozen or so that people "
        "typed come on top",
    )


def _sample(args: argparse.Namespace) -> Answer:
    from journal.sample import write_sample

    per_make = args.readings_per_make
    if not 1 <= args.makes <= _MOST_MAKES:
        raise CommandError(f"A sample has 1 to {_MOST_MAKES:,} makes, not {args.makes:,}.")
    if args.seed < 0 or (per_make is not None and per_make < 0):
        raise CommandError("A seed, and readings for each make, count from 0.")
    write_sample(args.file, seed=args.seed, makes=args.makes, readings_per_make=per_make)
    with to_read(args.file) as journal:
        rows = journal.makes.rows()
    data = {
        "file": args.file,
        "makes": len(rows),
        "wheels": sum(row.wheels for row in rows),
        "readings": sum(row.readings for row in rows),
    }
    misplaced = text_if_any(own_folder(args.file))
    said = (
        f"Made {args.file}, the Hollow Lane sample: {counted(len(rows), 'make')}, "
        f"{counted(sum(row.wheels for row in rows), 'wheel')}, "
        f"{counted(sum(row.readings for row in rows), 'reading')}. {misplaced}"
    )
    return Answer(said.strip(), data)


def _check(args: argparse.Namespace) -> Answer:
    faults = _faults(args.file)
    data = {"sound": not faults, "faults": faults}
    return Answer("\n".join(faults) or "This journal is sound.", data, 1 if faults else 0)


def _faults(path: str) -> list[str]:
    """What is not sound; a file so damaged that it cannot be opened is one fault."""
    from journal.keeping import DamageError

    try:
        with to_read(path) as journal:
            return [text_of(fault) for fault in journal.check()]
    except DamageError as error:
        return [text_of(error)]


def _export_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("dir", metavar="DIR", help="a new folder, or that of an earlier export")
    parser.add_argument("--blind", action="store_true", help="leave out what is under the cloth")


def _export(args: argparse.Namespace) -> Answer:
    from journal.exchange.export import export_journal

    with to_read(args.file) as journal:
        written = export_journal(journal, args.dir, blind=args.blind)
        covered = len(journal.blind.under_cloth())
        covered += sum(test.lifted_ms is None for test in journal.panel_tests.all())
    said = f"Wrote {counted(len(written), 'file')} into {args.dir}."
    if covered and args.blind:
        said += " What is under the cloth was left out."
    elif covered:
        said += (
            f" {counted(covered, 'sitting or test', 'sittings or tests')} under the cloth can be "
            "read there: keep it from those who taste, or add --blind."
        )
    files = [path.as_posix() for path in written]
    return Answer(said, {"folder": args.dir, "files": files, "under_cloth": covered})


COMMANDS = (
    Command("sample", "make the sample journal", _sample_arguments, _sample),
    Command("export", "write everything as CSV and JSON", _export_arguments, _export),
    Command("check", "tell whether a journal is sound", add_file, _check),
)
