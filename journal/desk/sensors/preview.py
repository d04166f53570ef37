"""A try of a source: the last raw lines and what they were understood as. Nothing is kept."""

from __future__ import annotations

from collections import deque
from functools import partial

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.incoming.columns import cut
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column
from journal.desk.theme import LEAD, SMALL, STEP
from journal.exchange.sensors.sensor import Batch, RawMessage, Sensor
from journal.wording.sensors import sensor_line_words

LINES = 10
_DRAW_MS = 100
_RAW_MOST, _WORDS_MOST = 44, 40


class TryPage(QWidget):
    """Shows a sensor that was started only to be looked at."""

    _heard = Signal(object)  # in the sensor's thread

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sensor: Sensor | None = None
        self._zone = "UTC"
        self._lines: deque[RawMessage] = deque(maxlen=LINES)
        self.state = Label("Nothing connects until you try it.", LEAD, wrap=True)
        self.raw = [Label("", SMALL) for _ in range(LINES)]
        self.words = [Label("", SMALL, role="quiet") for _ in range(LINES)]
        grid = QGridLayout()
        grid.setHorizontalSpacing(6 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.addWidget(Label("as received", SMALL, role="quiet"), 0, 0)
        grid.addWidget(Label("read as", SMALL, role="quiet"), 0, 1)
        for row, (raw, words) in enumerate(zip(self.raw, self.words, strict=True), start=1):
            grid.addWidget(raw, row, 0)
            grid.addWidget(words, row, 1)
        grid.setColumnStretch(1, 1)
        self.caution = Label("", SMALL, role="quiet", wrap=True)
        in_column(self.state, grid, self.caution, None, of=self, margins=0, gap=4 * STEP)
        self._draw = QTimer(self)
        self._draw.setInterval(_DRAW_MS)
        self._draw.timeout.connect(self.look)
        self._heard.connect(self._lines.append)

    def begin(self, sensor: Sensor, zone: str) -> None:
        """Start a sensor and show what comes."""
        self.end()
        self._zone = zone
        self._lines.clear()
        self.caution.setText("")
        self.sensor = sensor
        sensor.start(partial(_not_saved, sensor), self._heard.emit)
        self._draw.start()
        self.look()

    def end(self) -> None:
        """Stop it; what was seen stays."""
        self._draw.stop()
        if self.sensor is not None:
            self.sensor.stop(0.3)
            self.sensor = None

    def show_fault(self, sentence: str) -> None:
        """Why it cannot be tried."""
        self.end()
        self.state.setText(f"▲ {sentence}")
        self.state.set_role("attention")

    def look(self) -> None:
        """Show the state and the last lines, the newest first."""
        sensor = self.sensor
        if sensor is None:
            return
        state = sensor.state
        self.state.setText(sensor_line_words(sensor.source.name, state, sensor.latest, self._zone))
        self.state.set_role("attention" if state.word == "failed" else "ink")
        self.caution.setText(sensor.caution)
        newest = list(reversed(self._lines))
        for index, (raw, words) in enumerate(zip(self.raw, self.words, strict=True)):
            message = newest[index] if index < len(newest) else None
            raw.setText(cut(message.raw, _RAW_MOST) if message else "")
            words.setText(_understood(message) if message else "")
            raw.setToolTip(plain_tip(message.raw if message else ""))
            words.setToolTip(plain_tip(message.understood if message else ""))
            words.set_role("quiet" if message is None or message.good else "attention")


def _understood(message: RawMessage) -> str:
    text = cut(message.understood, _WORDS_MOST)
    return text if message.good else f"▲ {text}"


def _not_saved(sensor: Sensor, batch: Batch) -> None:
    """A try keeps nothing, and waits for nothing to be kept."""
    sensor.kept(batch.number)
