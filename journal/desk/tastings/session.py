"""A session, open or under codes, on its sheet: shown, kept as a draft, saved as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QObject

from journal.desk import dialogs
from journal.desk.tastings.drafts import Drafts, SheetDraft, draft_of, scored_of
from journal.desk.tastings.marks import MarkSheet
from journal.desk.tastings.scalebox import ScaleBox
from journal.keeping import Journal, KeepingError
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import ServingKey
from journal.records import RecordError
from journal.wording import text_of, worded


class SessionController(QObject):
    """A session, open or under codes, on a sheet with the scale beside it: one serving at a time is
    shown, what is typed for it held among `drafts`, and saved."""

    def __init__(
        self, journal: Journal, sheet: MarkSheet, scale: ScaleBox, drafts: Drafts,
        parent: QObject,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._journal, self.sheet, self.drafts = journal, sheet, drafts
        self.at: ServingKey | None = None  # the serving that is shown
        self._saved = SheetDraft()  # what the journal has of it
        sheet.photo.where = journal.photos.file
        sheet.photo_asked.connect(self._on_photo)
        sheet.typed.connect(self.say_nothing)
        sheet.stands.connect(scale.show_scale)

    def show(self, serving: ServingKey, attributes: Sequence[str]) -> None:
        """Show a serving: what is typed for it and not saved, else what was saved."""
        self.at = serving
        scored = self._journal.sessions.scored(serving)
        self.sheet.set_attributes(attributes)
        self._saved = SheetDraft() if scored is None else draft_of(scored, attributes)
        self.sheet.show_draft(self.drafts.of(serving) or self._saved)

    def unsaved(self) -> SheetDraft | None:
        """What stands there and is not saved; None when all of it is."""
        draft = self.sheet.draft()
        return None if draft == self._saved else draft

    def hold(self) -> None:
        """Remember what is typed and not saved."""
        if self.at is not None:
            self.drafts.put(self.at, self.unsaved())

    def save(self) -> bool:
        """Save everything on the sheet; False, and said why, when it is refused."""
        wrong = self.sheet.first_wrong()
        if wrong is not None:
            wrong.setFocus()
            self.sheet.message.say_if_any(
                worded("desk.no-score", text=wrong.text(), attribute=wrong.attribute),
                wrong=True,
            )
            return False
        draft = self.sheet.draft()
        before, self._saved = self._saved, draft  # saving is heard of before it returns
        try:
            self.save_all([(self.at, scored_of(draft))] if self.at is not None else [])
        except (KeepingError, RecordError) as error:
            self._saved = before
            self.sheet.message.say_if_any(text_of(error), wrong=True)
            return False
        return True

    def save_all(self, all_scored: Iterable[tuple[ServingKey, ScoredSample]]) -> None:
        """Save these servings; nothing is typed for them any more."""
        all_scored = list(all_scored)
        for serving, scored in all_scored:
            self._journal.sessions.give(serving, scored, initiator=self.parent())
        for serving, _ in all_scored:  # once none was refused
            self.drafts.put(serving, None)

    def say_nothing(self) -> None:
        """What was said of the sheet is over."""
        if self.sheet.message.text():
            self.sheet.message.say_if_any("")

    def _on_photo(self) -> None:
        path = dialogs.ask_open(self.sheet, "A photo of the cut", dialogs.PHOTOS)
        if not path:
            return
        try:
            self.sheet.photo.take(self._journal.photos.bring(path))
        except KeepingError as error:
            self.sheet.message.say_if_any(text_of(error), wrong=True)
