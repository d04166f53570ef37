"""Photos of a journal: in a folder of its own beside the file, found by the journal's UUID.

The folder is called `<journal>.photos`, and a marker in it says whose it is, so that a journal that
was renamed, linked or copied finds its photos, and no other journal takes them for its own.
"""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import lru_cache, partial
from pathlib import Path
from zlib import crc32

from journal.keeping.disk import make_folder
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import open_other, reason, sync
from journal.keeping.keepers import Keeper
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.origin import origin_of, setting_of
from journal.message import Message
from journal.records.makes import Note
from journal.records.plans import new_uuid
from journal.records.tastings import SampleNote

MARKER = ".journal"  # a file in a folder of photos: the UUID of the journal that has them
MOST_MB = 60
_SUM = re.compile(r"\.([0-9a-f]{8})\.\w+$")
_KNOWN = 5  # as many folders a journal remembers
_SPOKEN = (
    "select photo from note where photo <> '' union select photo from sample_note where photo <> ''"
)
_HEADS = (
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"\xff\xd8\xff", "jpg"),
    (b"GIF8", "gif"),
    (b"BM", "bmp"),
)


def photos_of(journal: Path) -> Path:
    """The folder of photos that is called as a file, beside the file itself, not beside a link."""
    file = journal.resolve()
    return file.with_name(f"{file.name}.photos")


def folders_of(db: sqlite3.Connection, journal: Path) -> list[Path]:
    """Where an open journal's photos lie, the nearest folder first: under its name, under another
    name beside it, where they lay before. A folder without a marker, as older programs left them,
    is the journal's when a photo in it is one that its notes speak of."""
    own = photos_of(journal)
    origin = origin_of(db)
    names = _spoken(db)
    near = [own, *sorted(own.parent.glob("*.photos"))]
    far = map(Path, setting_of(db, "photos").splitlines())
    return [each for each in dict.fromkeys([*near, *far]) if _belongs(each, origin, names)]


def own_folder(journal: Path, origin: str) -> Path:
    """Where the photos of a journal of that origin go: the folder under its name, or with a number
    where that is another journal's."""
    own = photos_of(journal)
    named = (own.with_name(f"{own.stem}-{number}.photos") for number in range(2, 1000))
    return next((each for each in (own, *named) if _marker(each) == origin or _is_free(each)), own)


def mark(folder: Path, origin: str) -> None:
    """Write down in a folder of photos whose they are, durably; OSError as the system says it."""
    half = half_of(folder / MARKER)
    try:
        half.write_text(f"{origin}\n", encoding="ascii")
        sync(half)
        half.replace(folder / MARKER)
        sync(folder)
    finally:
        half.unlink(missing_ok=True)


def picture_kind(source: Path) -> str:
    """The ending that a picture of this content gets, "png".

    Raises
    ------
    KeepingError
        When it is no picture this journal can show, or too large.
    """
    with open_other(source) as file:
        head = file.read(16)
    if source.stat().st_size > MOST_MB * 1024 * 1024:
        raise KeepingError("keeping.photo-too-large", photo=source.name, megabytes=MOST_MB)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    found = next((kind for start, kind in _HEADS if head.startswith(start)), "")
    if not found:
        raise KeepingError("keeping.photo-unknown", photo=source.name)
    return found


