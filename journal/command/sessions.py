"""Blind sessions: set up, scored, revealed; while blind no command tells what a code is."""

from __future__ import annotations

import argparse
import secrets
from collections.abc import Sequence
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Json,
    Table,
    Value,
    aligned,
    answer,
    count,
    figure,
    optional,
    text_only,
)
from journal.command.error import CommandError
from journal.command.outcomes import not_to_eat
from journal.command.parser import AT, FILE, CommandOption, command, several, switch
from journal.command.tastings import ASSESSOR, check_attribute, scores_of
from journal.command.values import day, instant, moment, numbered, to_read, to_write
from journal.message import Message
from journal.records import id_of
from journal.records.tastings import BY_ASSESSOR, BY_SAMPLE, SHUFFLED, STRENGTHS, Tasting
from journal.wording import worded
from journal.wording.session_page import far

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.keeping.scored_samples import ScoredSample
    from journal.keeping.session_rows import (
        BlindSessionRow,
        KeyRow,
        RevealedRow,
        SampleIdentity,
        ServingRow,
    )

SESSION = CommandOption("session", "its number in “sessions”, or latest", "SESSION")
REFERENCE = several("--reference", "a cheese from elsewhere, by name; repeat for each", "NAME")
ASSESSORS = several("--assessor", "who tastes; repeat for each", "NAME", required=True)
HELPER = switch("--helper", "confirms that you are the helper, who does not taste")
UNFINISHED = switch("--unfinished", "reveal although not all have finished")
_CODES = {"sample": BY_SAMPLE, "assessor": BY_ASSESSOR, "shuffle": SHUFFLED}


def session_of(journal: Journal, text: str) -> Tasting:
    """The blind session of that number, or the latest; CommandError when there is none."""
    found = [row.tasting for row in journal.sessions.rows()]
    return numbered(found, [one.id for one in found], text, "command.no-such-session")


def cheeses_of(
    journal: Journal, wheels: list[str] | None, references: list[str] | None
) -> list[SampleIdentity]:
    """What is named on the command line as cheeses, the wheels first."""
    from journal.keeping.session_rows import SampleIdentity

    named = [SampleIdentity(journal.wheel_by_code(code).id) for code in wheels or ()]
    return named + [SampleIdentity(None, " ".join(name.split())) for name in references or ()]


# Setting up


@command(
    "session-set-up",
    "set up a blind session",
    FILE,
    several(
        "--wheel", "a wheel to taste; repeat for each, one wheel twice as a blind double", "WHEEL"
    ),
    REFERENCE,
    ASSESSORS,
    CommandOption(
        "--codes",
        "one code for each sample (the default), other codes for each assessor, or shuffled cups",
        choices=list(_CODES),
        default="sample",
    ),
    CommandOption("--attributes", "what is scored; the usual attributes if left out", "A,B,…"),
    AT,
    formerly="sitting-lay",
)
def _set_up(args: argparse.Namespace) -> CommandAnswer:
    from journal.findings.setting_up import set_up_session

    coding = _CODES[args.codes]
    sheet = tuple(" ".join(a.lower().split()) for a in (args.attributes or "").split(",") if a)
    with to_write(args.file) as journal:
        cheeses = cheeses_of(journal, args.wheel, args.reference)
        design = set_up_session(cheeses, len(args.assessor), coding, secrets.randbits(63))
        kept = journal.sessions.set_up(
            Tasting(instant(args.at, journal.zone), journal.zone, coding=coding, attributes=sheet),
            cheeses, args.assessor, design.orders, design.codes, design.labels,
        )  # fmt: skip
        servings = journal.sessions.servings(id_of(kept))
        warned = not_to_eat(journal, args.wheel)
    return _served("command.session-is-set-up", kept, servings, warned)


def _served(
    message: str, tasting: Tasting, servings: list[ServingRow], warned: Sequence[str] = ()
) -> CommandAnswer:
    """Who gets which code when; what it is stays hidden."""
    people = list(dict.fromkeys(s.assessor for s in servings))
    codes = [{"assessor": s.assessor, "place": s.position + 1, "code": s.code} for s in servings]
    orders = [[who, *(s.code for s in servings if s.assessor == who)] for who in people]
    return answer(
        (message, "{servings}", "{verdicts}"),
        sitting=tasting.id,
        at=day(tasting.at_ms, tasting.zone),
        attributes=tasting.sheet,
        servings=Value(codes, aligned(orders)),
        verdicts=optional(warned),
        assessor=text_only(people[0]),
    )


