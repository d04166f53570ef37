"""What the menu of help opens: the help at the place one is in, the keys, the versions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from journal.desk.asked_help import use_help
from journal.desk.commands import Command
from journal.desk.place import Place

if TYPE_CHECKING:
    from journal.desk.help.dialog import HelpDialog

FIRST = "begin"


class HelpController:
    """Opens the help over a window. `current` gives the place shown, `everywhere` the commands
    that the sheet of keys lists beside the place's, `change_keys` the page where keys change."""

    def __init__(
        self, window: QWidget, current: Callable[[], Place | None],
        everywhere: Callable[[], Sequence[Command]], change_keys: Callable[[], None],
    ) -> None:  # fmt: skip
        self._window, self._current, self._everywhere = window, current, everywhere
        self._change_keys = change_keys
        self._shown: HelpDialog | None = None
        use_help(self.show_over)

    def commands(self) -> tuple[Command, ...]:
        """Help here, from the beginning, every word, the keys, about."""
        return (
            Command("help", "Help for this place", self.show_here, menu="help"),
            Command("help_begin", "Begin here", self.show_first, menu="help"),
            Command("words", "Every word, explained", self.show_glossary, menu="help"),
            Command("keys", "Keyboard shortcuts", self.show_keys, menu="help"),
            Command("about", "About Vatside…", self.show_about, menu="help"),
        )

    def show_here(self) -> None:
        """The page of the place one is in; without a journal, how to begin."""
        current = self._current()
        self.show(current.key if current is not None else FIRST)

    def show_first(self) -> None:
        """How to begin."""
        self.show(FIRST)

    def show_glossary(self) -> None:
        """Every word with what it means."""
        self.show("")

    def show(self, key: str, *, word: bool = False) -> None:
        """The help with the page of that name, or a word, in the window that is open where one
        is."""
        from journal.desk.help.dialog import HelpDialog

        if self._shown is None:
            self._shown = HelpDialog(self._commands_of, self._window)
            self._shown.destroyed.connect(self._on_destroyed)
        if word:
            self._shown.show_word(key)
        else:
            self._shown.show_page(key)
        self._shown.show()
        self._shown.raise_()
        self._shown.activateWindow()
        self._shown.line.setFocus()

    def show_over(self, dialog: QWidget, topic: str) -> None:
        """The help on a topic over a dialog, which may let nothing else be reached."""
        from journal.desk.help.dialog import HelpDialog

        key, _, part = topic.partition("/")
        current = self._current()
        page = key or (current.key if current is not None else FIRST)
        open_already = dialog.findChild(HelpDialog)
        shown = dialog if isinstance(dialog, HelpDialog) else open_already
        if shown is None:
            shown = HelpDialog(self._commands_of, dialog)
        shown.show_page(page, part)
        shown.show()
        shown.raise_()
        shown.activateWindow()
        shown.line.setFocus()

    def show_keys(self) -> None:
        """The key sheet."""
        from journal.desk.keysheet import KeySheet

        groups = [("Everywhere", self._everywhere())]
        current, typing = self._current(), ""
        if current is not None and current.commands():
            groups.insert(0, (current.title, current.commands()))
            typing = current.typing_keys
        sheet = KeySheet(groups, self._window, typing)
        sheet.change_asked.connect(self._change_keys)
        sheet.open()

    def show_about(self) -> None:
        """The versions and licences."""
        from journal.desk.about import AboutDialog

        AboutDialog(self._window).open()

    def _commands_of(self, key: str) -> Sequence[Command]:
        """The commands of the place shown, where the page is about it."""
        current = self._current()
        return current.commands() if current is not None and current.key == key else ()

    def _on_destroyed(self) -> None:
        self._shown = None
