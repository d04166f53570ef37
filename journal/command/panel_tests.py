"""Panel tests and the panel: laid out, answered, lifted, read; nothing is told while blind."""

from __future__ import annotations

import argparse
import secrets
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from journal.command.answer import Answer, aligned
from journal.command.error import CommandError
from journal.command.outcomes import not_to_eat
from journal.command.parser import Command, Parser, add_at, add_file
from journal.command.sittings import (
    add_helper,
    add_unfinished,
    check_finished,
    check_helper,
    cheeses_of,
)
from journal.command.values import amount, instant, iso_or_none, numbered, to_read, to_write
from journal.records.instants import iso, local
from journal.records.panel_tests import PAIRED, RANKING, TEST_KINDS, PanelTest
from journal.wording.counts import counted

if TYPE_CHECKING:
    from journal.keeping import Journal
    from journal.keeping.panel_sets import TestRow

_KINDS = {kind.replace(" comparison", ""): kind for kind in TEST_KINDS}


def _add_test(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("test", metavar="TEST", help="its number in “tests”, or latest")


def test_of(journal: Journal, text: str) -> TestRow:
    """The panel test of that number, or the latest; CommandError when there is none."""
    rows = journal.tests.rows()
    return numbered(rows, [row.test.id for row in rows], text, "panel test")


def _lay_arguments(parser: Parser) -> None:
    add_file(parser)
    parser.add_argument("kind", choices=list(_KINDS), help="which test")
    parser.add_argument("--wheel", action="append", metavar="WHEEL", help="one of the cheeses")
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
    parser.add_argument("--times", type=int, default=1, metavar="N", help="sets for each")
    parser.add_argument(
        "--for",
        dest="asked",
        default="",
        metavar="ATTRIBUTE",
        help="what a paired comparison or a ranking asks for, like bitter",
    )
    parser.add_argument(
        "--foreseen",
        choices=["either", "first", "second"],
        default="either",
        help="which cheese of a paired comparison is foreseen to have more",
    )
    add_at(parser)


def _lay(args: argparse.Namespace) -> Answer:
    from journal.findings.laying import lay_sets

    kind = _KINDS[args.kind]
    if not 1 <= args.times <= 20:
        raise CommandError(f"Each may have 1 to 20 sets, not {args.times}.")
    expected = {"either": None, "first": 0, "second": 1}[args.foreseen] if kind == PAIRED else None
    asked = args.asked.strip() if kind in (PAIRED, RANKING) else ""
    people = args.assessor * args.times
    with to_write(args.file) as journal:
        cheeses = cheeses_of(journal, args.wheel, args.reference)
        sets = lay_sets(kind, len(people), secrets.randbits(63), len(cheeses))
        at_ms = instant(args.at, journal.zone)
        kept = journal.tests.lay_out(
            PanelTest(at_ms, journal.zone, kind, asked, expected),
            cheeses, people, [(s.cups, s.codes) for s in sets],
        )  # fmt: skip
        rows = journal.tests.sets(kept.id or 0)
        warned = not_to_eat(journal, args.wheel)
    lines = [[f"set {r.number + 1}", r.assessor, *(c or "reference" for c in r.codes)]
             for r in rows]  # fmt: skip
    data = {
        "test": kept.id,
        "kind": kind,
        "sets": [
            {"set": r.number + 1, "assessor": r.assessor, "codes": [c or None for c in r.codes]}
            for r in rows
        ],
        **({"verdicts": warned} if warned else {}),
    }
    said = f"Laid out panel test {kept.id}, a {kind}, under the cloth."
    return Answer("\n".join([said, aligned(lines), *warned]), data)


def _tests(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        rows = journal.tests.rows()
    lines, data = [], []
    for row in rows:
        test = row.test
        far = "lifted" if test.lifted_ms else f"{row.answered} of {row.sets} answered"
        day = f"{local(test.at_ms, test.zone):%Y-%m-%d}"
        lines.append([str(test.id), day, test.kind, " and ".join(row.cheeses), far])
        data.append(
            {
                "test": test.id,
                "at": iso(test.at_ms, test.zone),
                "kind": test.kind,
                "cheeses": list(row.cheeses),
                "for": test.attribute or None,
                "answered": row.answered,
                "of": row.sets,
                "lifted_at": iso_or_none(test.lifted_ms, test.zone),
            }
        )
    return Answer(aligned(lines, right=(0,)) or "No panel test was laid out yet.", data)


def _answer_arguments(parser: Parser) -> None:
    _add_test(parser)
    parser.add_argument("set", type=int, metavar="SET", help="the number of the set")
    parser.add_argument(
        "codes",
        metavar="CODE",
        nargs="+",
        help="the code that is named; for a ranking all of them, the most first",
    )


def _answer(args: argparse.Namespace) -> Answer:
    with to_write(args.file) as journal:
        row = test_of(journal, args.test)
        sets = journal.tests.sets(row.test.id or 0)
        if not 1 <= args.set <= len(sets):
            raise CommandError(f"This test has sets 1 to {len(sets)}, not {args.set}.")
        one = sets[args.set - 1]
        typed = [code for word in args.codes for code in word.replace(",", " ").split()]
        wrong = [code for code in typed if code not in one.codes]
        if wrong:
            known = ", ".join(code for code in one.codes if code)
            raise CommandError(f"There is no {wrong[0]} in set {args.set}: it has {known}.")
        journal.tests.answer(one.id, [one.codes.index(code) for code in typed])
        left = sum(not s.answer for s in journal.tests.sets(row.test.id or 0))
    rest = "all have answered" if not left else f"{counted(left, 'set')} left"
    data = {"test": row.test.id, "set": args.set, "answer": typed, "left": left}
    return Answer(f"Kept set {args.set} of {one.assessor}; {rest}.", data)


def _key_arguments(parser: Parser) -> None:
    _add_test(parser)
    add_helper(parser)


def _key(args: argparse.Namespace) -> Answer:
    check_helper(args)
    with to_read(args.file) as journal:
        found = journal.tests.key(test_of(journal, args.test).test.id or 0)
    lines = [
        [f"set {number}", who, code or "reference", cheese]
        for number, (who, cups) in enumerate(found, 1)
        for code, cheese in cups
    ]
    data = [
        {
            "set": number,
            "assessor": who,
            "cups": [{"code": c or "reference", "cheese": n} for c, n in cups],
        }
        for number, (who, cups) in enumerate(found, 1)
    ]
    return Answer(aligned(lines), data)


def _lift_arguments(parser: Parser) -> None:
    _add_test(parser)
    add_unfinished(parser)
    add_at(parser)


def _lift(args: argparse.Namespace) -> Answer:
    with to_write(args.file) as journal:
        row = test_of(journal, args.test)
        check_finished(args, row.sets - row.answered, "set")
        at_ms = max(instant(args.at, journal.zone), row.test.at_ms)
        journal.tests.lift(row.test.id or 0, at_ms)
        return _told(journal, row)


def _read(args: argparse.Namespace) -> Answer:
    with to_read(args.file) as journal:
        return _told(journal, test_of(journal, args.test))


def _told(journal: Journal, row: TestRow) -> Answer:
    """A test's answer in a sentence; KeepingError while it is under the cloth."""
    return _ranked(journal, row) if row.test.kind == RANKING else _difference(journal, row)


def _difference(journal: Journal, row: TestRow) -> Answer:
    from journal.findings.panel_tests import told
    from journal.wording.panel import told_words, verdict_words

    test = row.test
    found = journal.tests.counted(test.id or 0)
    two = test.kind == PAIRED and test.expected is None
    said = told(test.kind, found.right, found.answers, two_sided=two)
    named = row.cheeses[found.named] if test.kind == PAIRED else ""
    sentence = told_words(said, test.kind, test.attribute, named)
    verdict = verdict_words(said, found.people)
    data = {**_head(row), "named": named or None, **asdict(said), "differs": said.differs}
    return Answer(f"{sentence} {verdict}", {**data, "sentence": sentence, "verdict": verdict})


def _ranked(journal: Journal, row: TestRow) -> Answer:
    from journal.findings.ranking import ranking
    from journal.wording.panel import apart_words, ranking_words

    table = journal.tests.ranked(row.test.id or 0)
    if len(table) < 2:
        raise CommandError("One person's order is an order, but no test: ask one more to rank.")
    found = ranking(table)
    sentence = ranking_words(found, row.cheeses, row.test.attribute)
    verdict = apart_words(found, row.cheeses, journal.tests.people(row.test.id or 0))
    data = {
        **_head(row),
        "rank_sums": dict(zip(row.cheeses, map(float, found.sums), strict=True)),
        "friedman": found.friedman,
        "p": found.p,
        "exact": found.exact,
        "agreement": found.w,
        "distance": found.distance,
        "apart": [[row.cheeses[a], row.cheeses[b]] for a, b in found.apart],
    }
    return Answer(f"{sentence} {verdict}", {**data, "sentence": sentence, "verdict": verdict})


def _head(row: TestRow) -> dict[str, Any]:
    return {
        "test": row.test.id,
        "kind": row.test.kind,
        "cheeses": list(row.cheeses),
        "for": row.test.attribute or None,
    }


def _size_arguments(parser: Parser) -> None:
    parser.add_argument("kind", choices=[k for k in _KINDS if k != RANKING], help="which test")
    parser.add_argument(
        "--can-tell",
        default="50",
        metavar="PERCENT",
        help="how many of the people can tell; 50 when left out",
    )
    parser.add_argument(
        "--found",
        default="80",
        metavar="PERCENT",
        help="how surely that is to be found; 80 when left out",
    )
    parser.add_argument(
        "--foreseen",
        action="store_true",
        help="of a paired comparison: which cheese has more is foreseen",
    )


def _size(args: argparse.Namespace) -> Answer:
    from journal.findings.panel_tests import panel_size
    from journal.wording.panel import size_words

    kind = _KINDS[args.kind]
    share, wanted = (amount(text, "number") / 100 for text in (args.can_tell, args.found))
    if not (0 < share <= 1 and 0 < wanted < 1):
        raise CommandError("Both lie between 0 and 100 percent, like --can-tell 50 --found 80.")
    two_sided = kind == PAIRED and not args.foreseen
    size = panel_size(kind, share, wanted, two_sided=two_sided)
    data = {
        "kind": kind,
        "can_tell": share,
        "found": wanted,
        "first": size.first,
        "answers": size.stays,
    }
    both = " Either cheese may turn out to have more: both are counted." if two_sided else ""
    return Answer(size_words(kind, share, wanted, size) + both, data)


COMMANDS = (
    Command("tests", "list the panel tests, newest first", add_file, _tests),
    Command("test-size", "how many answers a panel test needs", _size_arguments, _size),
    Command("test-lay", "lay out a panel test", _lay_arguments, _lay,
            repeated=("--wheel", "--reference", "--assessor"), places=2),
    Command("test-answer", "keep the answer to a set", _answer_arguments, _answer),
    Command("test-key", "tell the helper what is in each cup", _key_arguments, _key),
    Command("test-lift", "lift the cloth of a panel test", _lift_arguments, _lift),
    Command("test-read", "tell what a panel test says, once lifted", _add_test, _read),
)  # fmt: skip
