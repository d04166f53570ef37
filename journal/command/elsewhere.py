"""Assessors who are elsewhere: their pages written, and what they send back taken."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, Value, answer
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command, switch
from journal.command.sessions import SESSION, samples_left, session_of
from journal.command.values import to_read, to_write
from journal.records import id_of

if TYPE_CHECKING:
    from journal.keeping.elsewhere import AssessorPage

Written = tuple["AssessorPage", Path]

PAGES: Table[Written] = Table(
    AnswerColumn("assessor", lambda row: row[0].assessor, ""),
    AnswerColumn("file", lambda row: str(row[1]), ""),
    AnswerColumn("codes", lambda row: row[0].key.codes),
)


@command(
    "session-pages",
    "write a page for each assessor who tastes elsewhere",
    FILE,
    SESSION,
    CommandOption("folder", "where the pages are written", "DIR"),
)
def _pages(args: argparse.Namespace) -> CommandAnswer:
    from journal.exchange.session_pages import write_pages

    folder = Path(args.folder)
    with to_read(args.file) as journal:
        tasting = session_of(journal, args.session)
        pages = journal.elsewhere.pages(id_of(tasting))
        found = write_pages(journal, tasting, folder)
    return answer(
        ("{pages}", "command.send-pages"),
        sitting=tasting.id,
        pages=PAGES.of(zip(pages, found, strict=True)),
    )


@command(
    "session-take",
    "take the answer that an assessor sent from their page",
    FILE,
    CommandOption("text", "the line that was sent, or the name of the file", "TEXT"),
    switch("--replace", "replace what is saved with a corrected answer"),
)
def _take(args: argparse.Namespace) -> CommandAnswer:
    text = sent_text(args.text)
    with to_write(args.file) as journal:
        sent = journal.elsewhere.find(text)
        if sent.kept and not sent.taken and not args.replace:
            raise CommandError(
                "command.answer-differs", assessor=sent.assessor, kept=sent.kept, later=sent.older
            )
        new = journal.elsewhere.take(sent, replacing=args.replace)
        left = sum(not s.given for s in journal.sessions.servings(id_of(sent.tasting)))
    return answer(
        "command.answer-taken",
        sitting=sent.tasting.id,
        assessor=sent.assessor,
        taken=new,
        replaced=Value(sent.kept if new else 0, ""),
        samples=len(sent.all_scored),
        scores=sent.given,
        left=Value(left, samples_left(left)),
    )


def sent_text(text: str) -> str:
    """What was sent: the text itself, or what stands in the file of that name."""
    path = Path(text)
    try:
        if len(text) > 1024 or not path.is_file():
            return text
    except (OSError, ValueError):
        return text
    from journal.exchange.session_pages import read_sent

    return read_sent(path)


COMMANDS = (_pages, _take)
