"""Drafts of plans that are not kept yet: in memory with their steps, and in the journal's file."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from journal.keeping import Journal, KeepingError
from journal.records import RecordError
from journal.records.draft_text import drafts_text, read_drafts
from journal.records.drafts import PlanDraft, Writing
from journal.wording import text_of

SETTING = "plan drafts"
PAUSE_MS = 250  # after a key, until the draft is written down; leaving writes at once


class DraftStore(QObject):
    """Holds a Writing a key. `failed` carries a sentence when the file refused them."""

    failed = Signal(str)

    def __init__(self, journal: Journal, parent: QObject) -> None:
        super().__init__(parent)
        self._journal = journal
        self._open: dict[str, Writing] = {}
        self._half: dict[str, PlanDraft] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self.save)
        self._saved = journal.setting(SETTING) or ""
        self.problem = ""
        self._read()

    def _read(self) -> None:
        if not self._saved:
            return
        try:
            for key, draft in read_drafts(self._saved).items():
                self._open[key] = Writing(draft, begun=True)
        except RecordError as error:
            self.problem = text_of(error)

    def writing(self, key: str) -> Writing | None:
        """What is being written under that key."""
        return self._open.get(key)

    def open(self, key: str, draft: PlanDraft, *, begun: bool = False) -> Writing:
        """Begin a draft; `begun` counts it as one before anything is changed in it."""
        self._open[key] = Writing(draft, begun=begun)
        return self._open[key]

    def drop(self, key: str) -> None:
        """Let a draft go, once it is kept as a plan."""
        self._open.pop(key, None)
        self._half.pop(key, None)
        self.save()

    def changed(self) -> dict[str, Writing]:
        """The drafts in which something was changed, by key."""
        return {key: w for key, w in self._open.items() if w.begun or w.draft != w.first}

    @property
    def pending(self) -> bool:
        """Something is about to be written down."""
        return self._timer.isActive()

    def hold(self, key: str, draft: PlanDraft | None) -> None:
        """The draft with the cell as it is being typed; None once it is left."""
        if draft is None:
            self._half.pop(key, None)
        else:
            self._half[key] = draft
            self._timer.start()

    def save(self) -> None:
        """Write the drafts into the journal now, as far as they changed."""
        self._timer.stop()
        if self.problem:
            return
        found = {key: self._half.get(key, w.draft) for key, w in self.changed().items()}
        found.update({k: d for k, d in self._half.items() if k in self._open})
        text = drafts_text(found) if found else ""
        if text == self._saved:
            return
        try:
            with self._journal.unit("drafts of plans"):
                self._journal.set_setting(SETTING, text)
        except KeepingError as error:
            self.failed.emit(text_of(error))
            return
        self._saved = text
