"""The alarm of the whole window: it looks at the clock each second and rings at an end."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from journal.desk.sound import SOUNDS, Bell
from journal.keeping import Change, Journal, KeepingError
from journal.records import id_of
from journal.records.clocks import Clocks, Timekeeper
from journal.records.coming import DueItem, coming
from journal.records.instants import MINUTE_MS
from journal.reports.air import rooms_out
from journal.reports.entries import CLOCK, timekeeper_for

TICK_MS = 1000
RINGS_MOST, RING_AGAIN_MS = 8, 30_000
_KEEP_EVERY_MS = 10 * MINUTE_MS
_OF_THE_DAY = {"make", "stage_run", "timer", "plan"}


class Alarm(QObject):
    """Knows what falls due in the makes that run. `rang` carries the Coming that just fell due,
    `noticed` a Step of the machine's clocks; `ticked` comes each second.

    `ringing` holds what is due and unanswered; it goes by itself when the stage or timer ends.
    """

    rang = Signal(object)
    noticed = Signal(object)
    ticked = Signal()

    def __init__(
        self,
        journal: Journal,
        timekeeper: Timekeeper,
        tick_ms: int = TICK_MS,
        parent: QObject | None = None,
        *,
        keeps_clock: bool = True,
    ) -> None:
        super().__init__(parent)
        self._keeps_clock = keeps_clock
        self.journal = journal
        self.now = timekeeper.now
        self._zones: dict[int, str] = {}
        self._timekeeper = timekeeper
        self._bell = Bell(self)
        self._coming: list[DueItem] = []
        self._answered: set[DueItem] = set()
        self._rings: dict[DueItem, tuple[int, int]] = {}  # how often, and when last
        self._saved_ms = 0
        self._timer = QTimer(self)
        self._timer.setInterval(tick_ms)
        self._timer.timeout.connect(self.tick)
        self.look_again()
        self._timer.start()

    @property
    def coming(self) -> list[DueItem]:
        """What is to fall due, and what has, soonest first."""
        return list(self._coming)

    @property
    def ringing(self) -> list[DueItem]:
        """What is due and unanswered, the oldest first."""
        return [one for one in self._coming if one in self._rings and one not in self._answered]

    @property
    def silenced(self) -> list[DueItem]:
        """What is due and was silenced, and did not end yet, the oldest first."""
        return [one for one in self._coming if one in self._rings and one in self._answered]

    def zone_of(self, one: DueItem) -> str:
        """The zone of the make it belongs to."""
        return self._zones[one.make_id]

    def answer(self) -> bool:
        """Be quiet about all that rings; False when nothing did."""
        found = self.ringing
        self._answered.update(found)
        return bool(found)

    def set_loudness(self, share: float) -> None:
        """How loud it rings, 0 (silent) to 1."""
        self._bell.loudness = share

    def set_sound(self, sound: str) -> None:
        """With which of the sounds it rings; an unknown one leaves it as it is."""
        if sound in SOUNDS:
            self._bell.sound = sound

    @property
    def sounds_as(self) -> str:
        """With which of the sounds it rings."""
        return self._bell.sound

    @property
    def loudness(self) -> float:
        """How loud it rings, 0 (silent) to 1."""
        return self._bell.loudness

    def sound(self) -> None:
        """Sound the bell once, for what no timer knows of."""
        self._bell.ring()

    def on_change(self, change: Change) -> None:
        """The journal changed."""
        if change.kinds & _OF_THE_DAY:
            self.look_again()

    def look_again(self) -> None:
        """Read from the journal what is to fall due."""
        found: list[DueItem] = []
        for make in self.journal.makes.running():
            self._zones[id_of(make)] = make.zone
            found += coming(
                make,
                self.journal.makes.plan_of(make),
                self.journal.runs.where(make_id=make.id),
                self.journal.timers.where(make_id=make.id),
            )
        self._coming = sorted(found, key=_instant)
        self._rings = {one: rung for one, rung in self._rings.items() if one in found}
        self._answered &= set(found)

    def tick(self) -> None:
        """Look at the clocks, and ring for what has fallen due."""
        for step in self._timekeeper.steps():
            self._saved_ms = 0
            self.noticed.emit(step)
        now = self._timekeeper.now()
        if self._keeps_clock and self._coming and now - self._saved_ms >= _KEEP_EVERY_MS:
            self.save_clock()
            self._saved_ms = now
        for one in self._coming:
            if one.at_ms > now:
                break
            self._ring(one, now)
        self.ticked.emit()

    def save_clock(self) -> None:
        """Write down how the clocks stand, for the next time the journal is opened."""
        kept = self._timekeeper.kept()
        if not kept:
            return
        try:
            self.journal.set_setting(CLOCK, kept)
        except KeepingError:
            return  # a journal on a full or locked disk; nothing of the day is lost by it

    def stop(self) -> None:
        """Look no more."""
        self._timer.stop()

    def _ring(self, one: DueItem, now: int) -> None:
        times, last = self._rings.get(one, (0, 0))
        if one in self._answered or times >= RINGS_MOST or (times and now - last < RING_AGAIN_MS):
            return
        self._rings[one] = (times + 1, now)
        self._bell.ring()
        if times == 0:
            self.rang.emit(one)


def newly_out(journal: Journal, now_ms: int, known: set[tuple[str, str, int]]) -> list[str]:
    """The sentences about rooms that have been outside their range for an hour; `known` is what
    was shown already, and grows."""
    words = []
    for one in rooms_out(journal, now_ms):
        going = {(one.room.uuid, spell.what, spell.from_ms) for spell in one.spells}
        if not going <= known:
            known |= going
            words.append(f"{one.room.name}: {one.out}")
    return words


def timekeeper_on(clocks: Clocks, journal: Journal) -> Timekeeper:
    """The clock a window goes by on a journal: it goes on from where the last window left it
    while a make runs, else it follows the wall."""
    return timekeeper_for(clocks, journal, journal.makes.running())


def _instant(one: DueItem) -> int:
    return one.at_ms
