"""Commands as data: one table feeds the menu, the finder and the key sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget


@dataclass(frozen=True)
class Command:
    """What can be done: its words, its keys, what does it, and when it can be done.

    `enabled` None means always. `menu` names the group of the menu it stands in, "" for none (a
    place's own then stands with those of no group). `shown` is a key that is no shortcut, for what
    a field or a page hears by itself, such as Esc.
    """

    name: str
    title: str
    run: Callable[[], object]
    keys: tuple[str, ...] = ()
    enabled: Callable[[], bool] | None = None
    menu: str = ""
    shown: str = ""

    def is_enabled(self) -> bool:
        """Whether it can be done at this moment."""
        return self.enabled is None or self.enabled()


def action_for(command: Command, owner: QWidget) -> QAction:
    """The action of a command on a widget; its keys work while the widget is to be seen."""
    action = QAction(command.title, owner)
    action.setObjectName(command.name)
    action.setShortcuts([QKeySequence(key) for key in command.keys])
    action.triggered.connect(command.run)
    owner.addAction(action)
    return action


def shown_keys(command: Command) -> str:
    """The first key as a person reads it, "" when there is none."""
    if not command.keys:
        return command.shown
    return QKeySequence(command.keys[0]).toString(QKeySequence.SequenceFormat.NativeText)
