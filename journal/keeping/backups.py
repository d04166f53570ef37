"""Backups of a journal: whole copies beside it, each tried before it counts, the old ones thinned.

A copy is made by SQLite's online backup (https://sqlite.org/backup.html), so that what other
programs write meanwhile cannot come half into it.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from journal.keeping.check import quick_faults
from journal.keeping.copies import PAGES, as_it_lies, beside, copy_whole, try_copy
from journal.keeping.disk import make_folder, sync
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import Connection, connect, is_open, look, reason
from journal.keeping.folding import fold
from journal.keeping.history import note_restore
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.origin import origin_of, setting_of
from journal.keeping.photos import folders_of, mark, own_folder, photos_of
from journal.keeping.stopping import Progress, Stop, never, part_of, stopping, unseen
from journal.records.instants import MINUTE_MS, from_iso, local, system_zone

DAYS, WEEKS, MONTHS = 7, 4, 12  # how many of each are kept
RECENT_MIN = 24 * 60  # and all that are younger
_TRIES = 5
_PIECE = 1 << 20
_OTHERS = ("keeping.other-kind", "keeping.other-database")
_MOST_BYTES = 120  # of its name in theirs: 255 are allowed, and SQLite takes paths of 512
_NAMED = "%Y%m%d-%H%M%S"
_STAMP = re.compile(r"-(\d{8})-(\d{6})(?:-\d+)?$")


@dataclass(frozen=True)
class Backup:
    """A copy of a journal: where it lies, when it was made (as the kitchen's clock said), how
    large it is without its photos."""

    path: Path
    at_ms: int
    bytes: int


def folder_of(journal: Path) -> Path:
    """Where a journal's backups lie when no other folder is named."""
    file = journal.resolve()
    name = file.name if file.name == _short(file.name) else f"{stem_of(file)}{file.suffix}"
    return file.with_name(f"{name}.backups")


def folder_in(chosen: Path, journal: Path, origin: str) -> Path:
    """Where a journal's backups lie within a folder that somebody chose: of two journals of one
    name each has its own."""
    return chosen / f"{stem_of(journal.resolve())}-{origin[:8]}.backups"


def write_backup(
    db: sqlite3.Connection,
    journal: Path,
    zone: str,
    at_ms: int,
    to: Path | None = None,
    stop: Stop = never,
    progress: Progress = unseen,
) -> Backup:
    """Copy an open journal with its photos into a folder, under the time it is made.

    Parameters
    ----------
    to
        The folder; by default the journal's own, which is thinned afterwards.

    Raises
    ------
    KeepingError
        When the copy cannot be written, is not what the journal is, or `stop` said so; nothing is
        left then.
    """
    journal = journal.resolve()  # a link to it is the same journal
    folder = folder_of(journal) if to is None else to
    take_halves_away(folder, f"{stem_of(journal)}-")
    before = backups_of(journal, zone, folder)
    path = _take_name(folder, journal, at_ms, zone)
    try:
        last = photos_of(before[0].path) if before else None
        write_copy(db, journal, path, last, stop=stop, progress=progress)
    except BaseException:
        with suppress(OSError):
            path.unlink()
        raise
    if to is None:
        thin(journal, zone, at_ms)
    return Backup(path, at_ms, path.stat().st_size)


def write_copy(
    db: sqlite3.Connection,
    journal: Path,
    path: Path,
    last: Path | None = None,
    *,
    with_photos: bool = True,
    stop: Stop = never,
    progress: Progress = unseen,
) -> None:
    """Copy an open journal with its photos to a path, try the copy, and then give it its name; a
    file of that name is replaced, but no journal that is open, or was not closed. `last` are
    photos of an earlier copy on that disk.

    Raises
    ------
    KeepingError
        When the copy cannot be written, is not what the journal is, or `stop` said so; nothing is
        left then.
    """
    half = half_of(path)
    photos = own_folder(path, origin_of(db))
    there = photos.exists()
    try:
        _check_closed(path)
        make_folder(path.parent)
        take_halves_away(path.parent, f"{path.name}.")
        copy_whole(db, half, stop, progress)
        origin, from_there = origin_of(db), folders_of(db, journal) if with_photos else ()
        _copy_photos(from_there, photos, last, origin, stop)
        half.replace(path)
        sync(path.parent)
    except (OSError, sqlite3.Error, KeepingError) as error:
        if not there:
            shutil.rmtree(photos, ignore_errors=True)
        if stop():
            raise KeepingError("keeping.backup-stopped") from error
        why = reason(error) if isinstance(error, OSError) else error
        raise KeepingError("keeping.not-backed-up", folder=str(path.parent), why=why) from error
    finally:
        for left in beside(half):
            with suppress(OSError):
                left.unlink()


@dataclass(frozen=True)
class OpenFile:
    """A file that has lost its name, to be copied beside the thread in which it is open; nothing is
    written to it until that is done. `data` is what it holds, where there is no way to it."""

    path: Path
    handle: int
    data: bytes = b""

    def save_copy(self, path: Path, stop: Stop = never, progress: Progress = unseen) -> None:
        """Copy it with its photos to a path; KeepingError as `write_copy`."""
        data = bytearray(self.data)
        try:
            while not self.data and (piece := os.pread(self.handle, _PIECE, len(data))):
                if stop():
                    raise KeepingError("keeping.backup-stopped")
                data += piece
        except OSError as error:
            raise KeepingError(
                "keeping.not-backed-up", folder=str(path.parent), why=reason(error)
            ) from error
        data[18:20] = b"\x01\x01"  # in memory there is no `-wal`
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
            db.deserialize(data)
            write_copy(db, self.path, path, stop=stop, progress=progress)


def is_due(journal: Path, zone: str, now_ms: int, folder: Path | None = None) -> bool:
    """Whether the kitchen's day has no backup yet, in the journal's own folder or another; of a
    backup itself none is made."""
    if journal.resolve().parent.suffix == ".backups":
        return False
    today = local(now_ms, zone).date()
    return all(local(one.at_ms, zone).date() != today for one in backups_of(journal, zone, folder))


def backups_of(journal: Path, zone: str, folder: Path | None = None) -> list[Backup]:
    """The backups of a journal, the newest first; without a folder, those in its own."""
    journal, found = journal.resolve(), []
    with suppress(OSError):
        for path in (folder_of(journal) if folder is None else folder).iterdir():
            at_ms = _at(path, journal, zone)
            size = path.stat().st_size if at_ms is not None and path.is_file() else 0
            if at_ms is not None and size:  # an empty one is a name that was taken
                found.append(Backup(path, at_ms, size))
    return sorted(found, key=_newest_first)


def is_sound(backup: Path, stop: Stop = never, progress: Progress = unseen) -> bool:
    """Whether a backup is a whole journal that this program can read; False too when stopped."""
    try:
        if is_open(backup):
            return False
        look(backup)
        try_copy(backup, None, stop, progress)
    except (KeepingError, sqlite3.Error, OSError):
        return False
    return True


def thin(journal: Path, zone: str, now_ms: int, folder: Path | None = None) -> None:
    """Take the old backups in a journal's own folder away, or in another, with their photos."""
    every = backups_of(journal, zone, folder)
    stay = {one.path for one in kept(every, zone, now_ms)}
    for one in every:
        if one.path not in stay:
            _take_away(one.path)


def kept(backups: Sequence[Backup], zone: str, now_ms: int) -> list[Backup]:
    """Which of these stay: all of the last 24 hours, then the newest of each of 7 days, 4 weeks
    and 12 months that have any."""
    newest = sorted(backups, key=_newest_first)
    stay = [one for one in newest if one.at_ms > now_ms - RECENT_MIN * MINUTE_MS]
    for most, span in ((DAYS, _day), (WEEKS, _week), (MONTHS, _month)):
        stay += _first_of_each(newest, span, zone)[:most]
    return sorted(dict.fromkeys(stay), key=_newest_first)


def restore(
    journal: Path, backup: Path, now_ms: int, stop: Stop = never, progress: Progress = unseen
) -> Backup | None:
    """Make a journal what a backup of it is, as one change that every open window meets; what was
    there is backed up first and returned. A journal too damaged to be opened is set aside under
    another name instead, and None returned.

    Raises
    ------
    KeepingError
        When the backup is none, is damaged, or cannot be written back, or `stop` said so; the
        journal is as it was.
    """
    try:
        return _restore(journal, backup, now_ms, stop, progress)
    except (KeepingError, sqlite3.Error) as error:
        if stop():
            raise KeepingError("keeping.restore-stopped") from error
        raise


def _restore(
    journal: Path, backup: Path, now_ms: int, stop: Stop, progress: Progress
) -> Backup | None:
    if is_open(backup):
        raise KeepingError("keeping.backup-is-open", file=backup.name)
    look(backup)
    if not is_sound(backup, stop, part_of(progress, 0, 0.3)):
        raise KeepingError("keeping.backup-damaged", file=backup.name)
    journal = journal.resolve()
    try:
        db = connect(journal)
    except KeepingError as error:
        if error.id in _OTHERS and not _may_have_been(journal, backup):
            raise KeepingError(
                "keeping.other-file-there", file=journal.name, backup=backup.name
            ) from error
        if not isinstance(error, DamageError) and error.id not in ("keeping.no-file", *_OTHERS):
            raise  # it is whole: in use, protected, of a newer program
        _put_back(journal, backup, now_ms)
        return None
    with closing(db):
        _bring_photos(journal, backup)
        before = None
        with stopping(stop, db):
            faults = quick_faults(db, thorough=True)
        if stop():
            raise KeepingError("keeping.restore-stopped")
        if faults:  # no backup: it is kept beside as it is
            _keep_damaged(db, _damaged_name(journal, now_ms))
        else:
            before = _back_up_last(db, journal, now_ms, stop, part_of(progress, 0.4, 0.9))
        _write_over(db, journal, backup, stop, part_of(progress, 0.9, 1))
        note_restore(db)
    return before


# Copies


def _back_up_last(
    db: sqlite3.Connection, journal: Path, now_ms: int, stop: Stop, progress: Progress
) -> Backup:
    """A backup that has what others wrote to the last: again, where one wrote during it. It lies
    in the journal's folder, which is thinned another day: the one to be restored could go."""
    zone, folder = setting_of(db, "zone") or "UTC", folder_of(journal)
    for _ in range(_TRIES):
        seen = _written_by_others(db)
        made = write_backup(db, journal, zone, now_ms, folder, stop, progress)
        if _written_by_others(db) == seen:
            return made
        _take_away(made.path)
    raise KeepingError("keeping.busy")


def _written_by_others(db: sqlite3.Connection) -> int:
    return int(db.execute("pragma data_version").fetchone()[0])


def _take_away(backup: Path) -> None:
    with suppress(OSError):
        shutil.rmtree(photos_of(backup), ignore_errors=True)
        backup.unlink()


def _check_closed(path: Path) -> None:
    others = (Path(f"{path.resolve()}-{ending}") for ending in ("wal", "shm"))
    if is_open(path) or any(one.exists() for one in others):
        raise KeepingError("keeping.is-open-here")


def _write_over(
    db: Connection, journal: Path, backup: Path, stop: Stop, progress: Progress
) -> None:
    def asked(status: int, left: int, pages: int) -> None:
        """After each piece; without it a restore waits for another program for ever."""
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise KeepingError("keeping.busy")
        if left and stop():  # with the last piece it is done
            raise KeepingError("keeping.restore-stopped")
        progress(1 - left / max(1, pages))

    try:
        with closing(connect(backup, read_only=True)) as source:  # of the format of today
            source.backup(db, pages=PAGES, progress=asked)
        fold(db)
    except sqlite3.Error as error:
        raise KeepingError("keeping.not-restored", file=journal.name, why=str(error)) from error


def _may_have_been(file: Path, backup: Path) -> bool:
    """Whether a file that is no journal may be one that was damaged: it is empty, or the backup is
    of its own."""
    return not file.stat().st_size or backup.resolve().parent == folder_of(file)


def _keep_damaged(db: sqlite3.Connection, path: Path) -> None:
    """Keep a damaged journal, which others may have open, page by page as it is."""
    with closing(sqlite3.connect(path, isolation_level=None)) as copy:
        db.backup(copy)
    sync(path)


def _damaged_name(journal: Path, now_ms: int) -> Path:
    stamp = f"{local(now_ms, system_zone()):{_NAMED}}"
    return journal.with_name(f"{journal.stem}-damaged-{stamp}{journal.suffix}")


def _set_aside(journal: Path, now_ms: int) -> None:
    aside = _damaged_name(journal, now_ms)
    for ending in ("", "-wal", "-shm"):
        there = Path(f"{journal}{ending}")
        if there.exists():
            there.rename(Path(f"{aside}{ending}"))


def _put_back(journal: Path, backup: Path, now_ms: int) -> None:
    half = half_of(journal)
    try:
        shutil.copyfile(backup, half)
        sync(half)
        _bring_photos(journal, backup)
        _set_aside(journal, now_ms)
        half.rename(journal)
        sync(journal.parent)
    except OSError as error:
        raise KeepingError("keeping.not-restored", file=journal.name, why=reason(error)) from error
    finally:
        with suppress(OSError):
            half.unlink()


def _bring_photos(journal: Path, backup: Path) -> None:
    try:
        with closing(sqlite3.connect(as_it_lies(backup), uri=True)) as db:
            origin, photos = origin_of(db), folders_of(db, backup)[:1]
        _copy_photos(photos, own_folder(journal, origin), None, origin)
    except OSError as error:
        raise KeepingError("keeping.not-restored", file=journal.name, why=reason(error)) from error


def _copy_photos(
    photos: Sequence[Path], to: Path, last: Path | None, origin: str, stop: Stop = never
) -> None:
    """The photos of one journal beside another, each once on a disk: as a second name of the
    photo itself, or of that of the backup before, else as a copy."""
    found = [p for each in photos for p in each.iterdir() if p.is_file() and p.name[0] != "."]
    for photo in sorted(found):
        if stop():
            raise KeepingError("keeping.backup-stopped")
        make_folder(to)
        if not (to / photo.name).exists():
            _link(to / photo.name, [photo, *([last / photo.name] if last is not None else [])])
    if found:
        mark(to, origin)


def _link(new: Path, known: Iterable[Path]) -> None:
    for one in known:
        try:
            os.link(one, new)
        except OSError:
            continue
        return
    half = half_of(new)
    try:
        shutil.copyfile(next(iter(known)), half)
        sync(half)
        half.rename(new)
    finally:
        half.unlink(missing_ok=True)


# Names and times


def stem_of(journal: Path) -> str:
    """What the backups of a journal are called first: its name, a very long one cut short."""
    return _short(journal.stem)


def _short(name: str) -> str:
    raw = os.fsencode(name)
    if len(raw) <= _MOST_BYTES:
        return name
    cut = raw[: _MOST_BYTES - 9].decode(errors="ignore")
    return f"{cut}~{hashlib.sha256(raw).hexdigest()[:8]}"


def _take_name(folder: Path, journal: Path, at_ms: int, zone: str) -> Path:
    """Take a name that no backup has yet, NAME-YYYYMMDD-HHMMSS by the kitchen's clock: an empty
    file, so that of two programs each has its own."""
    stem = f"{stem_of(journal)}-{local(at_ms, zone):{_NAMED}}"
    try:
        make_folder(folder)
        for ending in ("", *(f"-{number}" for number in range(2, 1000))):
            path = folder / f"{stem}{ending}{journal.suffix}"
            if path.exists():
                continue
            half_of(path).touch()  # so that a name that was taken in vain is known as such
            with suppress(FileExistsError):
                path.touch(exist_ok=False)
                return path
            half_of(path).unlink()
    except OSError as error:
        raise KeepingError(
            "keeping.not-backed-up", folder=str(folder), why=reason(error)
        ) from error
    raise KeepingError("keeping.file-exists", file=f"{stem}{journal.suffix}")


def _at(path: Path, journal: Path, zone: str) -> int | None:
    """When a backup was made, by its name; None for what is no backup of this journal."""
    name, ending = path.name, journal.suffix
    stem = stem_of(journal)
    if not (name.startswith(f"{stem}-") and name.endswith(ending)):
        return None
    found = _STAMP.fullmatch(name[len(stem) : len(name) - len(ending)])
    if found is None:
        return None
    day, time = found.groups()
    with suppress(ValueError):
        at = datetime.strptime(f"{day}{time}", "%Y%m%d%H%M%S")
        return from_iso(at.isoformat(), zone)
    return None


def _first_of_each(
    newest: Sequence[Backup], span: Callable[[Backup, str], object], zone: str
) -> list[Backup]:
    first: dict[object, Backup] = {}
    for one in newest:
        first.setdefault(span(one, zone), one)
    return list(first.values())


def _day(one: Backup, zone: str) -> object:
    return local(one.at_ms, zone).date()


def _week(one: Backup, zone: str) -> object:
    return local(one.at_ms, zone).isocalendar()[:2]


def _month(one: Backup, zone: str) -> object:
    day = local(one.at_ms, zone)
    return day.year, day.month


def _newest_first(one: Backup) -> tuple[int, str]:
    return -one.at_ms, one.path.name
