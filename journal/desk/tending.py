"""The window's care for the file of its journal, while nobody waits for it."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from journal.keeping import Change, Journal

TEND_MS = 20_000
_ENDS = ("keeping.act-finish",)


class Tending(QObject):
    """Folds the changes that lie beside the file into it, until it is ended: a copy of the file
    alone then has the day. Every 20 s there is anything, and soon after the end of a make.

    `gone` carries a message when the file was renamed, deleted or replaced meanwhile, and None once
    it is there again.
    """

    gone = Signal(object)

    def __init__(self, window: QObject, journal: Journal) -> None:
        super().__init__(window)
        self._journal = journal
        self._is_gone = False
        self.timer = QTimer(self)
        self.timer.timeout.connect(self.tend)
        self.timer.start(TEND_MS)
        self._soon = QTimer(self, singleShot=True, interval=0)
        self._soon.timeout.connect(self.tend)
        journal.listen(self._heard)
        journal.when_gone(self._soon.start)

    def end(self) -> None:
        """Look no more."""
        self.timer.stop()
        self._soon.stop()
        self._journal.unlisten(self._heard)
        self._journal.when_gone(None)
        self.deleteLater()

    def tend(self) -> None:
        """Look where the file is, and fold."""
        if self._journal.within_unit:
            return
        found = self._journal.gone()
        if found is not None or self._is_gone:
            self._is_gone = found is not None
            self.gone.emit(found)
        if found is None:
            self._journal.fold()

    def _heard(self, change: Change) -> None:
        if change.name.id in _ENDS:
            self._soon.start()
