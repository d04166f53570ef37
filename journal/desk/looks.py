"""How the window looks, sounds and writes: what was chosen, and the commands that change it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject, QSettings, Signal
from PySide6.QtWidgets import QApplication, QWidget

from journal.desk.alarm import Alarm
from journal.desk.commands import Command, use_single_keys
from journal.desk.focus_frame import FocusFrames
from journal.desk.place import Desk
from journal.desk.preferences import SIZES, choose, chosen, style_chosen
from journal.desk.spoken import name_pictures
from journal.desk.theme import Look, use_text_size
from journal.wording import use_style


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
        self.apply()

    def commands(self) -> tuple[Command, ...]:
        """The settings, the size of the text, light or dark or as the system has it."""
        return (
            Command("settings", "Settings…", self.show_settings, ("Ctrl+,",), menu="settings"),
            Command("larger", "Larger text", partial(self._step, 1), ("Ctrl++", "Ctrl+="),
                    menu="size"),
            Command("smaller", "Smaller text", partial(self._step, -1), ("Ctrl+-",),
                    menu="size"),
            Command("usual_size", "Usual text size", partial(self._set_size, SIZES[0]),
                    ("Ctrl+0",), menu="size"),
            *(
                Command(f"look_{mode}", f"{mode.capitalize()} colours", partial(self._set, mode),
                        menu="look")
                for mode in ("system", "light", "dark")
            ),
        )  # fmt: skip

    def apply(self) -> None:
        """Have what is written from now on as it was chosen."""
        settings = self._settings
        use_style(style_chosen(settings))
        use_text_size(int(chosen(settings, "text")))
        use_single_keys(chosen(settings, "single_keys") == "on")
        if self._look is not None:
            self._look.set_mode(chosen(settings, "look"))

    def tune(self, alarm: Alarm, *, silent: bool = False) -> None:
        """Have an alarm sound as it was chosen, or not at all."""
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
        shown.open()

    def _on_saved(self) -> None:
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
