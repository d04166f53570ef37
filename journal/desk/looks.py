"""The choice of light or dark in the menu."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSettings

from journal.desk.commands import Command
from journal.desk.theme import Look


class LookController:
    """Remembers the look that is chosen, and shows it."""

    def __init__(self, settings: QSettings, look: Look | None) -> None:
        self._settings, self._look = settings, look

    def commands(self) -> tuple[Command, ...]:
        """Light or dark, or as the system has it."""
        return tuple(
            Command(f"look_{mode}", f"{mode.capitalize()} colours", partial(self._set, mode),
                    menu="look")
            for mode in ("system", "light", "dark")
        )  # fmt: skip

    def _set(self, mode: str) -> None:
        self._settings.setValue("look", mode)
        if self._look is not None:
            self._look.set_mode(mode)
