"""The form of any topic: a field for each of its keys, read as it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk import dialogs
from journal.desk.buttons import WordButton
from journal.desk.fields import FieldStyle, LineField, NamedField
from journal.desk.form.choice import ComboBox
from journal.desk.labels import Label
from journal.desk.theme import STEP
from journal.topics.asked import InputValue
from journal.topics.topic import CURVE, Input, Topic
from journal.topics.typed import example_of, read_value
from journal.topics.written import key_title, with_titles
from journal.wording import text_of
from journal.wording.letters import capital

_DRESS = FieldStyle(height=8 * STEP, titled=False)
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


class InputLine(LineField):
    """A key that is typed; the hint is the first of its examples."""

    def __init__(self, key: Input, title: str) -> None:
        self.key = key
        browse = WordButton("Choose…") if key.kind == CURVE else None
        super().__init__(title, _DRESS, beside=browse)
        self.line.setPlaceholderText(example_of(key).split(" or ")[0])
        self.line.setAccessibleDescription(key.words)
        if browse is not None:
            browse.clicked.connect(self._on_browse)

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        super().say(sentence, wrong=wrong)
        if not sentence:
            self.line.setAccessibleDescription(self.key.words)

    def _on_browse(self) -> None:
        path = dialogs.ask_open(self, "A curve of temperature", dialogs.READINGS)
        if path:
            self.set_text(path)


class InputChoice(NamedField):
    """A key that is one of some words, or not said."""

    def __init__(self, key: Input, title: str) -> None:
        self.key, self.choice = key, ComboBox(title)
        super().__init__(title, self.choice, self.choice, _DRESS, None)
        self.choice.offer([("", "–"), *((word, word) for word in key.choices)], "")
        self.choice.setMinimumHeight(_DRESS.height)
        self.choice.setAccessibleDescription(key.words)
        self.choice.currentTextChanged.connect(self.text_changed)

    def text(self) -> str:
        """The word chosen, "" for none."""
        return self.choice.key()

    def set_text(self, text: str) -> None:
        """Choose that word; what is none of them is no choice."""
        self.choice.setCurrentIndex(max(0, self.choice.findData(text)))


InputField = InputLine | InputChoice


class SumForm(QWidget):
    """The fields of one topic. `changed` comes with every letter and every choice, `stood_on`
    with the key whose field has the focus."""

    changed = Signal()
    stood_on = Signal(object)

    def __init__(
        self, topic: Topic, texts: Mapping[str, str], known: Mapping[str, str], whence: str
    ) -> None:
        """`texts` stand in the fields; what is as `known` is said to be from there (`whence`)."""
        super().__init__()
        self.topic = topic
        self._known, self._whence = dict(known), whence
        self.fields: dict[str, InputField] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        grid.setColumnMinimumWidth(0, _NAMES)
        grid.setColumnStretch(1, 1)
        for row, key in enumerate(topic.keys):
            made: InputField = (InputChoice if key.choices else InputLine)(
                key, key_title(topic, key)
            )
            made.set_text(texts.get(key.name, ""))
            made.entry.installEventFilter(self)
            name = Label(key_title(topic, key), role="quiet", wrap=True)
            name.setBuddy(made.entry)
            name.setFixedWidth(_NAMES)
            name.setContentsMargins(0, 2 * STEP, 0, 0)
            grid.addWidget(name, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(made, row, 1)
            made.text_changed.connect(self._on_text)
            self.fields[key.name] = made
        grid.setRowStretch(_BELOW, 1)
        self.setFocusProxy(self.fields[topic.keys[0].name])

    def texts(self) -> dict[str, str]:
        """What stands there by key, without what is empty."""
        return {key: made.text() for key, made in self.fields.items() if made.text()}

    def read(self) -> Question:
        """What is understood; what is not is said under its field and stays."""
        out = Question()
        for name, made in self.fields.items():
            text = made.text()
            if not text:
                made.note(self._note_from(name, text))
                continue
            try:
                read = read_value(self.topic, made.key, text)
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
            for made in self.fields.values():
                if made.entry is watched:
                    self.stood_on.emit(made.key)
        return False

    def _note_from(self, name: str, text: str) -> str:
        """Where what stands there is from, as long as nobody changed it."""
        return self._whence if text and self._known.get(name) == text else ""

    def _on_text(self, _text: str) -> None:
        self.changed.emit()
