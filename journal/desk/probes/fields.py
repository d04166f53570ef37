"""What is asked of each kind of source: its fields, and the settings they say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLineEdit, QWidget

from journal.desk.fields import Box, Line
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP
from journal.exchange.probes.serial_line import BAUD, NUMBER
from journal.exchange.probes.topic import PORT, TLS_PORT
from journal.records.sources import LINE, TOPIC, Source

NAMES = 18 * STEP  # the column of names
_BELOW = 99  # a row below all others, which takes the room that is left


@dataclass(frozen=True)
class Ask:
    """One setting: its key, its name, and what may stand there."""

    key: str
    name: str
    hint: str = ""


ASKED: dict[str, tuple[Ask, ...]] = {
    TOPIC: (
        Ask("host", "Broker", "like 192.0.2.7 or broker.local"),
        Ask("port", "Port", f"{PORT}, with TLS {TLS_PORT}"),
        Ask("topic", "Topic", "like kitchen/vat"),
        Ask("field", "Field", "JSON: like probe.temp; empty: a number"),
        Ask("time", "Time", "JSON: its time; empty: when it comes"),
        Ask("count", "Count", "JSON: what counts the messages"),
        Ask("user", "User", "empty where the broker asks for none"),
    ),
    LINE: (
        Ask("device", "Device", "like /dev/ttyUSB0 or COM3"),
        Ask("baud", "Speed", f"{BAUD} baud"),
        Ask("pattern", "Pattern", f"like T=([0-9.]+); empty for the first number, {NUMBER}"),
    ),
}


def framed(line: QLineEdit) -> Box:
    """A line in its frame."""
    box = Box(line, 9 * STEP)
    row = QHBoxLayout(box)
    row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
    row.addWidget(line)
    return box


class SettingFields(QWidget):
    """The fields of a topic or a serial line. `changed` comes with every letter."""

    changed = Signal()

    def __init__(self, kind: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.lines: dict[str, Line] = {}
        self._rows = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(4 * STEP)
        self._grid.setVerticalSpacing(2 * STEP)
        self._grid.setColumnMinimumWidth(0, NAMES)
        for asked in ASKED[kind]:
            self._add(asked)
        self._grid.setRowStretch(_BELOW, 1)

    def _add(self, asked: Ask) -> None:
        line = Line()
        line.setAccessibleName(asked.name)
        line.setPlaceholderText(asked.hint)
        line.textEdited.connect(self._on_edited)
        self.lines[asked.key] = line
        self._put(asked.name, framed(line))

    def _put(self, name: str, widget: QWidget) -> None:
        row = self._rows
        self._rows += 1
        self._grid.addWidget(Label(name, SMALL, role="quiet"), row, 0)
        self._grid.addWidget(widget, row, 1)
        self._grid.setColumnStretch(1, 1)

    def add_choice(self, name: str, widget: QWidget) -> None:
        """Put a choice below the fields."""
        self._put(name, widget)

    def show_source(self, source: Source) -> None:
        """Put a source's settings there."""
        for key, line in self.lines.items():
            line.setText(source.text(key))

    def settings(self) -> dict[str, Any]:
        """What is typed, without what is empty."""
        return {key: line.text().strip() for key, line in self.lines.items() if line.text().strip()}

    def _on_edited(self, _text: str) -> None:
        self.changed.emit()
