"""Which readings of a day from paper would have been asked about at the vat."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from journal.curves.trend import doubtful_among
from journal.records.paper_day import PaperLine, runs_as_typed
from journal.records.traces import DOUBTFUL, Floats, Instants
from journal.records.whole import WholeMake


@dataclass(frozen=True)
class PaperDoubt:
    """A reading that is far from where its curve was going: `last` is the one before it, None
    where it is odd by itself."""

    row: int
    cell: str
    kind: str
    value: float
    last: float | None


def doubts_among(
    whole: WholeMake,
    started_ms: int,
    lines: Sequence[PaperLine],
    corrected: Callable[[str, float, int], float],
) -> list[PaperDoubt]:
    """The doubtful ones, with the stages as the rows have them; `corrected` gives what a kind's
    value at an instant is by the check of its instrument."""
    runs = runs_as_typed(whole.runs, started_ms, lines)
    make = replace(whole.make, started_ms=started_ms)
    typed = replace(whole, make=make, runs=runs)
    by_kind: dict[str, list[tuple[int, float, PaperLine, str]]] = {}
    for line in lines:
        for cell, kind, value in line.values():
            real = corrected(kind, value, line.at_ms)
            by_kind.setdefault(kind, []).append((line.at_ms, real, line, cell))
    found = []
    for kind, some in by_kind.items():
        at = np.array([one[0] for one in some], np.int64)
        read = np.array([one[1] for one in some], np.float64)
        doubtful = doubtful_among(typed, kind, at, read)
        for i in np.flatnonzero(doubtful).tolist():
            last = _before(typed, kind, i, at, read, doubtful)
            found.append(PaperDoubt(some[i][2].row, some[i][3], kind, float(read[i]), last))
    return sorted(found, key=_row)


def _before(
    whole: WholeMake,
    kind: str,
    i: int,
    at: Instants,
    value: Floats,
    doubtful: npt.NDArray[np.bool_],
) -> float | None:
    """The sure reading before one, typed or in the journal."""
    known = whole.trace(kind).sound().between(whole.make.started_ms, int(at[i]))
    sure = (known.flags & DOUBTFUL) == 0
    pairs = list(zip(known.at_ms[sure].tolist(), known.value[sure].tolist(), strict=True))
    pairs += [(int(at[k]), float(value[k])) for k in range(i) if not doubtful[k]]
    return float(max(pairs)[1]) if pairs else None


def _row(one: PaperDoubt) -> int:
    return one.row
