"""The keys as a list: each can be given another, or none; what a key means already is said."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QSettings, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.commands import bind
from journal.desk.form.filter_line import FilterLine
from journal.desk.form.frame import FramedDialog
from journal.desk.form.line_field import FieldFrame, TextLine
from journal.desk.labels import Label
from journal.desk.preferences import changed_keys, choose_keys
from journal.desk.spoken import announce
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, scaled
from journal.wording import worded
from journal.wording.key_uses import KEY_USES, KeyUse
from journal.wording.keys import NO_KEY, is_kept, is_single, keys_with, spelled, taken_by
from journal.wording.languages import translated

_HELD = frozenset(
    [Qt.Key.Key_Shift, Qt.Key.Key_Control, Qt.Key.Key_Alt, Qt.Key.Key_AltGr, Qt.Key.Key_Meta,
     Qt.Key.Key_CapsLock, Qt.Key.Key_unknown]
)  # fmt: skip
_PASSED = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Escape)


@dataclass(frozen=True)
class KeyUseRow:
    """A use with the keys it would have."""

    use: KeyUse
    keys: tuple[str, ...]
    own: bool

    def shown(self) -> str:
        """The keys as they are written."""
        names = [spelled(key) for key in self.keys if "Enter" not in key]
        return worded("wording.either", names=names) if names else worded("wording.none")


class NewKeyLine(TextLine):
    """Catches one key, whichever it is: `heard` carries it as Qt names it. Tab and Esc go on."""

    heard = Signal(str)

    def __init__(self) -> None:
        super().__init__(name="New key", hint="Press the new key here")
        self.setReadOnly(True)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.key() not in _PASSED:
            if event.type() == QEvent.Type.ShortcutOverride:
                event.accept()
                return True
            if event.type() == QEvent.Type.KeyPress:
                self._hear(event)
                return True
        return super().event(event)

    def _hear(self, event: QKeyEvent) -> None:
        if event.key() not in _HELD:
            held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
            code = event.key() | held.value
            portable = QKeySequence.SequenceFormat.PortableText
            self.heard.emit(QKeySequence(code).toString(portable).replace("Enter", "Return"))


class KeysDialog(FramedDialog):
    """Every use of a key with its key. A key that is pressed for the current one is taken; one that
    means something else is said first, and taken from there when it is pressed again. `saved`
    comes once the changes are."""

    help_topic = "settings/Keys"

    saved = Signal()

    def __init__(self, settings: QSettings, parent: QWidget) -> None:
        super().__init__("Keys", parent)
        self._settings = settings
        self._changed: dict[str, str] = dict(changed_keys(settings))
        self._asked = ("", "")
        line = FilterLine(hint="Filter: a command, a place or a key", nothing="No command")
        self.table = RowsView(
            "Keys",
            (
                Column("what", lambda row: row.use.title, stretch=True),
                Column("where", lambda row: translated(row.use.where), quiet=True, spare=True),
                Column("key", KeyUseRow.shown, bold=True),
                Column("", lambda row: worded("desk.changed") if row.own else "", quiet=True),
            ),
            in_order=True,
            filter_line=line,
        )  # fmt: skip
        self.line = NewKeyLine()
        self.without = Button("No key", FAINT)
        self.usual = Button("Back to usual", FAINT)
        self.all_usual = Button("All back to usual", FAINT)
        self.save_button = Button("Save", MAIN, "main")
        leave = Button("Cancel", FAINT, "Esc")
        self.message = Label("", wrap=True)
        for button, act in (
            (self.without, self.clear_key), (self.usual, self.put_back),
            (self.all_usual, self.put_all_back), (self.save_button, self.save),
            (leave, self.reject),
        ):  # fmt: skip
            button.clicked.connect(act)
        self.line.heard.connect(self.take)
        self.table.opened.connect(self._on_opened)
        self.table.picked.connect(self._on_picked)
        bind("main", self, self.save)
        column = self.arrange(
            line, self.table, self._foot(), acts=(self.save_button, leave), message=self.message
        )
        column.setStretch(2, 0)
        column.setStretch(3, 1)
        self.resize(scaled(240 * STEP), scaled(170 * STEP))
        self.setFocusProxy(self.table)
        self._show()
        self.table.select(0)

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(3 * STEP)
        row.addWidget(FieldFrame(self.line, 9 * STEP), 1)
        for button in (self.without, self.usual, self.all_usual):
            row.addWidget(button)
        return row

    def _show(self) -> None:
        here = self.table.current()
        rows = [
            KeyUseRow(use, keys_with(use, self._changed), use.name in self._changed)
            for use in KEY_USES if not use.fixed
        ]  # fmt: skip
        self.table.show_rows(rows)
        if here is not None:
            self.table.select_where(lambda row: row.use.name == here.use.name)
        self.all_usual.setEnabled(bool(self._changed))

    # Acts

    def take(self, key: str) -> None:
        """Give the current use this key, as Qt names it."""
        row = self.table.current()
        if row is None:
            return
        refused = _refused(row.use, key)
        if refused:
            self._say(refused, wrong=True)
            return
        other = taken_by(row.use.name, key, self._changed)
        if other is not None and self._asked != (row.use.name, key):
            self._asked = row.use.name, key
            if other.fixed:
                self._asked = "", ""
            self._say(worded("desk.key-is-taken", key=spelled(key), use=other.title,
                             where=other.where), wrong=True)  # fmt: skip
            return
        if other is not None:
            self._changed[other.name] = NO_KEY
        self._set(row.use, key)
        self._say(worded(
            "desk.key-given" if other is None else "desk.key-moved", key=spelled(key),
            use=row.use.title, other="" if other is None else other.title,
        ))  # fmt: skip

    def clear_key(self) -> None:
        """Leave the current use without a key."""
        row = self.table.current()
        if row is not None:
            self._set(row.use, NO_KEY)
            self._say(worded("desk.no-key", use=row.use.title))

    def put_back(self) -> None:
        """Give the current use its usual key again, if nothing else has it now."""
        row = self.table.current()
        if row is None:
            return
        for key in row.use.keys:
            other = taken_by(row.use.name, key, self._changed)
            if other is not None:
                self._say(worded("desk.key-is-in-use", key=spelled(key), use=other.title,
                                 where=other.where), wrong=True)  # fmt: skip
                return
        self._changed.pop(row.use.name, None)
        self._show()
        self._say(worded("desk.key-as-usual", use=row.use.title))

    def put_all_back(self) -> None:
        """Give every use its usual key again."""
        self._changed.clear()
        self._show()
        self._say("All keys are as usual. Save keeps them so.")

    def save(self) -> None:
        """Save what was changed, for this window and every other."""
        choose_keys(self._settings, self._changed)
        self.saved.emit()
        self.accept()

    def _set(self, use: KeyUse, key: str) -> None:
        self._asked = "", ""
        self._changed[use.name] = key
        if (key,) == use.keys:
            del self._changed[use.name]
        self._show()

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self.message.say(sentence, wrong=wrong)
        if not wrong:
            announce(self.message, sentence)

    # Handlers

    def _on_opened(self, _row: object) -> None:
        self.line.setFocus()

    def _on_picked(self, row: KeyUseRow) -> None:
        self.line.setAccessibleName(worded("desk.new-key", use=row.use.title))
        self.line.setPlaceholderText(worded("desk.press-new-key", use=row.use.title))


def _refused(use: KeyUse, key: str) -> str:
    """Why a key can be no other's; "" where it can."""
    lettered = any(is_single(one) for one in use.keys)
    if is_kept(key):
        return worded("desk.key-is-kept", key=spelled(key))
    if is_single(key) and not lettered:
        return worded("desk.key-is-typed", key=spelled(key))
    return ""
