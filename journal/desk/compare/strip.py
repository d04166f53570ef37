"""Below Compare: what the marks mean, and all makes of the journal by their score."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QWidget

from journal.desk.charts.marks import (
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    Scene,
    ScenePoint,
    TextMark,
)
from journal.desk.charts.view import SceneView
from journal.desk.theme import SMALL, STEP, font, scaled
from journal.keeping import MakeRow
from journal.records.traces import Floats
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.languages import translated

_LEFT = 38 * STEP
_MANY = 400  # dots from which on they are small
_LEGEND = 5 * STEP
_FLOOR = 3 * STEP  # px below the scores, for makes that have none
_LOOKS = ("past", "past_line", 1.0), ("ink", "ink", 1.6), ("paper", "ink", 1.8)
_ROLES = "temperature", "acidity", "ink"
_LONG = (
    "above a ribbon: warmer or colder than planned",
    "below it: acidity, ● target met, ○ missed",
    "+13: minutes longer than planned",
)
_SHORT = ("above: warmer or colder", "below: acidity, ● met, ○ missed", "+13: minutes longer")


class ScoresStrip(SceneView):
    """Draws every scored make as a dot, one without a score as a stroke on the floor, the open one
    as a ring; a point's key is the make's id."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("All makes by score", parent=parent)
        self.show_makes((), None, ())

    def show_makes(self, rows: Sequence[MakeRow], mine: int | None, beside: Sequence[int]) -> None:
        """Draw these; `beside` are those that are compared."""
        shown = sorted((r for r in rows if _is_shown(r) or r.id == mine), key=_began)
        scored = sum(row.best_score is not None for row in shown)
        rest = len(shown) - scored
        key = "desk.makes-with-a-score-and-without" if rest else "desk.makes-with-a-score"
        build = partial(scores_scene, shown, mine, frozenset(beside))
        self.tell(build, worded(key, scored=scored, rest=rest))


def scores_scene(
    rows: Sequence[MakeRow], mine: int | None, beside: frozenset[int], wide: float, high: float
) -> Scene:
    """The makes, their day along, their score up; what is compared lies over all others, the open
    one over that."""
    top, bottom = scaled(_LEGEND) + 12.0, high - 8.0
    along, up = _shares(rows)
    scored = np.isfinite(up)
    floor = bottom if scored.all() else bottom - scaled(_FLOOR)
    heights = np.where(scored, floor - up * (floor - top), bottom).tolist()
    usual = 4.0 if len(rows) <= _MANY else 2.0
    layers: tuple[list[Mark], ...] = [], [], []
    points = []
    for row, x, y in zip(rows, along.tolist(), heights, strict=True):
        level = 2 if row.id == mine else int(row.id in beside)
        fill, edge, width = _LOOKS[level]
        reach = (usual, max(usual, 3.0), 5.5)[level]
        if row.best_score is None and level < 2:
            layers[level].append(LineMark((x, x), (y - reach, y + reach), edge, width))
        else:
            layers[level].append(DotMark(x, y, 2 * reach, fill, edge, width))
        best = row.best_score
        score = worded("wording.compare-not-scored") if best is None else f"{best:.1f}"
        words = f"{row.code}, {short_day(row.started_ms, row.zone)}: {score}"
        points.append(ScenePoint(x, y, words, row.id))
    scale = MarkScale((0.0, 1.0), (scaled(_LEFT), wide - 4 * STEP))
    title = TextMark(
        0, (scaled(_LEGEND) + high) / 2 + 6, translated("All makes, by score"), base=True
    )
    return Scene(
        [*_legend(wide), title, Scene([*layers[0], *layers[1], *layers[2]], scale, points=points)]
    )


def _legend(wide: float) -> list[TextMark]:
    metrics = QFontMetricsF(font(SMALL))
    long, short = (tuple(map(translated, words)) for words in (_LONG, _SHORT))
    rooms = [metrics.horizontalAdvance(words) + 6 * STEP for words in long]
    legend = long if sum(rooms) <= wide else short
    left, out = 0.0, []
    for words, role in zip(legend, _ROLES, strict=True):
        out.append(TextMark(left, scaled(11), words, role, base=True))
        left += metrics.horizontalAdvance(words) + 6 * STEP
    return out


def _shares(rows: Sequence[MakeRow]) -> tuple[Floats, Floats]:
    """How far each make stands along and up, shares of the strip; NaN up for one without a
    score."""
    began = np.array([row.started_ms for row in rows], float)
    score = np.array([np.nan if r.best_score is None else r.best_score for r in rows])
    known = score[np.isfinite(score)]
    low, high = (float(known.min()), float(known.max())) if len(known) else (0.0, 10.0)
    along = (began - began.min(initial=np.inf)) / max(np.ptp(began), 1.0) if len(rows) else began
    return along, (score - low) / max(high - low, 0.5)


def _is_shown(row: MakeRow) -> bool:
    """What was scored, or can be compared by its readings."""
    return row.best_score is not None or row.readings > 0


def _began(row: MakeRow) -> tuple[int, int]:
    return row.started_ms, row.id
