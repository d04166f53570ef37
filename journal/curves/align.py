"""Moments of a make, and its traces counted from one of them."""

from __future__ import annotations

from typing import NamedTuple

from journal.curves import CurveError
from journal.records.kinds import reading_kind
from journal.records.traces import Floats
from journal.records.whole import WholeMake

# A moment, and the kind of stage whose begin it is; None is the make's own start.
MOMENTS: dict[str, str | None] = {
    "start": None,
    "rennet in": "set",
    "cut": "cut",
    "cook begins": "cook",
    "drain": "drain",
}


class Aligned(NamedTuple):
    """A trace counted from a moment: `minutes` (n,) ascending, below zero before it, `value`."""

    minutes: Floats
    value: Floats


def moment_ms(whole: WholeMake, name: str) -> int | None:
    """The instant of a moment, None when the make never came to it (or not yet).

    Raises
    ------
    CurveError
        When no moment has that name.
    """
    if name not in MOMENTS:
        raise CurveError("curves.no-moment", name=name, known=tuple(MOMENTS))
    kind = MOMENTS[name]
    if kind is None:
        return whole.make.started_ms
    run = whole.run_of(kind)
    return None if run is None else run.began_ms


def aligned(whole: WholeMake, kind: str, moment: str) -> Aligned:
    """The sound readings of a kind, in minutes from a moment.

    Raises
    ------
    CurveError
        When there is no such moment, or the make never came to it.
    """
    zero = moment_ms(whole, moment)
    if zero is None:
        raise CurveError("curves.moment-not-come", make=whole.make.code, moment=moment)
    trace = whole.trace(reading_kind(kind).key).sound()
    return Aligned(trace.minutes_from(zero), trace.value)
