"""The two sentences of a study: what is known and what is not."""

from __future__ import annotations

from journal.findings.evidence import CLEAR, LEANING, LEAST_MAKES, MOST_MORE, NEVER, UNKNOWN, UNTOLD
from journal.quantities.counts import listed

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")

Told = dict[str, list[list[str]]]
"""Names by evidence word; names that moved together share a list."""


def count(number: int) -> str:
    """Write a number up to ten as a word."""
    return _COUNTS[number] if 0 <= number < len(_COUNTS) else str(number)


def headline(makes: int, told: Told) -> str:
    """Say in one sentence what is known."""
    if makes < LEAST_MAKES:
        return f"{count(makes).capitalize()} {_makes(makes)} can tell nothing yet."
    clear, leaning = told[CLEAR], told[LEANING]
    if len(clear) == 1:
        return f"One thing goes with the score so far: {listed(clear[0])}."
    if clear:
        return f"{count(len(clear)).capitalize()} things go with the score so far."
    if len(leaning) == 1:
        return f"Nothing is clear yet; {listed(leaning[0])} leans."
    if leaning:
        return f"Nothing is clear yet; {count(len(leaning))} things lean."
    return "Nothing goes with the score as far as can be told."


def doubt(makes: int, tried: int, told: Told, nearest: tuple[str, int] | None) -> str:
    """Say in one sentence what is not known; `nearest` is what fewest more makes would settle."""
    if makes < LEAST_MAKES:
        return (
            f"Ranges begin at {count(LEAST_MAKES)} makes: fewer than five can never reach 5 % "
            "in a rank test."
        )
    names = [name for group in told[UNTOLD] for name in group]
    lean = [name for group in told[LEANING] for name in group]
    if names:
        looked = f"Of {count(tried)} {_variables(tried)} looked at"
        which = names[0] if len(names) == 1 else count(len(names))
        return f"{looked}, {which} cannot be told yet{_soonest(nearest)}."
    if lean:
        return f"What leans may still be chance{_soonest(nearest)}."
    if told[UNKNOWN] and not told[CLEAR]:
        return "What varied is known of too few makes, so nothing could show."
    if told[NEVER] and not told[CLEAR]:
        return "No variable ever varied, so nothing could show."
    return "What goes with the score need not be what made it better."


def _soonest(nearest: tuple[str, int] | None) -> str:
    if nearest is None:
        return ""
    name, more = nearest
    about = "at least" if more >= MOST_MORE else "about"
    return f"; soonest, {about} {count(more)} more {_makes(more)} would settle {name}"


def _makes(number: int) -> str:
    return "make" if number == 1 else "makes"


def _variables(number: int) -> str:
    return "variable" if number == 1 else "variables"
