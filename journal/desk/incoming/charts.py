"""The pictures of an import: readings over their time, scores over their days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import ClockAxis, NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import (
    ValueCurve,
    ValueRow,
    ValueTable,
    table_of_curves,
    table_of_rows,
)
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make
from journal.wording import worded
from journal.wording.dates import clock, short_day
from journal.wording.readings import readings_words, value_text
from journal.wording.scales import finite, round_values, value_range

_DAYS_ON_A_CLOCK = 40  # a longer span is told in days
_PANELS_MOST = 3
_ROLES = {"temperature": "temperature", "ph": "acidity", "acidity": "acidity"}


class ReadingsChart(Chart):
    """Readings of several kinds, those of one quantity in one panel; minutes from the make."""

    def __init__(
        self,
        series: Mapping[str, tuple[np.ndarray, np.ndarray]],
        make: Make,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("The readings in the file", "", parent)
        self._make = make
        self._groups = _by_quantity(series)
        every = [at for _, parts in self._groups for _, at, _ in parts]
        first = min(float(at[0]) for at in every) if every else 0.0
        last = max(float(at[-1]) for at in every) if every else 60.0
        room = max(last - first, 1.0)
        self._view = (first - 0.02 * room, last + 0.02 * room)
        self._in_days = room > _DAYS_ON_A_CLOCK * 1440
        for index, (quantity, parts) in enumerate(self._groups):
            bottom = self._axis() if index == len(self._groups) - 1 else None
            self.add_plot(bottom=bottom, unit=_unit(parts[0][0], quantity))
        self.describe("; ".join(
            readings_words(kind, len(at), float(value.min()), float(value.max()))
            for kind, (at, value) in series.items() if len(at)
        ) or worded("desk.no-readings"))  # fmt: skip
        self.refresh()

    def _axis(self) -> NumberAxis:
        return ClockAxis("bottom", self._make.started_ms, self._make.zone)

    def draw(self) -> None:
        view = self.seen(self._view)
        for plot, (_, parts) in zip(self.plots, self._groups, strict=True):
            plot.wipe()
            plot.show_range(view, None)
            low, high = _range([value for _, _, value in parts])
            plot.show_range(None, (low, high))
            plot.rules(_steps(low, high), view, digits=_digits(low, high), unit=plot.unit)
            for index, (kind, at, value) in enumerate(parts):
                self._draw_part(plot, kind, at, value, index)
            if view[0] < 0 < view[1]:
                plot.upright(0.0, "quiet", dash="fine")
        if self.plots and view[0] < 0 < view[1]:
            top = self.plots[0].viewRange()[1][1]
            self.plots[0].words(0.0, top, "make started", anchor=(0, 0))

    def _draw_part(
        self, plot: ChartPlot, kind: str, at: np.ndarray, value: np.ndarray, index: int
    ) -> None:
        spec = READING_KINDS[kind]
        role = _ROLES.get(spec.quantity, "ink")
        plot.line(at, value, role, width=1.6, dash="" if index == 0 else "dots")
        if len(at) <= 60:
            plot.points(at, value, role, size=4)
        words = f" {spec.label} "
        plot.words(at[0], value[0], words, role, anchor=(0, 1 if index == 0 else 0))

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        chosen = [self._place(x)]
        for kind, at, value in (one for _, parts in self._groups for one in parts):
            near = int(np.argmin(np.abs(at - x)))
            chosen.append(value_text(kind, float(value[near])))
        return "  ".join(chosen)

    def table(self) -> ValueTable:
        """Every reading of the file by its time."""
        curves = [
            ValueCurve(READING_KINDS[kind].label, at, value, partial(value_text, kind), panel)
            for panel, (_, parts) in enumerate(self._groups)
            for kind, at, value in parts
        ]
        return table_of_curves("time", self._place, curves)

    def _place(self, x: float) -> str:
        return _date(self._make, x / 1440) if self._in_days else _clock(self._make, x)


class ScoresChart(Chart):
    """A score of past makes over the days of the makes."""

    def __init__(
        self,
        at_ms: Sequence[int],
        value: Sequence[float],
        name: str,
        zone: str,
        parent: QWidget | None = None,
    ) -> None:
        makes = worded("wording.many-make", number=len(value))
        super().__init__(worded("desk.score-by-date", score=name), makes, parent)
        self._first_ms = min(at_ms)
        self._at = (np.array(at_ms, float) - self._first_ms) / MINUTE_MS
        self._value = np.array(value, float)
        self._name, self._zone = name, zone
        last = float(self._at.max())
        room = max(last, 7.0 * DAY_MS / MINUTE_MS)
        self._view = (-0.04 * room, last + 0.04 * room)
        self.add_plot(bottom=ClockAxis("bottom", self._first_ms, zone), unit="")
        self.refresh()

    def draw(self) -> None:
        plot = self.plots[0]
        plot.wipe()
        low, high = _range([self._value])
        view = self.seen(self._view)
        plot.show_range(view, (low, high))
        plot.rules(_steps(low, high), view, digits=_digits(low, high))
        plot.points(self._at, self._value, "ink", size=7)
        plot.words(view[0], high, f" {self._name}", anchor=(0, 0))

    def table(self) -> ValueTable:
        """The scores by their days."""
        rows = [
            ValueRow((self._day(at), f"{value:g}"), at, value)
            for at, value in zip(self._at.tolist(), self._value.tolist(), strict=True)
        ]
        return table_of_rows(("day", self._name), rows)

    def _day(self, at: float) -> str:
        return short_day(self._first_ms + round(at * MINUTE_MS), self._zone)


def _by_quantity(
    series: Mapping[str, tuple[np.ndarray, np.ndarray]],
) -> list[tuple[str, list[tuple[str, np.ndarray, np.ndarray]]]]:
    """Kinds with values, those of one quantity together, at most three groups."""
    groups: dict[str, list[tuple[str, np.ndarray, np.ndarray]]] = {}
    for kind, (at, value) in series.items():
        if len(at):
            groups.setdefault(READING_KINDS[kind].quantity, []).append((kind, at, value))
    return list(groups.items())[:_PANELS_MOST]


def _range(values: Sequence[np.ndarray]) -> tuple[float, float]:
    most = abs(float(finite(values).max()))
    return value_range(values, least=0.02 * max(most, 1.0), below=0.12, above=0.25)


def _steps(low: float, high: float) -> list[float]:
    """Three to six round values, the top left free for the unit."""
    rough = (high - low) / 5
    size = 10.0 ** np.floor(np.log10(rough))
    return round_values(low, high, [size * m for m in (1, 2, 5, 10)], 5, above=0.16)


def _digits(low: float, high: float) -> int:
    return max(0, int(-np.floor(np.log10((high - low) / 5))))


def _unit(kind: str, quantity: str) -> str:
    return "pH" if quantity == "ph" else READING_KINDS[kind].unit


def _date(make: Make, days: float) -> str:
    return short_day(make.started_ms + round(days * DAY_MS), make.zone)


def _clock(make: Make, minutes: float) -> str:
    return clock(make.started_ms + round(minutes * MINUTE_MS), make.zone)
