"""Tastings: the scores that an assessor gave a wheel."""

from __future__ import annotations

import argparse
import difflib
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from journal.command.answer import CommandAnswer, Value, answer, optional, text_only
from journal.command.error import CommandError
from journal.command.outcomes import not_to_eat
from journal.command.parser import AT, FILE, CommandOption, command, pairs
from journal.command.values import amount, day, instant, to_write
from journal.records import id_of
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import half_point
from journal.wording import worded

if TYPE_CHECKING:
    from journal.keeping import Journal

_WORD = re.compile(r"[^\W\d_]+(?:[ -][^\W\d_]+)*")
_LONGEST = 40
_TOO_NEAR = 0.75  # a new attribute as close to a usual one as this is a typing error
ASSESSOR = CommandOption("--assessor", "who tasted", "NAME", required=True)


@command(
    "score",
    "score a wheel",
    FILE,
    CommandOption("wheel", "a wheel's code, like HL-0031-A", "WHEEL"),
    ASSESSOR,
    CommandOption(
        "scores",
        f"0 to 10 in halves, like overall=7.5; {', '.join(ATTRIBUTES)}, or your own",
        "ATTRIBUTE=SCORE",
        nargs="+",
    ),
    AT,
)
def _score(args: argparse.Namespace) -> CommandAnswer:
    given = scores_of(args.scores)
    with to_write(args.file) as journal:
        wheel = journal.wheel_by_code(args.wheel)
        at_ms = instant(args.at, journal.zone)
        known = {name for name, _ in journal.sessions.attributes()}
        for attribute in given:
            check_attribute(attribute, known)
        when, who, earlier = _save(journal, id_of(wheel), args.assessor, at_ms, given)
        zone, warned = journal.zone, not_to_eat(journal, [wheel.code])
    message = ", ".join(
        worded("command.attribute-rescored" if a in earlier else "command.attribute-scored",
               attribute=a, score=value, before=earlier.get(a))
        for a, value in given.items()
    )  # fmt: skip
    own = [worded("command.new-attribute", name=a) for a in given if a not in {*ATTRIBUTES, *known}]
    return answer(
        ("command.wheel-scored", "{verdicts}"),
        wheel=wheel.code,
        assessor=who,
        tasted_at=day(when, zone),
        scores=Value(given, message),
        replaced=earlier,
        verdicts=optional(warned),
        own=text_only(" ".join(own)),
    )


def scores_of(words: list[str]) -> dict[str, float]:
    """The scores as typed, each attribute once; QuantityError or RecordError for a bad one."""
    given: dict[str, float] = {}
    for name, text in pairs(words, "overall=7.5"):
        attribute = " ".join(name.lower().split())
        if attribute in given:
            raise CommandError("command.attribute-twice", name=attribute)
        given[attribute] = half_point(amount(text, "number"), attribute)
    return given


def check_attribute(attribute: str, known: set[str]) -> None:
    """Let the eight usual attributes and new ones pass, but no typing errors."""
    if attribute in ATTRIBUTES or attribute in known:
        return
    if not _WORD.fullmatch(attribute) or len(attribute) > _LONGEST:
        raise CommandError("command.no-attribute", name=attribute, usual=list(ATTRIBUTES))
    near = difflib.get_close_matches(attribute, ATTRIBUTES, n=1, cutoff=_TOO_NEAR)
    if near:
        raise CommandError("command.attribute-too-close", name=attribute, near=near[0])


def _save(
    journal: Journal, wheel_id: int, name: str, at_ms: int, given: dict[str, float]
) -> tuple[int, str, dict[str, float]]:
    """Add the scores to what the assessor gave that wheel on that day, each in the place of an
    earlier one for its attribute; returns the session's instant, the assessor's name, and the
    earlier scores that were replaced."""
    from journal.keeping.scored_samples import ScoredSample
    from journal.keeping.session_rows import OpenServing

    serving = OpenServing(wheel_id, name, at_ms)
    scored = journal.sessions.scored(serving) or ScoredSample()
    earlier = {a: value for a, value in scored.scores.items() if a in given}
    scored = replace(scored, scores={**scored.scores, **given})
    sample = journal.sessions.give(serving, scored)
    who = journal.sessions.assessor(name)
    return journal.tastings.get(sample.tasting_id).at_ms, who.name if who else name, earlier


COMMANDS = (_score,)
