"""The next make: the best known plan, and what to try beside it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from journal.command.answer import CommandAnswer
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import to_read, to_write
from journal.wording import text_of, worded

if TYPE_CHECKING:
    from journal.findings.next_make import NextMake, Proposal, ProposedChange
    from journal.keeping import Journal

CAREFUL = "careful"
_MANNERS = ("careful", "bold", "one")


@command(
    "next",
    "what to make next, and the best known plan",
    FILE,
    CommandOption("--score", "which score, like flavour; overall if left out", "NAME"),
    CommandOption(
        "--manner", "careful, bold or one (one change); remembered, first careful", "MANNER",
        choices=_MANNERS,
    ),
    CommandOption("--a-year", "how many makes a year there are; remembered", "N"),
)  # fmt: skip
def _next(args: argparse.Namespace) -> CommandAnswer:
    from journal.background import State
    from journal.reports.study import A_YEAR, MANNER, look_at

    if args.a_year is not None or args.manner is not None:
        with to_write(args.file) as journal:
            _remember(journal, {A_YEAR: _a_year(args.a_year), MANNER: args.manner})
    with to_read(args.file) as journal:
        manner = journal.setting(MANNER) or CAREFUL
        score = (args.score or "overall").strip()
        found = look_at(journal, score, State(lambda *_: None)).next_make
    proposal = found.of(manner)
    data = {
        "score": score,
        "manner": manner,
        "makes_a_year": found.a_year,
        "start": None if found.start is None else found.start.code,
        "proposal": proposal_data(proposal),
        "best_known_plan": proposal_data(found.best),
        "why": None if found.why is None else text_of(found.why),
    }
    return CommandAnswer(data, _text(found, proposal))


def _a_year(typed: str | None) -> str | None:
    if typed is None:
        return None
    if not typed.isdecimal() or not 1 <= int(typed) <= 365:
        raise CommandError("command.makes-a-year")
    return str(int(typed))


def _remember(journal: Journal, settings: dict[str, str | None]) -> None:
    for key, value in settings.items():
        if value is not None:
            journal.set_setting(key, value)


def proposal_data(proposal: Proposal | None) -> dict[str, Any] | None:
    """A proposal, or the best known plan, as JSON."""
    if proposal is None:
        return None
    return {
        "score": proposal.score.mean,
        "low80": proposal.score.low80,
        "high80": proposal.score.high80,
        "changes": [_change(one) for one in (*proposal.kept, *proposal.changes)],
        "plan": proposal.plan.name,
    }


def _change(one: ProposedChange) -> dict[str, Any]:
    return {
        "variable": one.variable,
        "value": one.value,
        "was": one.was,
        "unit": one.unit,
        "tried": one.trial,
        "gain": one.gain.mean,
        "gain_low80": one.gain.low80,
        "gain_high80": one.gain.high80,
        "cost_if_wrong": max(-one.gain.low80, 0.0),
        "reason": text_of(one.reason),
        "source": one.source or None,
    }


def _text(found: NextMake, proposal: Proposal | None) -> str:
    from journal.wording.next_make import (
        change_lines,
        expected_score,
        proposal_kind,
        proposal_notes,
    )

    lines: list[str] = []
    for one in (proposal, found.best):
        if one is not None:
            lines += [f"{proposal_kind(one.kind)}: {text_of(one.title)}"]
            lines += [f"  {line}" for line in change_lines(one)]
            lines += [" ".join([expected_score(one), *proposal_notes(one)]), ""]
    if found.start is not None:
        lines.append(worded("command.starts-from", code=found.start.code))
    if found.why is not None:
        lines.append(text_of(found.why))
    return "\n".join(lines)


COMMANDS = (_next,)
