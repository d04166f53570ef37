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


class _Keys:
    single = True  # keys of one letter are in use


def use_single_keys(on: bool) -> None:
    """Have keys of a single letter do what they do, or not, in what is built from now on."""
    _Keys.single = on


def keys_in_use(command: Command) -> tuple[str, ...]:
    """The keys of a command, without those of a single letter where they are switched off."""
    if _Keys.single:
        return command.keys
    return tuple(key for key in command.keys if not _is_letter(key.removeprefix("Shift+")))


def _is_letter(key: str) -> bool:
    return len(key) == 1 and key.isalpha()


def action_for(command: Command, owner: QWidget) -> QAction:
    """The action of a command on a widget; its keys work while the widget is to be seen."""
    action = QAction(command.title, owner)
    action.setObjectName(command.name)
    action.setShortcuts([QKeySequence(key) for key in keys_in_use(command)])
    action.triggered.connect(command.run)
    owner.addAction(action)
    return action


def shown_keys(command: Command) -> str:
    """The first key as a person reads it, "" when there is none."""
    keys = keys_in_use(command)
    if not keys:
        return command.shown
    return QKeySequence(keys[0]).toString(QKeySequence.SequenceFormat.NativeText)
