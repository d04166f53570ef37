"""Runs the sensors that are switched on, and takes what they deliver into the UI thread."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from journal.desk.work import Work
from journal.exchange import ExchangeError
from journal.exchange.sensors.intake import Intake, mark_of
from journal.exchange.sensors.making import sensor_for
from journal.exchange.sensors.room_intake import RoomIntake, room_mark_of
from journal.exchange.sensors.secrets import password_of, save_password
from journal.exchange.sensors.sensor import SILENT_AFTER_MS, Batch, Sensor, needs_attention
from journal.keeping import Change, Journal, KeepingError
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.sources import Arrived, SensorState, Source
from journal.wording import text_of, worded

KEEP_EVERY_MS = 1000  # one transaction a second at most
_SOON_MS = 100  # what comes together is kept together
ROOM_SILENT_MS = 2 * 3_600_000  # many sensors of a room's air speak each hour only
AGAIN_MS = 5000  # after the journal refused
_LOOK_MS = 1000
_LEAVE_S, _CLOSE_S = 0.5, 2.0


@dataclass(frozen=True)
class SensorTarget:
    """What the readings of a sensor are of: a running make, or a room whatever is made. Readings
    from before `since_ms` are not its own."""

    key: int
    name: str
    zone: str
    since_ms: int
    is_room: bool = False


@dataclass(frozen=True)
class Running:
    """A source that is switched on: for what, and how it is."""

    source: Source
    target: SensorTarget
    state: SensorState
    latest: tuple[Arrived, ...] = ()
    wrong: bool = False  # people should be told


@dataclass
class _RunningSource:
    source: Source
    target: SensorTarget
    sensor: Sensor | None
    fault: str = ""


class Bridge(QObject):
    """Starts and stops sensors as the journal's sources say, and keeps their readings.

    `changed` comes when a state or a last value did, at most ten times a second; `message` carries
    a sentence that people should see.
    """

    changed = Signal()
    message = Signal(str)
    _woken = Signal()  # in a sensor's thread

    def __init__(
        self,
        journal: Journal,
        clock: Callable[[], int],
        work: Work,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._journal = journal
        self._clock = clock
        self._work = work
        self._intake, self._room_intake = Intake(journal), RoomIntake(journal)
        self._held: dict[str, _RunningSource] = {}
        self._passwords: dict[str, str] = {}
        self._shown: list[Running] = []
        self._since = QElapsedTimer()
        self.every_ms, self.again_ms = KEEP_EVERY_MS, AGAIN_MS
        self._keeping = QTimer(self)
        self._keeping.setSingleShot(True)
        self._keeping.timeout.connect(self._save)
        self._looking = QTimer(self)
        self._looking.setInterval(_LOOK_MS)
        self._looking.timeout.connect(self.look)
        self._woken.connect(self._on_woken)
        journal.listen(self._on_change)

    # What is switched on

    def sync(self) -> None:
        """Run the sensors of the sources that are switched on for a room, or for a make that is
        not finished."""
        wanted = {source.uuid: (source, target) for source, target in self._switched_on()}
        for uuid, held in list(self._held.items()):
            if wanted.get(uuid) != (held.source, held.target):
                self._drop(uuid)
        fresh = [one for uuid, one in wanted.items() if uuid not in self._held]
        if fresh:
            self._save_all()  # so that a sensor begun again knows what the one before it had
        for source, target in fresh:
            self._begin(source, target)
        if self._held:
            self._looking.start()
        else:
            self._looking.stop()
        self.look()

    def stop(self) -> None:
        """Stop every sensor, keep what came, and take nothing more."""
        self._journal.unlisten(self._on_change)
        self._looking.stop()
        held, self._held = list(self._held.values()), {}
        for one in held:
            if one.sensor is not None:
                one.sensor.stop(_CLOSE_S)
        self._keeping.stop()
        self._save_all()

    @property
    def running(self) -> list[Running]:
        """Every source that is switched on, by name."""
        return sorted(map(self._running, self._held.values()), key=_name)

    def _running(self, held: _RunningSource) -> Running:
        state, latest = self._state(held), held.sensor.latest if held.sensor else ()
        wrong = needs_attention(state, self._clock())
        return Running(held.source, held.target, state, latest, wrong)

    def give_password(self, source: Source, password: str) -> None:
        """Use this password from now on, and keep it in the system's keyring where there is one."""
        self._passwords[source.uuid] = password
        task = self._work.start("password", _into_keyring, source, password)
        task.finished.connect(self._on_sentence)
        if source.uuid in self._held:
            self._drop(source.uuid)
        self.sync()

    def password_of(self, source: Source) -> str | None:
        """The password to use; asked in a sensor's thread."""
        return self._passwords.get(source.uuid) or password_of(source)

    def look(self) -> None:
        """Say so when a state or a value is another than when last looked at."""
        now = self.running
        if now != self._shown:
            self._shown = now
            self.changed.emit()

    def _switched_on(self) -> list[tuple[Source, SensorTarget]]:
        found = []
        for source in self._journal.sources.all():
            target = self._target(source)
            if target is not None:
                found.append((source, target))
        return found

    def _target(self, source: Source) -> SensorTarget | None:
        journal = self._journal
        if source.room_id is not None:
            rooms = journal.rooms.where(id=source.room_id)
            return (
                SensorTarget(source.room_id, rooms[0].name, journal.zone, 0, True)
                if rooms
                else None
            )
        makes = [] if source.make_id is None else journal.makes.where(id=source.make_id)
        if not makes or makes[0].finished_ms is not None:
            return None
        make = makes[0]
        return SensorTarget(id_of(make), make.code, make.zone, make.started_ms)

    def _begin(self, source: Source, target: SensorTarget) -> None:
        mark = room_mark_of if target.is_room else mark_of
        try:
            sensor = sensor_for(
                source,
                zone=target.zone,
                since_ms=self._clock() - DAY_MS if target.is_room else target.since_ms,
                clock=self._clock,
                mark=mark(self._journal, source.uuid, target.key),
                password=partial(self.password_of, source),
                silent_after_ms=ROOM_SILENT_MS if target.is_room else SILENT_AFTER_MS,
            )
        except (ExchangeError, ValueError) as error:
            self._held[source.uuid] = _RunningSource(source, target, None, text_of(error))
            return
        self._held[source.uuid] = _RunningSource(source, target, sensor)
        intake = self._room_intake if target.is_room else self._intake
        sensor.start(partial(self._deliver, intake, sensor, target.key))

    def _drop(self, uuid: str) -> None:
        held = self._held.pop(uuid)
        if held.sensor is not None:
            held.sensor.stop(_LEAVE_S)

    def _state(self, held: _RunningSource) -> SensorState:
        if held.sensor is None:
            return SensorState("failed", self._clock(), held.fault)
        return held.sensor.state

    # Deliveries

    def _deliver(self, intake: Intake | RoomIntake, sensor: Sensor, key: int, batch: Batch) -> None:
        """In the sensor's thread: put it in the queue and wake the UI thread when it was empty."""
        if intake.take(sensor, key, batch):
            self._woken.emit()

    def _on_woken(self) -> None:
        if self._keeping.isActive():
            return
        past = self._since.elapsed() if self._since.isValid() else self.every_ms
        self._keeping.start(max(_SOON_MS, self.every_ms - past))

    @property
    def _waiting(self) -> bool:
        return self._intake.waiting or self._room_intake.waiting

    def _save(self) -> None:
        self._since.restart()
        try:
            self._intake.save(self)
            self._room_intake.save(self)
        except (KeepingError, ValueError) as error:
            self.message.emit(worded("desk.readings-wait", why=error))
            self._keeping.start(self.again_ms)
            return
        if self._waiting:
            self._keeping.start(self.every_ms)
        self.look()

    def _save_all(self) -> None:
        try:
            while self._waiting:
                self._intake.save(self)
                self._room_intake.save(self)
        except (KeepingError, ValueError):
            return

    # Handlers

    def _on_change(self, change: Change) -> None:
        if change.initiator is not self and change.kinds & {"source", "make", "room"}:
            self.sync()

    def _on_sentence(self, sentence: str) -> None:
        if sentence:
            self.message.emit(sentence)


def _name(running: Running) -> str:
    return running.source.name


def _into_keyring(source: Source, password: str, _state: object) -> str:
    """Keep a password; runs in the background, since a keyring may ask to be opened."""
    return save_password(source, password)
