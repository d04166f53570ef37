"""The one way to a journal file: opens it and gives a keeper for each kind of record."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from types import TracebackType

from journal.keeping.all_keepers import Keepers, two_letters
from journal.keeping.backups import (
    Backup,
    OpenFile,
    backups_of,
    folder_in,
    folder_of,
    is_due,
    stem_of,
    thin,
    write_backup,
    write_copy,
)
from journal.keeping.binned import BinKeeper
from journal.keeping.care_tasks import CareTaskKeeper
from journal.keeping.changes import Change, Changes
from journal.keeping.check import doubts, faults, quick_faults
from journal.keeping.elsewhere import ElsewhereKeeper
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import Connection, connect, damaged, number_on, tidy
from journal.keeping.folding import fold, fold_beside, has_more
from journal.keeping.leftovers import take_halves_away
from journal.keeping.merge_side import MERGE
from journal.keeping.merging import Choices, Merge, Merging, check_mergeable
from journal.keeping.moving_on import make
from journal.keeping.panel_sets import PanelTestKeeper
from journal.keeping.past import HistoryKeeper
from journal.keeping.readings import ReadingKeeper
from journal.keeping.seats import WINDOW
from journal.keeping.series import SeriesKeeper
from journal.keeping.sessions import SessionKeeper
from journal.keeping.stopping import Progress, Stop, never, stopping, unseen
from journal.keeping.surroundings import cautions
from journal.keeping.whereabouts import fold_whole, gone, leave, now_at
from journal.keeping.whole_tables import TableRows, read_tables
from journal.keeping.wholes import whole_make
from journal.message import Message
from journal.records import id_of
from journal.records.instants import system_zone, zone_of
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake

_PROTECTED = ("keeping.write-protected", "keeping.folder-not-writable")
_LARGE = 64 * 1024 * 1024  # bytes of a file
_ASK_EVERY = 100_000  # steps of SQLite


class Journal(Keepers):
    """An open journal. Make it with `open` or `create`; it belongs to the thread that opened it."""

    def __init__(
        self, path: Path, db: Connection, *, read_only: bool, seat: str = WINDOW, token: str = ""
    ) -> None:
        self._db: Connection = db
        if not read_only:
            self._tidy_up(path.resolve())
            with suppress(DamageError):  # what is damaged stays as it lies
                ReadingKeeper(db, Changes(db, reversible=False)).fold()
        changes = Changes(db, reversible=not read_only, seat=seat, token=token)
        super().__init__(path, db, changes)
        self.read_only = read_only
        self.closed = False
        self.remarks: tuple[Message, ...] = tuple(db.remarks)  # on the file, as it was opened
        if not read_only:
            self.photos.settle()
        self.sessions = SessionKeeper(db, self)
        self.elsewhere = ElsewhereKeeper(db, self, self.sessions)
        self.tests = PanelTestKeeper(self, self.sessions)
        self.designs = SeriesKeeper(db, self._changes, self.plans, self.makes)
        self.history = HistoryKeeper(db)
        self.bin = BinKeeper(db, self._changes, self.outcomes, self.photos)
        self.care_tasks = CareTaskKeeper(
            db, self.ingredients, self.shelves, self.absences, self.air_checks
        )
        db.folded = db.total_changes  # what it wrote meanwhile is seen by the file's own times

    @classmethod
    def open(
        cls,
        path: str | Path,
        *,
        read_only: bool = False,
        seat: str = WINDOW,
        token: str = "",
        stop: Stop = never,
        progress: Progress = unseen,
    ) -> Journal:
        """Open the journal at `path`. Undo of a `seat` other than a window takes back only what
        was done since. With the `token` of a journal that this process has open, in another
        thread, what is done here is that one's, and its undo takes it back. An older file is moved
        on first, which `stop` ends and `progress` hears of.

        Raises
        ------
        KeepingError
            When it cannot be opened; the file is unchanged then.
        """
        where = Path(path)
        db = connect(where, read_only=read_only, stop=stop, progress=progress)
        try:
            return cls(where, db, read_only=read_only, seat=seat, token=token)
        except BaseException as error:
            db.close()
            if db.is_to_tidy:
                tidy(where)
            if isinstance(error, sqlite3.DatabaseError):
                raise damaged(where) from error
            raise

    @classmethod
    def open_as_may_be(cls, path: str | Path) -> Journal:
        """Open the journal to write, or to read only where it may not be written to: its remarks
        say so, and each change is refused. KeepingError as `open`."""
        try:
            return cls.open(path)
        except KeepingError as error:
            if error.id not in _PROTECTED:
                raise
            journal = cls.open(path, read_only=True)
            remark = Message("keeping.only-read-here", why=error.message)
            journal.remarks = (remark, *journal.remarks)
            return journal

    @classmethod
    def create(
        cls, path: str | Path, *, letters: str = "HL", zone: str | None = None, seat: str = WINDOW
    ) -> Journal:
        """Make a new journal at `path` and open it; an existing file is never overwritten."""
        where = Path(path)
        code = two_letters(letters)
        name = zone or system_zone()
        zone_of(name)
        make(where, {"letters": code, "zone": name})
        db = connect(where)
        return cls(where, db, read_only=False, seat=seat)

    @staticmethod
    def _tidy_up(file: Path) -> None:
        """Take away what a program that was killed left half written."""
        take_halves_away(file.parent, f"{file.stem}.")
        take_halves_away(folder_of(file), f"{stem_of(file)}-")

    def close(self) -> None:
        """Close the file; afterwards it is one file again, or others have it open, and it holds
        all that was written here."""
        self.closed = True
        self._changes.end()
        if gone(self._db) is not None:
            leave(self._db)
            return
        more = not self.read_only and has_more(self._db)
        self._db.close()
        if self._db.is_to_tidy:
            tidy(self.path)
        elif more:
            fold_beside(self.path)
            number_on(self.path)

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def wait_at_most(self, seconds: float) -> None:
        """Wait no longer for another program that writes to the file; then a change is refused."""
        self._db.execute(f"pragma busy_timeout = {round(1000 * seconds)}")

    def left_out(self) -> list[Message]:
        """The damaged rows that lists went without so far, a message each."""
        return [Message("keeping.row-unsound", noun=n, key=k) for n, k in self._db.left_out]

    def on_left_out(self, callback: Callable[[], None]) -> None:
        """Hear of it when a list goes without a damaged row that `left_out` had not yet."""
        self._db.on_left_out = callback

    def gone(self) -> Message | None:
        """What became of the file, when it was renamed, deleted or replaced since it was opened."""
        return gone(self._db)

    def when_gone(self, callback: Callable[[], None] | None) -> None:
        """Hear of a change that was refused because the file was renamed, deleted or replaced."""
        self._db.on_gone = callback

    def when_large(self, callback: Callable[[], None] | None) -> None:
        """Hear of it when much lies beside the file, and have it brought into it by `fold_beside`
        in another thread; else whoever makes the change waits for that."""
        self._db.on_large = callback

    def release(self, go: bool = True) -> None:
        """Write what is left to be written to the file that is open, whatever became of its name;
        it is copied or closed next."""
        self._db.is_released = go

    def now_at(self) -> Path | None:
        """Where the open file lies now, whatever it is called; None where it has no name left."""
        return now_at(self._db)

    def unfolded(self) -> int | None:
        """A mark of what was written so far, for `folded`, where something of it lies beside the
        file; None where nothing does, or cannot be brought into it yet."""
        more = not self.read_only and not self.within_unit and has_more(self._db)
        return self._db.total_changes if more else None

    def folded(self, mark: int) -> None:
        """All that was written up to that mark is in the file: `fold_beside` brought it there."""
        self._db.folded = mark

    def fold(self) -> bool:
        """Bring what lies beside the file into it, so that a copy of the file alone has all; False
        where another program is at it, and it is to be tried again."""
        return self.read_only or fold(self._db)

    @property
    def token(self) -> str:
        """What the acts of this opening are known by."""
        return self._changes.token

    def tell(self, change: Change) -> None:
        """Tell the listeners of a change that was made with this journal's token."""
        self._changes.tell(change)

    def listen(self, callback: Callable[[Change], None]) -> None:
        """Hear of each change after it is durable."""
        self._changes.listen(callback)

    def unlisten(self, callback: Callable[[Change], None]) -> None:
        """Stop hearing of changes."""
        self._changes.unlisten(callback)

    def undo(self) -> Message | None:
        """Take the last change back; returns its name."""
        return self._changes.undo()

    def pass_over(self, kinds: frozenset[str]) -> None:
        """Let undo leave acts alone that touch nothing but such records; `take_back` does not."""
        self._changes.passed_over = kinds

    def redo(self) -> Message | None:
        """Bring the last undone change back; returns its name."""
        return self._changes.redo()

    def take_back(self, act_id: int) -> Message:
        """Take back any act that stands, however long ago; returns its name. KeepingError when
        something else was done to the same rows since."""
        return self._changes.take_back(act_id)

    def look_for_others(self) -> bool:
        """Tell the listeners what others wrote to the file since; whether there was any act."""
        return self._changes.look_for_others()

    @property
    def undo_name(self) -> Message | None:
        """What undo would take back."""
        return self._changes.undo_name

    @property
    def redo_name(self) -> Message | None:
        """What redo would bring back."""
        return self._changes.redo_name

    @property
    def within_unit(self) -> bool:
        """True while a unit is open."""
        return self._changes.within

    def wheel_by_code(self, code: str) -> Wheel:
        """The wheel with that code; KeepingError when there is none."""
        found = self.wheels.where(code=code.upper())
        if not found:
            raise KeepingError("keeping.no-wheel", wheel=code)
        return found[0]

    def whole(self, make_id: int) -> WholeMake:
        """One make with everything that hangs on it."""
        return whole_make(self, self._db, make_id)

    def wholes(
        self,
        stop: Callable[[], bool] | None = None,
        progress: Callable[[float], None] | None = None,
    ) -> Iterator[WholeMake]:
        """Every make outside the bin, oldest first; asks `stop` between two and says how far."""
        makes = self.makes.all()
        for done, each in enumerate(makes):
            if stop is not None and stop():
                return
            yield self.whole(id_of(each))
            if progress is not None:
                progress((done + 1) / len(makes))

    def back_up(self, at_ms: int, to: Path | None = None, stop: Stop = never) -> Backup:
        """Copy the journal with its photos into its folder of backups, or another.

        Raises
        ------
        KeepingError
            When the copy cannot be written, is not what the journal is, or `stop` said so.
        """
        return write_backup(self._db, self.path, self.zone, at_ms, to, stop)

    def back_up_also(self, chosen: Path, at_ms: int, stop: Stop = never) -> Backup:
        """A backup in a folder that somebody chose beside the journal's own, which is thinned as
        that is; KeepingError as `back_up`, or when the folder is not there."""
        if not chosen.is_dir():
            raise KeepingError("keeping.backup-folder-gone", folder=str(chosen))
        folder = folder_in(chosen, self.path, self.origin)
        made = write_backup(self._db, self.path, self.zone, at_ms, folder, stop)
        thin(self.path, self.zone, at_ms, folder)
        return made

    def save_copy(
        self, path: Path, *, photos: bool = True, stop: Stop = never, progress: Progress = unseen
    ) -> None:
        """Copy the journal, with its photos or without, to a path; KeepingError as `back_up`."""
        write_copy(self._db, self.path, path, with_photos=photos, stop=stop, progress=progress)

    def open_file(self) -> OpenFile:
        """The open file, to be copied in another thread after it has lost its name; KeepingError
        where it cannot be read into memory."""
        head = self._db.head if fold_whole(self._db) else None
        if head is None:
            try:
                return OpenFile(self.path, -1, self._db.serialize())
            except (MemoryError, sqlite3.Error) as error:
                why = str(error) or os.strerror(errno.ENOMEM)
                raise KeepingError("keeping.file-not-read", file=self.path.name, why=why) from error
        return OpenFile(self.path, head.handle)

    def backup_due(self, now_ms: int, chosen: Path | None = None) -> bool:
        """Whether there is something to lose, and no backup of this day yet; with a folder that
        somebody chose, none in that."""
        folder = None if chosen is None else folder_in(chosen, self.path, self.origin)
        return self.makes.any() and is_due(self.path, self.zone, now_ms, folder)

    def backups(self, chosen: Path | None = None) -> list[Backup]:
        """The backups in this journal's own folder, or in one that somebody chose, the newest
        first."""
        folder = None if chosen is None else folder_in(chosen, self.path, self.origin)
        return backups_of(self.path, self.zone, folder)

    def tables(self) -> Iterator[TableRows]:
        """Every table row by row, as the file has it; DamageError where a row is damaged."""
        return read_tables(self._db)

    def quick_check(self, stop: Stop) -> list[Message]:
        """What is damaged in the file and its rows; of a large file its indexes are not compared.
        Asks `stop` now and then, and gives nothing then."""
        with stopping(stop, self._db):
            found = quick_faults(self._db, thorough=self.path.stat().st_size < _LARGE)
        return [] if stop() else found

    def doubts(self) -> list[Message]:
        """What can be read in this journal but cannot have been so, a message each."""
        return doubts(self._db)

    def merging(self, other: Journal) -> Merge:
        """What merging another copy of this journal would bring.

        Raises
        ------
        KeepingError
            When it is no copy of this journal, or is the same file.
        """
        check_mergeable(self.path, other.path, (self.origin, other.origin))
        return Merging(self._db, other._db).found(len(self._photos_from(other)))

    def merge(self, other: Journal, at_ms: int, choices: Choices = (), stop: Stop = never) -> Merge:
        """Take what another copy of this journal has, as one act, after a backup; where nothing
        comes, nothing is changed. `choices` are the differences of which the other value is to
        stand; KeepingError as `merging`, or when the backup or the file cannot be written, or
        `stop` said so: then the journal is as it was."""
        check_mergeable(self.path, other.path, (self.origin, other.origin))
        files = (self._db, other._db)
        for db in files:
            db.set_progress_handler(stop, _ASK_EVERY)
        try:
            return self._merge(other, at_ms, choices, stop)
        except (KeepingError, sqlite3.Error) as error:
            if stop():
                raise KeepingError("keeping.merge-stopped") from error
            raise
        finally:
            for db in files:
                db.set_progress_handler(None, 0)

    def _merge(self, other: Journal, at_ms: int, choices: Choices, stop: Stop) -> Merge:
        merging, photos = Merging(self._db, other._db), self._photos_from(other)
        backup = None
        if choices or not merging.found(len(photos)).empty:
            backup = self.back_up(at_ms, stop=stop)
        self.photos.take(photos)
        if not merging.found(0).empty:
            with self.unit(MERGE, other=other.path.name):
                if merging.is_old():  # another program wrote meanwhile
                    merging = Merging(self._db, other._db)
                merging.write(self._changes)
                if stop():
                    raise KeepingError("keeping.merge-stopped")
        merging.choose(self._changes, choices)
        return merging.found(len(photos), backup)

    def _photos_from(self, other: Journal) -> list[Path]:
        return [each for each in other.photos.every() if self.photos.file(each.name) is None]

    def cautions(self) -> list[Message]:
        """What can go wrong where the file lies: locks that do not hold, a share, copies of it that
        were gone on with apart."""
        return cautions(self._db, self.path)

    def check(self) -> list[Message]:
        """What is not sound in this journal, a message each."""
        return faults(self, self._db)
