"""The ribbons as a table: each make's stages, when they began, how late they were, what was read
then."""

from __future__ import annotations

import numpy as np

from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.reports.ribbons import Lane, RibbonScene
from journal.wording import worded
from journal.wording.compare import score_words
from journal.wording.durations import from_start
from journal.wording.numbers import signed
from journal.wording.readings import value_text
from journal.wording.shown import shown_value, unit_shown

HEADS = (
    "make",
    "stage",
    "begins",
    "longer, min",
    "milk",
    "off the plan",
    "acidity",
    "target",
    "score",
)


def ribbon_values(scene: RibbonScene) -> ValueTable:
    """A line for each stage of each make, in the order of the ribbons; its key is the number of the
    ribbon."""
    rows = [row for number, lane in enumerate(scene.lanes) for row in _lane_rows(number, lane)]
    return table_of_rows(HEADS, rows)


def _lane_rows(number: int, lane: Lane) -> list[ValueRow]:
    course, row = lane.course, lane.ribbon.row
    met = {target.label: target.state for target in course.targets}
    out = []
    for stage in course.stages:
        temp, off = (float(read.at(stage.begin)) for read in (course.temp, course.off))
        acid = float(course.acid.at(stage.begin))
        at = float(lane.axis.to_position(stage.begin))
        cells = (
            row.code,
            stage.label,
            from_start(at),
            signed(stage.delay, 0) if abs(stage.delay) >= 0.5 else "",
            value_text("milk-temp", temp) if np.isfinite(temp) else "",
            _off(off) if np.isfinite(off) else "",
            value_text(course.acid.kind, acid) if np.isfinite(acid) else "",
            met.get(stage.label, ""),
            worded("wording.make-failed") if row.failed else score_words(row.best_score),
        )
        out.append(ValueRow(cells, at, key=number))
    return out


def _off(degrees: float) -> str:
    shown = signed(shown_value(degrees, "temperature_difference"), 1)
    return f"{shown} {unit_shown('°C')}"
