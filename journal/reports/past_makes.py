"""The makes already run from a plan: bands under its curve, and what they say about the vat."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import islice

from journal.background import State
from journal.curves.acidity import fit, has_acid
from journal.curves.comparison_set import Band, band
from journal.curves.heating import vessel_of
from journal.curves.snapshot import EarlierMakes
from journal.keeping import Journal, MakeRow
from journal.records.timers import FLOCCULATION
from journal.records.whole import WholeMake

MOST = 24  # the newest makes of the plan that are read
BESIDE_MOST = 12  # of them are drawn under a make that runs
VESSELS_MOST = 6  # of these show how the vat warms


@dataclass(frozen=True)
class PastMakes:
    """Bands on the makes' own clock from their start; None where fewer than two were read."""

    plan: str = ""
    temp: Band | None = None
    ph: Band | None = None
    makes: int = 0


def past_makes(journal: Journal, plan: str, state: State) -> PastMakes:
    """Read the newest finished makes of a plan; runs in the background."""

    def over(row: MakeRow) -> bool:
        return row.finished_ms is not None and not row.failed

    wholes = _read(journal, plan, over, MOST, state)
    if wholes is None:
        return PastMakes()
    return PastMakes(plan, _band(wholes, "milk-temp"), _band(wholes, "curd-ph"), len(wholes))


def past_of(
    journal: Journal, make_id: int, plan: str, before_ms: int, state: State
) -> EarlierMakes:
    """The makes of a plan before one make; runs in the background."""

    def earlier(row: MakeRow) -> bool:
        return row.id != make_id and row.started_ms < before_ms

    wholes = _read(journal, plan, earlier, BESIDE_MOST, state)
    if wholes is None:
        return EarlierMakes()
    fits = tuple(fit(w) for w in wholes if has_acid(w))
    flocs = tuple(took for whole in wholes for took in _floc_min(whole))
    vessels = tuple(vessel_of(w) for w in wholes[:VESSELS_MOST] if not state.stopped())
    return EarlierMakes(
        _band(wholes, "milk-temp"), _band(wholes, "curd-ph"), fits, len(wholes), flocs, vessels
    )


def _read(
    journal: Journal, plan: str, wanted: Callable[[MakeRow], bool], most: int, state: State
) -> list[WholeMake] | None:
    """The newest makes of a plan that are wanted and have readings; None when stopped."""
    found = (row for row in journal.makes.rows_of_plan(plan) if row.readings and wanted(row))
    rows = list(islice(found, most))
    wholes: list[WholeMake] = []
    for done, row in enumerate(rows):
        if state.stopped():
            return None
        wholes.append(journal.whole(row.id))
        state.progress((done + 1) / len(rows))
    return wholes


def _floc_min(whole: WholeMake) -> list[float]:
    tests = [timer for timer in whole.timers if timer.name == FLOCCULATION]
    return [timer.took_min for timer in tests if timer.took_min]


def _band(wholes: Sequence[WholeMake], kind: str) -> Band | None:
    having = [whole for whole in wholes if len(whole.trace(kind))]
    return band(having, kind, "start") if len(having) > 1 else None
