"""Calculate: the list of sums, the form of the current one, and its answer as it is typed."""

from __future__ import annotations

import json
from typing import Any

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.calculate.answer import AnswerView
from journal.desk.calculate.facts import known_of, sum_at
from journal.desk.calculate.form import Question, SumForm
from journal.desk.calculate.taking import Offer, offer
from journal.desk.calculate.topic_list import TopicList
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.layouts import empty, in_column, in_row
from journal.desk.place import CurrentRecord, Desk
from journal.desk.scrollbars import scrolled
from journal.desk.theme import LEAD, SMALL, STEP
from journal.keeping import KeepingError
from journal.quantities import QuantityError
from journal.reckoning import ReckoningError
from journal.records import RecordError
from journal.records.tables import table
from journal.topics import TopicError
from journal.topics.pictures import picture_of
from journal.topics.registry import reckon, topics
from journal.topics.topic import Input, Topic
from journal.topics.typed import example_of
from journal.topics.written import key_title, topic_title, with_titles
from journal.wording import text_of, worded
from journal.wording.letters import capital

PICTURE_MS = 120  # after the last letter; an answer comes with each
_LIST, _FORM = 64 * STEP, 108 * STEP
_BRIEF = 24  # letters
_SIDE_BY_SIDE = 200 * STEP  # of the page; below that the answer stands under the form
_TYPED, _UNITS, _TASK = "calculate/typed-by-hand", "calculate/units", "the picture of a sum"


