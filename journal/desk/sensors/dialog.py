"""The sensors that were set up: how each is, switched on for a make or a room, or off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TypeVar

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.asking import Asking
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.commands import Command, bind
from journal.desk.empty import EmptyPage
from journal.desk.form.frame import FramedDialog, acts_row
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.menus import Menu
from journal.desk.place import Desk
from journal.desk.preferences import chosen
from journal.desk.sensors.bridge import Bridge, Running
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, scaled
from journal.exchange.sensors.secrets import forget_password
from journal.keeping import Change, KeepingError
from journal.records import id_of
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make
from journal.records.sources import Source
from journal.wording import text_of, worded
from journal.wording.sensors import sensor_line_words, sensor_source_words

Given = TypeVar("Given")
SIZE = QSize(800, 480)
_OF_ROOMS = ("room-temp", "room-humidity")
_KINDS = frozenset({"source", "make", "room"})
_EMPTY = (
    "Readings can arrive by themselves: from a file that a logger keeps writing to, an MQTT "
    "topic or a serial line. Set up a sensor once and try it, then switch it on for a make, or "
    "for the air of a room, whatever is made. "
    "Nothing connects before that."
)


class SensorsDialog(FramedDialog):
    """Every sensor in a list, what is known of the selected one and what can be done to it, and a
    button that sets up another."""

    help_topic = "sensors"

    def __init__(self, desk: Desk, bridge: Callable[[], Bridge], parent: QWidget) -> None:
        super().__init__("Sensors", parent)
        self.desk, self._bridge_now, self._window = desk, bridge, parent
        self.bridge = desk.sensors.made()
        self._running: dict[str, Running] = {}
        self.table: RowsView[Source] = RowsView(
            "Sensors",
            (
                Column("sensor", _name, bold=True),
                Column("measures", _measured),
                Column("on for", self._on_for, sort=lambda one: self._on_for(one) or None),
                Column("now", self._state, stretch=True),
            ),
        )
        self.about = Label("", role="quiet", wrap=True)
        self.state = Label("", wrap=True)
        self.switch = Button("")
        self.change = Button("Change", key="correct")
        self.remove = Button("Delete", FAINT, "delete")
        self.set_up = Button("New sensor", MAIN, "new_here")
        self.asking = Asking()
        self._arrange()
        self._connect()
        self.fill()

    def _arrange(self) -> None:
        shown, self.pages = QWidget(), QStackedWidget()
        detail = in_column(self.about, self.state, gap=STEP)
        acts = acts_row(self.switch, self.change, self.remove)
        in_column((self.table, 1), detail, acts, of=shown, margins=0, gap=3 * STEP)
        self.pages.addWidget(shown)
        none = EmptyPage("There is no sensor yet", _EMPTY)
        none.setMaximumWidth(scaled(none.maximumWidth()))
        none.column.setContentsMargins(0, 2 * STEP, 0, 0)
        self.pages.addWidget(none)
        away = Button("Close", FAINT, "Esc")
        away.clicked.connect(self.accept)
        self.arrange(self.pages, self.asking, acts=(away, self.set_up))
        self.setMinimumSize(SIZE)
        self.resize(scaled(SIZE.width()), scaled(SIZE.height()))

    def _connect(self) -> None:
        self.table.offer(self.commands)
        self.table.picked.connect(self._show_current)
        self.table.opened.connect(self._on_change)
        self.asking.agreed.connect(self._on_agreed)
        for button, use, act in (
            (self.change, "correct", self._on_change),
            (self.remove, "delete", self._on_remove),
            (self.set_up, "new_here", self._on_set_up),
        ):
            button.clicked.connect(act)
            bind(use, self, act)
        self.switch.clicked.connect(self._on_switch)
        self.bridge.changed.connect(self._on_running)
        self.desk.sensors.ended.connect(self._on_ended)
        self.desk.journal.listen(self._on_journal)
        self.finished.connect(self._on_finished)

    def fill(self) -> None:
        """Show the journal's sensors, staying on the current one."""
        before = self.table.current()
        self.asking.leave()
        self.table.show_rows(self.desk.journal.sources.all())
        if before is not None:
            self.table.select_where(lambda one: one.uuid == before.uuid)
        found = bool(self.table.rows)
        self.pages.setCurrentIndex(0 if found else 1)
        self.setFocusProxy(self.table if found else self.set_up)
        self._on_running()

    def commands(self) -> Sequence[Command]:
        """What can be done to the selected sensor."""
        return (
            *self._switches(),
            Command("correct", "Change", self._on_change),
            Command("delete", "Delete", self._on_remove),
        )

    def _switches(self) -> list[Command]:
        """Switching it off; or on, for the current make and for each room: what measures the air of
        a room is offered one first."""
        source = self.table.current()
        if source is None:
            return []
        if source.is_on:
            off = worded("desk.switch-off-for", what=self._on_for(source))
            return [Command("", off, partial(self._switch, None, None))]
        make, rooms = _current_make(self.desk), self.desk.journal.rooms.all()
        makes = [] if make is None else [(make.code, partial(self._switch, make.id, None))]
        aired = [(room.name, partial(self._switch, None, room.id)) for room in rooms]
        offered = [*aired, *makes] if source.reading in _OF_ROOMS else [*makes, *aired]
        return [Command("", worded("desk.switch-on-for", what=to), run) for to, run in offered]

    # What is said of a sensor

    def _on_for(self, source: Source) -> str:
        journal = self.desk.journal
        try:
            if source.room_id is not None:
                return journal.rooms.get(source.room_id).name
            return journal.makes.get(source.make_id).code if source.make_id else ""
        except KeepingError:
            gone = "desk.a-deleted-make" if source.room_id is None else "desk.a-deleted-room"
            return worded(gone)

    def _state(self, source: Source) -> str:
        running = self._running.get(source.uuid)
        if running is None:
            return worded("desk.not-running" if source.is_on else "desk.off")
        words = sensor_line_words(source.name, running.state, running.latest, running.target.zone)
        return words.removeprefix(f"{source.name}: ")

    def _show_current(self, _row: object = None) -> None:
        source = self.table.current()
        if source is None:
            return
        running = self._running.get(source.uuid)
        self.about.setText(sensor_source_words(source))
        wrong = running is not None and running.wrong
        self.state.say(self._state(source), wrong=wrong, role="attention" if wrong else "ink")
        switches = self._switches()
        self.switch.setEnabled(bool(switches))
        on = worded("desk.switch-on-for", what="…")
        self.switch.set_label(switches[0].title if len(switches) == 1 else on)

    # Handlers

    def _on_running(self) -> None:
        self._running = {one.source.uuid: one for one in self.bridge.running}
        self.table.viewport().update()
        self._show_current()

    def _on_journal(self, change: Change) -> None:
        if change.kinds & _KINDS:
            self.fill()

    def _on_ended(self) -> None:
        if self.isVisible():
            self.reject()

    def _on_finished(self) -> None:
        self.desk.journal.unlisten(self._on_journal)
        self.bridge.changed.disconnect(self._on_running)

    def _on_set_up(self) -> None:
        self._open(None)

    def _on_change(self, _row: object = None) -> None:
        if self.table.current() is not None:
            self._open(self.table.current())

    def _open(self, source: Source | None) -> None:
        from journal.desk.sensors.setup import SetUp

        known = {one.uuid for one in self.table.rows}
        made = SetUp(self.desk.journal, self._bridge_now, source, self.desk.clock, self._window)
        made.accepted.connect(lambda: self.table.go_to(lambda one: one.uuid not in known))
        made.open()

    def _on_switch(self) -> None:
        switches = self._switches()
        if len(switches) == 1:
            switches[0].run()
            return
        menu = Menu(self)
        menu.offer(switches)
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(self.switch.mapToGlobal(self.switch.rect().bottomLeft()))

    def _switch(self, make_id: int | None, room_id: int | None) -> None:
        source = self.table.current()
        if source is not None:
            name = worded("desk.step-switch", name=source.name, off=source.is_on)
            changed = replace(source, make_id=make_id, room_id=room_id)
            self._act(name, self.desk.journal.sources.save, changed)

    def _on_remove(self) -> None:
        source = self.table.current()
        if source is None:
            return
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
        else:
            self.refuse("")


def _name(source: Source) -> str:
    return source.name


def _measured(source: Source) -> str:
    return READING_KINDS[source.reading].label


def _current_make(desk: Desk) -> Make | None:
    """The open make while it runs, else the newest that runs."""
    running = desk.journal.makes.running()
    for make in running:
        if make.id == desk.make_id:
            return make
    return running[0] if running else None
