"""A make on a night when the clocks change, gone on with by windows and commands in the kitchen's
zone and another, while the machine sleeps and its clock is set back and forth by hours: each thing
is kept at the instant at which it was done, in order, and stages are as long as they were.

The oracle is the machine's own clock, to which the tests add what was slept; what was set is on
top of it, for the program alone.
"""

from __future__ import annotations

import csv
import itertools
import json
import mmap
import os
import random
import sqlite3
import struct
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from unittest import mock
from zoneinfo import ZoneInfo

from journal.keeping import Journal
from journal.records.plans import Plan, Stage
from tests.records.test_clock_nights import NIGHTS
from tests.siege.acting import HOUR_MS, NAME, apart, command, reading
from tests.siege.table import Tally
from tests.siege.together import Puppet

HOLIDAY = ("Pacific/Auckland", "America/St_Johns", "Asia/Kathmandu", "UTC", "Europe/London")
STAGES = 8
MINUTE_MS = 60_000
ACTS_A_NIGHT = 20
SLACK_MS = 1_600  # a step of the clock that is smaller is taken for drift
_REAL_NS, _REAL_CLOCK = time.time_ns, time.clock_gettime_ns


class Machine:
    """The clocks that all processes forked from here on see."""

    def __init__(self) -> None:
        self._shared = mmap.mmap(-1, 24)

    @property
    def _all(self) -> list[int]:
        return list(struct.unpack("3q", self._shared[:24]))

    def _put(self, place: int, value: int) -> None:
        struct.pack_into("q", self._shared, 8 * place, value)

    def begin_at(self, at_ms: int) -> None:
        """It is that instant, and the clock is right."""
        self._put(0, at_ms - _REAL_NS() // 1_000_000)
        self._put(1, 0)
        self._put(2, 0)

    def sleep(self, ms: int) -> None:
        """The machine sleeps for so long."""
        self._put(1, self._all[1] + ms)

    def set_clock(self, ahead_ms: int) -> None:
        """Its clock is ahead of the truth by so much from here on."""
        self._put(2, ahead_ms)

    def true_ms(self) -> int:
        """What the time is."""
        return _REAL_NS() // 1_000_000 + sum(self._all[:2])

    def _wall_ns(self) -> int:
        return _REAL_NS() + sum(self._all) * 1_000_000

    def _wall_s(self) -> float:
        return self._wall_ns() / 1e9

    def _counted_ns(self, which: int) -> int:
        slept = self._all[1] if which == getattr(time, "CLOCK_BOOTTIME", None) else 0
        return _REAL_CLOCK(which) + slept * 1_000_000

    @contextmanager
    def seen(self) -> Iterator[None]:
        """Put these clocks in place of Python's."""
        with (
            mock.patch.object(time, "time_ns", self._wall_ns),
            mock.patch.object(time, "time", self._wall_s),
            mock.patch.object(time, "clock_gettime_ns", self._counted_ns),
        ):
            yield


def go_to(zone: str) -> None:
    """This process's zone."""
    os.environ["TZ"] = zone
    time.tzset()


def change_of(zone: str, day: str) -> int:
    """The instant, UTC ms, at which that zone's clocks change in the day and a half from it on."""
    at = datetime.fromisoformat(day).replace(hour=6, tzinfo=UTC)
    where = ZoneInfo(zone)
    before = at.astimezone(where).utcoffset()
    while at.astimezone(where).utcoffset() == before:
        at += timedelta(minutes=1)
    return round(at.timestamp() * 1000)


class Night:
    """One journal through one night."""

    def __init__(self, folder: Path, rng: random.Random, tally: Tally, machine: Machine) -> None:
        self.folder, self.rng, self.tally, self.machine = folder, rng, tally, machine
        self.path = folder / NAME
        self.home, day = rng.choice(NIGHTS)
        self.away = rng.choice([zone for zone in HOLIDAY if zone != self.home])
        machine.begin_at(change_of(self.home, day) - rng.randint(20, 150) * MINUTE_MS)
        self.numbers = itertools.count(1)
        self.kept: list[tuple[float, int, int]] = []  # a reading, and when at the earliest, latest
        self.begun: list[tuple[int, int]] = []  # makes
        self.ended: list[tuple[int, int]] = []  # stages of the newest
        self.windows: dict[str, Puppet] = {}
        self._run(self.home, self._make)
        self._begin_make()
        self._open(self.home)
        self._open(self.away)

    def _make(self) -> None:
        """A journal of this machine's zone."""
        stages = [Stage("stir", 900, target_c=31.0) for _ in range(STAGES)]
        with Journal.create(self.path) as journal:
            journal.plans.save(Plan("long", (Stage("warm", 900, target_c=31.0), *stages[1:])))

    def _run(self, zone: str, act: Callable[[], object]) -> int:
        def there() -> None:
            go_to(zone)
            act()

        return apart(there, self.folder).code or 0

    def _order(self, *words: object) -> bool:
        """Run a command in either zone; whether it was carried out."""

        def there() -> None:
            if not command(*words):
                raise AssertionError("refused")

        zone = self.rng.choice((self.home, self.away))
        done = self._run(zone, there) == 0
        self.tally.counts["commands"] += 1
        if not done:
            text = (self.folder / "errors.txt").read_text("utf-8")
            why = (text.rpartition("Traceback")[0] or text)[-300:]
            self._fault(f"refused in {zone}, the kitchen's zone {self.home}: {words[2:]}: {why}")
        return done

    def _open(self, zone: str) -> None:
        number = 1 + (zone != self.home)
        self.windows[zone] = Puppet(self.folder, number, partial(go_to, zone))
        self.windows[zone].answer()

    # Acts

    def _begin_make(self) -> None:
        before = self.machine.true_ms()
        if self._order("begin", self.path, "--plan", "long", "--milk", "12l"):
            self.begun.append((before, self.machine.true_ms()))

    def _log(self) -> None:
        value, before = reading(next(self.numbers)), self.machine.true_ms()
        if self._order("log", self.path, "latest", "milk-temp", f"{value:.4f}"):
            self.kept.append((value, before, self.machine.true_ms()))

    def _log_typed(self) -> None:
        """What was read at a minute of the last quarter of an hour, as the kitchen's clock says."""
        value = reading(next(self.numbers))
        at = self.machine.true_ms() // MINUTE_MS * MINUTE_MS
        at = max(at - self.rng.randint(0, 15) * MINUTE_MS, self.begun[-1][1])
        at = at // MINUTE_MS * MINUTE_MS
        when = datetime.fromtimestamp(at / 1000, UTC).astimezone(ZoneInfo(self.home))
        other = when.replace(fold=1 - when.fold)
        twice = when.utcoffset() != other.utcoffset()
        turn = (" second" if when.fold else " first") if twice else ""
        self.tally.counts["of times that come twice"] += twice
        typed = f"{when:%Y-%m-%dT%H:%M}{turn}"
        if self._order("log", self.path, "latest", "milk-temp", f"{value:.4f}", "--at", typed):
            self.kept.append((value, at, at))

    def _read(self) -> None:
        number, before = next(self.numbers), self.machine.true_ms()
        one = self.windows[self.rng.choice(list(self.windows))]
        if not one.ask("read", number)[0]:
            self._fault("a window takes no reading")
            return
        self.kept.append((reading(number), before, self.machine.true_ms()))
        self.tally.counts["readings by keys"] += 1

    def _end_stage(self) -> None:
        before = self.machine.true_ms()
        if len(self.ended) < STAGES - 1 and self._order("stage", self.path, "latest", "end"):
            self.ended.append((before, self.machine.true_ms()))

    def _set(self) -> None:
        hours = self.rng.choice((-30, -9, -2, -1, 0, 1, 2, 5, 9, 30))
        self.machine.set_clock(hours * HOUR_MS)
        self.tally.counts["clock set"] += 1

    def _reopen(self) -> None:
        zone = self.rng.choice(list(self.windows))
        self.windows.pop(zone).close()
        self._open(zone)
        self.tally.counts["windows opened again"] += 1

    def live(self, acts: int) -> None:
        """Do so many things, the machine asleep for a while between them."""
        every = (self._log, self._log, self._log_typed, self._log_typed, self._read, self._read,
                 self._end_stage, self._set, self._set, self._reopen)  # fmt: skip
        begins = self.rng.randrange(acts)
        for turn in range(acts):
            self.machine.sleep(self.rng.randint(1, 20) * MINUTE_MS)
            if turn == begins:
                self._begin_anew()
            self.rng.choice(every)()
            self.tally.counts["acts"] += 1
        for one in self.windows.values():
            one.close()

    def _begin_anew(self) -> None:
        """Another make, beside the first."""
        self._begin_make()
        self.ended = []

    # What is there

    def judge(self) -> None:
        """Everything lies where it belongs, in the file and in an export."""
        with closing(sqlite3.connect(self.path)) as db:
            zones = {row[0] for row in db.execute("select zone from make")}
            makes = [row[0] for row in db.execute("select started_ms from make order by id")]
            runs = db.execute(
                "select began_ms, ended_ms from stage_run where make_id = "
                "(select max(id) from make) and ended_ms is not null order by began_ms"
            ).fetchall()
            rows = db.execute("select value, at_ms from reading_log order by at_ms").fetchall()
        if zones != {self.home}:
            self._fault(f"a make begun in {self.home} is in {zones}")
        for at, (first, last) in zip(makes, self.begun, strict=True):
            self._within("a make", at, first, last)
        if len(runs) != len(self.ended):
            self._fault("a stage that was ended has not ended")
        marks = [self.begun[-1], *self.ended]
        for (began, ended), one, two in zip(runs, marks, marks[1:], strict=False):
            self._within("a stage", ended, *two)
            self._within("a stage's length", ended - began, two[0] - one[1], two[1] - one[0])
        there = {round(value, 4): at for value, at in rows}
        self.tally.counts["stages ended"] += len(runs)
        for value, first, last in self.kept:
            if value not in there:
                self._fault("a reading is missing")
            else:
                self._within("a reading", there[value], first, last)
        self._look_at_export(there)

    def _look_at_export(self, there: dict[float, int]) -> None:
        out = self.folder / "out"
        self._order("export", self.path, out)
        found: dict[float, int] = {}
        whole = json.loads((out / "journal.json").read_text("utf-8"))
        for name in whole["files"]:
            if name.startswith("readings/"):
                with (out / name).open(encoding="utf-8", newline="") as file:
                    for row in csv.DictReader(file):
                        at = datetime.fromisoformat(row["at_utc"])
                        found[round(float(row["value"]), 4)] = round(at.timestamp() * 1000)
        if found != there:
            self._fault("an export has other instants than the journal")

    def _within(self, what: str, at: int, first: int, last: int) -> None:
        if not first - SLACK_MS <= at <= last + SLACK_MS:
            off = (at - last) / MINUTE_MS
            self._fault(f"{what} is off by {off:.1f} min, in {self.home} beside {self.away}")

    def _fault(self, fault: str) -> None:
        if fault not in self.tally.faults:
            self.tally.faults.append(fault)


def run(count: int, seed: int) -> Tally:
    """So many acts, `ACTS_A_NIGHT` of them a night."""
    tally, rng, machine = Tally("clock"), random.Random(seed), Machine()
    while (left := count - tally.counts["acts"]) > 0:
        with tempfile.TemporaryDirectory() as folder, machine.seen():
            night = Night(Path(folder), rng, tally, machine)
            try:
                night.live(min(ACTS_A_NIGHT, left))
                night.judge()
            finally:
                for one in night.windows.values():
                    one.kill()
        tally.counts["nights"] += 1
    return tally
