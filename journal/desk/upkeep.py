"""Upkeep of the open journal in the background: folding its write-ahead log, its calendar file."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from journal.background import State
from journal.desk.timers import timer
from journal.desk.work import Work
from journal.exchange import ExchangeError
from journal.exchange.calendar_file import has_calendar, renew_calendar
from journal.keeping import Change, Journal
from journal.keeping.folding import fold_beside
from journal.records.instants import now_ms

UPKEEP_MS = 20_000
_ENDS = ("keeping.act-finish",)
_SHOWN = {"wheel", "care", "weighing", "taken", "room", "away", "make", "plan", "tasting", "score"}


class Upkeep(QObject):
    """Folds the write-ahead log into the journal's file in the background, until it is ended, so
    that a copy of the file alone is complete: every 20 s if there is anything to fold, and soon
    after the end of a make or where there is much. If what the calendar file shows has changed,
    it is written too.

    `gone` carries a message when the file was renamed, deleted or replaced meanwhile, and None once
    it is there again.
    """

    gone = Signal(object)

    def __init__(self, window: QObject, journal: Journal, work: Work) -> None:
        super().__init__(window)
        self._journal, self._work = journal, work
        self._changed = False  # what a calendar file tells
        self._is_gone = self._folding = False
        self.timer = QTimer(self)
        self.timer.timeout.connect(self.work)
        self.timer.start(UPKEEP_MS)
        self._soon = timer(self, 0, once=True)
        self._soon.timeout.connect(self.work)
        journal.listen(self._on_change)
        journal.when_gone(self._soon.start)
        journal.when_large(self._soon.start)

    def end(self) -> None:
        """Stop the upkeep."""
        self.timer.stop()
        self._soon.stop()
        self._work.stop("fold")
        self._journal.unlisten(self._on_change)
        self._journal.when_gone(None)
        self._journal.when_large(None)
        self.deleteLater()

    def work(self) -> None:
        """Check where the file is, and fold its write-ahead log."""
        if self._journal.within_unit:
            return
        found = self._journal.gone()
        if found is not None or self._is_gone:
            self._is_gone = found is not None
            self.gone.emit(found)
        mark = self._journal.unfolded() if found is None and not self._folding else None
        if mark is not None:
            self._folding = True
            task = self._work.start("fold", _fold, self._journal.path)
            task.finished.connect(partial(self._on_folded, mark))
            task.ended.connect(self._on_ended)
        if self._changed:
            self._changed = False
            if has_calendar(self._journal):
                self._work.start_file("calendar", str(self._journal.path), _renew, now_ms())

    def _on_folded(self, mark: int, whole: bool) -> None:
        if whole:
            self._journal.folded(mark)

    def _on_ended(self) -> None:
        self._folding = False

    def _on_change(self, change: Change) -> None:
        self._changed |= bool(change.kinds & _SHOWN)
        if change.name.id in _ENDS:
            self._soon.start()


def _renew(journal: Journal, at_ms: int, _state: State) -> None:
    """In the background: a calendar that cannot be written is as it was."""
    with suppress(OSError, ExchangeError):
        renew_calendar(journal, at_ms)


def _fold(path: Path, _state: State) -> bool:
    return fold_beside(path)
