"""Findings: which make variables go with a score, in a journal or in a table."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from journal.command.answer import AnswerColumn, CommandAnswer, Table, number
from journal.command.error import CommandError
from journal.command.parser import CommandOption, command
from journal.command.values import to_read
from journal.wording import text_of, worded
from journal.wording.evidence import evidence_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from journal.findings import Finding, ScoreTable, Study
    from journal.findings.adjustable import MadeByPlan
    from journal.keeping import Journal

_DATABASE = b"SQLite format 3\x00"


@command(
    "findings",
    "which variables go with a score",
    CommandOption("file", "a journal, or a table as CSV or XLSX", "FILE|TABLE"),
    CommandOption("--score", "which score, like overall", "NAME", required=True),
    CommandOption(
        "--variables",
        "look at these only, also what is left out by default (“S/M at tasting”, “minutes in the "
        "allowed range”); the age at tasting is always looked at",
        "A,B,…",
    ),
)
def _findings(args: argparse.Namespace) -> CommandAnswer:
    names = _names(args.variables)
    if not args.score.strip():
        raise CommandError("command.no-score-named")
    if is_journal(args.file):
        with to_read(args.file) as journal:
            return findings_answer(journal, args.score, names)
    from journal.exchange.foreign import read_scores
    from journal.findings import study

    table = read_scores(args.file, args.score, names)
    return _answer(table, study(table))


def is_journal(path: str) -> bool:
    """Whether a file is a database and not a table; OSError when it cannot be read."""
    from journal.keeping import is_open, open_other, reason

    if Path(path).is_dir():
        raise CommandError("command.neither-journal-nor-table", path=path)
    if not Path(path).exists():
        raise CommandError("exchange.no-file", file=path)
    if is_open(path):
        return True
    try:
        with open_other(Path(path)) as file:
            head = file.read(len(_DATABASE))
    except OSError as error:
        raise CommandError("keeping.file-not-read", file=path, why=reason(error)) from None
    return head == _DATABASE or Path(path).suffix == ".vatside"


def findings_answer(journal: Journal, score: str, names: list[str] | None = None) -> CommandAnswer:
    """What the journal can say about a score."""
    from journal.command.next_make import proposal_data
    from journal.findings import study
    from journal.findings.next_make import next_make
    from journal.findings.trade import family_of_all
    from journal.findings.variables import score_table
    from journal.reports.study import noting, ticked_in, with_values, years_makes

    made: dict[str, MadeByPlan] = {}
    table = score_table(noting(journal.wholes(), made), score, names, ticked_in(journal))
    found = study(table)
    best = next_make(table, found, with_values(made, table), a_year=years_makes(journal)).best
    family = family_of_all(made[code].plan for code in set(table.make))
    return _answer(table, found, family, proposal_data(best))


def _names(text: str | None) -> list[str] | None:
    """The names between the commas; None when all are meant."""
    if text is None:
        return None
    names = [name.strip() for name in text.split(",") if name.strip()]
    if not names:
        raise CommandError("command.no-variable-named")
    return names


def _answer(
    table: ScoreTable,
    found: Study,
    family: str | None = None,
    best: dict[str, Any] | None = None,
) -> CommandAnswer:
    """The study; with what the books expect of makes of that family ("": of several), None for a
    table, of which nobody knows what it is of; and the best known plan."""
    from journal.findings.literature import literature_on
    from journal.wording.letters import capital, small
    from journal.wording.why import books_words

    data = found.as_json() | {
        "notes": [text_of(note) for note in found.notes],
        "not_looked_at": [
            {"column": one.column, "why": text_of(one.why)} for one in table.not_looked_at
        ],
        "best_known_plan": best,
    }
    literature = [None if family is None else literature_on(one, found.score, family)
             for one in found.findings]  # fmt: skip
    for row, one in zip(data["findings"], literature, strict=True):
        row["books"] = None if one is None else one.as_json()
    notes = [
        f"{capital(one.variable)}: {small(books_words(book, one.key))}"
        for one, book in zip(found.findings, literature, strict=True)
        if book is not None and book.says != "none"
    ]
    return CommandAnswer(data, _text(found, notes))


FINDINGS: Table[Finding] = Table(
    AnswerColumn("", lambda one: one.variable, "variable"),
    AnswerColumn("", lambda one: _step(one), "typical change"),
    AnswerColumn("", lambda one: number(one.effect, 2, sign=True), "effect", right=True),
    AnswerColumn("", lambda one: _range(one.low80, one.high80), "80 %", right=True),
    AnswerColumn("", lambda one: _range(one.low95, one.high95), "95 %", right=True),
    AnswerColumn("", lambda one: number(one.rho, 2, sign=True), "rho", right=True),
    AnswerColumn("", lambda one: "<0.001" if one.p < 0.0005 else number(one.p, 3), "p", right=True),
    AnswerColumn("", lambda one: evidence_words(one.evidence), "evidence"),
)


def _text(found: Study, literature: Sequence[str]) -> str:
    from journal.wording.effects import best_words
    from journal.wording.findings import doubt, study_headline
    from journal.wording.letters import capital

    known = found.assessors is not None
    head = worded("command.study-of-assessors" if known else "command.study-of",
                  score=found.score, makes=found.makes, wheels=found.wheels,
                  assessors=found.assessors, variables=found.variables_tried)  # fmt: skip
    left_out = number(found.r2_left_one_out, 2)
    fit = worded("command.study-fit", r2=number(found.r2, 2), left_out=left_out)
    table = FINDINGS.of(found.findings).text
    notes = [f"{capital(one.variable)}: {best_words(one)}." for one in found.findings if one.best]
    notes += [text_of(note) for note in found.notes]
    notes += literature
    return "\n".join([head, study_headline(found), doubt(found), "", table, "", fit, *notes])


def _step(one: Finding) -> str:
    from journal.wording.effects import typical_change

    return typical_change(one) or number(None, 0)


def _range(low: float, high: float) -> str:
    if not math.isfinite(low):
        return number(None, 0)
    return worded(
        "wording.from-to", first=number(low, 2, sign=True), last=number(high, 2, sign=True)
    )


COMMANDS = (_findings,)