@command(
    "session-join",
    "add an assessor to a session",
    FILE,
    SESSION,
    CommandOption("--assessor", "who joins", "NAME", required=True),
    formerly="sitting-join",
)
def _join(args: argparse.Namespace) -> CommandAnswer:
    from journal.findings.setting_up import create_joiner

    with to_write(args.file) as journal:
        tasting = session_of(journal, args.session)
        board = journal.sessions.board(id_of(tasting))
        order, codes = create_joiner(
            board.cheeses, board.orders, board.labels, board.taken, tasting.coding,
            secrets.randbits(63),
        )  # fmt: skip
        journal.sessions.join(id_of(tasting), args.assessor, order, codes)
        name = " ".join(args.assessor.split())
        mine = [s for s in journal.sessions.servings(id_of(tasting))
                if s.assessor.casefold() == name.casefold()]  # fmt: skip
    return _served("command.joins-session", tasting, mine)


# Scoring


@command(
    "session-score",
    "score a sample of a session",
    FILE,
    SESSION,
    CommandOption(
        "code", "the code on the sample; with shuffled cups, the place of the cup", "CODE"
    ),
    ASSESSOR,
    CommandOption("scores", "0 to 10 in halves, like overall=7.5", "ATTRIBUTE=SCORE", nargs="+"),
    several(
        "--defect",
        "a defect in trade terms, with its strength, like “slight bitter”; repeat for each",
        "TERM",
    ),
    CommandOption("--note", "a note on the sample", "TEXT", formerly="--words"),
    formerly="sitting-give",
)
def _give(args: argparse.Namespace) -> CommandAnswer:
    given = scores_of(args.scores)
    marks = tuple(_defect(text) for text in args.defect or ())
    with to_write(args.file) as journal:
        tasting = session_of(journal, args.session)
        serving = _serving(journal, tasting, args.code, args.assessor)
        known = {*tasting.sheet, *(name for name, _ in journal.sessions.attributes())}
        for attribute in given:
            check_attribute(attribute, known)
        before = journal.sessions.scored(serving.id)
        journal.sessions.give(serving.id, _with(before, given, marks, args.note))
        left = [s for s in journal.sessions.servings(id_of(tasting)) if not s.given]
    return answer(
        "command.score-saved",
        sitting=tasting.id,
        assessor=serving.assessor,
        code=serving.code,
        scores=given,
        defects=_defects(marks),
        left=Value(len(left), samples_left(len(left))),
        left_of_assessor=sum(s.assessor == serving.assessor for s in left),
    )


def samples_left(left: int) -> str:
    """How many samples wait to be scored."""
    return worded("desk.samples-still-left" if left else "desk.all-have-finished", samples=left)


Mark = tuple[str, str, str]


def _defects(marks: Sequence[Mark]) -> list[Json]:
    return [{"group": group, "term": term, "strength": how} for group, term, how in marks]


def _with(
    scored: ScoredSample | None, given: dict[str, float], marks: tuple[Mark, ...], words: str | None
) -> ScoredSample:
    """What was saved before, replaced where something new is given."""
    from journal.keeping.scored_samples import ScoredSample

    old = scored or ScoredSample()
    named = {mark[:2] for mark in marks}
    defects = (*(d for d in old.defects if d[:2] not in named), *marks)
    return ScoredSample(
        {**old.scores, **given}, defects, old.note if words is None else words, old.photo
    )


def _serving(journal: Journal, tasting: Tasting, code: str, name: str) -> ServingRow:
    wanted = " ".join(name.split()).casefold()
    mine = [s for s in journal.sessions.servings(id_of(tasting)) if s.assessor.casefold() == wanted]
    if not mine:
        raise CommandError("command.not-in-session", name=name)
    found = [s for s in mine if s.code == code.strip()]
    if not found:
        who, known = mine[0].assessor, [s.code for s in mine]
        raise CommandError("command.no-such-code", assessor=who, code=code, known=known)
    return found[0]


def _defect(text: str) -> Mark:
    """A defect as typed: its group, its term, its strength."""
    from journal.records.tables import table

    words = text.lower().split()
    strength = next((word for word in words if word in STRENGTHS), "definite")
    wanted = " ".join(word for word in words if word not in STRENGTHS)
    known = table("defect_terms")
    if wanted in known["term"]:
        return known["group"][known["term"].index(wanted)], wanted, strength
    raise CommandError("command.no-such-defect", wanted=wanted)


# Reading


SESSIONS: Table[BlindSessionRow] = Table(
    AnswerColumn("sitting", lambda row: row.tasting.id, "", right=True),
    AnswerColumn("at", lambda row: day(row.tasting.at_ms, row.tasting.zone), ""),
    AnswerColumn("samples", lambda row: count(row.samples, "wording.samples"), ""),
    AnswerColumn("assessors", lambda row: row.people, ""),
    AnswerColumn("given", lambda row: row.given),
    AnswerColumn("of", lambda row: row.servings),
    AnswerColumn("lifted_at", lambda row: moment(row.tasting.lifted_ms, row.tasting.zone)),
    AnswerColumn("", far, ""),
)


