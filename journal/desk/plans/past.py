"""The makes already run from a plan, as the quiet bands under its curve."""

from __future__ import annotations

from dataclasses import dataclass

from journal.curves.company import Band, band
from journal.desk.work import State
from journal.keeping import Journal
from journal.records.whole import WholeMake

MOST = 24  # the newest makes of the plan that are read


@dataclass(frozen=True)
class PastMakes:
    """Bands on the makes' own clock from their start; None where fewer than two were read."""

    plan: str = ""
    temp: Band | None = None
    ph: Band | None = None
    makes: int = 0


def past_makes(journal: Journal, plan: str, state: State) -> PastMakes:
    """Read the newest finished makes of a plan; runs in the background."""
    rows = [
        row
        for row in journal.makes.rows()
        if row.plan == plan and row.readings and row.finished_ms is not None and not row.failed
    ][:MOST]
    wholes: list[WholeMake] = []
    for done, row in enumerate(rows):
        if state.stopped():
            return PastMakes()
        wholes.append(journal.whole(row.id))
        state.progress((done + 1) / len(rows))
    return PastMakes(plan, _band(wholes, "milk-temp"), _band(wholes, "curd-ph"), len(wholes))


def _band(wholes: list[WholeMake], kind: str) -> Band | None:
    having = [whole for whole in wholes if len(whole.trace(kind))]
    return band(having, kind, "start") if len(having) > 1 else None
