"""Asking for a photo of the cut, and copying it into the journal's folder."""

from __future__ import annotations

from journal.desk import dialogs
from journal.desk.tastings.marks import MarkSheet
from journal.keeping import Journal, KeepingError
from journal.wording import text_of

PHOTOS = "Photos (*.jpg *.jpeg *.png *.webp *.bmp);;All files (*)"


def bring_photo(journal: Journal, sheet: MarkSheet) -> None:
    """Ask for a photo and show it on the sheet; it is kept with the rest of the sheet."""
    path = dialogs.ask_open(sheet, "A photo of the cut", PHOTOS)
    if not path:
        return
    try:
        sheet.photo.take(journal.photos.bring(path))
    except KeepingError as error:
        sheet.message.say_if_any(text_of(error), wrong=True)
