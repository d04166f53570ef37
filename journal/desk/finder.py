"""The finder's controller: what can be found now, and going to what was picked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject

from journal.desk.commands import Command, shown_keys
from journal.desk.find import Findable, Finder, things_of
from journal.desk.places import PLACES
from journal.keeping import Journal
from journal.wording import worded
from journal.wording.help import glossary, help_pages
from journal.wording.keys import key_of, place_use

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from journal.desk.calculating import SumController
    from journal.desk.help.controller import HelpController
    from journal.desk.place import Place


class FinderHost(Protocol):
    """What the finder asks of a window."""

    def go(self, key: str, make_id: int | None = None) -> None:
        """Show a place."""

    def place(self, key: str) -> Place:
        """The place of that key."""

    def run(self, name: str) -> None:
        """Do a command."""


class FindController(QObject):
    """Opens the finder over a window, filled with what there is at that moment; `commands` gives
    what can be done now, with its words."""

    def __init__(
        self, window: QWidget, going: FinderHost, journal: Callable[[], Journal | None],
        commands: Callable[[], Sequence[Command]], sums: SumController, help_: HelpController,
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._going, self._journal, self._commands = going, journal, commands
        self._sums, self._help = sums, help_
        self.finder = Finder(window)
        self.finder.chosen.connect(self._on_chosen)

    def open(self) -> None:
        """Show it."""
        self.finder.open_with(self._things())

    def _things(self) -> list[Findable]:
        journal = self._journal()
        out = []
        if journal is not None:
            out += [
                Findable(
                    one.title,
                    worded("desk.found-place", keys=key_of(place_use(number))),
                    ("place", one.key),
                )
                for number, one in enumerate(PLACES)
            ]
        for command in self._commands():
            kind = shown_keys(command).strip() or worded("desk.found-command")
            out.append(Findable(command.title, kind, ("command", command.name)))
        if journal is not None:
            out += [*things_of(journal), *self._sums.things()]
        page_of = worded("desk.found-help")
        out += [Findable(page.title, page_of, ("help", page.key)) for page in help_pages()]
        out += [
            Findable(word.term, worded("desk.found-word"), ("word", word.term), " ".join(word.also))
            for word in glossary()
        ]
        return out

    def _on_chosen(self, target: tuple[str, object]) -> None:
        kind, what = target
        going = self._going
        if kind == "command":
            going.run(str(what))
        elif kind == "place":
            going.go(str(what))
        elif kind == "plan":
            going.go("plans")
            going.place("plans").show_plan(str(what))
        elif kind == "stock" and isinstance(what, tuple):
            going.go("plans")
            going.place("plans").show_stock(*what)
        elif kind == "session" and isinstance(what, int):
            going.go("tastings")
            going.place("tastings").show_session(what)
        elif kind == "sum":
            self._sums.show(what)
        elif kind in ("help", "word"):
            self._help.show(str(what), word=kind == "word")
        elif isinstance(what, int):
            going.go("room" if kind == "wheel" else "makes", what)
