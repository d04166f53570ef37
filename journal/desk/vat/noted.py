"""The notes of a make where they fall on its day, with their photos as thumbnails."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage

from journal.curves.snapshot import TimedNote
from journal.desk.photo_file import read_photo
from journal.records.makes import Note
from journal.wording import worded

HIGH_PX = 44
NEAR_MIN = 4.0


class Thumbs:
    """Reads photos as thumbnails, each once; the whole photo never stays in memory."""

    def __init__(self) -> None:
        self._saved: dict[str, QImage | None] = {}

    def of(self, note: Note, path: Path | None) -> QImage | None:
        """The thumbnail of a note's photo; None without one, or where it cannot be read."""
        if path is None:
            return None
        if note.photo not in self._saved:
            self._saved[note.photo] = read_small(path, 2 * HIGH_PX)
        return self._saved[note.photo]


def read_small(path: Path, high_px: int) -> QImage | None:
    """A photo scaled to a height, turned as its camera says."""
    side = 4 * max(high_px, 1)
    image = read_photo(path, QSize(side, side))
    if image is None:
        return None
    return image.scaledToHeight(high_px, Qt.TransformationMode.SmoothTransformation)


def noted(
    notes: Sequence[Note], zero_ms: int, thumbs: Thumbs, path_of: Callable[[Note], Path | None]
) -> tuple[TimedNote, ...]:
    """The notes of a make where they fall on its day."""
    return tuple(
        TimedNote((note.at_ms - zero_ms) / 60_000, note.text, thumbs.of(note, path_of(note)))
        for note in sorted(notes, key=_instant)
    )


def words_near(some: Sequence[TimedNote], at_min: float) -> str:
    """What was noted about then, "" where nothing was."""
    near = [one for one in some if abs(one.at_min - at_min) <= NEAR_MIN]
    return "; ".join(one.text or worded("desk.photo") for one in near)


def _instant(note: Note) -> int:
    return note.at_ms
