"""Stages of a make by name, moments at which they begin, and traces counted from one of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from journal.curves import CurveError
from journal.records.kinds import STAGE_KINDS, reading_kind
from journal.records.traces import Floats
from journal.records.whole import WholeMake

START = "start"  # the make's own start; every other moment is the begin of a stage


class Aligned(NamedTuple):
    """A trace counted from a moment: `minutes` (n,) ascending, below zero before it, `value`."""

    minutes: Floats
    value: Floats


def stage_keys(kinds: Sequence[str]) -> list[str]:
    """What stages are known by in every make: their kind, counted from the second of it on."""
    out: list[str] = []
    for index, kind in enumerate(kinds):
        number = list(kinds[: index + 1]).count(kind)
        out.append(kind if number == 1 else f"{kind} {number}")
    return out


def moment_ms(whole: WholeMake, name: str) -> int | None:
    """The instant of a moment ("start", "cook", "press 2"), None when the make never came to it
    (or not yet).

    Raises
    ------
    CurveError
        When no moment has that name.
    """
    if name == START:
        return whole.make.started_ms
    if name.partition(" ")[0] not in STAGE_KINDS:
        raise CurveError("curves.no-moment", name=name, known=(START, *STAGE_KINDS))
    keys = stage_keys([run.kind for run in whole.runs])
    return whole.runs[keys.index(name)].began_ms if name in keys else None


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
