"""What was done, newest first: each act with what was there before, and the way back."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from journal.desk.asking import agreed
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.filter_line import FilterLine
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.place import CurrentRecord, Desk
from journal.desk.scrollbars import scrolled
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP
from journal.keeping import Change, Journal, KeepingError
from journal.keeping.past import HistoryAct
from journal.wording import text_of, worded
from journal.wording.dates import clock, short_day
from journal.wording.history import NO_CHANGES, act_words, row_words
from journal.wording.sentences import seat_word

MOST = 3000  # acts; older ones are found by the history of a record
_LINES = 12  # of what an act changed


class HistoryDialog(FramedDialog):
    """The acts of a record, or of the whole journal, and what the current one changed."""

    help_topic = "files/Undo, history, bin"

    def __init__(self, desk: Desk, parent: QWidget, about: CurrentRecord | None) -> None:
        super().__init__(
            "History" if about is None else worded("desk.history-of", what=about.called), parent
        )
        self._desk, self._about = desk, about
        self._zone = zone = desk.journal.zone
        self._words: dict[int, str] = {}
        line = FilterLine(hint="Filter: a part of what was done or changed", nothing="No change")
        self.table = RowsView(
            "What was done",
            (
                Column("day", lambda past: short_day(past.act.at_ms, zone), sort=_at),
                Column("time", lambda past: clock(past.act.at_ms, zone), quiet=True),
                Column("what", lambda past: act_words(past, zone), bold=True, stretch=True),
                Column("by", lambda past: seat_word(past.act.seat), quiet=True, spare=True),
                Column("", _standing, quiet=True),
            ),
            findable=self._findable,
            filter_line=line,
        )  # fmt: skip
        self.changes = Label("", wrap=True)
        self.message = Label("", wrap=True)
        self.back = Button("Take back", MAIN)
        self.back.setEnabled(False)  # until an act is read that stands
        self.away = Button("Close", FAINT, "Esc")
        self.table.picked.connect(self._on_picked)
        self.table.narrowed.connect(self._on_narrowed)
        self.back.clicked.connect(self._on_back)
        self.away.clicked.connect(self.accept)
        below = scrolled(self.changes)
        below.setFixedHeight(30 * STEP)
        column = self.arrange(
            line, self.table, below, acts=(self.away, self.back), message=self.message
        )
        column.setStretch(2, 0)
        column.setStretch(3, 1)
        self.setMinimumSize(QSize(760, 560))
        self.setFocusProxy(self.table)
        desk.journal.listen(self._on_change)
        self.finished.connect(self._on_finished)
        self.message.say("Reading the history…")
        self._load()

    def _load(self) -> None:
        task = self._desk.work.start_file(
            "history", str(self._desk.journal.path), _read, self._about
        )
        task.finished.connect(self._on_read)
        task.failed.connect(self._on_failed)

    def _findable(self, past: HistoryAct) -> str:
        if past.act.id not in self._words:
            lines = [act_words(past, self._zone), short_day(past.act.at_ms, self._zone)]
            lines += [row_words(row, self._zone) for row in past.rows]
            self._words[past.act.id] = " ".join(lines)
        return self._words[past.act.id]

    # Handlers

    def _on_read(self, found: list[HistoryAct]) -> None:
        here = self.table.current()
        self.table.show_rows(found)
        if here is not None:
            self.table.select_where(lambda past: past.act.id == here.act.id)
        if self.message.text() == "Reading the history…":
            self.message.say("" if found else worded(NO_CHANGES))
        self._on_narrowed()

    def _on_narrowed(self) -> None:
        past = self.table.current()
        self.back.setEnabled(past is not None and past.act.undone_ms is None)
        if past is None:
            self.changes.setText("")

    def _on_picked(self, past: HistoryAct) -> None:
        self.back.setEnabled(past.act.undone_ms is None)
        rows = [row_words(row, self._zone) for row in past.rows[:_LINES]]
        lines = [f"· {words}" for words in dict.fromkeys(rows)]
        more = past.count - len(rows)
        if more > 0:
            lines.append(worded("desk.more-records", records=more))
        self.changes.setText("\n".join(lines))

    def _on_back(self) -> None:
        past = self.table.current()
        if past is None:
            return
        question = worded("desk.take-back-asked", act=act_words(past, self._zone))
        if not agreed(self, self._desk.settings, question, "ask_back"):
            return
        try:
            name = self._desk.journal.take_back(past.act.id)
        except KeepingError as error:
            self.message.say(text_of(error), wrong=True)
        else:
            self.message.say(worded("desk.taken-back", act=name))

    def _on_change(self, _change: Change) -> None:
        self._load()

    def _on_failed(self, error: Exception) -> None:
        self.message.say(text_of(error), wrong=True)

    def _on_finished(self) -> None:
        self._desk.journal.unlisten(self._on_change)
        self._desk.work.stop("history")


def _read(journal: Journal, about: CurrentRecord | None, _state: object) -> list[HistoryAct]:
    if about is None:
        return journal.history.all(MOST)
    return journal.history.of(about.noun, about.key)


def _at(past: HistoryAct) -> tuple[int, int]:
    return past.act.at_ms, past.act.id


def _standing(past: HistoryAct) -> str:
    return "" if past.act.undone_ms is None else worded("desk.was-taken-back")
