"""Photos of a journal: copied into its own folder beside the file, under their notes' identity."""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from pathlib import Path

from journal.keeping.errors import KeepingError
from journal.keeping.file import open_other, reason, sync
from journal.keeping.keepers import Keeper
from journal.records.instants import now_ms
from journal.records.makes import Note
from journal.records.plans import new_uuid
from journal.records.tastings import SampleNote

_MOST_MB = 60
_HOUR_S = 3600
_HEADS = (
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"\xff\xd8\xff", "jpg"),
    (b"GIF8", "gif"),
    (b"BM", "bmp"),
)


def photos_of(journal: Path) -> Path:
    """The folder of a journal's photos: beside the file itself, not beside a link to it."""
    file = journal.resolve()
    return file.with_name(f"{file.name}.photos")


class PhotoShelf:
    """The folder `<journal>.photos/`; it is made with the first photo. Photos are only added:
    a note that goes leaves its photo, so that undo brings both back."""

    def __init__(
        self, journal_path: Path, notes: Keeper[Note], sample_notes: Keeper[SampleNote]
    ) -> None:
        self.folder = photos_of(journal_path)
        self._notes = notes
        self._sample_notes = sample_notes

    def path(self, note: Note | SampleNote) -> Path | None:
        """Where a note's photo lies; None for a note without one, or one that is missing."""
        return self.file(note.photo)

    def file(self, name: str) -> Path | None:
        """Where the photo of that name lies; None without a name, or when it is missing."""
        path = self.folder / Path(name).name
        return path if name and path.is_file() else None

    def bring(self, picture: str | Path) -> str:
        """Copy a picture into the folder, durably, under a name that says nothing of where it
        came from; returns the name, to be kept with what it belongs to.

        Raises
        ------
        KeepingError
            When it is no picture this journal can show, too large, or cannot be copied.
        """
        return self._bring(Path(picture), new_uuid())

    def all(self) -> list[Path]:
        """Every photo that a note speaks of and that is there."""
        spoken: list[Note | SampleNote] = [*self._notes.all(), *self._sample_notes.all()]
        found = [self.path(note) for note in spoken]
        return list(dict.fromkeys(path for path in found if path is not None))

    def save(self, note: Note, picture: str | Path) -> Note:
        """Copy a picture into the folder, durably, and keep the note with it.

        Raises
        ------
        KeepingError
            When it is no picture this journal can show, too large, or cannot be copied; nothing
            is kept then.
        """
        name = self._bring(Path(picture), note.uuid)
        fields = {**vars(note), "photo": name}
        return self._notes.save(Note(**fields))

    def missing(self) -> list[str]:
        """The names of photos that notes speak of and the folder lacks."""
        spoken: list[Note | SampleNote] = [*self._notes.all(), *self._sample_notes.all()]
        return [n.photo for n in spoken if n.photo and self.path(n) is None]

    def _bring(self, source: Path, stem: str) -> str:
        try:
            name = f"{stem}.{_kind_of(source)}"
            self._copy(source, name)
        except OSError as error:
            raise KeepingError(
                "keeping.photo-not-copied", photo=source.name, why=reason(error)
            ) from None
        return name

    def _copy(self, source: Path, name: str) -> None:
        self.folder.mkdir(exist_ok=True)
        sync(self.folder.parent)
        self._take_halves_away()
        half = self.folder / f".{name}.half"
        try:
            with open_other(source) as read, half.open("wb") as write:
                shutil.copyfileobj(read, write)
                write.flush()
                os.fsync(write.fileno())
            half.replace(self.folder / name)
            sync(self.folder)
        finally:
            half.unlink(missing_ok=True)

    def _take_halves_away(self) -> None:
        """What a program that was killed left half copied, an hour ago or longer."""
        for left in self.folder.glob(".*.half"):
            with suppress(OSError):
                if left.stat().st_mtime < now_ms() / 1000 - _HOUR_S:
                    left.unlink()


def _kind_of(source: Path) -> str:
    """The ending a picture of this content gets; KeepingError for what is no picture."""
    with open_other(source) as file:
        head = file.read(16)
    if source.stat().st_size > _MOST_MB * 1024 * 1024:
        raise KeepingError("keeping.photo-too-large", photo=source.name, megabytes=_MOST_MB)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    found = next((kind for start, kind in _HEADS if head.startswith(start)), "")
    if not found:
        raise KeepingError("keeping.photo-unknown", photo=source.name)
    return found
