"""The makes that run beside the one at hand: each read once, and again when it changes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from journal.desk.vat.day import Ahead, Day, Past, ahead_of, day_of, past_of
from journal.desk.vat.days import SLIM_MOST
from journal.desk.vat.noted import noted
from journal.keeping import Change, KeepingError
from journal.records.whole import WholeMake


@dataclass
class Neighbour:
    """One of them: what it is, and what was reckoned of it."""

    whole: WholeMake
    past: Past | None = None  # None: not reckoned yet
    ahead: Ahead | None = None
    asked: str = ""  # what is being reckoned
    stale: bool = False


class Besides:
    """Mixed into the place of the vat before Place. Their days are drawn as fully as the one at
    hand, from the same functions."""

    _beside: dict[int, Neighbour]

    def days_beside(self, make_ids: list[int]) -> list[Day]:
        """The days of these makes now; what must be reckoned for them is asked for."""
        for gone in set(self._beside) - set(make_ids):
            del self._beside[gone]
        return [day for make_id in make_ids[:SLIM_MOST] if (day := self._day_beside(make_id))]

    def heard_beside(self, change: Change) -> None:
        """A make beside was changed: read it again when it is drawn next."""
        for make_id in change.makes & set(self._beside):
            self._beside[make_id].stale = True

    def forget_beside(self) -> None:
        """Read all of them again; what was reckoned of their past stays."""
        for one in self._beside.values():
            one.stale = True

    def _day_beside(self, make_id: int) -> Day | None:
        try:
            one = self._read_beside(make_id)
        except KeepingError:
            return None  # its own page says what is wrong with it
        day = day_of(one.whole, self.desk.clock(), one.past or Past(), one.ahead or Ahead())
        whole = one.whole
        notes = noted(whole.notes, whole.make.started_ms, self._thumbs, self.journal.photos.path)
        day = replace(day, notes=notes)
        self._ask_beside(make_id, one, day)
        return day

    def _read_beside(self, make_id: int) -> Neighbour:
        one = self._beside.get(make_id)
        if one is None:
            one = self._beside[make_id] = Neighbour(self.journal.whole(make_id))
        elif one.stale:
            one.whole, one.ahead, one.asked = self.journal.whole(make_id), None, ""
            one.stale = False
        return one

    def _ask_beside(self, make_id: int, one: Neighbour, day: Day) -> None:
        make, work = one.whole.make, self.desk.work
        if one.past is None and one.asked != "past":
            one.asked = "past"
            task = work.start_file(
                f"vat past {make_id}", str(self.journal.path), past_of, make_id,
                one.whole.plan.name, make.started_ms,
            )  # fmt: skip
            task.finished.connect(self._on_past_beside)
            task.failed.connect(self._on_failed)
        elif one.past is not None and one.ahead is None and one.asked != "ahead":
            one.asked = "ahead"
            task = work.start(f"vat ahead {make_id}", ahead_of, day)
            task.finished.connect(self._on_ahead_beside)
            task.failed.connect(self._on_failed)

    def change_hands(self, make_id: int) -> bool:
        """Whether another make comes to hand; what stands half typed stays with the make it was
        typed for, and nothing that was asked of one make is answered for another."""
        if self._seen is not None and self._seen.make.id == make_id:
            return False
        self.put_aside()
        return True

    def neighbour_left(self) -> Neighbour | None:
        """The make that was at hand until now, with what was reckoned of it."""
        if self._seen is None or self._seen.make.finished_ms is not None:
            return None
        known = self._past if self._past != Past() else None
        return Neighbour(self._seen, known, self._ahead if known is not None else None, stale=True)

    def swap_beside(self, make_id: int, left: Neighbour | None) -> tuple[Past, Ahead] | None:
        """Another make comes to hand: what was reckoned of it, None where nothing was; the one
        that was left keeps what is known of it."""
        known = self._beside.pop(make_id, None)
        if left is not None and left.past is not None:
            self._beside[left.whole.make.id] = left
        if known is None or known.past is None:
            return None
        return known.past, known.ahead or Ahead()

    def _on_past_beside(self, past: Past) -> None:
        one = self._asker()
        if one is not None:
            one.past = past
            self._show()

    def _on_ahead_beside(self, ahead: Ahead) -> None:
        one = self._asker()
        if one is not None and not one.stale:
            one.ahead = ahead
            self._show()
            self.keep_verdict(one.whole.make, ahead)

    def _asker(self) -> Neighbour | None:
        """The make a task was started for, None when it is beside no more."""
        return self._beside.get(int(self.sender().name.rpartition(" ")[2]))
