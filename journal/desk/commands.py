"""Commands as data: one table feeds the menu, the finder and the key sheet."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget


@dataclass(frozen=True)
class Command:
    """What can be done: its words, its keys, the method that does it, and when it can be done.

    `handler` and `enabled` name methods of the widget the command belongs to; `enabled` "" means
    always. `menu` names the group of the menu it stands in, "" for none.
    """

    name: str
    title: str
    handler: str
    keys: tuple[str, ...] = ()
    enabled: str = ""
    menu: str = ""


WINDOW_COMMANDS: tuple[Command, ...] = (
    Command("new", "New journal…", "new_journal", ("Ctrl+N",), menu="file"),
    Command("open", "Open a journal…", "open_journal", ("Ctrl+O",), menu="file"),
    Command(
        "bring_readings", "Bring in readings…", "bring_readings", ("Ctrl+I",), "has_make", "in"
    ),
    Command(
        "bring_makes", "Bring in past makes…", "bring_makes", ("Ctrl+Shift+I",), "has_journal", "in"
    ),
    Command("probes", "Probes…", "probes", ("Ctrl+Shift+P",), "has_journal", "in"),
    Command("export", "Export everything…", "export", ("Ctrl+E",), "has_journal", "in"),
    Command("undo", "Undo", "undo", ("Ctrl+Z",), "can_undo", "edit"),
    Command("redo", "Redo", "redo", ("Ctrl+Shift+Z", "Ctrl+Y"), "can_redo", "edit"),
    Command("look_system", "Light or dark as the system", "look_system", menu="look"),
    Command("look_light", "Light", "look_light", menu="look"),
    Command("look_dark", "Dark", "look_dark", menu="look"),
    Command("find", "Find", "find", ("Ctrl+K",)),
    Command("keys", "Keys", "show_keys", ("F1",), menu="help"),
    Command("quit", "Close the window", "close", ("Ctrl+Q",), menu="end"),
)


def action_for(command: Command, owner: QWidget) -> QAction:
    """The action of a command on the widget whose methods it names; its keys work while the
    widget is to be seen."""
    action = QAction(command.title, owner)
    action.setObjectName(command.name)
    action.setShortcuts([QKeySequence(key) for key in command.keys])
    action.triggered.connect(getattr(owner, command.handler))
    owner.addAction(action)
    return action


def is_enabled(command: Command, owner: QWidget) -> bool:
    """Whether the command can be done at this moment."""
    return not command.enabled or bool(getattr(owner, command.enabled)())


def shown_keys(command: Command) -> str:
    """The first key as a person reads it, "" when there is none."""
    if not command.keys:
        return ""
    return QKeySequence(command.keys[0]).toString(QKeySequence.SequenceFormat.NativeText)
