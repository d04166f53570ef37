"""A revealed test: the sentence, what follows, the figures, and what is drawn beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.findings.panel_tests import LEVEL, TestResult, result_of, similarity
from journal.findings.ranking import ranking
from journal.keeping import Journal
from journal.keeping.panel_sets import TestRow
from journal.records import id_of
from journal.records.panel_tests import PAIRED, RANKING
from journal.wording.numbers import percent
from journal.wording.panel import (
    apart_by_words,
    apart_words,
    chance_words,
    ranking_words,
    result_words,
    similar_words,
    verdict_words,
)
from journal.wording.panel_tests import between


@dataclass(frozen=True)
class Dot:
    """A line of the picture: its name, the value, and its range (None where there is none)."""

    name: str
    value: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class TestReport:
    """All that is shown of an answer."""

    of: str
    sentence: str
    verdict: str
    facts: Sequence[str]
    picture: str
    dots: Sequence[Dot]
    ends: tuple[float, float]
    percent: bool
    under: str


def read(journal: Journal, row: TestRow) -> TestReport:
    """Read a revealed test of the journal."""
    return _ranking(journal, row) if row.test.kind == RANKING else _difference(journal, row)


def _difference(journal: Journal, row: TestRow) -> TestReport:
    found = journal.tests.counted(id_of(row.test))
    paired = row.test.kind == PAIRED
    text = result_of(
        row.test.kind, found.right, found.answers,
        two_sided=paired and row.test.expected is None,
    )  # fmt: skip
    named = row.cheeses[found.named] if paired else ""
    return TestReport(
        of=between(row),
        sentence=result_words(text, row.test.kind, row.test.attribute, named),
        verdict=verdict_words(text, found.people),
        facts=[*_facts(text, row.test.kind, found.people), *_again(journal, row, text.answers)],
        picture="Share of people like these who can tell",
        dots=[Dot("can tell", text.share, text.low, text.high)],
        ends=(0.0, 1.0),
        percent=True,
        under="The dot is the share seen, guessing taken off; the line is its exact 95 % range. "
        "Repeated answers of one person count for that person only.",
    )


def _facts(text: TestResult, kind: str, people: int) -> list[str]:
    paired = kind == PAIRED
    what = "named it" if paired else "right"
    least = "no number is enough" if text.least is None else f"{text.least} or more"
    sides = ", both directions counted" if text.two_sided else ""
    return [
        f"{text.right} of {text.answers} {what}; at {percent(LEVEL)} it takes {least}{sides}.",
        f"Chance alone: {chance_words(text.p)}, by exact count.",
        f"Can tell: {percent(text.share)}, from {percent(text.low)} to {percent(text.high)} (exact "
        "95 % range).",
        *filter(None, [apart_by_words(text)]),
        *_similar(text, kind, people),
    ]


def _similar(text: TestResult, kind: str, people: int) -> list[str]:
    """Whether the cheeses are alike enough: where that can be asked, and is not answered yet."""
    found = similarity(kind, text.right, text.answers)
    asked = people >= text.answers and not text.two_sided
    return [similar_words(found)] if asked and (found.alike or not text.differs) else []


def _again(journal: Journal, row: TestRow, answers: int) -> list[str]:
    """What to think of answers that the same people gave again."""
    sets = journal.tests.sets(id_of(row.test))
    people = len({one.assessor for one in sets if one.answer})
    if people >= answers:
        return []
    who = "one person" if people == 1 else f"{people} people"
    return [
        f"{answers} answers by {who} can show a difference, but the share holds for "
        f"{'that person' if people == 1 else 'them'} only, and finding none says nothing."
    ]


def _ranking(journal: Journal, row: TestRow) -> TestReport:
    table = journal.tests.ranked(id_of(row.test))
    names, asked = row.cheeses, row.test.attribute
    if len(table) < 2:
        return TestReport(between(row), "One person's order is not a test.",
                    "Ask another person to rank them.", [], "Rank sums",
                    [Dot(n, float(r)) for n, r in zip(names, table[0], strict=True)],
                    (1.0, float(len(names))), False, "1 is the most.")  # fmt: skip
    found = ranking(table)
    order = sorted(range(len(names)), key=lambda i: found.sums[i])
    how = "every order counted" if found.exact else "orders drawn at random"
    return TestReport(
        of=between(row),
        sentence=ranking_words(found, names, asked),
        verdict=apart_words(found, names, journal.tests.people(id_of(row.test))),
        facts=[
            f"Friedman {found.friedman:.2f}, chance {chance_words(found.p)} ({how}).",
            f"Agreement (Kendall) {found.w:.2f}; 1 is the same order from everyone.",
            f"Least significant difference between two rank sums: {found.distance:.1f}.",
        ],
        picture=f"Rank sums: the smaller, the more {asked}",
        dots=[Dot(names[i], float(found.sums[i])) for i in order],
        ends=(float(found.assessors), float(found.assessors * len(names))),
        percent=False,
        under="Two cheeses differ where their rank sums are further apart than the least "
        "significant difference.",
    )
