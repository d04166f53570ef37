"""Blind sittings: laid out, given, lifted and read; while blind no command tells what a code is."""

from __future__ import annotations

import argparse
import secrets
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, aligned, number
from journal.command.error import CommandError
from journal.command.outcomes import not_to_eat
from journal.command.parser import Command, Parser, add_at, add_file
from journal.command.tastings import check_attribute, scores_of
from journal.command.values import instant, iso_or_none, numbered, to_read, to_write
from journal.records.instants import iso, local
from journal.records.tastings import BY_ASSESSOR, BY_SAMPLE, SHUFFLED, STRENGTHS, Tasting
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.keeping.blind import Cheese, ServingRow, Uncovered
    from journal.keeping.cards import Card

_CODES = {"sample": BY_SAMPLE, "assessor": BY_ASSESSOR, "shuffle": SHUFFLED}


def _add_sitting(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("sitting", metavar="SITTING", help="its number in “sittings”, or latest")


def sitting_of(journal: Journal, text: str) -> Tasting:
    """The blind sitting of that number, or the latest; CommandError when there is none."""
    found = [row.tasting for row in journal.blind.rows()]
    return numbered(found, [one.id for one in found], text, "blind sitting")


def cheeses_of(
    journal: Journal, wheels: list[str] | None, references: list[str] | None
) -> list[Cheese]:
    """What is named on the command line as cheeses, the wheels first."""
    from journal.keeping.blind import Cheese

    named = [Cheese(journal.wheel_by_code(code).id) for code in wheels or ()]
    return named + [Cheese(None, " ".join(name.split())) for name in references or ()]


# Laying out


def _lay_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument(
        "--wheel",
        action="append",
        metavar="WHEEL",
        help="on the board; each again for the next, one twice for a blind double",
    )
    parser.add_argument(
        "--reference", action="append", metavar="NAME", help="a cheese from elsewhere, under a name"
    )
    parser.add_argument(
        "--assessor",
        action="append",
        metavar="NAME",
        required=True,
        help="who tastes; each again for the next",
    )
    parser.add_argument(
        "--codes",
        choices=list(_CODES),
        default="sample",
        help="one code a sample (the default), codes of each assessor's own, or shuffled cups",
    )
    parser.add_argument("--attributes", metavar="A,B,…", help="the sheet; the usual ones without")
    add_at(parser)


def _lay(args: argparse.Namespace) -> Answer:
    from journal.findings.laying import lay_sitting

    coding = _CODES[args.codes]
    sheet = tuple(" ".join(a.lower().split()) for a in (args.attributes or "").split(",") if a)
    with to_write(args.file) as journal:
        cheeses = cheeses_of(journal, args.wheel, args.reference)
        laid = lay_sitting(cheeses, len(args.assessor), coding, secrets.randbits(63))
        kept = journal.blind.lay_out(
            Tasting(instant(args.at, journal.zone), journal.zone, coding=coding, attributes=sheet),
            cheeses, args.assessor, laid.orders, laid.codes, laid.labels,
        )  # fmt: skip
        servings = journal.blind.servings(kept.id or 0)
        warned = not_to_eat(journal, args.wheel)
    said = {"verdicts": warned} if warned else {}
    found = _served(kept, servings, f"Laid out sitting {kept.id}, under the cloth.")
    return Answer("\n".join([found.text, *warned]), found.data | said)


def _served(tasting: Tasting, servings: list[ServingRow], said: str) -> Answer:
    """Who gets which code when, without a word of what it is."""
    people = list(dict.fromkeys(s.assessor for s in servings))
    orders = [[who, *(s.code for s in servings if s.assessor == who)] for who in people]
    data = {
        "sitting": tasting.id,
        "at": iso(tasting.at_ms, tasting.zone),
        "attributes": list(tasting.sheet),
        "servings": [
            {"assessor": s.assessor, "place": s.position + 1, "code": s.code} for s in servings
        ],
    }
    return Answer("\n".join([said, aligned(orders)]), data)


def _join_arguments(parser: Parser) -> None:
    _add_sitting(parser)
    parser.add_argument("--assessor", metavar="NAME", required=True, help="who joins")


def _join(args: argparse.Namespace) -> Answer:
    from journal.findings.laying import lay_joiner

    with to_write(args.file) as journal:
        tasting = sitting_of(journal, args.sitting)
        board = journal.blind.board(tasting.id or 0)
        order, codes = lay_joiner(
            board.cheeses, board.orders, board.labels, board.taken, tasting.coding,
            secrets.randbits(63),
        )  # fmt: skip
        journal.blind.join(tasting.id or 0, args.assessor, order, codes)
        name = " ".join(args.assessor.split())
        mine = [s for s in journal.blind.servings(tasting.id or 0)
                if s.assessor.casefold() == name.casefold()]  # fmt: skip
    return _served(tasting, mine, f"{mine[0].assessor} joins sitting {tasting.id}.")


# Giving


def _give_arguments(parser: Parser) -> None:
    _add_sitting(parser)
    parser.add_argument(
        "code",
        metavar="CODE",
        help="what stands on the sample; a cup's place where cups were shuffled",
    )
    parser.add_argument("--assessor", metavar="NAME", required=True, help="who tasted")
    parser.add_argument(
        "scores", metavar="ATTRIBUTE=SCORE", nargs="+", help="0 to 10 in halves, like overall=7.5"
    )
    parser.add_argument(
        "--defect",
        action="append",
        metavar="TERM",
        help="in trade terms, with its strength, like “slight bitter”",
    )
    parser.add_argument("--words", metavar="TEXT", help="in one's own words")


def _give(args: argparse.Namespace) -> Answer:
    given = scores_of(args.scores)
    marks = tuple(_defect(text) for text in args.defect or ())
    with to_write(args.file) as journal:
        tasting = sitting_of(journal, args.sitting)
        serving = _serving(journal, tasting, args.code, args.assessor)
        known = {*tasting.sheet, *(name for name, _ in journal.sittings.attributes())}
        for attribute in given:
            check_attribute(attribute, known)
        before = journal.blind.card(serving.id)
        journal.blind.give(serving.id, _with(before, given, marks, args.words))
        left = [s for s in journal.blind.servings(tasting.id or 0) if not s.given]
    mine = sum(s.assessor == serving.assessor for s in left)
    data = {
        "sitting": tasting.id,
        "assessor": serving.assessor,
        "code": serving.code,
        "scores": given,
        "defects": [{"group": g, "term": t, "strength": s} for g, t, s in marks],
        "left": len(left),
        "left_of_assessor": mine,
    }
    rest = "all have finished" if not left else f"{counted(len(left), 'sample')} left"
    return Answer(f"Kept: {serving.assessor} on {serving.code}; {rest}.", data)


def _with(
    card: Card | None,
    given: dict[str, float],
    marks: tuple[tuple[str, str, str], ...],
    words: str | None,
) -> Card:
    """What was kept with what is given now in its place."""
    from journal.keeping.cards import Card

    old = card or Card()
    named = {mark[:2] for mark in marks}
    defects = (*(d for d in old.defects if d[:2] not in named), *marks)
    return Card({**old.scores, **given}, defects, old.note if words is None else words, old.photo)


def _serving(journal: Journal, tasting: Tasting, code: str, name: str) -> ServingRow:
    wanted = " ".join(name.split()).casefold()
    mine = [s for s in journal.blind.servings(tasting.id or 0) if s.assessor.casefold() == wanted]
    if not mine:
        raise CommandError(f"{name} does not sit at this sitting: “sitting-join” lets them join.")
    found = [s for s in mine if s.code == code.strip()]
    if not found:
        known = ", ".join(s.code for s in mine)
        raise CommandError(f"{mine[0].assessor} has no {code} here: there are {known}.")
    return found[0]


def _defect(text: str) -> tuple[str, str, str]:
    """A defect as typed: its group, its term, its strength."""
    from journal.records.tables import table

    words = text.lower().split()
    strength = next((word for word in words if word in STRENGTHS), "definite")
    wanted = " ".join(word for word in words if word not in STRENGTHS)
    known = table("defect_terms")
    if wanted in known["term"]:
        return known["group"][known["term"].index(wanted)], wanted, strength
    raise CommandError(f"No defect is called “{wanted}”; say it with --words.")


# Reading


def _sittings(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        rows = journal.blind.rows()
    data = [
        {
            "sitting": row.tasting.id,
            "at": iso(row.tasting.at_ms, row.tasting.zone),
            "samples": row.samples,
            "assessors": list(row.people),
            "given": row.given,
            "of": row.servings,
            "lifted_at": iso_or_none(row.tasting.lifted_ms, row.tasting.zone),
        }
        for row in rows
    ]
    lines = [
        [
            str(row.tasting.id), f"{local(row.tasting.at_ms, row.tasting.zone):%Y-%m-%d}",
            counted(row.samples, "sample"), ", ".join(row.people),
            "lifted" if row.tasting.lifted_ms else f"{row.given} of {row.servings} given",
        ]
        for row in rows
    ]  # fmt: skip
    return Answer(aligned(lines, right=(0,)) or "No blind sitting was laid out yet.", data)


def _key_arguments(parser: Parser) -> None:
    _add_sitting(parser)
    add_helper(parser)


def add_helper(parser: Parser) -> None:
    """The word of whoever asks for a key that they do not taste."""
    parser.add_argument("--helper", action="store_true", help="I cut and pour, and do not taste")


def check_helper(args: argparse.Namespace) -> None:
    """CommandError without that word."""
    if not args.helper:
        raise CommandError(
            "The key is for whoever cuts and pours and does not taste: say so with --helper."
        )


def add_unfinished(parser: Parser) -> None:
    """The word that the cloth is to be lifted although not all have finished."""
    parser.add_argument("--unfinished", action="store_true", help="though not all have finished")


def check_finished(args: argparse.Namespace, left: int, what: str) -> None:
    """CommandError where something is left, without that word: what is lifted is blind no more."""
    if left and not args.unfinished:
        raise CommandError(
            f"{counted(left, what)} left: once lifted, nothing can be given blind. Say "
            "--unfinished to lift the cloth all the same."
        )


def _key(args: argparse.Namespace) -> Answer:
    check_helper(args)
    with to_read(args.file) as journal:
        tasting = sitting_of(journal, args.sitting)
        rows = journal.blind.key(tasting.id or 0)
    lines = [[row.code, row.assessor or "everyone", row.cheese] for row in rows]
    data = [{"code": r.code, "assessor": r.assessor or None, "cheese": r.cheese} for r in rows]
    return Answer(aligned(lines), data)


def _lift_arguments(parser: Parser) -> None:
    _add_sitting(parser)
    add_unfinished(parser)
    parser.add_argument(
        "--under",
        metavar="CODE,CODE,…",
        help="where cups were shuffled: the codes found under them, by place",
    )
    add_at(parser)


def _lift(args: argparse.Namespace) -> Answer:
    codes = [code.strip() for code in (args.under or "").split(",") if code.strip()]
    with to_write(args.file) as journal:
        tasting = sitting_of(journal, args.sitting)
        left = sum(not s.given for s in journal.blind.servings(tasting.id or 0))
        check_finished(args, left, "sample")
        at_ms = max(instant(args.at, journal.zone), tasting.at_ms)
        journal.blind.lift(tasting.id or 0, at_ms, dict(enumerate(codes, 1)))
        answer = _read_sitting(journal, sitting_of(journal, str(tasting.id)))
    warn = f"{counted(left, 'sample')} had not been given. " if left else ""
    return Answer(f"{warn}{answer.text}", answer.data)


def _read(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        return _read_sitting(journal, sitting_of(journal, args.sitting))


def _read_sitting(journal: Journal, tasting: Tasting) -> Answer:
    """What each code was and got; KeepingError while it is under the cloth."""
    found = journal.blind.uncovered(tasting.id or 0)
    found.sort(key=_best_first)
    data = {
        "sitting": tasting.id,
        "at": iso(tasting.at_ms, tasting.zone),
        "lifted_at": iso_or_none(tasting.lifted_ms, tasting.zone),
        "samples": [_sample_data(one) for one in found],
    }
    rows = [["what it was", "code", "overall", "from who"]]
    for one in found:
        given = [f"{who} {card.scores['overall']:g}" for who, card in one.cards
                 if "overall" in card.scores]  # fmt: skip
        mean = number(_mean(one), 1)
        rows.append([one.name, ", ".join(one.codes), mean, ", ".join(given)])
    return Answer(aligned(rows, right=(2,)), data)


def _sample_data(one: Uncovered) -> dict[str, Any]:
    return {
        "cheese": one.name,
        "wheel": one.wheel_id is not None,
        "codes": list(one.codes),
        "overall_mean": _mean(one),
        "given": [
            {
                "assessor": who,
                "scores": card.scores,
                "defects": [{"group": g, "term": t, "strength": s} for g, t, s in card.defects],
                "words": card.note,
            }
            for who, card in one.cards
        ],
    }


def _mean(one: Uncovered) -> float | None:
    given = [card.scores["overall"] for _, card in one.cards if "overall" in card.scores]
    return sum(given) / len(given) if given else None


def _best_first(one: Uncovered) -> tuple[bool, float, str]:
    mean = _mean(one)
    return mean is None, -(mean or 0.0), one.name


COMMANDS = (
    Command("sittings", "list the blind sittings, newest first", add_file, _sittings),
    Command("sitting-lay", "lay out a blind sitting", _lay_arguments, _lay,
            repeated=("--wheel", "--reference", "--assessor"), places=1),
    Command("sitting-join", "let someone join a sitting", _join_arguments, _join),
    Command("sitting-give", "score a code of a sitting", _give_arguments, _give),
    Command("sitting-key", "tell the helper what each code is", _key_arguments, _key),
    Command("sitting-lift", "lift the cloth of a sitting", _lift_arguments, _lift),
    Command("sitting-read", "tell what each code was, once lifted", _add_sitting, _read),
)  # fmt: skip
