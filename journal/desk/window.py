"""The window: the places along the top, one of them shown, the finder and the menu."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget
from shiboken6 import isValid

from journal.desk import settings as remembered
from journal.desk.alarm import TICK_MS
from journal.desk.back import VisitedPlace, VisitedPlaces
from journal.desk.beginning import NO_JOURNAL, SAMPLE, beginning_page
from journal.desk.calculating import SumController
from journal.desk.clock_asking import ClockAsking
from journal.desk.closing import Closing
from journal.desk.commands import Command, action_for, bind_keys
from journal.desk.damage import DamageController
from journal.desk.drops import DropController
from journal.desk.files import FileController
from journal.desk.help.controller import HelpController
from journal.desk.labels import Hairline
from journal.desk.late import work_after_paint
from journal.desk.looks import LookController
from journal.desk.main_menu import FILE, parts_of
from journal.desk.menus import Menu, MenuBar, MenuPart
from journal.desk.messages import Actions
from journal.desk.past import HistoryController
from journal.desk.place import CurrentRecord, Desk, Place, make_to_begin_with
from journal.desk.places import PLACES, build, first_place
from journal.desk.sensors.holder import SensorHolder
from journal.desk.theme import Look
from journal.desk.topbar import TopBar
from journal.desk.undoing import step_of, take
from journal.desk.upkeep import Upkeep
from journal.desk.watch import BUSY_S, Watch
from journal.keeping import Change, Journal, KeepingError
from journal.message import Message
from journal.records.clocks import Clocks, machine_clocks
from journal.records.own_files import own_folder
from journal.wording import text_of, worded
from journal.wording.keys import place_use
from journal.wording.languages import translated

if TYPE_CHECKING:
    from journal.desk.finder import FindController

FIRST_SIZE = QSize(1280, 800)
BACKUP_AFTER_MS, BACKUP_AGAIN_MS = 4_000, 60 * 60 * 1000
_OF_MAKES = ("vat", "makes", "compare", "room", "tastings")  # places that show a make


class Window(QWidget):
    """Shows one journal, place by place. Without a journal it says how to begin.

    `clock` gives the present instant (UTC ms) in place of the machine's clocks, `clocks` all
    three of them; `tick_ms` is how often they are looked at. `look` lets the menu choose light or
    dark; without `daily_backup` none is made by itself, and damage is not looked for. `failed` is
    a journal that could not be opened.
    """

    def __init__(
        self,
        journal: Journal | None,
        *,
        clock: Callable[[], int] | None = None,
        clocks: Clocks | None = None,
        tick_ms: int = TICK_MS,
        settings: QSettings | None = None,
        look: Look | None = None,
        place: str = "today",
        sentence: str = "",
        daily_backup: bool = True,
        failed: Path | None = None,
    ) -> None:
        super().__init__()
        self.settings = settings if settings is not None else remembered.settings()
        self.looks = LookController(self, self.settings, look, self.desk_now)
        self.looks.changed.connect(self._on_choices)
        self.past = HistoryController(self, self.desk_now)
        self.sums = SumController(self, self.desk_now, self.current_record)
        self.help = HelpController(self, self.current_place, self._everywhere, self.looks.show_keys)
        self._trail = VisitedPlaces()
        self._clocks = clocks or (machine_clocks() if clock is None else Clocks(clock))
        self._tick_ms = tick_ms
        self.work = work_after_paint(self)
        self._closing = Closing(self, self.work)
        self.desk: Desk | None = None
        self.files = FileController(self, self.settings, self.desk_now, self.work)
        self.files.opened.connect(self._on_opened)
        self.files.leaving.connect(self._save_states)
        self.files.message.connect(partial(self._say, "file"))
        self.files.pausing.connect(self.stop_sensors)
        self.files.resuming.connect(self.start_sensors)
        self.files.caution.connect(self._on_caution)
        self.drops = DropController(self, self.files, self._gone_to, partial(self._say, "file"))
        self.files.damaged.connect(self._on_damaged)
        self.damage = DamageController(self, self.desk_now, self.work)
        self.damage.found.connect(self._on_damaged)
        self.damage.rescued.connect(self.files.open_path)
        self._failed = failed
        self._daily_backup = daily_backup
        self._daily = QTimer(self)  # once the journal is shown, and nobody waits for it
        self._daily.setSingleShot(True)
        self._daily.timeout.connect(self._on_daily)
        self._watch: Watch | None = None
        self._upkeep: Upkeep | None = None
        self._built: dict[str, Place] = {}
        self._actions: dict[str, QAction] = {}
        self._finder: FindController | None = None
        self._build()
        self.take(journal, place=place, sentence=sentence)

    # Build

    def _build(self) -> None:
        self.setMinimumSize(QSize(900, 560))
        remembered.put_back(self, self.settings, FIRST_SIZE)
        self.top = TopBar(self)
        self.stack = QStackedWidget()
        self.files.holding.connect(self.stack.setDisabled)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.top)
        column.addWidget(Hairline())
        column.addWidget(self.stack, 1)
        column.addWidget(self.files.under_way)
        self.top.picked.connect(self.go)
        self.top.find_asked.connect(self.open_finder)
        self.top.menu_asked.connect(self.open_menu)
        for command in self._everywhere():
            self._actions[command.name] = action_for(command, self)
        self.menus = MenuBar(self.menu_parts, self._dress_menu, self.top)
        self.menus.name_menus()
        self.top.hold(self.menus)

    # The journal and its places

    def take(self, journal: Journal | None, *, place: str = "today", sentence: str = "") -> None:
        """Show another journal; the one shown before is left open."""
        self._leave()
        self.top.setEnabled(journal is not None)
        if journal is None:
            self.setWindowTitle("Vatside")
            self._show_beginning(sentence)
            return
        journal.wait_at_most(BUSY_S)
        self._watch = Watch(self, journal, self._clocks, self._tick_ms)
        self._watch.rang.connect(self._on_rang)
        self._watch.stepped.connect(partial(self._say, "clock"))
        alarm = self._watch.alarm
        self.looks.tune(alarm, silent=remembered.is_sample(journal.path))
        self.desk = Desk(
            journal, alarm.now, self.work, self.settings, alarm, self.show_sensors,
            self.files.bring_makes, SensorHolder(journal, alarm.now, self.work),
            make_to_begin_with(journal),
        )  # fmt: skip
        journal.listen(self._on_change)
        self._upkeep = Upkeep(self, journal, self.work)
        self._upkeep.gone.connect(self._on_gone)
        journal.on_left_out(partial(QTimer.singleShot, 0, self._say_left_out))
        remembered.remember(self.settings, str(journal.path))
        self.setWindowTitle(f"{journal.path.stem} · Vatside")
        self.go(place)
        self._say_of_file(journal)
        if self._watch.timekeeper.doubt is None:
            self.start_sensors()
        else:
            QTimer.singleShot(0, self._ask_which_time)
        if self._daily_backup:
            self._daily.start(BACKUP_AFTER_MS)

    def _say_of_file(self, journal: Journal) -> None:
        notes: list[tuple[str, Message | None]] = [(one.id, one) for one in journal.remarks]
        notes += [("folder", own_folder(journal.path)), ("photos", journal.photos.lost())]
        if remembered.is_sample(journal.path) and self.current is not None:
            self.current.say("sample", SAMPLE, acts=self.files.ways_to_begin())
        for subject, words in notes:
            if words is not None and self.current is not None:
                self.current.say(subject, text_of(words))

    def desk_now(self) -> Desk | None:
        """What all places share; None without a journal."""
        return self.desk

    @property
    def journal(self) -> Journal | None:
        """The journal shown."""
        return self.desk.journal if self.desk else None

    def current_record(self) -> CurrentRecord | None:
        """The selected record in the place shown."""
        return None if self.current is None else self.current.current_record()

    @property
    def current(self) -> Place | None:
        """The place shown."""
        shown = self.stack.currentWidget()
        return shown if isinstance(shown, Place) else None

    def current_place(self) -> Place | None:
        """The place shown."""
        return self.current

    def place(self, key: str) -> Place:
        """The place of that key, built when it is first asked for.

        Raises
        ------
        RuntimeError
            Without a journal.
        """
        if key not in self._built:
            if self.desk is None:
                raise RuntimeError(NO_JOURNAL)
            entry = next(e for e in PLACES if e.key == key)
            made = build(entry, self.desk)
            made.add_actions()
            made.goes.connect(self.go)
            made.asks.connect(self.run)
            self.stack.addWidget(made)
            self._built[key] = made
        return self._built[key]

    def go(self, key: str, make_id: int | None = None) -> None:
        """Show a place, with a make when one is named."""
        if self.desk is None:
            return
        made = self.place(key)
        if make_id is not None:
            self.desk.make_id = make_id
            made.show_make(make_id)
        self.stack.setCurrentWidget(made)
        self.desk.journal.pass_over(made.leaves_to_undo())
        self.top.show_current(key)
        self.menus.name_menus()
        self.top.fold()
        made.enter()
        self._trail.add(VisitedPlace(key, self.desk.make_id))

    def _gone_to(self, key: str) -> Place | None:
        self.go(key)
        return self.current

    def settled(self) -> bool:
        """True when nothing on the screen is about to change by itself."""
        return not self.work.busy and (self.current is None or self.current.settled())

    def _leave(self) -> None:
        """Show no journal any more; what is typed and not kept is written down first."""
        self._stop()
        self.desk = None
        self._built.clear()
        self._trail.forget()
        self._empty()

    def _empty(self) -> None:
        while (page := self.stack.widget(0)) is not None:
            self.stack.removeWidget(page)
            page.hide()
            page.deleteLater()

    def _on_daily(self) -> None:
        """Look for damage and at the place of the file, and back up where the day has no backup
        yet; a window may stay open for weeks."""
        self.damage.check()
        self.files.look_around()
        self.files.back_up_daily()
        self._daily.start(BACKUP_AGAIN_MS)

    def _save_states(self) -> None:
        for made in self._built.values():
            try:
                made.save_state()
            except KeepingError as error:
                made.say("state", text_of(error))

    def _stop(self) -> None:
        self._daily.stop()
        self._save_states()
        self.work.finish()
        self.stop_sensors()
        if self.desk is not None:
            self.desk.journal.unlisten(self._on_change)
        if self._watch is not None:
            self._watch.end()
            self._watch = None
        if self._upkeep is not None:
            self._upkeep.end()
            self._upkeep = None

    def _show_beginning(self, sentence: str) -> None:
        self._empty()
        ways = self._ways_out(self._failed) if self._failed is not None else ()
        self.stack.addWidget(beginning_page(sentence, self.files, ways))

    def _ways_out(self, path: Path) -> Actions:
        """What can be done about a damaged journal."""
        return (
            ("Backups…", partial(self.files.show_backups_of, path)),
            ("Rescue…", partial(self.damage.rescue, path)),
        )

    def _on_damaged(self, path: Path, sentence: str) -> None:
        """Say that a journal is damaged, with the ways out."""
        if self.current is not None:
            self.current.say("damage", sentence, acts=self._ways_out(path))
        else:
            self._failed = path
            self.take(None, sentence=sentence)

    def _say_left_out(self) -> None:
        """A list goes without damaged rows: said once it is drawn."""
        if self.journal is not None:
            self.damage.say(self.journal.path, self.journal.left_out())

    def say_fault(self, sentence: str) -> None:
        """Say what nobody else caught."""
        self._say("fault", sentence)

    def _say(self, name: str, sentence: str, attention: bool = True) -> None:
        """Say it in the place shown, or where a journal is chosen when there is none."""
        if self.current is not None:
            self.current.say(name, sentence, attention=attention)
        elif self.desk is None:
            self._show_beginning(sentence)

    def _on_change(self, change: Change) -> None:
        for made in self._built.values():
            made.notice(change)

    # Sensors; nothing of them is loaded while none is on

    def start_sensors(self) -> None:
        """Run the sources that are switched on, once the window stands."""
        here = self.journal
        if here is not None and not here.read_only and any(s.is_on for s in here.sources.all()):
            QTimer.singleShot(0, self, self._on_start_sensors)

    def stop_sensors(self) -> None:
        """Stop them all; what came is kept first."""
        if self.desk is not None:
            self.desk.sensors.stop()

    def show_sensors(self) -> None:
        """The sources that were set up."""
        desk = self.desk
        if desk is not None:
            from journal.desk.sensors.dialog import SensorsDialog

            SensorsDialog(desk, lambda: (self.desk or desk).sensors.made(), self).open()

    # Commands

    def commands(self) -> tuple[Command, ...]:
        """The commands of every place; the menu has those with a group."""
        has_make, has_journal = self.has_make, self.has_journal
        return (
            Command("new", "New journal…", self.files.new_journal, menu="file"),
            Command("open", "Open a journal…", self.files.open_journal, menu="file"),
            Command("copy", "Save a copy…", self.files.save_copy, (), has_journal, "file"),
            Command("backups", "Backups…", self.files.show_backups, (), has_journal, "file"),
            Command("rescue", "Rescue a damaged journal…", self.damage.rescue, menu="file"),
            Command("bundle", "Bundle for another computer…", self.files.bundle, (), has_journal,
                    "file"),
            Command("merge", "Merge another copy…", self.files.merge, (), has_journal, "file"),
            Command("bring_readings", "Import readings…", self.files.bring_readings, (),
                    has_make, "in"),
            Command("bring_makes", "Import past makes…", self.files.bring_makes,
                    (), has_journal, "in"),
            Command("probes", "Sensors…", self.show_sensors, (), has_journal, "in"),
            Command("export", "Export everything…", self.files.export, (), has_journal,
                    "in"),
            Command("undo", "Undo", self.undo, (), self.can_undo, "edit"),
            Command("redo", "Redo", self.redo, (), self.can_redo, "edit"),
            *self.past.commands(), *self.sums.commands(), *self.looks.commands(),
            Command("find", "Find", self.open_finder, menu="find"),
            Command("filter", "Filter the list", self.filter_list, (), self.can_filter,
                    "find"),
            Command("back", "Back", self.go_back, (), self._trail.can_back, "find"),
            *self.help.commands(),
            Command("quit", "Close the window", self.close, menu="end"),
        )  # fmt: skip

    def _place_commands(self) -> list[Command]:
        """How to go to each place, for the sheet of keys."""
        return [
            Command(entry.key, worded("desk.go-to", place=translated(entry.title)),
                    partial(self.go, entry.key), (place_use(number),))
            for number, entry in enumerate(PLACES)
        ]  # fmt: skip

    def has_journal(self) -> bool:
        """A journal is open."""
        return self.desk is not None

    def has_make(self) -> bool:
        """A make is open."""
        return self.desk is not None and self.desk.make_id is not None

    def can_undo(self) -> bool:
        """There is something to undo."""
        return self._undoing("undo") is not None

    def can_redo(self) -> bool:
        """There is something to redo."""
        return self._undoing("redo") is not None

    def _undoing(self, way: str) -> tuple[str, Callable[[], object]] | None:
        """The step to be taken back ("undo") or taken again: its name, and what does it. The
        place's own where it has one, else the journal's; None where there is none."""
        own = self.current.own_undo() if self.current is not None else None
        return step_of(way, own, self.journal)

    def undo(self) -> None:
        """Undo the last change and say which it was."""
        self._take("undo", "Undone: ")

    def redo(self) -> None:
        """Do again what was undone last."""
        self._take("redo", "Redone: ")

    def _take(self, way: str, words: str) -> None:
        step = self._undoing(way)
        if step is not None and self.current is not None:
            take(step, words, partial(self.current.say, "undo"))

    def filter_list(self) -> None:
        """Narrow the current list by typing."""
        table = self.current.list_to_filter() if self.current is not None else None
        if table is not None:
            table.ask_filter()

    def can_filter(self) -> bool:
        """A list that is seen can be narrowed."""
        return self.current is not None and self.current.list_to_filter() is not None

    def open_finder(self) -> None:
        """The finder."""
        from journal.desk.finder import FindController

        if self._finder is None:
            self._finder = FindController(
                self, self, self.journal_now, self._named_now, self.sums, self.help
            )
        self._finder.open()

    def journal_now(self) -> Journal | None:
        """The journal shown, None without one."""
        return self.journal

    def go_back(self) -> None:
        """Show the place one was in before, with its make; the keys are where they were."""
        spot = self._trail.back()
        if spot is not None:
            held = self.place(spot.key).focusWidget()
            self.go(spot.key, spot.make_id if spot.key in _OF_MAKES else None)
            if held is not None and isValid(held) and held.isVisible():
                held.setFocus()

    def run(self, name: str) -> None:
        """Do the command of that name, if it can be done now."""
        for command in self._commands_now():
            if command.name == name:
                command.run()
                return

    def _commands_now(self) -> list[Command]:
        """What can be done at this moment, the place's own first."""
        own = self.current.commands() if self.current else ()
        every = (*own, *(c for c in self.commands() if c.name != "find"))
        return [command for command in every if command.is_enabled()]

    def _named_now(self) -> list[Command]:
        """The same, undo and redo saying what."""
        return [replace(one, title=self._title(one)) for one in self._commands_now()]

    def _everywhere(self) -> list[Command]:
        menu = Command("menu", "Menu", self.open_menu)
        return [*self.commands(), menu, *self._place_commands()]

    def _title(self, command: Command) -> str:
        """The words of a command; undo and redo say what."""
        step = self._undoing(command.name) if command.name in ("undo", "redo") else None
        return f"{command.title}: {step[0]}" if step is not None else command.title

    def open_menu(self) -> None:
        """The first menu; all under one word, where they do not stand beside each other."""
        if self.menus.isVisible():
            self.menus.setActiveAction(self.menus.actions()[0])
            return
        menu = self.menus.all_in_one(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        corner = self.top.menu
        menu.popup(corner.mapToGlobal(corner.rect().bottomLeft()))

    def menu_parts(self) -> list[MenuPart]:
        """What stands in the menus at this moment: the window's own commands, and those of the
        place one is in."""
        here = self.current
        places = [replace(one, menu="go") for one in self._place_commands()]
        mine = [replace(one, title=self._title(one)) for one in self.commands()]
        to_vat = Command("to_vat", "Go to the make in the vat", partial(self.go, "vat"),
                         ("place_4",), self.has_journal, "make")  # fmt: skip
        if here is None:
            return parts_of([*mine, *places, to_vat], (), "", "")
        title = translated(here.title)
        return parts_of([*mine, *places, to_vat], here.commands(), here.key, title)

    def _dress_menu(self, title: str, menu: Menu, lines: dict[str, QAction]) -> None:
        """The journals last opened, under the line that opens one."""
        if title == FILE:
            self.files.add_recent(menu, lines["open"])

    # Handlers

    def _on_opened(self, made: Journal | None) -> None:
        """Show it in place of the one before, whose file may have another name or none now."""
        before = self.journal
        self.looks.apply()  # a new journal may have been asked for its units
        self.take(made, place="today" if before is not None else first_place(made, self.settings))
        if before is not None:
            before.close()

    def _on_caution(self, caution: Message) -> None:
        self._say(caution.id, text_of(caution))

    def _on_gone(self, found: Message | None) -> None:
        """Say what became of the file, and offer the way on; say no more once it is there again."""
        if self.current is None:
            return
        if found is None:
            self.current.clear("gone")
        else:
            self.current.say("gone", text_of(found), acts=self.files.ways_on())

    def _on_rang(self, words: str) -> None:
        if self.current is not None:
            self.current.rang(words)

    def _ask_which_time(self) -> None:
        """The computer's clock may be wrong: no reading comes in before somebody says."""
        if self._watch is not None and self.journal is not None:
            asking = ClockAsking(self._watch, self.journal.zone, self._clocks.wall, self)
            asking.settled.connect(self.start_sensors)
            asking.unanswered.connect(partial(self._say, "clock"))
            asking.ask()

    def _on_start_sensors(self) -> None:
        if self.desk is not None:
            self.desk.sensors.made().sync()

    def _on_choices(self) -> None:
        """Build anew what is written otherwise now; one stays in the place and with the make."""
        self.top.take_fonts()
        for command in self._everywhere():
            bind_keys(self._actions[command.name], command)
        desk, place = self.desk, self.current.key if self.current is not None else ""
        if desk is not None:
            self._finder = None
            self.take(desk.journal, place=place)
            if place == "vat":
                self.go(place, desk.make_id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key that nothing took: it was pressed on the bar, or on what lay over the place."""
        if self.current is None:
            super().keyPressEvent(event)
        else:
            self.current.keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._finder is not None:
            self._finder.finder.hide()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self._closing.may():
            event.ignore()
            return
        place = self.current.key if self.current is not None else ""
        remembered.remember_window(self, self.settings, place)
        self.looks.end()
        self._stop()
        super().closeEvent(event)
