"""The list of makes as a table for a spreadsheet: every column, a make a row."""

from __future__ import annotations

from journal.keeping import MakeRow
from journal.records.instants import iso
from journal.records.makes import tags_of
from journal.wording.makes import make_state_words
from journal.wording.shown import YIELD, figure, unit_shown


def titles() -> tuple[str, ...]:
    """What stands above the columns, with the units in use."""
    return (
        "make", "name", "plan", "version", "began", f"milk, {unit_shown('L')}", "animal",
        "treatment", "milk from", "culture lot", "readings", "wheels",
        f"green weight, {unit_shown('kg')}", f"yield, {unit_shown(YIELD)}", "best score", "state",
        "tags",
    )  # fmt: skip


def cells_of(row: MakeRow) -> list[str]:
    """The cells of a make, under the titles."""
    green = "" if row.yield_pct is None else figure(row.green_kg, "kg", 3).text
    share = "" if row.yield_pct is None else figure(row.yield_pct, YIELD, 2).text
    score = "" if row.best_score is None else f"{row.best_score:.2f}"
    return [
        row.code, row.name, row.plan, str(row.plan_version), iso(row.started_ms, row.zone),
        figure(row.milk_l, "L", 2).text, row.animal, row.treatment, row.source, row.culture_lot,
        str(row.readings), str(row.wheels), green, share, score, make_state_words(row, row.verdict),
        " ".join(tags_of(row.remark)),
    ]  # fmt: skip
