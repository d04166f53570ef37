"""What became of a make beside its wheels: it failed, it was deleted, it must not be eaten."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from journal.keeping.baths import BathKeeper
from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.message import Message
from journal.records import id_of
from journal.records.instants import now_ms
from journal.records.makes import ABANDONED, FAILED, Make, Note, failure_note
from journal.records.verdicts import Verdict, read_verdict, verdict_key

# A session goes to the bin with the last cheese that was served at it, a test with any of the
# cheeses it compares; there it waits for each of them.
_BIN = """
update wheel set binned_ms = :at where make_id = :make and binned_ms is null;
update tasting set binned_ms = :at where binned_ms is null and id in (
    select p.tasting_id from sample p join wheel w on w.id = p.wheel_id where w.make_id = :make
) and not exists (
    select 1 from sample p left join wheel w on w.id = p.wheel_id
    where p.tasting_id = tasting.id and (p.wheel_id is null or w.binned_ms is null)
);
update panel_test set binned_ms = :at where binned_ms is null and id in (
    select i.panel_test_id from panel_item i join wheel w on w.id = i.wheel_id
    where w.make_id = :make
);
update make set binned_ms = :at where id = :make
"""
_UNBIN = """
update wheel set binned_ms = null where make_id = :make and binned_ms = :at;
update tasting set binned_ms = null
where binned_ms in (select binned_ms from make where binned_ms is not null) and id in (
    select p.tasting_id from sample p join wheel w on w.id = p.wheel_id where w.make_id = :make
);
update panel_test set binned_ms = (
    select max(m.binned_ms) from panel_item i join wheel w on w.id = i.wheel_id
    join make m on m.id = w.make_id where i.panel_test_id = panel_test.id and m.id <> :make
)
where binned_ms in (select binned_ms from make where binned_ms is not null) and id in (
    select i.panel_test_id from panel_item i join wheel w on w.id = i.wheel_id
    where w.make_id = :make
);
update make set binned_ms = null where id = :make
"""
_TOUCHED = ("make", "wheel", "tasting", "sample", "panel_test")


class OutcomeKeeper:
    """Marks makes as failed, deletes them to the bin, and keeps what was said of eating them."""

    def __init__(
        self, db: sqlite3.Connection, changes: Changes, makes: MakeKeeper, notes: Keeper[Note]
    ) -> None:
        self._db = db
        self._changes = changes
        self._makes = makes
        self._notes = notes
        self._baths = BathKeeper(db, changes)

    def fail(self, make_id: int, why: str, at_ms: int) -> Make:
        """Mark a make as failed; one that runs is abandoned at `at_ms`. The reason is a note.

        Raises
        ------
        KeepingError
            Without a reason, or when `at_ms` lies before the make began.
        """
        make, reason = self._makes.get(make_id), " ".join(why.split())
        if not reason:
            raise KeepingError("keeping.no-reason")
        if at_ms < make.started_ms:
            raise KeepingError("keeping.failed-early", make=make.code)
        with self._changes.unit("keeping.act-failed", make=make.code):
            before = self._note(make)
            if before is not None:
                self._notes.save(replace(before, text=before.text.split(": ")[0] + f": {reason}"))
                return make
            runs = make.running
            head = ABANDONED if runs else FAILED
            self._notes.save(Note(at_ms, head + reason, make_id))
            if runs:
                self._baths.end(make_id, at_ms)
                make = replace(make, finished_ms=at_ms)
            return self._makes.save(replace(make, failed=True))

    def take_back_failure(self, make_id: int) -> Make:
        """Mark a make as not failed; one that was abandoned runs on.

        Raises
        ------
        KeepingError
            When it is not marked as failed.
        """
        make = self._makes.get(make_id)
        if not make.failed:
            raise KeepingError("keeping.not-failed", make=make.code)
        with self._changes.unit("keeping.act-not-failed", make=make.code):
            note = self._note(make)
            if note is not None and note.text.startswith(ABANDONED):
                self._baths.put_back(make_id, note.at_ms)
                make = replace(make, finished_ms=None)
            if note is not None:
                self._notes.remove(id_of(note))
            return self._makes.save(replace(make, failed=False))

    def _note(self, make: Make) -> Note | None:
        return failure_note(make, self._notes.where(make_id=make.id))

    def delete(self, make_id: int) -> Make:
        """Put a make into the bin, with its wheels and what was tasted of it."""
        make = self._makes.get(make_id)
        self._run(Message("keeping.act-delete", make=make.code), _BIN, make_id, self._instant())
        return make

    def _instant(self) -> int:
        """Now, or the first instant from now on at which nothing went to the bin: what comes back
        with a make is what went there at its instant."""
        last = self._db.execute(
            "select max(binned_ms) from (select binned_ms from wheel union all "
            "select binned_ms from tasting union all select binned_ms from panel_test)"
        ).fetchone()[0]
        now = now_ms()
        return last + 1 if last is not None and last == now else now

    def undelete(self, code: str) -> Make:
        """Bring a make back from the bin with all that went there with it.

        Raises
        ------
        KeepingError
            When no such make is in the bin.
        """
        found = self._db.execute(
            "select id from make where code = ? collate nocase and binned_ms is not null",
            (code,),
        ).fetchone()
        if found is None:
            there = self._makes.where(code=code.upper())
            if there:
                raise KeepingError("keeping.not-in-bin", make=there[0].code)
            deleted = tuple(self.deleted())
            if not deleted:
                raise KeepingError("keeping.bin-empty", make=code)
            raise KeepingError("keeping.bin-lacks", make=code, makes=deleted)
        return self.bring_back(found[0])

    def bring_back(self, make_id: int) -> Make:
        """The same of a make that is known to be in the bin."""
        code, at_ms = self._db.execute(
            "select code, binned_ms from make where id = ?", (make_id,)
        ).fetchone()
        self._run(Message("keeping.act-undelete", make=code), _UNBIN, make_id, at_ms)
        return self._makes.get(make_id)

    def deleted(self) -> list[str]:
        """The codes of the makes in the bin, the one deleted last first."""
        rows = self._db.execute(
            "select code from make where binned_ms is not null order by binned_ms desc, id desc"
        )
        return [str(row[0]) for row in rows]

    def _run(self, name: Message, statements: str, make_id: int, at_ms: int) -> None:
        with self._changes.unit(name):
            for statement in statements.split(";"):
                self._db.execute(statement, {"make": make_id, "at": at_ms})
            for table in _TOUCHED:
                self._changes.touch(table, make_id)

    def verdict(self, make: Make) -> Verdict | None:
        """What was said of eating a make, None while nothing was."""
        row = self._db.execute(
            "select value from setting where key = ?", (verdict_key(make.uuid),)
        ).fetchone()
        return read_verdict(row[0] if row else None)

    def save_verdict(self, make: Make, verdict: Verdict) -> Verdict:
        """Save the verdict on eating a make; the first one stays, and undo never takes it
        back."""
        first = self.verdict(make)
        if first is not None:
            return first
        with self._changes.appending("keeping.act-verdict"):
            self._db.execute(
                "insert or ignore into setting (key, value) values (?, ?)",
                (verdict_key(make.uuid), verdict.written()),
            )
            self._changes.touch("make", make.id)
        return verdict
