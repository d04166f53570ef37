"""Panel tests in words: what they are, what is asked, how an answer is read."""

from __future__ import annotations

from collections.abc import Sequence

from journal.keeping import Journal
from journal.keeping.panel_sets import TestRow
from journal.keeping.session_rows import KeyRow
from journal.records import RecordError, id_of
from journal.records.panel_tests import (
    DUO_TRIO,
    PAIRED,
    PICKED,
    RANKING,
    TETRAD,
    TRIANGLE,
    TWO_OF_FIVE,
    PanelTest,
)
from journal.wording.dates import day_words

SHORT = (
    (TRIANGLE, "triangle"),
    (TETRAD, "tetrad"),
    (DUO_TRIO, "duo-trio"),
    (TWO_OF_FIVE, "two-out-of-five"),
    (PAIRED, "paired"),
    (RANKING, "ranking"),
)
MEANT = {
    TRIANGLE: "Three cups, two of them alike: which is the odd one? (ISO 4120)",
    TETRAD: "Four cups, two of each cheese: which two are alike? With the same people it shows "
    "more than a triangle.",
    DUO_TRIO: "A cup that is named as the reference, and two more: which is like it? (ISO 10399)",
    TWO_OF_FIVE: "Five cups, three alike and two alike: which are the two? Tiring, but it shows "
    "much with few people.",
    PAIRED: "Two cups: which has more of one thing, like bitter? (ISO 5495)",
    RANKING: "Three cups or more, put in order from the most of one thing to the least. (ISO 8587)",
}


def question(test: PanelTest) -> str:
    """What an assessor is asked."""
    return {
        TRIANGLE: "Which cup is the odd one? Type its code.",
        TETRAD: "Make two pairs of like cups. Type the two codes of one pair.",
        DUO_TRIO: "Which cup is like the reference? Type its code.",
        TWO_OF_FIVE: "Which two are alike and unlike the other three? Type both codes.",
        PAIRED: f"Which is more {test.attribute}? Type its code.",
        RANKING: f"From the most {test.attribute} to the least: type all the codes in order.",
    }[test.kind]


def ask_on_paper(test: PanelTest) -> str:
    """The same on a sheet of paper, without what there is to type."""
    return {
        TRIANGLE: "Which cup is the odd one?",
        TETRAD: "Make two pairs of like cups: which two are one pair?",
        DUO_TRIO: "Which cup is like the reference?",
        TWO_OF_FIVE: "Which two are alike and unlike the other three?",
        PAIRED: f"Which is more {test.attribute}?",
        RANKING: f"From the most {test.attribute} to the least: write 1, 2, 3 and so on.",
    }[test.kind]


def title(test: PanelTest) -> str:
    """Which test: "Triangle test of 14 March 2026"."""
    named = test.kind if "test" in test.kind else f"{test.kind} test"
    if test.kind in (PAIRED, RANKING):
        named = test.kind
    return f"{named.capitalize()} of {day_words(test.at_ms, test.zone)}"


def far(row: TestRow) -> str:
    """How many were right, or how far a test is; short, for a list."""
    if row.right is not None:
        return f"{row.right} of {row.answered}"
    return "hidden" if row.test.lifted_ms is None else "revealed"


def between(row: TestRow) -> str:
    """What is compared, and for what."""
    asked = f", {row.test.attribute}" if row.test.attribute else ""
    *first, last = row.cheeses
    return f"{', '.join(first)} and {last}{asked}"


def key_rows(journal: Journal, test: PanelTest) -> list[KeyRow]:
    """For the helper alone: what is in each cup of each set."""
    return [
        KeyRow(f"set {number}, {who}", code or "reference", cheese)
        for number, (who, cups) in enumerate(journal.tests.key(id_of(test)), 1)
        for code, cheese in cups
    ]


def read_answer(text: str, kind: str, codes: Sequence[str]) -> tuple[int, ...]:
    """The places of the cups whose codes are typed, in the order they are typed.

    Raises
    ------
    RecordError
        When a code is none of this set's, comes twice, or there are too few or too many.
    """
    typed = text.replace(",", " ").replace(";", " ").split()
    wanted = len(codes) if kind == RANKING else PICKED[kind]
    for code in typed:
        if code not in codes:
            known = ", ".join(c for c in codes if c)
            raise RecordError(f"There is no {code} in this set: it has {known}.")
    if len(typed) != wanted or len(set(typed)) != wanted:
        count = "one code" if wanted == 1 else f"{wanted} codes, each once"
        raise RecordError(f"Type {count}.")
    return tuple(codes.index(code) for code in typed)
