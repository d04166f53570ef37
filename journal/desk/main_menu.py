"""The commands in the window's menus: File, Edit, Make, the current place, View, Help."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from journal.desk.commands import Command
from journal.desk.menus import MenuPart

FILE, EDIT, MAKE, VIEW, HELP = "&File", "&Edit", "&Make", "&View", "&Help"
VIEWS = "view"  # the group of a place's commands that stands in View
# The groups of the window's commands in each menu, as `Command.menu` names them.
_GROUPS = {
    FILE: ("file", "in", "end"),
    EDIT: ("edit", "settings"),
    MAKE: ("make", "sums"),
    VIEW: ("go", "find", "size", "look"),
    HELP: ("help",),
}
# Groups of a place's commands that have a menu of their own within it, so that none is long.
SUBMENUS = {
    "reading": "Readings",
    "timer": "Timers",
    "note": "Notes",
    "check": "Before the start, checks",
    "whole": "The whole make",
}
_TAKEN = "FEMVH"
_WITHIN_MAKE = ("vat", "makes")  # places that are of makes themselves: one menu for both


def parts_of(
    window: Sequence[Command], place: Sequence[Command], key: str, title: str
) -> list[MenuPart]:
    """The menus: a place's own commands stand in Make at the vat and in Makes, elsewhere in a menu
    of the place's name; how it is shown stands in View, what prints it in File."""
    out = []
    views = [one for one in place if one.menu == VIEWS]
    prints = [replace(one, menu="print") for one in place if _prints(one)]
    own = in_groups([one for one in place if one.menu != VIEWS and not _prints(one)])
    for name, groups in _GROUPS.items():
        commands = [one for group in groups for one in window if one.menu == group]
        if name == FILE:
            last = [one for one in commands if one.menu == "end"]
            commands = [*commands[: len(commands) - len(last)], *prints, *last]
        elif name == VIEW:
            commands = [*views, *commands]
        elif name == MAKE and key == "vat":
            commands = [*own, *(one for one in commands if one.menu != "make")]
        elif name == MAKE and key == "makes":
            commands += own
        out.append(MenuPart(name, commands, SUBMENUS))
        if name == MAKE and own and key not in _WITHIN_MAKE:
            out.append(MenuPart(title if title[0] in _TAKEN else f"&{title}", own))
    return out


def _prints(command: Command) -> bool:
    """It means the key that prints: people look for it in File, wherever they are."""
    return "print" in (command.means or (command.name,))


def in_groups(commands: Sequence[Command]) -> list[Command]:
    """Those of one group together, in the order in which the groups come."""
    order = list(dict.fromkeys(one.menu for one in commands))
    return sorted(commands, key=lambda one: order.index(one.menu))
