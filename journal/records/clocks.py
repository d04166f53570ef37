"""The clocks of a machine, and one instant made of them that sleep and a set clock do not shift."""

from __future__ import annotations

import json
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from journal.records.instants import now_ms

Clock = Callable[[], int]
ClockReadings = tuple[int, int | None, int | None]  # wall, awake, steady
SLEW_MS = 1_500  # what the wall clock may drift between two looks without having been set
CLOSED_SLEW_MS = 60_000  # the same over hours in which nobody looked
_LOOKS = 5  # at the clocks, until nothing happened between two of them
FAR_MS = 18 * 3_600_000  # longer than a night: nobody leaves a running make alone for so long
SLEPT = "slept"
SET = "set"


@dataclass(frozen=True)
class Clocks:
    """The three clocks of a machine, each in milliseconds.

    `wall` is UTC and may be set by hand. `awake` never goes back and stands still while the
    machine sleeps. `steady` never goes back and goes on in sleep; None where there is none, or
    for tests that have one clock only. `boot` names the machine's run that `steady` counts from.
    """

    wall: Clock
    awake: Clock | None = None
    steady: Clock | None = None
    boot: str = ""


@dataclass(frozen=True)
class ClockJump:
    """What was noticed: the machine slept for `ms`, or its clock was set by `ms` (back: below 0).

    `at_ms` is the instant after it, by the clock that is gone by.
    """

    kind: str
    ms: int
    at_ms: int


@dataclass(frozen=True)
class ClockDoubt:
    """Why a clock is not believed at a new start, in UTC milliseconds: what the wall clock says,
    what the clock that the make began with would say, and when the last entry was made."""

    wall_ms: int
    held_ms: int
    last_ms: int

    @property
    def only_late(self) -> bool:
        """Whether nothing speaks against the clock but how long ago the last entry is."""
        return self.wall_ms == self.held_ms > self.last_ms