class CalculateDialog(FramedDialog):
    """Shows the sums; `name` is the one it opens with, the last one used without it. They are
    filled from the record `record`, and what they answer can be taken into it."""

    help_topic = "calculate"

    def __init__(
        self, desk: Desk, parent: QWidget, name: str = "", record: CurrentRecord | None = None
    ) -> None:
        super().__init__("Calculate", parent)
        self._desk, self._current = desk, record
        self._known = known_of(desk.journal, record, desk.clock())
        self._offer: Offer | None = None
        self._asked = Question()
        self._units: dict[str, str] = _before(desk, _UNITS)  # the last typed of each quantity
        self._typed: dict[str, dict[str, list[str]]] = _before(desk, _TYPED)
        self._filled: dict[str, str] = {}  # what the current record gave the form
        self.topics = TopicList(topics().values())
        self.topics.setFixedWidth(_LIST)
        self.form: SumForm | None = None
        self._tables: dict[str, dict[str, list[str]]] = {}
        self.answer = AnswerView()
        self.title, self.about = Label("", LEAD, bold=True), Label("", role="quiet", wrap=True)
        self.help = Label("", SMALL, role="quiet", wrap=True)
        self.source = Label("", role="planned")
        self.brief = Label("", LEAD, bold=True)  # the answer in sight where it stands far below
        self.message = Label("", wrap=True)
        self.take = Button("", MAIN, "main")
        self.away = Button("Close", FAINT, "Esc")
        self.empty_it = Button("Clear the form", FAINT)
        self._drawing = QTimer(self)
        self._drawing.setSingleShot(True)
        self._drawing.setInterval(PICTURE_MS)
        self._drawing.timeout.connect(self._on_draw)
        self._form_column = QVBoxLayout()
        self._page = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._page.setSpacing(10 * STEP)
        self._page.addLayout(self._form_column)
        self._page.addWidget(self.answer, 1)
        self.arrange(self._body(), acts=(self.empty_it, self.away, self.take), message=self.message)
        self.topics.chosen.connect(self._on_topic)
        self.topics.entered.connect(self._on_entered)
        self.topics.left.connect(self.accept)
        self.away.clicked.connect(self.accept)
        self.empty_it.clicked.connect(self._on_empty)
        self.take.clicked.connect(self._on_take)
        self.setMinimumSize(QSize(840, 520))
        self.resize(parent.size() - QSize(12 * STEP, 12 * STEP))
        self.finished.connect(self._on_finished)
        likely = sum_at(desk.journal, record)
        last = str(desk.settings.value("calculate/topic", ""))
        known = topics()
        self.topics.show_topic(
            next((n for n in (name, likely, last) if n in known), next(iter(known)))
        )
        if name and self.form is not None:
            self.form.setFocus()
        else:
            self.topics.setFocus()

    def _body(self) -> QHBoxLayout:
        inner = QWidget()
        inner.setLayout(self._page)
        self._page.setContentsMargins(0, 0, 0, 0)
        head = in_row((self.title, 1), self.brief, 6 * STEP, self.source)
        right = in_column(head, self.about, 2 * STEP, (scrolled(inner), 1), self.help, gap=2 * STEP)
        return in_row(self.topics, (right, 1), gap=8 * STEP)

    # The current topic

    def _on_topic(self, topic: Topic) -> None:
        if self.form is not None and self.form.topic is topic:
            return
        self._keep()
        self.title.setText(topic_title(topic))
        self.about.setText(f"{capital(topic.summary)}.")
        empty(self._form_column)
        known = {} if self._known is None else self._known.texts(topic, self._units.values())
        called = "" if self._known is None else self._known.called
        self.source.setText(worded("desk.from-record", called=called) if known else "")
        self._filled = known
        origin = worded("desk.from-origin", origin=called)
        self.form = SumForm(topic, known | self._typed_before(topic), known, origin)
        self.form.setFixedWidth(_FORM)
        self._tables = {name: table(name) for name in topic.tables}
        self._form_column.addWidget(self.form)
        self.form.show()  # at once, so that keys reach it
        self._form_column.addStretch(1)
        self.form.changed.connect(self._on_changed)
        self.form.stood_on.connect(self._on_stood_on)
        self.help.setText("")
        self._on_changed()
        self._on_draw()

    def _on_changed(self) -> None:
        """Work out what stands in the form."""
        if self.form is None:
            return
        topic = self.form.topic
        self._asked = asked = self.form.read()
        self._desk.work.stop(_TASK)
        self._drawing.start()
        self._units |= asked.units
        self._propose(None)
        self.message.say("")
        if asked.refused:
            self.answer.say("Correct or clear what is marked.")
        elif not asked.given:
            self.answer.say("Type what you know; the answer appears here.")
        else:
            try:
                found = reckon(topic.name, asked.given, self._tables)
            except TopicError as error:
                self.answer.say(with_titles(topic, text_of(error)))
            except ReckoningError as error:
                self.answer.say(with_titles(topic, text_of(error)), wrong=True)
            else:
                self.answer.show_answer(topic, found, asked.notes, self._units.values())
                self._propose(offer(self._desk, self._current, topic, asked.given, found))
        self._be_brief()

    def _be_brief(self) -> None:
        """Beside the title the first value, where the answer stands under the form."""
        first = self.answer.lines[0].text if self.answer.lines else ""
        below = self._page.direction() == QBoxLayout.Direction.TopToBottom
        self.brief.setText(first if below and len(first) <= _BRIEF else "")

    def _propose(self, made: Offer | None) -> None:
        """Offer what can be done with the answer, or nothing."""
        self._offer = made
        self.take.setVisible(made is not None)
        if made is not None:
            self.take.set_label(made.words, "main")

    def _on_take(self) -> None:
        if self._offer is None:
            return
        try:
            sentence = self._offer.take()
        except (KeepingError, RecordError, QuantityError) as error:
            self.message.say(text_of(error), wrong=True)
            return
        self._propose(None)
        self.message.say(worded("desk.history-takes-back", sentence=sentence))

    def _on_draw(self) -> None:
        """Draw the picture of what stands in the form, once nobody types on."""
        self._drawing.stop()
        if self.form is None or self._asked.refused:
            return
        topic, asked = self.form.topic, self._asked
        if self.answer.lines or not asked.given:
            task = self._desk.work.start(_TASK, picture_of, topic, asked.given, self._tables)
            task.finished.connect(self.answer.show_picture)

    def drawn(self) -> bool:
        """The picture is that of what stands in the form."""
        return not (self._drawing.isActive() or self._desk.work.busy)

    def _on_entered(self) -> None:
        if self.form is not None:
            self.form.setFocus()

    def _on_stood_on(self, key: Input) -> None:
        if self.form is not None:
            self.help.setText(
                worded(
                    "desk.value-of-a-sum",
                    value=key_title(self.form.topic, key),
                    words=key.words,
                    example=example_of(key),
                )
            )

    def _on_empty(self) -> None:
        if self.form is not None:
            for made in self.form.fields.values():
                made.set_text("")
            self.form.setFocus()

    # What is typed stays

    def _typed_before(self, topic: Topic) -> dict[str, str]:
        """What was typed the last time, as long as the record gives what it gave then: a clock
        read or a plan changed since is newer than what was typed over it."""
        typed = self._typed.get(self._typed_at(topic), {})
        return {key: text for key, (text, was) in typed.items() if self._filled.get(key, "") == was}

    def _typed_at(self, topic: Topic) -> str:
        """Where it stays: by the record it was typed for."""
        if self._current is None or self._known is None:
            return topic.name
        return f"{self._desk.journal.path} {self._current.noun} {self._current.key} {topic.name}"

    def _keep(self) -> None:
        """Note what was typed by hand, and what the record had said in its place."""
        if self.form is None:
            return
        texts = {key: made.text() for key, made in self.form.fields.items()}
        self._typed[self._typed_at(self.form.topic)] = {
            key: [text, was]
            for key, text in texts.items()
            if text != (was := self._filled.get(key, ""))
        }

    def _on_finished(self) -> None:
        self._drawing.stop()
        self._desk.work.stop(_TASK)
        self._keep()
        typed = {key: one for key, one in self._typed.items() if one}
        self._desk.settings.setValue(_TYPED, json.dumps(typed))
        self._desk.settings.setValue(_UNITS, json.dumps(self._units))
        if self.form is not None:
            self._desk.settings.setValue("calculate/topic", self.form.topic.name)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in a field goes to the next; Ctrl+F goes back to the list."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._on_take()
        elif enter:
            self.focusNextChild()
        elif event.matches(QKeySequence.StandardKey.Find):
            self.topics.filter.begin()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        beside = self.width() - _LIST >= _SIDE_BY_SIDE
        way = QBoxLayout.Direction
        self._page.setDirection(way.LeftToRight if beside else way.TopToBottom)
        self._be_brief()


def _before(desk: Desk, name: str) -> dict[str, Any]:
    """What a setting had when the dialog was last closed."""
    try:
        values = json.loads(str(desk.settings.value(name, "{}")))
    except ValueError:
        return {}
    return values if isinstance(values, dict) else {}