class PhotoStore:
    """The folder `<journal>.photos/`; it is made with the first photo. Photos are only added:
    a note that goes leaves its photo, so that undo brings both back."""

    def __init__(
        self,
        journal_path: Path,
        db: sqlite3.Connection,
        notes: Keeper[Note],
        sample_notes: Keeper[SampleNote],
        remember: Callable[[str, str], None],
    ) -> None:
        self._journal = journal_path
        self._db = db
        self._folders: list[Path] | None = None  # looked for when they are first asked for
        self._notes = notes
        self._sample_notes = sample_notes
        self._remember = remember  # a setting of the journal's

    @property
    def folders(self) -> list[Path]:
        """Where this journal's photos lie, the nearest first; looked for again when one is gone."""
        if not self._folders or not all(map(os.path.isdir, self._folders)):
            self._folders = folders_of(self._db, self._journal)
        return self._folders

    @property
    def folder(self) -> Path:
        """Where new photos go: a folder beside the file that is no other journal's."""
        return own_folder(self._journal, origin_of(self._db))

    def settle(self) -> None:
        """On opening to write: take the folder along whose journal was renamed, mark what has no
        marker, and remember where the photos lie; what the disk refuses is left as it is."""
        with suppress(OSError, KeepingError):
            own = photos_of(self._journal)
            near = [each for each in self.folders if each.parent == own.parent]
            if near and not os.path.lexists(own) and not near[0].with_suffix("").exists():
                near[0].rename(own)
                sync(own.parent)
                near, self._folders = [own], None
            for each in near:
                take_halves_away(each, "")
                if not _marker(each):
                    mark(each, origin_of(self._db))
            self._remember_folders()

    def _remember_folders(self) -> None:
        known = setting_of(self._db, "photos").splitlines()
        found = [str(each) for each in self.folders]
        if not set(found) <= set(known):
            self._remember("photos", "\n".join([*dict.fromkeys([*found, *known])][:_KNOWN]))

    def lost(self) -> Message | None:
        """Where the photos were, when notes speak of some and no folder has them."""
        if self.folders or not (names := _spoken(self._db)):
            return None
        known = setting_of(self._db, "photos").splitlines()
        folder = known[0] if known else str(photos_of(self._journal))
        return Message("keeping.photos-were-in", folder=folder, photos=len(names))

    def path(self, note: Note | SampleNote) -> Path | None:
        """Where a note's photo lies; None for a note without one, or one that is missing."""
        return self.file(note.photo)

    def file(self, name: str) -> Path | None:
        """Where the photo of that name lies; None without a name, or when it is missing. It lies
        in the folder itself: a name with a way to elsewhere, and a link, lead nowhere. A damaged
        photo counts as missing."""
        return next((path for path in self._there(name) if not is_damaged(path)), None)

    def damaged(self) -> list[Path]:
        """Photos that notes speak of and that are no longer what was brought."""
        names = filter(None, map(_photo, self._speaking()))
        return [p for name in names for p in self._there(name) if is_damaged(p)]

    def orphans(self) -> list[Path]:
        """Photos in the journal's folders that nothing speaks of, not even in the bin."""
        known = set(_spoken(self._db))
        binned = "".join(row for (row,) in self._db.execute("select row from bin"))
        return [p for p in self.lying() if p.name not in known and p.name not in binned]

    def lying(self) -> list[Path]:
        """Every photo in the journal's folders."""
        lying = [p for each in self.folders for p in sorted(each.iterdir()) if _is_photo(p)]
        return [path for path in lying if not path.name.startswith(".")]

    def _there(self, name: str) -> list[Path]:
        paths = (each / Path(name).name for each in self.folders) if name else ()
        return [path for path in paths if _is_photo(path)]

    def _speaking(self) -> list[Note | SampleNote]:
        return [*self._notes.all(), *self._sample_notes.all()]

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
        found = [self.path(note) for note in self._speaking()]
        return list(dict.fromkeys(path for path in found if path is not None))

    def every(self) -> list[Path]:
        """Every photo that lies in this journal's folders, spoken of or not, each name once."""
        found: dict[str, Path] = {}
        for each in (path for folder in self.folders for path in sorted(folder.iterdir())):
            if each.name[0] != "." and _is_photo(each):
                found.setdefault(each.name, each)
        return list(found.values())

    def take(self, photos: Iterable[Path]) -> None:
        """Copy photos of another copy of this journal under their own names; KeepingError when one
        cannot be copied."""
        for photo in photos:
            try:
                self._put(photo, photo.stem, partial(_named, photo.name))
            except OSError as error:
                raise KeepingError(
                    "keeping.photo-not-copied", photo=photo.name, why=reason(error)
                ) from error

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

    def drop(self, names: Iterable[str]) -> None:
        """Delete photos that no note speaks of any more; what the disk refuses stays."""
        for name in set(names) - set(_spoken(self._db)):
            with suppress(OSError):
                if (path := self.file(name)) is not None:
                    path.unlink()

    def missing(self) -> list[str]:
        """The names of photos that notes speak of and the folder lacks."""
        names = filter(None, map(_photo, self._speaking()))
        return [name for name in names if not self._there(name)]

    def _bring(self, source: Path, stem: str) -> str:
        try:
            return self._copy(source, stem, picture_kind(source))
        except OSError as error:
            raise KeepingError(
                "keeping.photo-not-copied", photo=source.name, why=reason(error)
            ) from None

    def _copy(self, source: Path, stem: str, kind: str) -> str:
        return self._put(source, stem, lambda half: f"{stem}.{_sum_of(half):08x}.{kind}")

    def _put(self, source: Path, stem: str, name_of: Callable[[Path], str]) -> str:
        """Copy a picture into the folder, under the name that its copy gets."""
        folder = self._make_folder()
        half = half_of(folder / stem)
        try:
            with open_other(source) as read, half.open("wb") as write:
                shutil.copyfileobj(read, write)
                write.flush()
                os.fsync(write.fileno())
            name = name_of(half)
            half.replace(folder / name)
            sync(folder)
        finally:
            half.unlink(missing_ok=True)
        return name

    def _make_folder(self) -> Path:
        folder = self.folder
        make_folder(folder)
        if not _marker(folder):
            mark(folder, origin_of(self._db))
            self._folders = None
        self._remember_folders()
        take_halves_away(folder, "")
        return folder


