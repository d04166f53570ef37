"""What can be dragged in the planned day: a planned point up and down, a stage's edge sideways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt

from journal.wording.shown import shown_value, unit_label

_STEPS_MIN = ((30.0, 1.0), (240.0, 5.0), (1440.0, 15.0))  # of a stage up to so long
_LONGEST_STEP_MIN = 60.0
_STEP_SHOWN = 0.5  # degrees of the unit that is shown

Drag = Callable[[int, str, str, bool], None]
"""Called at each move: the stage, its cell, the text typed there so far, whether it ends."""


@dataclass
class TemperatureGrip:
    """The point at which a stage ends."""

    stage: int
    typed: Drag
    text: str = ""
    shape: Qt.CursorShape = Qt.CursorShape.SizeVerCursor

    def move(self, _x: float, y: float) -> None:
        """Hold it at a temperature."""
        shown = round(shown_value(y, "temperature") / _STEP_SHOWN) * _STEP_SHOWN
        self.text = f"{shown:g} {unit_label('temperature')}"
        self.typed(self.stage, "temp", self.text, False)

    def drop(self) -> None:
        """Let it go there."""
        self.typed(self.stage, "temp", self.text, True)


@dataclass
class LengthGrip:
    """The edge at which a stage ends; it began at `begins`, minutes of the plan."""

    stage: int
    begins: float
    typed: Drag
    text: str = ""
    shape: Qt.CursorShape = Qt.CursorShape.SizeHorCursor

    def move(self, x: float, _y: float) -> None:
        """Hold it at a minute."""
        long = x - self.begins
        step = next((step for most, step in _STEPS_MIN if long <= most), _LONGEST_STEP_MIN)
        self.text = f"{max(round(long / step) * step, 1.0):.0f} min"
        self.typed(self.stage, "minutes", self.text, False)

    def drop(self) -> None:
        """Let it go there."""
        self.typed(self.stage, "minutes", self.text, True)
