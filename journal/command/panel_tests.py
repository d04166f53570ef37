"""Panel tests: set up, answered, revealed; while blind no command tells what a code is."""

from __future__ import annotations

import argparse
import secrets
from dataclasses import asdict
from typing import TYPE_CHECKING

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Json,
    Table,
    Value,
    aligned,
    answer,
    optional,
    text_only,
)
from journal.command.error import CommandError
from journal.command.outcomes import not_to_eat
from journal.command.parser import AT, FILE, CommandOption, command, several, switch
from journal.command.sessions import (
    ASSESSORS,
    HELPER,
    REFERENCE,
    UNFINISHED,
    check_finished,
    check_helper,
    cheeses_of,
)
from journal.command.values import amount, day, instant, moment, numbered, to_read, to_write
from journal.message import Message
from journal.records import id_of
from journal.records.panel_tests import PAIRED, RANKING, TEST_KINDS, PanelTest
from journal.wording import worded
from journal.wording.sentences import kind_of_test, listed

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.keeping.panel_sets import TestRow

_KINDS = {kind.replace(" comparison", ""): kind for kind in TEST_KINDS}


ALIKE = CommandOption(
    "--alike-below",
    "call the cheeses alike if fewer people than this can tell; 30 if left out",
    "PERCENT",
    default="30",
)
TEST = CommandOption("test", "its number in “tests”, or latest", "TEST")


def test_of(journal: Journal, text: str) -> TestRow:
    """The panel test of that number, or the latest; CommandError when there is none."""
    rows = journal.tests.rows()
    return numbered(rows, [row.test.id for row in rows], text, "command.no-such-test")


@command(
    "test-set-up",
    "set up a panel test",
    FILE,
    CommandOption("kind", "which test", choices=list(_KINDS)),
    several("--wheel", "a wheel to taste; repeat for each", "WHEEL"),
    REFERENCE,
    ASSESSORS,
    CommandOption(
        "--sets",
        "how many sets each assessor gets; 1 if left out",
        "N",
        formerly="--times",
        type=int,
        default=1,
    ),
    CommandOption(
        "--attribute",
        "what a paired comparison or a ranking asks about, like bitter",
        "ATTRIBUTE",
        formerly="--for",
        default="",
    ),
    CommandOption(
        "--expected",
        "which cheese of a paired comparison should have more; either if left out",
        formerly="--foreseen",
        choices=["either", "first", "second"],
        default="either",
    ),
    AT,
    formerly="test-lay",
)
def _set_up(args: argparse.Namespace) -> CommandAnswer:
    from journal.findings.setting_up import set_up_sets

    kind = _KINDS[args.kind]
    if not 1 <= args.sets <= 20:
        raise CommandError("command.sets-each", sets=args.sets)
    expected = {"either": None, "first": 0, "second": 1}[args.expected] if kind == PAIRED else None
    asked = args.attribute.strip() if kind in (PAIRED, RANKING) else ""
    people = args.assessor * args.sets
    with to_write(args.file) as journal:
        cheeses = cheeses_of(journal, args.wheel, args.reference)
        sets = set_up_sets(kind, len(people), secrets.randbits(63), len(cheeses))
        at_ms = instant(args.at, journal.zone)
        kept = journal.tests.set_up(
            PanelTest(at_ms, journal.zone, kind, asked, expected),
            cheeses, people, [(s.cups, s.codes) for s in sets],
        )  # fmt: skip
        rows = journal.tests.sets(id_of(kept))
        warned = not_to_eat(journal, args.wheel)
    data = [
        {"set": r.number + 1, "assessor": r.assessor, "codes": [c or None for c in r.codes]}
        for r in rows
    ]
    reference = worded("wording.test-reference")
    cups = [[_set(r.number + 1), r.assessor, *(c or reference for c in r.codes)] for r in rows]
    return answer(
        ("command.test-is-set-up", "{sets}", "{verdicts}"),
        test=kept.id,
        kind=kind,
        sets=Value(data, aligned(cups)),
        verdicts=optional(warned),
    )


def _set(number: int) -> str:
    return worded("command.set", number=number)


