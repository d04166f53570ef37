"""Menus made of commands: the bar along the top, and the menu of what lies under the pointer."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from journal.desk.commands import Command, shown_keys
from journal.desk.theme import SMALL, STEP, font
from journal.wording.languages import translated

_ROW = 8 * STEP  # px; what a finger can hit
_MENU_LOOK = (
    f"QMenu::item {{ min-height: {_ROW}px; padding: 0 {5 * STEP}px 0 {5 * STEP}px;"
    " color: palette(window-text); }"
    "QMenu::item:selected { background: palette(highlight); color: palette(highlighted-text); }"
    "QMenu::item:disabled { color: palette(placeholder-text); }"
    f"QMenu::separator {{ height: 1px; margin: {STEP}px 0; background: palette(mid); }}"
)

_BAR_LOOK = (
    "QMenuBar { border: none; background: transparent; }"
    f"QMenuBar::item {{ padding: {2 * STEP}px {2 * STEP}px; background: transparent;"
    " color: palette(window-text); }"
    "QMenuBar::item:selected { background: palette(highlight); color: palette(highlighted-text); }"
)


@dataclass(frozen=True)
class MenuPart:
    """One menu of the bar: its title, the commands that stand in it, group by group, and the
    groups that have a menu of their own, with its title."""

    title: str
    commands: Sequence[Command]
    under: Mapping[str, str] = field(default_factory=dict)


class Menu(QMenu):
    """A menu whose rows are high enough for a finger. Its keys are shown, and bound elsewhere."""

    def __init__(self, parent: QWidget, title: str = "") -> None:
        super().__init__(translated(title), parent)
        self.named = title
        self.setFont(font(SMALL))
        self.setStyleSheet(_MENU_LOOK)

    def offer(
        self,
        commands: Sequence[Command],
        *,
        all_of_them: bool = False,
        under: Mapping[str, str] = MappingProxyType({}),
    ) -> dict[str, QAction]:
        """Add those that can be done (or all, the others greyed), a rule between two groups; a
        group named in `under` has a menu of its own. Returns the lines by the names of their
        commands."""
        made: dict[str, QAction] = {}
        subs: dict[str, Menu] = {}
        group: str | None = None
        for command in commands:
            if not (all_of_them or command.is_enabled()):
                continue
            if command.menu in under:
                if command.menu not in subs:
                    subs[command.menu] = Menu(self, under[command.menu])
                    self.addMenu(subs[command.menu])
                made |= subs[command.menu].offer([command], all_of_them=all_of_them)
                continue
            if group is not None and command.menu != group:
                self.addSeparator()
            group = command.menu
            keys = shown_keys(command)
            title = command.title.replace("&", "&&")
            line = QAction(f"{title}\t{keys}" if keys else title, self)
            line.setObjectName(command.name)
            line.setEnabled(command.is_enabled())
            line.triggered.connect(command.run)
            self.addAction(line)
            made[command.name] = line
        return made


class MenuBar(QMenuBar):
    """The menus along the top. `parts` gives what stands in them at this moment; `dressed` adds
    to a menu what is no command, by its title. A menu is filled as it opens."""

    def __init__(
        self,
        parts: Callable[[], Sequence[MenuPart]],
        dressed: Callable[[str, Menu, dict[str, QAction]], None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._parts, self._dressed = parts, dressed
        self._menus: list[Menu] = []
        self.setNativeMenuBar(False)
        self.setFont(font())
        self.setAccessibleName(translated("Menus"))
        self.take_colours()

    def name_menus(self) -> None:
        """Make a menu for each part there is now."""
        titles = [part.title for part in self._parts()]
        if titles == [menu.named for menu in self._menus]:
            return
        self.clear()
        for menu in self._menus:
            menu.deleteLater()
        self._menus = [Menu(self, title) for title in titles]
        for menu in self._menus:
            menu.aboutToShow.connect(self._on_about_to_show)
            self.addMenu(menu)

    def all_in_one(self, parent: QWidget) -> Menu:
        """All menus under one, for a window too narrow for them beside each other."""
        whole = Menu(parent)
        for part in self._parts():
            under = Menu(whole, part.title)
            self._fill(under, part)
            whole.addMenu(under)
        return whole

    def menu_named(self, title: str) -> Menu:
        """The menu of that title, without the mark of its key."""
        return next(menu for menu in self._menus if menu.named.replace("&", "") == title)

    def take_colours(self) -> None:
        """Set the look again in the present colours: a style sheet stays with those it began with,
        and its widget does not learn that they changed."""
        for one, look in ((self, _BAR_LOOK), *((menu, _MENU_LOOK) for menu in self._menus)):
            one.setStyleSheet("")
            one.setStyleSheet(look)

    def _on_about_to_show(self) -> None:
        menu = self.sender()
        for part in self._parts():
            if isinstance(menu, Menu) and part.title == menu.named:
                for under in menu.findChildren(Menu):
                    under.deleteLater()
                menu.clear()
                self._fill(menu, part)

    def _fill(self, menu: Menu, part: MenuPart) -> None:
        lines = menu.offer(part.commands, all_of_them=True, under=part.under)
        self._dressed(part.title, menu, lines)
