"""The sensors in the vat: a small line for each source that is switched on, a word when silent."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QSize, Signal
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import Scene, TextMark
from journal.desk.labels import Label, WarningMark, plain_tip
from journal.desk.layouts import in_row
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.theme import SMALL, STEP, colours_of
from journal.keeping import Change
from journal.records.sources import Source
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.sensors import sensor_line_words, wrong_sensors_words

if TYPE_CHECKING:
    from journal.desk.sensors.bridge import Bridge, Running

LOOK_AHEAD_MS = 15_000
LINES = 2  # sources with a line of their own; the vat's fields need the room
_SUBJECT = "sensors"
_SILENT = "silent"


class ElidedLine(Label):
    """Words on one line, cut where there is no room; the whole of them in its tip."""

    def minimumSizeHint(self) -> QSize:
        return QSize(0, super().minimumSizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        room = self.contentsRect()
        y, role = room.center().y() + 0.5, self.role
        words = TextMark(room.x(), y, self.text(), role, face=self.font(), wide=room.width())
        paint_scene(self, Scene([words]), colours_of(self))


class SensorLine(QWidget):
    """One source: how it is and its last value. `password_given` carries the source and what was
    typed, `all_asked` asks for the list of all."""

    password_given = Signal(object, str)
    all_asked = Signal()

    def __init__(self, running: Running, parent: QWidget) -> None:
        super().__init__(parent)
        self._running = running
        self.mark = WarningMark()
        self.label = ElidedLine("", SMALL, role="quiet")
        self.password = WordButton("Password…", size=SMALL)
        self.password.clicked.connect(self._on_password)
        self.more = WordButton("", size=SMALL)
        self.more.clicked.connect(self.all_asked)
        self.more.hide()
        in_row(
            self.mark, (self.label, 1), self.password, self.more, of=self, margins=0, gap=2 * STEP
        )

    def show_running(self, running: Running, open_make: int | None) -> None:
        """Show a source as it is."""
        self._running = running
        target, state = running.target, running.state
        words = sensor_line_words(running.source.name, state, running.latest, target.zone)
        is_open = not target.is_room and target.key == open_make
        text = words if is_open else f"{target.name} · {words}"
        wrong = running.wrong
        if text != self.label.text():
            self.label.setText(text)
            self.label.setToolTip(plain_tip(text))
            self.setAccessibleName(text)
        self.label.set_role("attention" if wrong else "quiet")
        self.mark.setVisible(wrong)
        self.password.setVisible(state.asks_password)

    def show_more(self, rest: int) -> None:
        """Say how many sources have no line, 0 for none; pressed, it lists them all."""
        self.more.setVisible(rest > 0)
        words = worded("desk.more-with-dots", more=rest)
        if rest > 0 and words != self.more.text():
            self.more.setText(words)
            self.more.setAccessibleName(worded("desk.more-sensors", count=rest))
            self.more.updateGeometry()

    def _on_password(self) -> None:
        from journal.desk.sensors.password import AskPassword

        asked = AskPassword(self._running.source, self.window())
        asked.given.connect(self.password_given)
        asked.open()


class SensorWatch(QWidget):
    """Stands on the left page of the vat, and of Ageing for the sensors of rooms (`rooms`), and
    takes no room while nothing is switched on.

    A source that fell silent is said in the place once, until it speaks again. Where more are
    switched on than have a line, those that need attention come first, and a word says how many
    more there are.
    """

    def __init__(
        self, desk: Desk, messages: MessageBar, parent: QWidget, *, rooms: bool = False
    ) -> None:
        super().__init__(parent)
        self._desk, self._messages, self._rooms = desk, messages, rooms
        self._bridge: Bridge | None = None
        self._lines: dict[str, SensorLine] = {}
        self._shown_last = ""
        self._looked = QElapsedTimer()
        self._column = QVBoxLayout(self)
        left, right = (3, 3) if rooms else (8, 6)
        self._column.setContentsMargins(left * STEP, 0, right * STEP, 0)
        self._column.setSpacing(STEP)
        self.setAccessibleName(translated("Sensors"))
        self.hide()
        desk.sensors.begun.connect(self._follow)
        desk.sensors.ended.connect(self._on_ended)
        self._follow()

    def sent(self, change: Change) -> bool:
        """Whether a sensor sent it."""
        return self._bridge is not None and change.initiator is self._bridge

    def may_look_ahead(self, change: Change) -> bool:
        """Whether to calculate the forecast again: at once for what a person did, now and then
        while a sensor goes on."""
        if self.sent(change) and self._looked.isValid() and self._looked.elapsed() < LOOK_AHEAD_MS:
            return False
        self._looked.start()
        return True

    @property
    def lines(self) -> list[SensorLine]:
        """The lines shown."""
        return list(self._lines.values())

    def _follow(self) -> None:
        bridge = self._desk.sensors.bridge
        if bridge is not None:
            self._bridge = bridge
            bridge.changed.connect(self._on_changed)
            bridge.message.connect(self._on_message)
            self._on_changed()

    def _on_ended(self) -> None:
        self._bridge = None
        self._on_changed()

    def _line(self, running: Running) -> SensorLine:
        line = SensorLine(running, self)
        line.all_asked.connect(self._desk.show_sensors)
        line.password_given.connect(self._on_password)
        return line

    def _on_password(self, source: Source, password: str) -> None:
        self._desk.sensors.made().give_password(source, password)

    def _on_changed(self) -> None:
        every = self._bridge.running if self._bridge is not None else []
        running = [one for one in every if one.target.is_room == self._rooms]
        for uuid in set(self._lines) - {one.source.uuid for one in running}:
            gone = self._lines.pop(uuid)
            self._column.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for one in running:
            uuid = one.source.uuid
            if uuid not in self._lines:
                self._lines[uuid] = self._line(one)
            self._lines[uuid].show_running(one, self._desk.make_id)
        self._order(running)
        self.setVisible(bool(running))
        self._tell(running)

    def _order(self, running: list[Running]) -> None:
        """The most pressing first, then those with a value; those beyond `LINES` behind a word."""
        pressing = {
            one.source.uuid: (
                not one.state.asks_password,
                not one.wrong,
                not one.latest,
            )
            for one in running
        }
        order = sorted(pressing, key=pressing.__getitem__)
        for index, uuid in enumerate(order):
            line = self._lines[uuid]
            if self._column.indexOf(line) != index:
                self._column.insertWidget(index, line)
            line.setVisible(index < LINES)
            line.show_more(len(order) - LINES if index == LINES - 1 else 0)

    def _tell(self, running: list[Running]) -> None:
        wrong = [(one.source.name, one.state) for one in running if one.wrong]
        zone = running[0].target.zone if running else "UTC"
        sentence = wrong_sensors_words(wrong, zone)
        if not sentence:
            self._messages.clear(_SILENT)
        elif sentence != self._shown_last:
            self._messages.show_message(_SILENT, sentence)
        self._shown_last = sentence

    def _on_message(self, sentence: str) -> None:
        self._messages.show_message(_SUBJECT, sentence)