@command("sessions", "list the blind sessions, newest first", FILE, formerly="sittings")
def _sessions(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        return SESSIONS.answer(journal.sessions.rows(), worded("command.no-session-yet"))


def check_helper(args: argparse.Namespace) -> None:
    """CommandError without --helper."""
    if not args.helper:
        raise CommandError("command.key-for-helper")


def check_finished(args: argparse.Namespace, left: int, what: Message) -> None:
    """CommandError where something is left, without --unfinished: it cannot be blind again."""
    if left and not args.unfinished:
        raise CommandError("command.reveal-anyway", left=what)


KEY: Table[KeyRow] = Table(
    AnswerColumn("code", lambda row: row.code, ""),
    AnswerColumn(
        "assessor",
        lambda row: Value(row.assessor or None, row.assessor or worded("wording.everyone")),
        "",
    ),
    AnswerColumn("cheese", lambda row: row.cheese, ""),
)


@command(
    "session-key",
    "show the helper what each code is",
    FILE,
    SESSION,
    HELPER,
    formerly="sitting-key",
)
def _key(args: argparse.Namespace) -> CommandAnswer:
    check_helper(args)
    with to_read(args.file) as journal:
        return KEY.answer(journal.sessions.key(id_of(session_of(journal, args.session))))


@command(
    "session-reveal",
    "reveal what each code of a session is",
    FILE,
    SESSION,
    UNFINISHED,
    CommandOption(
        "--cup-codes",
        "with shuffled cups: the code under each cup, in the order of their places",
        "CODE,CODE,…",
        formerly="--under",
    ),
    AT,
    formerly="sitting-lift",
)
def _reveal(args: argparse.Namespace) -> CommandAnswer:
    codes = [code.strip() for code in (args.cup_codes or "").split(",") if code.strip()]
    with to_write(args.file) as journal:
        tasting = session_of(journal, args.session)
        left = sum(not s.given for s in journal.sessions.servings(id_of(tasting)))
        check_finished(args, left, Message("desk.samples-still-left", samples=left))
        at_ms = max(instant(args.at, journal.zone), tasting.at_ms)
        journal.sessions.reveal(id_of(tasting), at_ms, dict(enumerate(codes, 1)))
        warn = worded("command.were-unscored", left=left) if left else ""
        return _read_session(journal, session_of(journal, str(tasting.id)), warn)


@command(
    "session-results",
    "show what each code was and its scores, once revealed",
    FILE,
    SESSION,
    formerly="sitting-read",
)
def _read(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        return _read_session(journal, session_of(journal, args.session))


def _read_session(journal: Journal, tasting: Tasting, first: str = "") -> CommandAnswer:
    """What each code was and got; KeepingError while that is hidden."""
    found = journal.sessions.revealed_rows(id_of(tasting))
    return answer(
        "{first} {samples}" if first else "{samples}",
        sitting=tasting.id,
        at=day(tasting.at_ms, tasting.zone),
        lifted_at=moment(tasting.lifted_ms, tasting.zone),
        samples=SAMPLES.of(sorted(found, key=_best_first)),
        first=text_only(first),
    )


SAMPLES: Table[RevealedRow] = Table(
    AnswerColumn("cheese", lambda one: one.name, "cheese"),
    AnswerColumn("wheel", lambda one: one.wheel_id is not None),
    AnswerColumn("codes", lambda one: one.codes, "code"),
    AnswerColumn("overall_mean", lambda one: figure(_mean(one), 1), "overall", right=True),
    AnswerColumn("given", lambda one: _given(one), "by assessor"),
)


def _given(one: RevealedRow) -> Value:
    """What each gave; a person reads "Moss 7.5, Fern 6", of those who scored it overall."""
    scores = [(who, scored.scores.get("overall")) for who, scored in one.all_scored]
    return Value(
        [
            {
                "assessor": who,
                "scores": scored.scores,
                "defects": _defects(scored.defects),
                "words": scored.note,
            }
            for who, scored in one.all_scored
        ],
        ", ".join(f"{who} {score:g}" for who, score in scores if score is not None),
    )


def _mean(one: RevealedRow) -> float | None:
    given = [scored.scores["overall"] for _, scored in one.all_scored if "overall" in scored.scores]
    return sum(given) / len(given) if given else None


def _best_first(one: RevealedRow) -> tuple[bool, float, str]:
    mean = _mean(one)
    return mean is None, -(mean or 0.0), one.name


COMMANDS = (_sessions, _set_up, _join, _give, _key, _reveal, _read)
