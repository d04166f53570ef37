"""The list of topics by the stage of the work they are for, narrowed by typing."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.form.filter_line import FilterLine
from journal.desk.layouts import in_column
from journal.desk.theme import STEP
from journal.desk.wordlist import WordList, WordRow
from journal.topics.topic import Topic
from journal.topics.written import key_title, topic_title

_ROW = 8 * STEP


class TopicList(QWidget):
    """The line to type in and the topics below it. `chosen` carries the current topic, `entered`
    says Enter, `left` Esc on an empty line."""

    chosen = Signal(object)
    entered = Signal()
    left = Signal()

    def __init__(self, topics: Iterable[Topic]) -> None:
        super().__init__()
        self._topics = list(topics)
        self.filter = FilterLine("Find a sum", "Find a sum", "No sum")
        self.list = WordList("Sums", _ROW)
        in_column(self.filter, (self.list, 1), of=self, margins=0, gap=2 * STEP)
        self.setFocusProxy(self.filter)
        self.filter.narrowed.connect(self._on_narrowed)
        self.filter.passed_on.connect(self._on_key)
        self.filter.entered.connect(self.entered)
        self.filter.left.connect(self.left)
        self.list.picked.connect(self._on_picked)
        self.list.taken.connect(self._on_taken)
        self._on_narrowed("")

    def show_topic(self, name: str) -> None:
        """Stand on the topic of that name."""
        before = self.list.current()
        self.list.select_where(lambda row: isinstance(row.means, Topic) and row.means.name == name)
        here = self.list.current()
        if here is not None and here is before:
            self._on_picked(here)

    def _on_narrowed(self, text: str) -> None:
        found = matching(self._topics, text)
        current = self.list.meant()
        rows: list[WordRow] = []
        stage = ""
        for topic in found:
            if topic.stage != stage:
                stage = topic.stage
                rows.append(WordRow(stage, head=True))
            rows.append(WordRow(topic_title(topic), means=topic))
        self.list.blockSignals(True)
        self.list.show_lines(rows)
        self.list.blockSignals(False)
        self.filter.say_found(bool(found))
        if found:
            best = current if current in found and not text else _first(found, text)
            self.show_topic(best.name if isinstance(best, Topic) else found[0].name)

    def _on_key(self, event: QKeyEvent) -> None:
        self.list.on_arrow(event)

    def _on_picked(self, row: WordRow) -> None:
        if row.means is not None:
            self.chosen.emit(row.means)

    def _on_taken(self, _topic: object) -> None:
        self.entered.emit()


def matching(topics: Iterable[Topic], text: str) -> list[Topic]:
    """The topics in whose words every typed word is found, in their order."""
    wanted = text.lower().split()
    return [topic for topic in topics if all(word in words_of(topic) for word in wanted)]


@cache
def words_of(topic: Topic) -> str:
    """All a topic may be found by: its title, what it is for, its stage and its keys."""
    keys = " ".join(f"{key_title(topic, key)} {key.words}" for key in topic.keys)
    return f"{topic.name} {topic_title(topic)} {topic.stage} {topic.summary} {keys}".lower()


def _first(found: list[Topic], text: str) -> Topic:
    """The one whose title begins with what is typed, else that has it, else the first."""
    wanted = text.lower().strip()
    for fits in (str.startswith, str.__contains__):
        for topic in found:
            if wanted and fits(topic_title(topic).lower(), wanted):
                return topic
    return next((t for t in found if wanted and wanted in t.summary.lower()), found[0])
