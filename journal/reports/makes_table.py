"""The list of makes as a table for a spreadsheet: every column, a make a row."""

from __future__ import annotations

from journal.keeping import MakeRow
from journal.records.instants import iso
from journal.records.makes import tags_of
from journal.reports.make_filter import state_of

TITLES = (
    "make", "name", "plan", "version", "began", "milk, L", "animal", "treatment", "milk from",
    "culture lot", "readings", "wheels", "green weight, kg", "yield, kg/100 L", "best score",
    "state", "tags",
)  # fmt: skip


def cells_of(row: MakeRow) -> list[str]:
    """The cells of a make, under the titles."""
    green = "" if row.yield_pct is None else f"{row.green_kg:.3f}"
    share = "" if row.yield_pct is None else f"{row.yield_pct:.2f}"
    score = "" if row.best_score is None else f"{row.best_score:.2f}"
    return [
        row.code, row.name, row.plan, str(row.plan_version), iso(row.started_ms, row.zone),
        f"{row.milk_l:.2f}", row.animal, row.treatment, row.source, row.culture_lot,
        str(row.readings), str(row.wheels), green, share, score, state_of(row),
        " ".join(tags_of(row.remark)),
    ]  # fmt: skip
