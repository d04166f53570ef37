"""The contract of a sensor: start, stop, state, last value; a thread that reconnects by itself."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from journal.exchange import ExchangeError
from journal.records.sources import (
    CONNECTED,
    FAILED,
    OFF,
    SILENT,
    WAITING,
    Arrived,
    SensorState,
    Source,
)
from journal.wording import text_of

FAULT_AFTER_MS = 60_000  # a sensor that cannot be reached is given as long as a silent one

SILENT_AFTER_MS = 60_000
MOST_WAITING = 20_000  # readings that are not durable yet: with more the sensor is read no further
_WAIT_S = 0.05
_SET_BACK_MS = 60_000  # a clock that steps back further than this was set, and is believed


@dataclass(frozen=True)
class Batch:
    """Readings in the order they came.

    `number` goes up by one with each batch; `kept` is called with it once the readings are
    durable. `mark` is what is handed back as `mark` at the next start, saved in the
    same transaction as the readings, so that nothing is lost or saved twice across a crash.
    """

    readings: tuple[Arrived, ...]
    number: int
    mark: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class RawMessage:
    """A raw line or message, and what it was understood as (or why it was not)."""

    raw: str
    understood: str
    good: bool


class SensorFault(ExchangeError):
    """Why a source cannot be read just now, in a sentence."""

    asks_password = False


class PasswordWanted(SensorFault):
    """The source needs a password that nobody has given yet."""

    asks_password = True


Deliver = Callable[[Batch], None]
OnMessage = Callable[[RawMessage], None]
Clock = Callable[[], int]


@dataclass(frozen=True)
class Backoff:
    """How long to wait between two tries, seconds: doubling from `first` to `most`."""

    first: float = 1.0
    most: float = 30.0


class Sensor:
    """One source being read. A subclass gives `_session`.

    `deliver` and `on_message` are called in the sensor's own thread. `clock` gives UTC
    milliseconds.
    """

    def __init__(
        self,
        source: Source,
        *,
        clock: Clock,
        since_ms: int = 0,
        mark: dict[str, Any] | None = None,
        backoff: Backoff | None = None,
        silent_after_ms: int = SILENT_AFTER_MS,
    ) -> None:
        self.source = source
        self._silent_after_ms = silent_after_ms
        self._clock = clock
        self._since_ms = since_ms
        self._mark = dict(mark or {})
        self._backoff = backoff or Backoff()
        self._ending = threading.Event()
        self._thread: threading.Thread | None = None
        self._deliver: Deliver = _nobody
        self._on_message_text: OnMessage = _nobody
        self._state = SensorState(OFF, clock())
        self._heard_ms: int | None = None
        self._last: Arrived | None = None
        self._latest: dict[str, Arrived] = {}
        self._last_at_ms = int(self._mark.get("at", 0))
        self._number = 0
        self._kept = 0
        self._handed_on, self._durable = 0, 0  # readings; each counted in one thread alone
        self._on_the_way: deque[tuple[int, int]] = deque()  # a batch's number, its readings
        self.caution = ""  # what people should know of the way it comes, a sentence
        self._wait_s = self._backoff.first

    # The contract

    def start(self, deliver: Deliver, options: OnMessage | None = None) -> None:
        """Begin to read, in a thread of its own."""
        self._deliver = deliver
        self._on_message_text = options or _nobody
        self._ending.clear()
        self._change(WAITING)
        self._thread = threading.Thread(
            target=self._main, name=f"sensor {self.source.name}", daemon=True
        )
        self._thread.start()

    def stop(self, wait_s: float = 5.0) -> None:
        """Stop reading; returns when the thread has ended, or after `wait_s`."""
        self._ending.set()
        thread = self._thread
        if thread is not None and thread is not threading.current_thread():
            thread.join(wait_s)
        self._change(OFF)

    def kept(self, number: int) -> None:
        """The batches up to this number are durable."""
        self._kept = max(self._kept, number)
        while self._on_the_way and self._on_the_way[0][0] <= number:
            self._durable += self._on_the_way.popleft()[1]

    @property
    def state(self) -> SensorState:
        """How it is at this moment; silence is found by the clock."""
        state = self._state
        if state.word == CONNECTED:
            heard = max(state.since_ms, self._heard_ms or 0)
            if self._clock() - heard >= self._silent_after_ms:
                return SensorState(SILENT, heard)
        return state

    @property
    def last(self) -> Arrived | None:
        """The last reading that came, None before the first."""
        return self._last

    @property
    def latest(self) -> tuple[Arrived, ...]:
        """The last reading of each kind that came, by kind."""
        latest = self._latest
        return tuple(latest[kind] for kind in sorted(latest))

    # What a subclass gives

    def _session(self) -> None:
        """Open the source and read until `_ending` is set; raises ProbeFault when it breaks."""
        raise NotImplementedError  # each kind of source gives its own

    # What a subclass calls, in the sensor's thread

    @property
    def _listened_to(self) -> bool:
        """Whether the raw lines are shown anywhere."""
        return self._on_message_text is not _nobody

    def _connected(self) -> None:
        """It is open and readings may come."""
        self._wait_s = self._backoff.first
        if self._state.word != CONNECTED:
            self._change(CONNECTED)

    def _hand_on(self, readings: list[Arrived], mark: dict[str, Any]) -> int:
        """Deliver readings; returns the batch's number."""
        self._number += 1
        if readings:
            self._heard_ms = self._clock()
            self._last = readings[-1]
            self._latest = {**self._latest, **{one.kind: one for one in readings}}
        self._handed_on += len(readings)
        self._on_the_way.append((self._number, len(readings)))
        self._deliver(Batch(tuple(readings), self._number, mark))
        while self._handed_on - self._durable > MOST_WAITING and not self._ending.is_set():
            self._ending.wait(_WAIT_S)
        return self._number

    def _tell(self, raw: str, understood: str, *, good: bool) -> None:
        self._on_message_text(RawMessage(raw[:200], understood, good))

    def _arrival_ms(self) -> int:
        """The present instant, later than the reading before: two never share one."""
        now = self._clock()
        if now <= self._last_at_ms and self._last_at_ms - now < _SET_BACK_MS:
            now = self._last_at_ms + 1
        self._last_at_ms = now
        return now

    def _change(self, word: str, sentence: str = "", *, asks_password: bool = False) -> None:
        before = self._state
        goes_on = word == FAILED == before.word  # tried again in vain: it has been so since then
        since_ms = before.since_ms if goes_on else self._clock()
        self._state = SensorState(word, since_ms, sentence, asks_password)

    def _main(self) -> None:
        while not self._ending.is_set():
            try:
                self._session()
            except ExchangeError as fault:
                self._fail(fault)
            except Exception as error:  # noqa: BLE001 - a sensor must not end unseen
                self._fail(SensorFault("exchange.broke-off", what=self.source.name, why=error))
            self._ending.wait(self._wait_s)
            self._wait_s = min(self._wait_s * 2, self._backoff.most)

    def _fail(self, fault: ExchangeError) -> None:
        if not self._ending.is_set():
            wanted = getattr(fault, "asks_password", False)
            self._change(FAILED, text_of(fault), asks_password=wanted)


def _nobody(_what: object) -> None:
    """Nobody listens."""


def needs_attention(state: SensorState, now_ms: int) -> bool:
    """Whether it needs attention: silent, or out of reach for as long."""
    if state.word == SILENT or state.asks_password:
        return True
    return state.word == FAILED and now_ms - state.since_ms >= FAULT_AFTER_MS
