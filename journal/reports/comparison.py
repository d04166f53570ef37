"""A make beside other makes: read and calculated in the background, reduced to what is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from journal.background import State
from journal.curves import CurveError
from journal.curves.align import MOMENTS, aligned, moment_ms
from journal.curves.comparison_set import Band, band, difference, what_was_different
from journal.curves.reduce import Reduced, reduce
from journal.curves.unusual import Different
from journal.keeping import Journal
from journal.records.whole import WholeMake

COLUMNS = 900  # pixel columns a curve is reduced to
GAP_MIN = 45.0  # a line is not drawn over a longer silence
MOST = 24  # makes compared until one chooses
_ACIDITIES = ("curd-ph", "whey-ph", "milk-ph", "whey-acidity", "milk-acidity")


@dataclass(frozen=True)
class ComparisonRequest:
    """What to show: a make, the other makes, the moment to align at, the one to subtract."""

    make_id: int
    comparison_set: tuple[int, ...]
    moment: str = "start"
    other: int | None = None


@dataclass(frozen=True)
class Curves:
    """One kind of reading: this make, one other, the band of the others (None: fewer than two)."""

    kind: str
    mine: Reduced
    other: Reduced
    band: Band | None = None


@dataclass(frozen=True)
class Compared:
    """Everything the place shows. `problem` says why there is nothing to draw."""

    asked: ComparisonRequest
    code: str = ""
    other_code: str = ""
    temp: Curves | None = None
    acid: Curves | None = None
    difference: Reduced = field(default_factory=lambda: nothing())
    rows: tuple[Different, ...] = ()
    comparison_set: int = 0
    left_out: tuple[str, ...] = ()
    problem: str = ""


def nothing() -> Reduced:
    """A curve without points."""
    return Reduced(np.empty(0), np.empty(0))


def compare(journal: Journal, asked: ComparisonRequest, state: State) -> Compared:
    """Read the makes and lay them beside each other; runs in the background."""
    whole = journal.whole(asked.make_id)
    if moment_ms(whole, asked.moment) is None:
        words = f"{whole.make.code} has not reached “{asked.moment}”: choose another moment."
        return Compared(asked, whole.make.code, problem=words)
    wholes = _read(journal, asked, state)
    if wholes is None:
        return Compared(asked, whole.make.code)
    other = wholes.get(asked.other or 0)
    comparison_set = [wholes[i] for i in asked.comparison_set if i in wholes]
    there = [w for w in comparison_set if moment_ms(w, asked.moment) is not None]
    kind = _acidity_of(whole)
    return Compared(
        asked,
        whole.make.code,
        other.make.code if other is not None else "",
        _curves(whole, there, other, "milk-temp", asked.moment),
        None if kind is None else _curves(whole, there, other, kind, asked.moment),
        _difference(whole, other, asked.moment),
        tuple(what_was_different(whole, comparison_set)),
        len(comparison_set),
        tuple(w.make.code for w in comparison_set if w not in there),
    )


def moments_of(whole: WholeMake) -> list[str]:
    """The moments a make has reached."""
    return [name for name in MOMENTS if moment_ms(whole, name) is not None]


def _read(journal: Journal, asked: ComparisonRequest, state: State) -> dict[int, WholeMake] | None:
    """The makes to compare with, by id; None when the result is no longer wanted."""
    wanted = list(dict.fromkeys([*asked.comparison_set, *([asked.other] if asked.other else [])]))
    out: dict[int, WholeMake] = {}
    for done, make_id in enumerate(wanted):
        if state.stopped():
            return None
        out[make_id] = journal.whole(make_id)
        state.progress((done + 1) / len(wanted))
    return out


def _acidity_of(whole: WholeMake) -> str | None:
    """The kind of acidity to compare: the first that was read more than once."""
    counts = {kind: len(whole.trace(kind).sound()) for kind in _ACIDITIES}
    return next((kind for kind in _ACIDITIES if counts[kind] > 1), None)


def _curves(
    whole: WholeMake,
    comparison_set: Sequence[WholeMake],
    other: WholeMake | None,
    kind: str,
    moment: str,
) -> Curves:
    found = band(comparison_set, kind, moment)
    return Curves(
        kind,
        _reduced(whole, kind, moment),
        nothing() if other is None else _reduced(other, kind, moment),
        found if found.makes > 1 else None,
    )


def _reduced(whole: WholeMake, kind: str, moment: str) -> Reduced:
    try:
        curve = aligned(whole, kind, moment)
    except CurveError:
        return nothing()
    return reduce(curve.minutes, curve.value, COLUMNS, gap=GAP_MIN)


def _difference(whole: WholeMake, other: WholeMake | None, moment: str) -> Reduced:
    if other is None:
        return nothing()
    try:
        curve = difference(whole, other, "milk-temp", moment)
    except CurveError:
        return nothing()
    return reduce(curve.minutes, curve.value, COLUMNS, gap=GAP_MIN)
