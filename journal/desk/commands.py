"""Commands as data: one table feeds the menu, the finder and the key sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QKeyCombination, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from journal.wording.keys import keys_of, spelled
from journal.wording.languages import translated


@dataclass(frozen=True)
class Command:
    """What can be done: its words, what its keys mean, what does it, and when it can be done.

    `means` names uses of `wording/key_uses.py`, () the use of its own name. `enabled` None means
    always. `menu` names the group of the menu it stands in, "" for none (a place's own then stands
    with those of no group). `shown` is a key that is no shortcut, for what
    a field or a page hears by itself, such as Esc.
    """

    name: str
    title: str
    run: Callable[[], object]
    means: tuple[str, ...] = ()
    enabled: Callable[[], bool] | None = None
    menu: str = ""
    shown: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", translated(self.title))

    def is_enabled(self) -> bool:
        """Whether it can be done at this moment."""
        return self.enabled is None or self.enabled()

    @property
    def keys(self) -> tuple[str, ...]:
        """Its keys at this moment, as Qt names them."""
        return tuple(key for use in self.means or (self.name,) for key in keys_of(use))


def action_for(command: Command, owner: QWidget) -> QAction:
    """The action of a command on a widget; its keys work while the widget is to be seen."""
    action = QAction(command.title, owner)
    action.setObjectName(command.name)
    bind_keys(action, command)
    action.triggered.connect(command.run)
    owner.addAction(action)
    return action


def bind_keys(action: QAction, command: Command) -> None:
    """Bind the present keys of a command to its action."""
    action.setShortcuts([QKeySequence(key) for key in command.keys])


def shown_keys(command: Command) -> str:
    """The first key as a person reads it, "" when there is none."""
    return spelled(command.keys[0]) if command.keys else command.shown


def bind(use: str, owner: QWidget, run: Callable[[], object]) -> None:
    """Bind the keys of a use while the window of a widget is active."""
    for key in keys_of(use):
        QShortcut(QKeySequence(key), owner).activated.connect(run)


def is_key(event: QKeyEvent, use: str) -> bool:
    """Whether a key that was pressed means that."""
    held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    pressed = QKeySequence(QKeyCombination(held, Qt.Key(event.key())))
    return any(
        QKeySequence(key) == pressed or (key.isdigit() and event.text() == key)
        for key in keys_of(use)
    )
