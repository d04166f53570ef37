"""How the window looks, sounds and writes: what was chosen, and the commands that change it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, QSettings, Signal
from PySide6.QtWidgets import QApplication, QWidget

from journal.desk.alarm import Alarm
from journal.desk.commands import Command
from journal.desk.focus_frame import FocusFrames
from journal.desk.place import Desk
from journal.desk.preferences import PREFERENCES, SIZES, changed_keys, choose, chosen, style_chosen
from journal.desk.settings import sync_settings
from journal.desk.spoken import name_pictures
from journal.desk.theme import Look, use_text_size
from journal.wording import use_style, worded
from journal.wording.keys import GROUP as KEYS
from journal.wording.keys import use_keys


class LookController(QObject):
    """Has everything written, drawn and sounded as it was chosen; `changed` comes when what is
    built already has to be built anew."""

    changed = Signal()

    def __init__(
        self,
        window: QWidget,
        settings: QSettings,
        look: Look | None,
        desk: Callable[[], Desk | None],
    ) -> None:
        super().__init__(window)
        self._window, self._settings, self._look, self._desk = window, settings, look, desk
        name_pictures()
        app = QApplication.instance()
        if isinstance(app, QApplication):
            FocusFrames(app, self)
        self._watched = QFileSystemWatcher(self)
        self._watched.fileChanged.connect(self._on_file)
        self._watched.directoryChanged.connect(self._on_file)
        self.apply()
        self._watch()

    def commands(self) -> tuple[Command, ...]:
        """The settings, the size of the text, light or dark or as the system has it."""
        return (
            Command("settings", "Settings…", self.show_settings, menu="settings"),
            Command("change_keys", "Change the keys…", self.show_keys, menu="settings"),
            Command("larger", "Larger text", partial(self._step, 1),
                    menu="size"),
            Command("smaller", "Smaller text", partial(self._step, -1),
                    menu="size"),
            Command("usual_size", "Usual text size", partial(self._set_size, SIZES[0]),
                    menu="size"),
            *(
                Command(f"look_{mode}", worded("desk.colours", look=mode), partial(self._set, mode),
                        menu="look")
                for mode in ("system", "light", "dark")
            ),
        )  # fmt: skip

    def apply(self) -> None:
        """Apply the chosen formats to what is written from now on."""
        settings = self._settings
        use_style(style_chosen(settings))
        use_text_size(int(chosen(settings, "text")))
        use_keys(changed_keys(settings), single=chosen(settings, "single_keys") == "on")
        self._applied = self._all()
        if self._look is not None:
            self._look.set_mode(chosen(settings, "look"))

    def tune(self, alarm: Alarm, *, silent: bool = False) -> None:
        """Set the chosen sound of an alarm, or none."""
        loud = int(chosen(self._settings, "loudness")) / 100
        alarm.set_sound(chosen(self._settings, "sound"))
        alarm.set_loudness(0.0 if silent or chosen(self._settings, "sound") == "none" else loud)

    def show_settings(self) -> None:
        """The page of all choices."""
        from journal.desk.settings_page import SettingsDialog

        desk = self._desk()
        shown = SettingsDialog(
            self._settings, desk.journal if desk is not None else None, self._window
        )
        shown.saved.connect(self._on_saved)
        shown.keys_asked.connect(partial(self.show_keys, shown))
        shown.open()

    def show_keys(self, over: QWidget | None = None) -> None:
        """The page of all keys."""
        from journal.desk.keys_page import KeysDialog

        shown = KeysDialog(self._settings, over or self._window)
        shown.saved.connect(self._on_saved)
        shown.open()

    def end(self) -> None:
        """Follow no longer what other windows choose."""
        there = [*self._watched.files(), *self._watched.directories()]
        if there:
            self._watched.removePaths(there)

    def _all(self) -> dict[str, str]:
        """All that is chosen at this moment."""
        found = {one.key: one.chosen(self._settings) for one in PREFERENCES}
        return found | {f"{KEYS}/{use}": key for use, key in changed_keys(self._settings).items()}

    def _watch(self) -> None:
        """Watch for choices made in another window. A file that is written anew is another one,
        so its folder is looked at too."""
        file = Path(self._settings.fileName())
        there = {*self._watched.files(), *self._watched.directories()}
        wanted = [str(one) for one in (file, file.parent) if one.exists() and str(one) not in there]
        if wanted:
            self._watched.addPaths(wanted)

    def _on_file(self, _path: str) -> None:
        self._watch()
        self._settings.sync()
        if self._applied != self._all():
            self.apply()
            self.changed.emit()

    def _on_saved(self) -> None:
        sync_settings(self._settings)
        self._watch()
        self.apply()
        self.changed.emit()

    def _size(self) -> int:
        return int(chosen(self._settings, "text"))

    def _step(self, by: int) -> None:
        at = SIZES.index(self._size()) + by
        if 0 <= at < len(SIZES):
            self._set_size(SIZES[at])

    def _set_size(self, percent: int) -> None:
        if percent != self._size():
            choose(self._settings, "text", str(percent))
            self._on_saved()

    def _set(self, mode: str) -> None:
        choose(self._settings, "look", mode)
        self.apply()
