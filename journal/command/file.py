"""The journal as a file: a sample of it, its check, everything written out."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    count,
    lines,
    text_only,
)
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command, switch
from journal.command.values import moment, to_read
from journal.records.instants import now_ms, system_zone
from journal.records.own_files import own_folder
from journal.wording import text_if_any, text_of, worded

if TYPE_CHECKING:
    from journal.keeping.rescue import Rescued

_MOST_MAKES = 20_000


@command(
    "sample",
    "make the sample journal",
    FILE,
    CommandOption(
        "--seed", "another number makes another kitchen; 1 if left out", "N", type=int, default=1
    ),
    CommandOption("--makes", "how many makes; 40 if left out", "N", type=int, default=40),
    CommandOption(
        "--readings-per-make",
        "how many readings of loggers each make has, besides some two dozen typed ones",
        "N",
        type=int,
    ),
)
def _sample(args: argparse.Namespace) -> CommandAnswer:
    from journal.sample import write_sample

    per_make = args.readings_per_make
    if not 1 <= args.makes <= _MOST_MAKES:
        raise CommandError("command.sample-makes", most=_MOST_MAKES, makes=args.makes)
    if args.seed < 0 or (per_make is not None and per_make < 0):
        raise CommandError("command.below-zero")
    write_sample(args.file, seed=args.seed, makes=args.makes, readings_per_make=per_make)
    with to_read(args.file) as journal:
        rows = journal.makes.rows()
    return answer(
        "command.made-sample",
        file=args.file,
        makes=len(rows),
        wheels=sum(row.wheels for row in rows),
        readings=sum(row.readings for row in rows),
        misplaced=text_only(text_if_any(own_folder(args.file))),
    )


@command("check", "check a journal for damage", FILE)
def _check(args: argparse.Namespace) -> CommandAnswer:
    from journal.keeping.migrations import SQLITE

    faults, leftover, cautions = _faults(args.file)
    photos = ["command.leftover-photos"] if leftover else []
    says = ["{faults}" if faults else "command.journal-sound", "{cautions}", *photos]
    return answer(
        [*says, "command.read-with"],
        1 if faults else 0,
        sound=not faults,
        faults=lines(faults),
        leftover=Value(leftover, ", ".join(leftover)),
        cautions=lines(cautions),
        sqlite=SQLITE,
    )


def _faults(path: str) -> tuple[list[str], list[str], list[str]]:
    """What is not sound, photos that belong to nothing, and what can go wrong where it lies; a file
    so damaged that it cannot be opened is one fault."""
    from journal.keeping import DamageError

    try:
        with to_read(path) as journal:
            found = [*journal.check(), *journal.doubts()]
            leftover = [photo.name for photo in journal.photos.orphans()]
            cautions = [text_of(caution) for caution in journal.cautions()]
        return list(dict.fromkeys(map(text_of, found))), leftover, cautions
    except DamageError as error:
        return [text_of(error)], [], []


@command(
    "export",
    "export everything as CSV and JSON",
    FILE,
    CommandOption("dir", "a new folder, or that of an earlier export", "DIR"),
    switch("--blind", "leave out what is still hidden"),
)
def _export(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.export import export_journal

    with to_read(args.file) as journal:
        written = export_journal(journal, args.dir, blind=args.blind)
        is_hidden = len(journal.sessions.hidden_sessions())
        is_hidden += sum(test.lifted_ms is None for test in journal.panel_tests.all())
    about = ""
    if is_hidden and args.blind:
        about = worded("command.hidden-left-out")
    elif is_hidden:
        about = worded("command.hidden-in-it", hidden=is_hidden)
    files = [path.as_posix() for path in written]
    return answer(
        "command.exported",
        folder=args.dir,
        files=Value(files, worded("command.files", files=len(files))),
        under_cloth=is_hidden,
        about=text_only(about),
    )


@command(
    "import-export",
    "make a journal of an export again",
    FILE,
    CommandOption("dir", "the folder of an export", "DIR"),
)
def _import_export(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.import_export import import_export

    import_export(args.file, args.dir)
    with to_read(args.file) as journal:
        rows = journal.makes.rows()
    return answer(
        "command.made-of-export",
        file=args.file,
        makes=len(rows),
        readings=sum(row.readings for row in rows),
    )


@command(
    "backup",
    "make a backup of a journal",
    FILE,
    CommandOption("--to", "another folder than the journal's own for backups", "DIR"),
)
def _backup(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        made = journal.back_up(now_ms(), Path(args.to) if args.to else None)
        zone = journal.zone
    return answer("{path}", path=str(made.path), at=moment(made.at_ms, zone), bytes=made.bytes)


@command("backups", "list the backups of a journal, newest first", FILE)
def _backups(args: argparse.Namespace) -> CommandAnswer:
    from journal.keeping.backups import Backup, backups_of, is_sound

    zone = _zone_of(args.file)
    table: Table[Backup] = Table(
        AnswerColumn("path", lambda one: str(one.path), ""),
        AnswerColumn("at", lambda one: moment(one.at_ms, zone), ""),
        AnswerColumn("sound", lambda one: _soundness(is_sound(one.path)), ""),
        AnswerColumn("bytes", lambda one: count(one.bytes, "command.bytes"), "", right=True),
    )
    return table.answer(backups_of(Path(args.file), zone), worded("command.no-backup-yet"))


def _soundness(sound: bool) -> Value:
    return Value(sound, worded("command.sound" if sound else "command.damaged"))


def _zone_of(path: str) -> str:
    """The kitchen's zone; this machine's where the journal can no longer say it."""
    from journal.keeping import KeepingError

    try:
        with to_read(path) as journal:
            return journal.zone
    except KeepingError:
        return system_zone()


@command(
    "restore",
    "restore a journal from one of its backups",
    FILE,
    CommandOption("backup", "the backup, from “backups”", "BACKUP"),
)
def _restore(args: argparse.Namespace) -> CommandAnswer:
    from journal.keeping.backups import restore

    there = Path(args.file).exists()
    before = restore(Path(args.file), Path(args.backup), now_ms())
    with to_read(args.file) as journal:
        rows = journal.makes.rows()
    kept = worded("command.set-aside") if there else ""
    if before is not None:
        kept = worded("command.was-there", path=before.path)
    return answer(
        "command.restored",
        file=args.file,
        backup=args.backup,
        makes=len(rows),
        readings=sum(row.readings for row in rows),
        before=None if before is None else str(before.path),
        kept=text_only(kept),
    )


@command(
    "rescue",
    "save all that can be read of a damaged journal",
    FILE,
    CommandOption("out", "a new journal for it", "OUT"),
)
def _rescue(args: argparse.Namespace) -> CommandAnswer:
    from journal.keeping import KeepingError
    from journal.keeping.rescue import rescue

    try:
        tables = rescue(Path(args.file), Path(args.out))
    except KeepingError as error:
        if error.id != "keeping.nothing-to-rescue":
            raise
        return CommandAnswer([], text_of(error), 1)
    table: Table[Rescued] = Table(
        AnswerColumn("table", lambda one: one.table, "table"),
        AnswerColumn("saved", lambda one: Value(one.saved, f"{one.saved:,}"), "saved", right=True),
        AnswerColumn("lost", lambda one: Value(one.lost, _lost(one)), "lost", right=True),
        AnswerColumn("hung", lambda one: one.hung),
        AnswerColumn("cut", lambda one: one.cut),
        AnswerColumn("exact", lambda one: one.exact),
    )
    rows = table.of(tables)
    about = [worded("command.rescued", rows=sum(one.saved for one in tables), file=args.out)]
    if any(one.hung for one in tables):
        about += [worded("command.lost-with-it")]
    if cut := sum(one.cut for one in tables):
        about += [worded("command.named-something-lost", rows=cut)]
    if not all(one.exact for one in tables):
        about += [worded("command.what-or-more-means")]
    return CommandAnswer(rows.data, f"{rows.text}\n{' '.join(about)}")


def _lost(one: Rescued) -> str:
    return f"{one.lost:,}" if one.exact else worded("wording.or-more", count=one.lost)


COMMANDS = (_sample, _export, _import_export, _check, _rescue, _backup, _backups, _restore)