class Timekeeper:
    """Gives the present instant. It follows the wall clock, drift and all, but not when that is
    set: then it goes on as before, `offset_ms` behind (or ahead of) the wall.

    With `steady` a set clock and sleep are told apart. With `awake` alone a leap ahead is taken
    for sleep, since that is by far the likelier, and a leap back for a set clock.

    After a new start of the machine nothing says what happened to its clock meanwhile. `doubt` is
    then what has to be asked, None where nothing speaks against the clock: it stands before the
    last entry (`last_ms`, 0 where there is none) or far behind what was due (`due_ms`), or it had
    been set before. `answer` settles it; until then it goes on as the make began.
    """

    def __init__(
        self, clocks: Clocks, kept: str | None = None, *, last_ms: int = 0, due_ms: int = 0
    ) -> None:
        self._clocks = clocks
        self.offset_ms = 0
        self._steps: list[ClockJump] = []
        self._lock = threading.Lock()  # sensors ask in threads of their own
        self._seen = self._look()
        self.doubt: ClockDoubt | None = None
        left_ms = self._go_on_from(kept) if kept else 0
        if left_ms is not None and clocks.awake is not None:
            self.doubt = self._doubt(max(last_ms, left_ms), due_ms if left_ms else 0)

    def now(self) -> int:
        """The present instant, UTC milliseconds."""
        with self._lock:
            before, self._seen = self._seen, self._look()
            self._compare(before)
            return self._seen[0] - self.offset_ms

    def steps(self) -> list[ClockJump]:
        """What was noticed since it was last asked."""
        self.now()
        found, self._steps = self._steps, []
        return found

    def kept(self) -> str:
        """What to keep so that a clock set while the program is closed is noticed too; "" for a
        clock that was given in place of the machine's, which has nothing to be compared with."""
        if self._clocks.awake is None:
            return ""
        self.now()  # what was set until now is in the offset, and not in what is kept
        with self._lock:
            (wall, _, steady), offset = self._seen, self.offset_ms
        return json.dumps(
            {"wall": wall, "steady": steady, "boot": self._clocks.boot, "offset": offset}
        )

    def answer(self, offset_ms: int) -> None:
        """The wall clock is ahead by so much, 0 where it is right; the doubt is settled."""
        with self._lock:
            self._seen = self._look()
            self.offset_ms = offset_ms
            self.doubt = None

    def _look(self) -> ClockReadings:
        """All three at one moment; again where it slept, or its clock was set, meanwhile."""
        c = self._clocks
        wall = c.wall()
        for _ in range(_LOOKS):
            before, awake = wall, c.awake() if c.awake is not None else None
            steady, wall = c.steady() if c.steady is not None else None, c.wall()
            if abs(wall - before) <= SLEW_MS:
                break
        return wall, awake, steady

    def _compare(self, before: ClockReadings) -> None:
        wall = self._seen[0] - before[0]
        awake = None if self._seen[1] is None or before[1] is None else self._seen[1] - before[1]
        steady = None if self._seen[2] is None or before[2] is None else self._seen[2] - before[2]
        if steady is not None:
            self._was_set(wall - steady, SLEW_MS)
            if awake is not None and steady - awake > SLEW_MS:
                self._note(SLEPT, steady - awake)
        elif awake is not None:
            if wall - awake > SLEW_MS:
                self._note(SLEPT, wall - awake)
            else:
                self._was_set(wall - awake, SLEW_MS)

    def _was_set(self, by_ms: int, allowed_ms: int) -> None:
        if abs(by_ms) > allowed_ms:
            self.offset_ms += by_ms
            self._note(SET, by_ms)

    def _note(self, kind: str, by_ms: int) -> None:
        self._steps.append(ClockJump(kind, by_ms, self._seen[0] - self.offset_ms))

    def _doubt(self, last_ms: int, due_ms: int) -> ClockDoubt | None:
        """What speaks against the clock; `due_ms` is 0 where no window saw the make."""
        wall = self._seen[0]
        held = wall - self.offset_ms
        late = due_ms and held > max(last_ms, due_ms) + FAR_MS
        if held >= last_ms - CLOSED_SLEW_MS and not late and abs(self.offset_ms) <= CLOSED_SLEW_MS:
            return None
        return ClockDoubt(wall, held, last_ms)

    def _go_on_from(self, kept: str) -> int | None:
        """Take up what was kept. Returns the instant at which it was, by the clock that was gone
        by; None where the steady clock has gone on since, and so nothing is in doubt."""
        try:
            found = json.loads(kept)
            wall, steady = int(found["wall"]), found["steady"]
            offset = int(found["offset"])
        except (ValueError, KeyError, TypeError, OverflowError):
            return 0
        self.offset_ms = offset
        same_run = self._clocks.boot != "" and found.get("boot") == self._clocks.boot
        if same_run and steady is not None and self._seen[2] is not None:
            self._was_set(self._seen[0] - wall - (self._seen[2] - int(steady)), CLOSED_SLEW_MS)
            return None
        return wall - offset


def machine_clocks() -> Clocks:
    """The clocks of this machine."""
    return Clocks(now_ms, _awake_ms, _steady_ms(), _boot())


def _awake_ms() -> int:
    which = getattr(time, "CLOCK_UPTIME_RAW", None)  # macOS
    if which is None:
        which = getattr(time, "CLOCK_MONOTONIC", None)
    if sys.platform == "win32" or which is None:
        return time.monotonic_ns() // 1_000_000
    return time.clock_gettime_ns(which) // 1_000_000


def _steady_ms() -> Clock | None:
    """A clock that goes on in sleep: Linux names it, macOS's monotonic and Windows' tick are it."""
    if hasattr(time, "CLOCK_BOOTTIME"):
        return _boottime_ms
    if sys.platform == "darwin":
        return _darwin_ms
    return _tick_ms if sys.platform == "win32" else None


def _boottime_ms() -> int:
    return time.clock_gettime_ns(time.CLOCK_BOOTTIME) // 1_000_000


def _darwin_ms() -> int:
    return time.clock_gettime_ns(time.CLOCK_MONOTONIC) // 1_000_000


def _tick_ms() -> int:
    return time.monotonic_ns() // 1_000_000


def _boot() -> str:
    """A name of the machine's present run; "" where it is unknown."""
    path = Path("/proc/sys/kernel/random/boot_id")
    try:
        return path.read_text(encoding="ascii").strip()
    except OSError:
        return ""
