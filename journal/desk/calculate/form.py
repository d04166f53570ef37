"""The form of any topic: a field for each of its keys, read as it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.form.fields import Fields
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.spec import AS_TYPED, CHOICE, PATH, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.theme import STEP
from journal.topics.asked import InputValue
from journal.topics.topic import CURVE, Input, Topic
from journal.topics.typed import examples_of, read_value
from journal.topics.written import key_title, with_titles
from journal.wording import text_of
from journal.wording.letters import capital

_STYLE = FieldStyle(height=8 * STEP, titled=False)
_NAMES = 44 * STEP
_BELOW = 99


@dataclass
class Question:
    """What a form says: the values by key, what was taken for granted in reading them, the units
    they were typed in, and how many fields are not understood."""

    given: dict[str, InputValue] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    units: dict[str, str] = field(default_factory=dict)
    refused: int = 0


def _field(topic: Topic, key: Input, text: str) -> Field:
    """The field of a key: words of which one is chosen or none, the path of a curve, or typed; the
    hint is the first of its examples."""
    kind = CHOICE if key.choices else PATH if key.kind == CURVE else AS_TYPED
    title = key_title(topic, key)
    return Field(
        key.name, title, kind, text=text, hint=examples_of(key)[0], about=key.words,
        options=[("", "–"), *((word, word) for word in key.choices)],
    )  # fmt: skip


class SumForm(QWidget):
    """The fields of one topic. `changed` comes with every letter and every choice, `stood_on`
    with the key whose field has the focus."""

    changed = Signal()
    stood_on = Signal(object)

    def __init__(
        self, topic: Topic, texts: Mapping[str, str], known: Mapping[str, str], source: str
    ) -> None:
        """`texts` stand in the fields; what is as `known` is said to be from there (`source`)."""
        super().__init__()
        self.topic = topic
        self._known, self._source = dict(known), source
        asked = [_field(topic, key, texts.get(key.name, "")) for key in topic.keys]
        fields = Fields(asked, FieldContext(self, style=_STYLE), self)
        fields.edited.connect(self._on_text)
        fields.watch(self)
        self.fields = fields.made
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        grid.setColumnMinimumWidth(0, _NAMES)
        grid.setColumnStretch(1, 1)
        for row, made in enumerate(self.fields.values()):
            name = Label(made.field.title, role="quiet", wrap=True)
            name.setBuddy(made.entry)
            name.setFixedWidth(_NAMES)
            name.setContentsMargins(0, 2 * STEP, 0, 0)
            grid.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(made, row, 1)
        grid.setRowStretch(_BELOW, 1)
        self.setFocusProxy(self.fields[topic.keys[0].name])

    def texts(self) -> dict[str, str]:
        """What stands there by key, without what is empty."""
        return {key: made.text() for key, made in self.fields.items() if made.text()}

    def read(self) -> Question:
        """What is understood; what is not is said under its field and stays."""
        out = Question()
        for key in self.topic.keys:
            name, made = key.name, self.fields[key.name]
            text = made.text()
            if not text:
                made.note(self._note_from(name, text))
                continue
            try:
                read = read_value(self.topic, key, text)
            except ValueError as error:
                out.refused += 1
                made.refuse(with_titles(self.topic, capital(text_of(error))))
                continue
            out.given[name] = read.value
            out.notes += read.notes
            out.units |= dict(read.units)
            made.note(self._note_from(name, text))
        return out

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn:
            for key in self.topic.keys:
                if self.fields[key.name].entry is watched:
                    self.stood_on.emit(key)
        return False

    def _note_from(self, name: str, text: str) -> str:
        """Where what stands there is from, as long as nobody changed it."""
        return self._source if text and self._known.get(name) == text else ""

    def _on_text(self, _text: str) -> None:
        self.changed.emit()
