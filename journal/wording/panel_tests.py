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
from journal.wording.sentences import worded

_SHORT = {
    TRIANGLE: "wording.test-short-triangle",
    TETRAD: "wording.test-short-tetrad",
    DUO_TRIO: "wording.test-short-duo-trio",
    TWO_OF_FIVE: "wording.test-short-two-of-five",
    PAIRED: "wording.test-short-paired",
    RANKING: "wording.test-short-ranking",
}
_MEANT = {
    TRIANGLE: "wording.test-is-triangle",
    TETRAD: "wording.test-is-tetrad",
    DUO_TRIO: "wording.test-is-duo-trio",
    TWO_OF_FIVE: "wording.test-is-two-of-five",
    PAIRED: "wording.test-is-paired",
    RANKING: "wording.test-is-ranking",
}
_ASKED = {
    TRIANGLE: "wording.test-asks-triangle",
    TETRAD: "wording.test-asks-tetrad",
    DUO_TRIO: "wording.test-asks-duo-trio",
    TWO_OF_FIVE: "wording.test-asks-two-of-five",
    PAIRED: "wording.test-asks-paired",
    RANKING: "wording.test-asks-ranking",
}
_ON_PAPER = {
    TRIANGLE: "wording.test-paper-triangle",
    TETRAD: "wording.test-paper-tetrad",
    DUO_TRIO: "wording.test-paper-duo-trio",
    TWO_OF_FIVE: "wording.test-paper-two-of-five",
    PAIRED: "wording.test-paper-paired",
    RANKING: "wording.test-paper-ranking",
}
_TITLES = {
    TRIANGLE: "wording.test-title-triangle",
    TETRAD: "wording.test-title-tetrad",
    DUO_TRIO: "wording.test-title-duo-trio",
    TWO_OF_FIVE: "wording.test-title-two-of-five",
    PAIRED: "wording.test-title-paired",
    RANKING: "wording.test-title-ranking",
}


def short_kinds() -> tuple[tuple[str, str], ...]:
    """Each kind with its short name, as it is chosen."""
    return tuple((kind, worded(said)) for kind, said in _SHORT.items())


def meanings() -> dict[str, str]:
    """What each kind is."""
    return {kind: worded(said) for kind, said in _MEANT.items()}


def question(test: PanelTest) -> str:
    """What an assessor is asked."""
    return worded(_ASKED[test.kind], attribute=test.attribute)


def ask_on_paper(test: PanelTest) -> str:
    """The same on a sheet of paper, without what there is to type."""
    return worded(_ON_PAPER[test.kind], attribute=test.attribute)


def title(test: PanelTest) -> str:
    """Which test: "Triangle test of 14 March 2026"."""
    return worded(_TITLES[test.kind], at=Instant(test.at_ms, test.zone))


def far(row: TestRow) -> str:
    """How many were right, or how far a test is; short, for a list."""
    if row.right is not None:
        return worded("wording.test-right", right=row.right, answered=row.answered)
    return worded("wording.test-hidden" if row.test.lifted_ms is None else "wording.test-revealed")


def between(row: TestRow) -> str:
    """What is compared, and for what."""
    asked = row.test.attribute
    said = "wording.test-between-asked" if asked else "wording.test-between"
    *first, last = row.cheeses
    return worded(said, first=first, last=last, asked=asked)


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
