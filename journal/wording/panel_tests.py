"""Panel tests in words: what they are, what is asked, how an answer is read."""

from __future__ import annotations

from collections.abc import Sequence

from journal.keeping import Journal
from journal.keeping.panel_sets import TestRow
from journal.keeping.session_rows import KeyRow
from journal.message import Instant
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
from journal.wording.sentences import kind_of_test, word_of, worded

_KINDS = (TRIANGLE, TETRAD, DUO_TRIO, TWO_OF_FIVE, PAIRED, RANKING)


def short_kinds() -> tuple[tuple[str, str], ...]:
    """Each kind with its short name, as it is chosen."""
    paired = worded("wording.test-short-paired-comparison")
    return tuple((kind, paired if kind == PAIRED else kind_of_test(kind)) for kind in _KINDS)


def meanings() -> dict[str, str]:
    """What each kind is."""
    return {kind: word_of("wording.test-is-", kind) for kind in _KINDS}


def question(test: PanelTest) -> str:
    """What an assessor is asked."""
    return word_of("wording.test-asks-", test.kind, attribute=test.attribute)


def ask_on_paper(test: PanelTest) -> str:
    """The same on a sheet of paper, without what there is to type."""
    return word_of("wording.test-paper-", test.kind, attribute=test.attribute)


def title(test: PanelTest) -> str:
    """Which test: "Triangle test of 14 March 2026"."""
    return word_of("wording.test-title-", test.kind, at=Instant(test.at_ms, test.zone))


def how_far(row: TestRow) -> str:
    """How many were right, or how far a test is; short, for a list."""
    if row.right is not None:
        return worded("wording.test-right", right=row.right, answered=row.answered)
    return worded("wording.hidden" if row.test.lifted_ms is None else "wording.revealed")


def between(row: TestRow) -> str:
    """What is compared, and for what."""
    asked = row.test.attribute
    which = "wording.test-between-asked" if asked else "wording.test-between"
    *first, last = row.cheeses
    return worded(which, first=first, last=last, asked=asked)


def key_rows(journal: Journal, test: PanelTest) -> list[KeyRow]:
    """For the helper alone: what is in each cup of each set."""
    return [
        KeyRow(
            worded("wording.test-set", number=number, who=who),
            code or worded("wording.test-reference"),
            cheese,
        )
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
            known = [one for one in codes if one]
            raise RecordError("wording.test-no-such-code", code=code, codes=known)
    if len(typed) != wanted or len(set(typed)) != wanted:
        if wanted == 1:
            raise RecordError("wording.test-type-one-code")
        raise RecordError("wording.test-type-codes", wanted=wanted)
    return tuple(codes.index(code) for code in typed)
