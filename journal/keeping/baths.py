"""The keeper of what lies in the brine: cheese goes in and out with its make's stages."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from typing import TYPE_CHECKING

from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.rows import NOUNS
from journal.records import id_of
from journal.records.brines import Brine, BrineStay

if TYPE_CHECKING:
    from journal.keeping.changes import Changes


class BathKeeper:
    """Puts cheese into a bath and takes it out."""

    def __init__(self, db: sqlite3.Connection, changes: Changes) -> None:
        self._changes = changes
        self._brines: Keeper[Brine] = Keeper(db, changes, NOUNS["brine"])
        self._stays: Keeper[BrineStay] = Keeper(db, changes, NOUNS["brine_stay"])

    def in_use(self) -> list[Brine]:
        """The baths that were not poured away."""
        return self._brines.where(gone_ms=None)

    def begin(self, make_id: int, at_ms: int) -> BrineStay | None:
        """A make's brining began: into the bath, where there is just one; with several, the
        person says which."""
        baths = self.in_use()
        if len(baths) != 1:
            return None
        return self._stays.save(BrineStay(id_of(baths[0]), make_id, at_ms))

    def end(self, make_id: int, at_ms: int) -> None:
        """A make's brining ended: whatever of it still lies in a bath comes out."""
        for stay in self._stays.where(make_id=make_id, out_ms=None):
            self._stays.save(replace(stay, out_ms=max(at_ms, stay.in_ms)))

    def put_back(self, make_id: int, out_ms: int) -> None:
        """What of a make came out of a bath at that instant lies there still."""
        for stay in self._stays.where(make_id=make_id, out_ms=out_ms):
            self._stays.save(replace(stay, out_ms=None))

    def put_in(
        self, brine_id: int, make_id: int, at_ms: int, wheel_id: int | None = None
    ) -> BrineStay:
        """Lay a make's cheese, or one wheel of it, into a bath.

        Raises
        ------
        KeepingError
            When it lies in a bath already, or the bath was poured away.
        """
        brine = self._brines.get(brine_id)
        if brine.gone_ms is not None:
            raise KeepingError("keeping.brine-gone", brine=brine.name)
        for stay in self._stays.where(make_id=make_id, out_ms=None):
            if stay.wheel_id in (None, wheel_id) or wheel_id is None:
                where = self._brines.get(stay.brine_id).name
                raise KeepingError("keeping.in-brine-already", brine=where)
        with self._changes.unit("keeping.act-into-brine"):
            return self._stays.save(BrineStay(brine_id, make_id, at_ms, wheel_id))

    def take_out(self, stay: BrineStay, at_ms: int) -> BrineStay:
        """Take a cheese out of its bath."""
        with self._changes.unit("keeping.act-out-of-brine"):
            return self._stays.save(replace(stay, out_ms=at_ms))
