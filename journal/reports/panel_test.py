"""A revealed test: the sentence, what follows, the figures, and what is drawn beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.findings.panel_tests import LEVEL, TestResult, result_of, similarity
from journal.findings.ranking import ranking
from journal.keeping import Journal
from journal.keeping.panel_sets import TestRow
from journal.message import Message
from journal.records import id_of
from journal.records.panel_tests import PAIRED, RANKING
from journal.wording import worded
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
        picture=worded("reports.share-who-can-tell"),
        dots=[Dot(worded("reports.can-tell"), text.share, text.low, text.high)],
        ends=(0.0, 1.0),
        percent=True,
        under=worded("reports.what-the-dot-is"),
    )


def _facts(text: TestResult, kind: str, people: int) -> list[str]:
    least = Message("reports.none-is-enough")
    if text.least is not None:
        least = Message("wording.or-more", count=text.least)
    return [
        worded("reports.right-of", right=text.right, answers=text.answers, named=kind == PAIRED,
               level=LEVEL, least=least, two_sided=text.two_sided),
        worded("reports.chance-alone", chance=chance_words(text.p)),
        worded("reports.share-and-range", share=text.share, low=text.low, high=text.high),
        *filter(None, [apart_by_words(text)]),
        *_similar(text, kind, people),
    ]  # fmt: skip


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
    which = "reports.answers-of-one" if people == 1 else "reports.answers-of-few"
    return [worded(which, answers=answers, people=people)]


def _ranking(journal: Journal, row: TestRow) -> TestReport:
    table = journal.tests.ranked(id_of(row.test))
    names, asked = row.cheeses, row.test.attribute
    if len(table) < 2:
        return TestReport(between(row), worded("reports.order-of-one"),
                    worded("reports.ask-another"), [], worded("reports.rank-sums"),
                    [Dot(n, float(r)) for n, r in zip(names, table[0], strict=True)],
                    (1.0, float(len(names))), False, worded("reports.one-is-most"))  # fmt: skip
    found = ranking(table)
    order = sorted(range(len(names)), key=lambda i: found.sums[i])
    friedman = "reports.friedman" if found.exact else "reports.friedman-drawn"
    return TestReport(
        of=between(row),
        sentence=ranking_words(found, names, asked),
        verdict=apart_words(found, names, journal.tests.people(id_of(row.test))),
        facts=[
            worded(friedman, value=found.friedman, chance=chance_words(found.p)),
            worded("reports.kendall", value=found.w),
            worded("reports.least-difference", value=found.distance),
        ],
        picture=worded("reports.rank-sums-of", asked=asked),
        dots=[Dot(names[i], float(found.sums[i])) for i in order],
        ends=(float(found.assessors), float(found.assessors * len(names))),
        percent=False,
        under=worded("reports.where-two-differ"),
    )
