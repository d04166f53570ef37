"""The strip of what a plan needs: each thing with its amount, side by side."""

from __future__ import annotations

from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QWidget

from journal.desk.charts.marks import Mark, Scene, ScenePoint, TextMark
from journal.desk.charts.view import SceneView
from journal.desk.theme import SMALL, STEP, TEXT, font, scaled
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.plan_sheet import Need, plan_need_words

_FIRST = 84  # px, where the timeline begins in the other places
_GAP = 6 * STEP
_LEAST = 24 * STEP
_REST = 22 * STEP  # px, for how many more there are


class Needs(SceneView):
    """Shows Needs in columns; a name too long is cut and whole in what is read of it, an amount is
    whole or, where there are too many of them, counted."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("What the plan needs", parent=parent)
        self._needs: list[Need] = []

    def show_needs(self, needs: list[Need]) -> None:
        """Show these."""
        self._needs = list(needs)
        self.tell(self._build_needs, "; ".join(plan_need_words(need) for need in needs))

    def _build_needs(self, _wide: float, high: float) -> Scene:
        middle, columns = high / 2, self._columns()
        marks: list[Mark] = [TextMark(0, middle, translated("Needs"))]
        for need, left, width in columns:
            below = middle + scaled(11)
            marks += [
                TextMark(left, middle - scaled(12), need.label, wide=width),
                TextMark(left, below, need.amount, "ink", bold=True, size=TEXT),
            ]
            about = left + _amount_width(need) - 2 + 2 * STEP
            wide = QFontMetricsF(font(SMALL)).horizontalAdvance(need.about)
            if need.about and about + wide <= left + width:
                marks.append(TextMark(about, below, need.about))
        if columns and len(columns) < len(self._needs):
            _need, left, width = columns[-1]
            more = worded("desk.and-more", more=len(self._needs) - len(columns))
            marks.append(TextMark(left + width + _GAP / 2, middle, more))
        points = [
            ScenePoint(left + width / 2, middle, plan_need_words(need), None, width, high)
            for need, left, width in columns
        ]
        return Scene(marks, points=points)

    def _columns(self) -> list[tuple[Need, float, float]]:
        """Each need with its left edge and width: as much as it wants, less for all where the
        strip is too short."""
        if not self._needs:
            return []
        needs = self._fitting()
        wanted, gap = [max(_LEAST, _width(need)) for need in needs], float(_GAP)
        room = (
            self.width() - scaled(_FIRST) - (scaled(_REST) if len(needs) < len(self._needs) else 0)
        )
        if sum(wanted) + gap * (len(wanted) - 1) > room:  # then without the spoons, and closer
            wanted, gap = [_width(need, about=False) for need in needs], _GAP / 2
        room -= round(gap * (len(wanted) - 1))
        if sum(wanted) > room:
            wanted = _shared(wanted, [_amount_width(need) for need in needs], room)
        spare = max(0.0, room - sum(wanted))
        gap += min(spare / max(1, len(wanted) - 1), 12 * STEP)
        out, left = [], float(scaled(_FIRST))
        for need, width in zip(needs, wanted, strict=True):
            out.append((need, left, width))
            left += width + gap
        return out

    def _fitting(self) -> list[Need]:
        """As many of them as have their amount whole."""
        amounts = [_amount_width(need) + _GAP / 2 for need in self._needs]
        room = self.width() - scaled(_FIRST) + _GAP / 2
        if sum(amounts) <= room:
            return self._needs
        count = len(amounts)
        while count > 1 and sum(amounts[:count]) > room - scaled(_REST):
            count -= 1
        return self._needs[:count]


def _amount_width(need: Need) -> float:
    return QFontMetricsF(font(TEXT, bold=True)).horizontalAdvance(need.amount) + 2


def _width(need: Need, *, about: bool = True) -> float:
    small, amount = QFontMetricsF(font(SMALL)), _amount_width(need)
    if need.about and about:
        amount += 2 * STEP + small.horizontalAdvance(need.about)
    return max(small.horizontalAdvance(need.label), amount) + 2


def _shared(wanted: list[float], least: list[float], room: float) -> list[float]:
    """Widths that fit: the widest give first, none below the least."""

    def given(cap: float) -> list[float]:
        return [min(w, max(cap, low)) for w, low in zip(wanted, least, strict=True)]

    cap = max(wanted)
    while sum(given(cap)) > room and cap > 1:
        cap -= 1
    return given(cap)
