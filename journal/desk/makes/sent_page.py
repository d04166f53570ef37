"""A make as a page to send, with its photos made small enough for one file."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QSize

from journal.desk.photo_file import read_photo
from journal.exchange.make_page import PagePhoto, write_make_page
from journal.keeping import Journal
from journal.records.whole import WholeMake
from journal.reports.make_photos import MakePhoto, photos_of_make

_SIDE, _QUALITY = 1000, 82  # px of the longer side, and of JPEG: about 100 kB a photo


def write_sent_page(journal: Journal, whole: WholeMake, path: str | Path) -> Path:
    """Write the page of a make with its photos; what cannot be read of them is left out. Raises
    OSError."""
    found = (_page_photo(journal, one) for one in photos_of_make(journal, whole))
    return write_make_page(whole, path, [one for one in found if one is not None])


def _page_photo(journal: Journal, one: MakePhoto) -> PagePhoto | None:
    file = journal.photos.file(one.photo)
    box = QSize(_SIDE, _SIDE)
    image = None if file is None else read_photo(file, box, enlarge=False)
    if image is None:
        return None
    written = QBuffer()
    written.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(written, "JPEG", _QUALITY)  # type: ignore[call-overload] # takes a name as text
    return PagePhoto(bytes(written.data().data()), image.width(), image.height(), one.words)
