"""Day first, month first or year first: decided by the dates themselves where they can."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from journal.exchange.loggers.mapping import DATE_ORDERS
from journal.exchange.loggers.patterns import Ints
from journal.exchange.loggers.stamps import ALL_SHORT, YEAR_LAST, Parts, date_ms
from journal.message import Message

_CLEARLY = 5  # a step this many times longer speaks against an order
_SLIPS = 20  # one date in so many may be a typing error


class Order(NamedTuple):
    """The order of the dates ("" when undecided) and why.

    `mixed` says that the file holds dates of two orders, so that none fits.
    """

    order: str
    reason: Message | None = None
    mixed: bool = False


def decide_order(parts: Parts, clock_ms: Ints, *, steady: bool = True) -> Order:
    """Decide between day, month and year first.

    Parameters
    ----------
    parts
        The dates, in the file's order.
    clock_ms
        (n,) times of day that go with them, 0 where there are none.
    steady
        Whether the rows follow one another steadily, as a logger's do: then their course decides
        where no number does. The dates of makes are no such rows.
    """
    open_rows = (parts.form == YEAR_LAST) | (parts.form == ALL_SHORT)
    if not open_rows.any():
        return Order("ymd")
    orders = ["dmy", "mdy"] + (["ymd"] if not (parts.form == YEAR_LAST).any() else [])
    times, good = {}, {}
    for order in orders:
        midnight, exists = date_ms(parts, order)
        good[order] = exists & open_rows
        times[order] = (midnight + np.maximum(clock_ms, 0))[good[order]]
    most = max(int(fits.sum()) for fits in good.values())
    likely = [order for order in orders if int(good[order].sum()) == most > 0]
    if _mixed(list(good.values()), most):
        return Order("", Message("exchange.dates-mixed"), True)
    if len(likely) == 1:
        return _as(likely[0], "exchange.dates-by-high-numbers")
    if likely and all(np.array_equal(times[order], times[likely[0]]) for order in likely):
        return Order(likely[0])
    return _by_course(likely, times) if steady else _open(likely)


def _mixed(good: list[NDArray[np.bool_]], most: int) -> bool:
    """Whether more dates than typing errors fit another order only."""
    real = int(np.logical_or.reduce(good).sum())
    return (real - most) * _SLIPS > most


def _as(order: str, why: str) -> Order:
    return Order(order, Message(why, order=DATE_ORDERS[order]))


def _open(likely: list[str]) -> Order:
    if len(likely) > 2:
        return Order("", Message("exchange.dates-open-in-three"))
    one, other = (DATE_ORDERS[order] for order in likely or ("dmy", "mdy"))
    return Order("", Message("exchange.dates-open", one=one, other=other))


def _by_course(likely: list[str], times: dict[str, Ints]) -> Order:
    """Choose the order in which the times run on in the smallest, steadiest steps."""
    back = {order: _turns(times[order]) for order in likely}
    fewest = min(back.values(), default=0)
    forward = [order for order in likely if back[order] == fewest]
    if len(forward) == 1:
        only = "exchange.dates-by-sequence"
        return _as(forward[0], only if fewest == 0 else "exchange.dates-by-fewest-back")
    steps = {order: _longest_step(times[order]) for order in forward}
    shortest = min(steps.values(), default=0)
    near = [order for order in forward if steps[order] < _CLEARLY * max(shortest, 1)]
    if len(near) == 1:
        return _as(near[0], "exchange.dates-by-shortest-steps")
    return _open(near)


def _turns(at_ms: Ints) -> int:
    """How many steps go against the file's main direction."""
    steps = np.diff(at_ms)
    return int(min((steps < 0).sum(), (steps > 0).sum()))


def _longest_step(at_ms: Ints) -> int:
    return int(np.abs(np.diff(at_ms)).max(initial=0))
