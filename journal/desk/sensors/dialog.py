"""The sources that were set up: how each is, switched on for the current make or off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.asking import Asking
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.fields import UNTITLED
from journal.desk.form.choice import ChoiceOption
from journal.desk.form.frame import FramedDialog
from journal.desk.form.readers import ChoiceField
from journal.desk.form.spec import CHOICE, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import empty, in_column, in_row
from journal.desk.place import Desk
from journal.desk.preferences import chosen
from journal.desk.scrollbars import scrolled
from journal.desk.sensors.bridge import Running
from journal.desk.sensors.watch import bridge_on
from journal.desk.theme import LEAD, SMALL, STEP
from journal.exchange.sensors.secrets import forget_password
from journal.keeping import KeepingError
from journal.records import id_of
from journal.records.makes import Make
from journal.records.sources import Source
from journal.wording import text_of, worded
from journal.wording.sensors import line_words, source_words

Given = TypeVar("Given")
_MAKE = "make"
_OF_ROOMS = ("room-temp", "room-humidity")
_EMPTY = (
    "Readings can arrive by themselves: from a file that a logger keeps writing to, an MQTT "
    "topic or a serial line. Set up a sensor once and try it, then switch it on for a make, or "
    "for the air of a room, whatever is made. "
    "Nothing connects before that."
)


class SourceRow(QWidget):
    """One source with what can be done to it. `targets` are what it can be switched on for: keys
    of the choice and their words, the first one offered."""

    switched = Signal(object, str)
    changing = Signal(object)
    removing = Signal(object)

    def __init__(self, source: Source, targets: Sequence[ChoiceOption], on_for: str) -> None:
        super().__init__()
        self.source = source
        name = Label(source.name, LEAD, bold=True)
        self.state = Label(source_words(source), SMALL, role="quiet", wrap=True)
        called = worded("desk.sensor-is-on-for", name=source.name)
        first = targets[0].key if targets else ""
        asked = Field("target", "", CHOICE, name=called, options=targets, text=first)
        target = ChoiceField(asked, FieldContext(self, style=UNTITLED))
        target.setVisible(not source.is_on and len(targets) > 1)
        target.text_changed.connect(self._name_switch)
        self.target = target.choice
        self._on_for = on_for
        self.switch = Button("")
        self.switch.setEnabled(source.is_on or bool(targets))
        self._name_switch()
        self.change, self.remove = Button("Change"), Button("Delete", FAINT)
        self.switch.clicked.connect(self._on_switch)
        self.change.clicked.connect(self._on_change)
        self.remove.clicked.connect(self._on_remove)
        words_column = in_column(name, self.state, gap=STEP)
        in_row(
            (words_column, 1),
            target,
            self.switch,
            self.change,
            self.remove,
            of=self,
            margins=0,
            gap=3 * STEP,
        )

    def _name_switch(self, _words: str = "") -> None:
        words = self.target.currentText() or "…"
        chosen = not self.source.is_on and self.target.count() > 1
        on = worded("desk.switch-on-for", what=words)
        off = worded("desk.switch-off-for", what=self._on_for)
        self.switch.setText(off if self.source.is_on else "Switch on" if chosen else on)
        self.switch.setAccessibleName(on if chosen else "")

    def show_running(self, running: Running | None) -> None:
        """Say how it is, or what it is while it is off."""
        if running is None:
            self.state.setText(source_words(self.source))
            return
        zone = running.target.zone
        words = line_words(self.source.name, running.state, running.latest, zone)
        self.state.setText(words.partition(": ")[2] or words)

    def _on_switch(self) -> None:
        self.switched.emit(self.source, self.target.key())

    def _on_change(self) -> None:
        self.changing.emit(self.source)

    def _on_remove(self) -> None:
        self.removing.emit(self.source)


class SensorsDialog(FramedDialog):
    """Every source, and a button that sets up another."""

    help_topic = "sensors"

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        super().__init__("Sensors", parent)
        self.desk, self._window = desk, parent
        self.bridge = bridge_on(desk, parent)
        self.make = _current_make(desk)
        self.rows: list[SourceRow] = []
        self.asking = Asking()
        self.asking.agreed.connect(self._on_agreed)
        self.set_up = Button("New sensor", MAIN)
        self.set_up.clicked.connect(self._on_set_up)
        away = Button("Close", FAINT, "Esc")
        away.clicked.connect(self.accept)
        holder = QWidget()
        self._list = in_column(of=holder, margins=0, gap=4 * STEP)
        self._scroll = scrolled(holder)
        self._column = self.arrange(self._scroll, self.asking, acts=(away, self.set_up))
        self.setMinimumSize(880, 320)
        self.bridge.changed.connect(self._on_changed)
        self.fill()

    def fill(self) -> None:
        """Show the journal's sources."""
        empty(self._list)
        self.rows = []
        for source in self.desk.journal.sources.all():
            row = SourceRow(source, self._targets(source), self._on_for(source))
            row.switched.connect(self._on_switched)
            row.changing.connect(self._on_changing)
            row.removing.connect(self._on_removing)
            self.rows.append(row)
            self._list.addWidget(row)
        if not self.rows:
            self._list.addWidget(Label(_EMPTY, role="quiet", wrap=True))
        self._list.addStretch(1)
        self._on_changed()
        self._make_room()

    def _make_room(self) -> None:
        """As high as its rows want, as far as the window goes; beyond that they scroll."""
        rows = [row.sizeHint().height() for row in self.rows]
        wanted = sum(rows) + self._list.spacing() * len(rows)
        most = round(0.6 * self._window.height())
        self._scroll.setMinimumHeight(min(max(wanted, 30 * STEP), most))
        self._column.activate()
        self.resize(self.sizeHint().expandedTo(self.minimumSize()))

    def _targets(self, source: Source) -> list[ChoiceOption]:
        """The current make and the rooms; what measures the air of a room is offered one first."""
        makes = [] if self.make is None else [ChoiceOption(_MAKE, self.make.code)]
        rooms = [ChoiceOption(str(room.id), room.name) for room in self.desk.journal.rooms.all()]
        return [*rooms, *makes] if source.reading in _OF_ROOMS else [*makes, *rooms]

    def _on_for(self, source: Source) -> str:
        journal = self.desk.journal
        try:
            if source.room_id is not None:
                return journal.rooms.get(source.room_id).name
            return journal.makes.get(source.make_id).code if source.make_id else ""
        except KeepingError:
            return "a deleted make" if source.room_id is None else "a deleted room"

    # Handlers

    def _on_changed(self) -> None:
        running = {one.source.uuid: one for one in self.bridge.running}
        for row in self.rows:
            row.show_running(running.get(row.source.uuid))

    def _on_set_up(self) -> None:
        self._open(None)

    def _on_changing(self, source: Source) -> None:
        self._open(source)

    def _open(self, source: Source | None) -> None:
        from journal.desk.sensors.setup import SetUp

        made = SetUp(self.desk.journal, self.bridge, source, self.desk.clock, self._window)
        made.accepted.connect(self.fill)
        made.open()

    def _on_switched(self, source: Source, target: str) -> None:
        make_id = room_id = None
        if not source.is_on and target == _MAKE:
            make_id = self.make.id if self.make is not None else None
        elif not source.is_on:
            room_id = int(target)
        changed = replace(source, make_id=make_id, room_id=room_id)
        name = worded("desk.step-switch", name=source.name, off=source.is_on)
        self._act(name, self.desk.journal.sources.save, changed)

    def _on_removing(self, source: Source) -> None:
        if chosen(self.desk.settings, "ask_sensor") != "yes":
            self._on_agreed(source)
            return
        self.asking.ask(worded("desk.delete-sensor-asked", name=source.name), "Delete", source)

    def _on_agreed(self, source: Source) -> None:
        forget_password(source)
        name = worded("desk.step-remove", name=source.name)
        self._act(name, self.desk.journal.sources.remove, id_of(source))

    def _act(self, name: str, act: Callable[[Given], object], given: Given) -> None:
        try:
            with self.desk.journal.unit(name):
                act(given)
        except ValueError as error:
            self.refuse(text_of(error))
            return
        self.refuse("")
        self.fill()


def _current_make(desk: Desk) -> Make | None:
    """The open make while it runs, else the newest that runs."""
    running = desk.journal.makes.running()
    for make in running:
        if make.id == desk.make_id:
            return make
    return running[0] if running else None
