"""Filling in a score sheet, open or blind: shown, kept as a draft, saved as a whole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject

from journal.desk import dialogs
from journal.desk.tastings.drafts import SheetDraft, draft_of, scored_of
from journal.desk.tastings.marks import MarkSheet
from journal.desk.tastings.scalebox import ScaleBox
from journal.keeping import Journal, KeepingError
from journal.keeping.scored_samples import ScoredSample
from journal.records import RecordError
from journal.wording import text_of, worded

PHOTOS = "Photos (*.jpg *.jpeg *.png *.webp *.bmp);;All files (*)"


class ScoreEntry(QObject):
    """A sheet with the scale beside it, over one sample at a time, open or blind."""

    def __init__(
        self, journal: Journal, sheet: MarkSheet, scale: ScaleBox, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._journal, self.sheet, self._scale = journal, sheet, scale
        self._saved = SheetDraft()  # what the journal has of the sample shown
        sheet.photo.where = journal.photos.file
        sheet.photo_asked.connect(self._on_photo)
        sheet.typed.connect(self.say_nothing)
        sheet.stands.connect(scale.show_scale)

    def show(
        self, scored: ScoredSample | None, attributes: Sequence[str], draft: SheetDraft | None
    ) -> None:
        """Show a sample: what is typed for it and not saved, else what was saved."""
        self.sheet.set_attributes(attributes)
        self._saved = SheetDraft() if scored is None else draft_of(scored, attributes)
        self.sheet.show_draft(draft or self._saved)

    def unsaved(self) -> SheetDraft | None:
        """What stands there and is not saved; None when all of it is."""
        draft = self.sheet.draft()
        return None if draft == self._saved else draft

    def save(self, give: Callable[[ScoredSample], object]) -> bool:
        """Have `give` save everything on the sheet; False, and said why, when it is refused."""
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
            give(scored_of(draft))
        except (KeepingError, RecordError) as error:
            self._saved = before
            self.sheet.message.say_if_any(text_of(error), wrong=True)
            return False
        return True

    def say_nothing(self) -> None:
        """What was said of the sheet is over."""
        if self.sheet.message.text():
            self.sheet.message.say_if_any("")

    def _on_photo(self) -> None:
        path = dialogs.ask_open(self.sheet, "A photo of the cut", PHOTOS)
        if not path:
            return
        try:
            self.sheet.photo.take(self._journal.photos.bring(path))
        except KeepingError as error:
            self.sheet.message.say_if_any(text_of(error), wrong=True)
