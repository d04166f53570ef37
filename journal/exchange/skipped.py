"""Why rows and values of a file are left out: a key each, as JSON has it, and how it is said."""

from __future__ import annotations

from collections.abc import Mapping

from journal.wording import worded

EMPTY_CELL = "empty value"
NOT_A_NUMBER = "not a number"
WRONG_UNIT = "a unit that does not fit"
NO_TIME = "impossible time"
IMPOSSIBLE_VALUE = "outside what is possible"
REPEATED_HEADER = "repeated header"
TWICE = "duplicate"
ALREADY = "already in the journal"
NO_DATE = "no date"
NO_ROLE = "neither a variable nor a score"
IMPOSSIBLE = "an impossible amount"
SUMMING = "a row of sums"
_SENTENCES = {
    EMPTY_CELL: "exchange.empty-value",
    NOT_A_NUMBER: "exchange.value-no-number",
    WRONG_UNIT: "exchange.wrong-unit",
    NO_TIME: "exchange.impossible-time",
    IMPOSSIBLE_VALUE: "exchange.impossible-value",
    REPEATED_HEADER: "exchange.repeated-header",
    TWICE: "exchange.duplicate",
    ALREADY: "exchange.already-here",
    NO_DATE: "exchange.no-date",
    NO_ROLE: "exchange.no-role",
    IMPOSSIBLE: "exchange.impossible-amount",
    SUMMING: "exchange.row-of-sums",
}


def reason_texts(reasons: Mapping[str, int]) -> dict[str, int]:
    """The count of each reason by its name in the language in use."""
    return {worded(_SENTENCES[reason]): count for reason, count in reasons.items()}