TESTS: Table[TestRow] = Table(
    AnswerColumn("test", lambda row: row.test.id, "", right=True),
    AnswerColumn("at", lambda row: day(row.test.at_ms, row.test.zone), ""),
    AnswerColumn("kind", lambda row: Value(row.test.kind, kind_of_test(row.test.kind)), ""),
    AnswerColumn("cheeses", lambda row: Value(row.cheeses, listed(row.cheeses)), ""),
    AnswerColumn("for", lambda row: row.test.attribute or None),
    AnswerColumn("answered", lambda row: row.answered),
    AnswerColumn("of", lambda row: row.sets),
    AnswerColumn("lifted_at", lambda row: moment(row.test.lifted_ms, row.test.zone)),
    AnswerColumn("", lambda row: _how_far(row), ""),
)


def _how_far(row: TestRow) -> str:
    if row.test.lifted_ms:
        return worded("wording.revealed")
    return worded("command.so-many-answered", answered=row.answered, sets=row.sets)


@command("tests", "list the panel tests, newest first", FILE)
def _tests(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        return TESTS.answer(journal.tests.rows(), worded("command.no-test-yet"))


@command(
    "test-answer",
    "save the answer to a set",
    FILE,
    TEST,
    CommandOption("set", "the number of the set", "SET", type=int),
    CommandOption(
        "codes",
        "the code that the assessor chose; for a ranking all codes, from most to least",
        "CODE",
        nargs="+",
    ),
)
def _answer(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        row = test_of(journal, args.test)
        sets = journal.tests.sets(id_of(row.test))
        if not 1 <= args.set <= len(sets):
            raise CommandError("command.no-such-set", most=len(sets), set=args.set)
        one = sets[args.set - 1]
        typed = [code for word in args.codes for code in word.replace(",", " ").split()]
        wrong = [code for code in typed if code not in one.codes]
        if wrong:
            known = [code for code in one.codes if code]
            raise CommandError(
                "command.no-such-code-in-set", code=wrong[0], set=args.set, known=known
            )
        journal.tests.answer(one.id, [one.codes.index(code) for code in typed])
        left = sum(not s.answer for s in journal.tests.sets(id_of(row.test)))
    rest = worded("command.sets-left", left=left) if left else worded("command.all-answered")
    return answer(
        "command.set-saved",
        test=row.test.id,
        set=args.set,
        answer=typed,
        left=Value(left, rest),
        assessor=text_only(one.assessor),
    )


@command("test-key", "show the helper what is in each cup", FILE, TEST, HELPER)
def _key(args: argparse.Namespace) -> CommandAnswer:
    check_helper(args)
    with to_read(args.file) as journal:
        found = journal.tests.key(id_of(test_of(journal, args.test).test))
    sets: list[Json] = [
        {
            "set": number,
            "assessor": who,
            "cups": [{"code": code or "reference", "cheese": cheese} for code, cheese in cups],
        }
        for number, (who, cups) in enumerate(found, 1)
    ]
    rows = [
        [_set(one["set"]), one["assessor"], cup["code"], cup["cheese"]]
        for one in sets
        for cup in one["cups"]
    ]
    return CommandAnswer(sets, aligned(rows))


@command(
    "test-reveal",
    "reveal a panel test and show its result",
    FILE,
    TEST,
    UNFINISHED,
    ALIKE,
    AT,
    formerly="test-lift",
)
def _reveal(args: argparse.Namespace) -> CommandAnswer:
    alike = _share(args.alike_below)
    with to_write(args.file) as journal:
        row = test_of(journal, args.test)
        left = row.sets - row.answered
        check_finished(args, left, Message("command.sets-left", left=left))
        at_ms = max(instant(args.at, journal.zone), row.test.at_ms)
        journal.tests.reveal(id_of(row.test), at_ms)
        return _report(journal, row, alike)


@command(
    "test-results",
    "show the result of a revealed panel test",
    FILE,
    TEST,
    ALIKE,
    formerly="test-read",
)
def _read(args: argparse.Namespace) -> CommandAnswer:
    alike = _share(args.alike_below)
    with to_read(args.file) as journal:
        return _report(journal, test_of(journal, args.test), alike)


def _share(text: str) -> float:
    share = amount(text, "number") / 100
    if not 0 < share < 1:
        raise CommandError("command.share-in-percent", text=text)
    return share


def _report(journal: Journal, row: TestRow, alike: float) -> CommandAnswer:
    """A test's answer in a sentence; KeepingError while it is hidden."""
    return _ranked(journal, row) if row.test.kind == RANKING else _difference(journal, row, alike)


def _difference(journal: Journal, row: TestRow, alike: float) -> CommandAnswer:
    from journal.findings.panel_tests import result_of as outcome_of
    from journal.findings.panel_tests import similarity
    from journal.wording.panel import apart_by_words, result_words, similar_words, verdict_words

    test = row.test
    found = journal.tests.counted(id_of(test))
    two = test.kind == PAIRED and test.expected is None
    message = outcome_of(test.kind, found.right, found.answers, two_sided=two)
    named = row.cheeses[found.named] if test.kind == PAIRED else ""
    fields = {"named": named or None, **asdict(message), "differs": message.differs}
    more = [verdict_words(message, found.people), apart_by_words(message)]
    if not two:
        same = similarity(test.kind, found.right, found.answers, alike)
        fields["similarity"] = {**asdict(same), "alike": same.alike}
        if found.people >= found.answers and (same.alike or not message.differs):
            more.append(similar_words(same))
    return _in_sentences(
        row,
        fields,
        result_words(message, test.kind, test.attribute, named),
        " ".join(filter(None, more)),
    )


def _ranked(journal: Journal, row: TestRow) -> CommandAnswer:
    from journal.findings.ranking import ranking
    from journal.wording.panel import apart_words, ranking_words

    table = journal.tests.ranked(id_of(row.test))
    if len(table) < 2:
        raise CommandError("command.ranking-of-one")
    found = ranking(table)
    fields = {
        "rank_sums": dict(zip(row.cheeses, map(float, found.sums), strict=True)),
        "friedman": found.friedman,
        "p": found.p,
        "exact": found.exact,
        "agreement": found.w,
        "distance": found.distance,
        "apart": [[row.cheeses[a], row.cheeses[b]] for a, b in found.apart],
    }
    return _in_sentences(
        row,
        fields,
        ranking_words(found, row.cheeses, row.test.attribute),
        apart_words(found, row.cheeses, journal.tests.people(id_of(row.test))),
    )


def _in_sentences(row: TestRow, fields: Json, sentence: str, verdict: str) -> CommandAnswer:
    """What was asked, the result, and what it means."""
    head = {
        "test": row.test.id,
        "kind": row.test.kind,
        "cheeses": row.cheeses,
        "for": row.test.attribute or None,
    }
    message = {"sentence": sentence, "verdict": verdict}
    return answer("{sentence} {verdict}", **(head | fields | message))


@command(
    "test-size",
    "how many answers a panel test needs",
    CommandOption("kind", "which test", choices=[k for k in _KINDS if k != RANKING]),
    CommandOption(
        "--can-tell",
        "what share of people can tell the difference; 50 if left out",
        "PERCENT",
    ),
    CommandOption("--d-prime", "instead of a share: how large the difference is, like 1", "NUMBER"),
    switch("--alike", "how many it takes to show that fewer than that share can tell"),
    CommandOption(
        "--power",
        "how likely the test should be to show it; 80 if left out",
        "PERCENT",
        formerly="--found",
        default="80",
    ),
    switch(
        "--expected",
        "in a paired comparison, only one cheese is expected to have more",
        formerly="--foreseen",
    ),
)
def _size(args: argparse.Namespace) -> CommandAnswer:
    from journal.findings.panel_tests import panel_size, share_at, similarity_size
    from journal.wording.panel import similar_size_words, size_words

    kind = _KINDS[args.kind]
    d = None if args.d_prime is None else amount(args.d_prime, "number")
    if d is not None and args.can_tell is not None:
        raise CommandError("command.share-or-d-prime")
    can_tell = args.can_tell or ("30" if args.alike else "50")
    share = amount(can_tell, "number") / 100 if d is None else share_at(kind, d)
    wanted = amount(args.power, "number") / 100
    if not (0 < share <= 1 and 0 < wanted < 1):
        raise CommandError("command.shares-in-percent")
    two_sided = kind == PAIRED and not args.expected and not args.alike
    if args.alike:
        size = similarity_size(kind, share, wanted)
        says = similar_size_words(kind, share, wanted, size)
    else:
        size = panel_size(kind, share, wanted, two_sided=two_sided)
        says = size_words(kind, share, wanted, size, d)
    both = worded("command.either-may-have-more") if two_sided else ""
    return answer(
        "{says} {both}",
        kind=kind,
        can_tell=share,
        found=wanted,
        first=size.first,
        answers=size.stays,
        d_prime=d,
        alike=args.alike,
        says=text_only(says),
        both=text_only(both),
    )


COMMANDS = (_tests, _size, _set_up, _answer, _key, _reveal, _read)
