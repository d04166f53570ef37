"""A plot as SVG: a `PlotSurface` that writes, in units of the drawing; the looks are classes of the
page's style."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from journal.curves.surface import Pane, Span, StageBar
from journal.records.traces import Floats
from journal.wording.scales import UNITS_SHOWN, finite_runs, named, ruled

WIDE, LEFT, RIGHT = 960, 56, 16  # of the drawing, and what is free beside its plots
_LETTER, _LINE = 7.2, 15.0  # wide and high
_LINES = {("planned", "fine"): "edge", ("planned", "planned"): "plan", ("temperature", ""): "temp",
          ("acidity", ""): "acid"}  # fmt: skip


class SvgPlot:
    """Writes `parts` over minutes up to `last`, between two heights."""

    def __init__(self, top: float, bottom: float, last: float) -> None:
        self.top, self.bottom, self.last = top, bottom, last
        self.parts: list[str] = []
        self._y: Span = (0.0, 1.0)

    def show_range(self, _x: Span | None, y: Span | None) -> None:
        """Show so much of the values."""
        self._y = y or self._y

    def pane(self, _x: float) -> Pane:
        """The whole plot."""
        return Pane((0.0, self.last), self._y, WIDE - LEFT - RIGHT, self.bottom - self.top)

    def measure(self, text: str) -> tuple[float, float]:
        """Width and height of words, about."""
        return _LETTER * len(text), _LINE

    def x(self, minutes: Floats) -> Floats:
        """Where minutes stand."""
        return LEFT + np.asarray(minutes, float) / self.last * (WIDE - LEFT - RIGHT)

    def _at(self, x: Floats, y: Floats) -> list[tuple[float, float]]:
        share = (np.asarray(y, float) - self._y[0]) / (self._y[1] - self._y[0])
        up = self.bottom - share * (self.bottom - self.top)
        return list(zip(self.x(x).tolist(), up.tolist(), strict=True))

    def rules(self, values: Sequence[float], _x: Span, digits: int = 0, unit: str = "") -> None:
        """Hairlines with their values at the left, the unit above them."""
        names = named(values, digits)
        if unit in UNITS_SHOWN:
            values, names, unit = ruled(values, self._y, digits, unit)
        self.write(LEFT - 8, self.top + 8, unit, "end")
        for value, name in names:
            [(_, y)] = self._at(np.zeros(1), np.array([value]))
            self.parts.append(f'<path class="rule" d="M{LEFT} {y:.1f}H{WIDE - RIGHT}"/>')
            if y > self.top + 8 + _LINE:
                self.write(LEFT - 8, y + 4, name, "end")

    def line(
        self, x: np.ndarray, y: np.ndarray, role: str, *, width: float = 1.5, dash: str = "",
        level: int = 0,
    ) -> None:  # fmt: skip
        """A line through points, as far as they are shown; NaN breaks it."""
        runs = finite_runs(np.where(x <= self.last, y, np.nan))
        words = [f"{a:.1f} {b:.1f}" for run in runs for a, b in self._at(x[run], y[run])]
        begins = np.cumsum([0, *(run.stop - run.start for run in runs)])
        drawn = "".join(f"{'M' if n in begins else 'L'}{pair}" for n, pair in enumerate(words))
        if drawn:
            self.parts.append(f'<path class="{_LINES.get((role, dash), role)}" d="{drawn}"/>')

    def points(
        self, x: np.ndarray, y: np.ndarray, role: str, *, symbol: str = "o", size: float = 8,
        hollow: bool = False, level: int = 5,
    ) -> None:  # fmt: skip
        """Round marks, as far as they are shown."""
        look = "ring" if hollow else "dot" if role == "acidity" else "spot"
        for a, b in self._at(x[x <= self.last], y[x <= self.last]):
            self.parts.append(
                f'<circle class="{look}" cx="{a:.1f}" cy="{b:.1f}" r="{size / 2.3:.1f}"/>'
            )

    def box(self, x: Span, y: Span, role: str, *, fill: str = "") -> None:
        """An acid target."""
        (x0, y1), (x1, y0) = self._at(np.minimum(x, self.last), np.array(y))
        self.parts.append(
            f'<rect class="target" x="{x0:.1f}" y="{y0:.1f}" width="{x1 - x0:.1f}" '
            f'height="{y1 - y0:.1f}"/>'
        )

    def stages(self, bars: Sequence[StageBar]) -> None:
        """Stages beside each other, named where there is room."""
        for bar in bars:
            ends = self.x(np.array([bar.first, min(bar.last, self.last)]))
            x0, x1 = float(ends[0]), float(ends[1])
            if x1 - x0 < 1:
                continue
            self.parts.append(
                f'<rect class="bar" x="{x0 + 0.5:.1f}" y="{self.top}" '
                f'width="{x1 - x0 - 1:.1f}" height="{self.bottom - self.top}" rx="3"><title>'
                f"{escape(bar.label)}, {bar.last - bar.first:.0f} min</title></rect>"
            )
            if self.measure(bar.label)[0] + 6 < x1 - x0:
                self.write((x0 + x1) / 2, self.bottom - 7, bar.label, "middle", "on")

    def words(
        self, x: float, y: float, text: str, role: str = "quiet", *,
        anchor: tuple[float, float] = (0, 1), bold: bool = False, on_paper: bool = False,
    ) -> None:  # fmt: skip
        """A label."""
        [(left, top)] = self._at(np.array([x]), np.array([y]))
        side = "start" if anchor[0] < 0.5 else "end" if anchor[0] > 0.5 else "middle"
        self.write(left, top - anchor[1] * _LINE + 12, text, side)

    def write(self, x: float, y: float, text: str, side: str, look: str = "axis") -> None:
        """Words on a base line."""
        self.parts.append(
            f'<text class="{look}" x="{x:.1f}" y="{y:.1f}" '
            f'text-anchor="{side}">{escape(text)}</text>'
        )