def is_damaged(photo: Path) -> bool:
    """Whether a photo is no longer what was brought: its name has its sum, a CRC-32. One that an
    older program brought has none and is never damaged."""
    found = _SUM.search(photo.name)
    try:
        stat = photo.stat()
        return found is not None and _known_sum(photo, stat.st_size, stat.st_mtime_ns) != int(
            found[1], 16
        )
    except OSError:
        return True


@lru_cache(maxsize=4096)
def _known_sum(photo: Path, _size: int, _changed_ns: int) -> int:
    return _sum_of(photo)


def _sum_of(photo: Path) -> int:
    found = 0
    with photo.open("rb") as file:
        while part := file.read(1 << 20):
            found = crc32(part, found)
    return found


def _named(name: str, _half: Path) -> str:
    return name


def _photo(note: Note | SampleNote) -> str:
    return note.photo


def _spoken(db: sqlite3.Connection) -> list[str]:
    """The names of photos that notes speak of; of a damaged journal none."""
    try:
        return [str(name) for (name,) in db.execute(_SPOKEN)]
    except (sqlite3.DatabaseError, DamageError):
        return []


def _belongs(folder: Path, origin: str, names: Iterable[str]) -> bool:
    if not os.path.isdir(folder):
        return False
    marker = _marker(folder)
    return marker == origin if marker else any(_is_photo(folder / Path(n).name) for n in names)


def _marker(folder: Path) -> str:
    """Whose a folder of photos is; "" where nothing in it says so."""
    try:
        with (folder / MARKER).open("rb") as file:
            return file.read(200).decode("ascii", "replace").strip()
    except OSError:
        return ""


def _is_photo(path: Path) -> bool:
    return os.path.isfile(path) and not path.is_symlink()


def _is_free(folder: Path) -> bool:
    """Whether nothing lies there, or a folder that nothing was put into."""
    if not os.path.isdir(folder):
        return not os.path.lexists(folder)
    return not _marker(folder) and all(each.name[0] == "." for each in folder.iterdir())
