"""Day first, month first or year first: decided by the dates themselves where they can."""

from __future__ import annotations

import numpy as np

from journal.exchange.loggers.patterns import Ints
from journal.exchange.loggers.stamps import ALL_SHORT, YEAR_LAST, Parts, date_ms

_WORDS = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}
_CLEARLY = 5  # a step this many times longer speaks against an order


def in_words(order: str) -> str:
    """ "day first" for "dmy" and so on."""
    return _WORDS[order]


def decide_order(parts: Parts, clock_ms: Ints) -> tuple[str, str]:
    """The order of the dates and the reason, as a sentence; ("", reason) when undecided.

    Parameters
    ----------
    parts
        The dates, in the file's order.
    clock_ms
        (n,) times of day that go with them, 0 where there are none.
    """
    open_rows = (parts.form == YEAR_LAST) | (parts.form == ALL_SHORT)
    if not open_rows.any():
        return "ymd", ""
    orders = ["dmy", "mdy"] + (["ymd"] if not (parts.form == YEAR_LAST).any() else [])
    times = {}
    good = {}
    for order in orders:
        midnight, exists = date_ms(parts, order)
        times[order] = (midnight + np.maximum(clock_ms, 0))[exists & open_rows]
        good[order] = int((exists & open_rows).sum())
    most = max(good.values())
    likely = [order for order in orders if good[order] == most > 0]
    if len(likely) == 1:
        why = "some numbers are too high to be anything else"
        return likely[0], f"Dates are {_WORDS[likely[0]]}: {why}."
    return _by_course(likely, times)


def _by_course(likely: list[str], times: dict[str, Ints]) -> tuple[str, str]:
    """Choose the order in which the times run on in the smallest, steadiest steps."""
    first = times[likely[0]] if likely else np.empty(0, np.int64)
    if likely and all(np.array_equal(times[order], first) for order in likely):
        return likely[0], ""
    back = {order: _turns(times[order]) for order in likely}
    fewest = min(back.values(), default=0)
    likely = [order for order in likely if back[order] == fewest]
    if len(likely) > 1:
        steps = {order: _longest_step(times[order]) for order in likely}
        shortest = min(steps.values())
        likely = [order for order in likely if steps[order] < _CLEARLY * max(shortest, 1)]
    if len(likely) == 1:
        why = "only so do the rows follow one another"
        return likely[0], f"Dates are {_WORDS[likely[0]]}: {why}."
    return "", "The dates could be day first or month first. Say which."


def _turns(at_ms: Ints) -> int:
    """How many steps go against the file's main direction."""
    steps = np.diff(at_ms)
    return int(min((steps < 0).sum(), (steps > 0).sum()))


def _longest_step(at_ms: Ints) -> int:
    return int(np.abs(np.diff(at_ms)).max(initial=0))
