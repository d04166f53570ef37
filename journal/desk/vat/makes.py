"""The makes at the vat: the current one and those beside it, each with what is known of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Signal

from journal.curves.shown_events import Acknowledged
from journal.curves.snapshot import Ahead, EarlierMakes, MakeSnapshot, ahead_of, day_of
from journal.desk.place import Desk
from journal.desk.vat.acknowledged import acknowledged_of, save_acknowledged
from journal.desk.vat.days import SLIM_MOST
from journal.desk.vat.noted import Thumbs, noted
from journal.desk.work import Task
from journal.keeping import Change, DamageError, KeepingError
from journal.records import id_of
from journal.records.whole import WholeMake
from journal.reports.other_makes import others_of
from journal.reports.past_makes import past_of
from journal.wording import text_of


@dataclass
class KnownMake:
    """A make, and what was calculated for it."""

    whole: WholeMake
    past: EarlierMakes | None = None  # None: not calculated yet
    ahead: Ahead | None = None
    past_asked: bool = False
    ahead_asked: bool = False
    stale: bool = False  # of one beside: it is read again when it is drawn next


class VatMakes(QObject):
    """Knows the current make and those that run beside it. Each is read once, and again when it
    changes; what is calculated for it in the background stays with it when another becomes current.

    `shown` is the day of the current make as it is drawn, None while there is none.
    """

    turned = Signal()  # another make should become current
    changed = Signal()  # more is known of the current one than what is to come
    expected = Signal(object)  # what is to come of a Known one, the current one or one beside
    failed = Signal(str)

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self.shown: MakeSnapshot | None = None
        self._desk, self._journal = desk, desk.journal
        self._make_id: int | None = None
        self._asked_for = False
        self._current: KnownMake | None = None
        self._known: dict[int, KnownMake] = {}
        self._thumbs = Thumbs()
        self._left: tuple[int, bool] | None = None  # the advice that was left: stage, and its way

    # The current make

    @property
    def day(self) -> MakeSnapshot:
        """The day of the current make as it is drawn.

        Raises
        ------
        RuntimeError
            While there is none.
        """
        if self.shown is None:
            raise RuntimeError("No make is shown.")
        return self.shown

    def has_day(self) -> bool:
        """A make is shown."""
        return self.shown is not None

    def has_running(self) -> bool:
        """A make runs."""
        return self.shown is not None and self.shown.running

    def has_stage(self) -> bool:
        """A stage runs."""
        return self.has_running() and self.day.page_state.stage is not None

    def ask_for(self, make_id: int) -> None:
        """Show this make at the next visit."""
        self._make_id, self._asked_for = make_id, True

    def begin_visit(self) -> None:
        """Choose anew which make to show, if none was asked for."""
        if not self._asked_for:
            self._make_id = None
        self._asked_for = False

    def turn_to(self, make_id: int) -> None:
        """Show another of the makes that run."""
        self._make_id = self._desk.make_id = make_id
        self._left = None
        self.turned.emit()

    def read(self) -> WholeMake | None:
        """The make to show with all that hangs on it, read anew; None where there is none."""
        before, whole = self._current, self._find()
        if whole is None:
            self._current = self.shown = None
            return None
        known = self._known.setdefault(id_of(whole.make), KnownMake(whole))
        if before is not None and before is not known:
            before.stale = True
        if known.whole.plan.name != whole.plan.name:
            known.past, known.ahead, known.past_asked = None, None, False
        known.whole, known.stale, self._current = whole, False, known
        if known.past is None and not known.past_asked:
            self._ask_past(known)
        return whole

    def read_readings(self) -> None:
        """Read the readings of the current make anew."""
        known = self._hand
        traces = self._journal.readings.traces(id_of(known.whole.make))
        known.whole = replace(known.whole, traces=traces)

    def day_now(self) -> MakeSnapshot:
        """The day of the current make as it is now."""
        day = self._day_of(self._hand)
        others = others_of(self._journal, day.make_id)
        left, done = self._is_left(day), self.acknowledged()
        return replace(day, others=others, left_alone=left, acknowledged=done)

    def ask_ahead(self) -> None:
        """Reckon anew what is to come of the current make."""
        self._ask_ahead(self._hand, self.day)

    def _find(self) -> WholeMake | None:
        """The make that is open while it runs, else the newest running one, else the open one;
        chosen once a visit, so that finishing it does not turn the page. One that was undone is
        let go."""
        if self._make_id is None:
            running = [make.id for make in self._journal.makes.running()]
            if running and self._desk.make_id not in running:
                self._desk.make_id = running[0]
            self._make_id = self._desk.make_id
        if self._make_id is None:
            return None
        try:
            return self._journal.whole(self._make_id)
        except DamageError as error:
            self.failed.emit(text_of(error))
            return None
        except KeepingError:
            self._make_id = self._desk.make_id = None
            return None

    @property
    def _hand(self) -> KnownMake:
        if self._current is None:
            raise RuntimeError("No make is selected.")
        return self._current

    # What was heard and left of it

    def acknowledged(self) -> Acknowledged:
        """What was dismissed of the current make."""
        return acknowledged_of(self._desk.settings, self._hand.whole.make.uuid)

    def save_acknowledged(self, acknowledged: Acknowledged) -> None:
        """Save what was dismissed of it."""
        if acknowledged != self.acknowledged():
            save_acknowledged(self._desk.settings, self._hand.whole.make.uuid, acknowledged)

    def leave_advice(self) -> None:
        """Be quiet about how the milk lies, until it is met or strays the other way."""
        advice, run = self.day.page_state.advice, self.day.page_state.run
        if advice is not None and run is not None:
            self._left = (id_of(run), advice.behind_c > 0)

    def _is_left(self, day: MakeSnapshot) -> bool:
        """Whether the advice of now is the one that was left; it is forgotten once it is met."""
        advice, run, stage = day.page_state.advice, day.page_state.run, day.page_state.stage
        if advice is None or run is None or stage is None:
            self._left = None
            return False
        if abs(advice.behind_c) <= stage.allowed_c:
            self._left = None
        return self._left == (id_of(run), advice.behind_c > 0)

    # Those beside it

    def days_beside(self, day: MakeSnapshot) -> list[MakeSnapshot]:
        """The days now of the makes that run beside this one, drawn as fully as it from the same
        functions; what must be calculated for them is asked for."""
        make_ids = [other.make_id for other in day.others]
        for gone in set(self._known) - {day.make_id, *make_ids}:
            del self._known[gone]
        return [found for one in make_ids[:SLIM_MOST] if (found := self._day_beside(one))]

    def note_change(self, change: Change) -> bool:
        """Whether a make beside was changed; it is read again when it is drawn next."""
        beside = [one for key, one in self._known.items()
                  if key in change.makes and one is not self._current]  # fmt: skip
        for one in beside:
            one.stale = True
        return bool(beside)

    def forget(self) -> None:
        """Read all of them again; what was calculated from their past stays."""
        for one in self._known.values():
            one.stale = True

    def _day_beside(self, make_id: int) -> MakeSnapshot | None:
        try:
            known = self._read_beside(make_id)
        except KeepingError:
            return None  # its own page says what is wrong with it
        day = self._day_of(known)
        if known.past is None and not known.past_asked:
            self._ask_past(known)
        elif known.past is not None and known.ahead is None and not known.ahead_asked:
            self._ask_ahead(known, day)
        return day

    def _read_beside(self, make_id: int) -> KnownMake:
        known = self._known.get(make_id)
        if known is None:
            known = self._known[make_id] = KnownMake(self._journal.whole(make_id))
        elif known.stale:
            known.whole, known.ahead = self._journal.whole(make_id), None
            known.stale = known.past_asked = known.ahead_asked = False
        return known

    # Calculated in the background

    def _day_of(self, known: KnownMake) -> MakeSnapshot:
        whole = known.whole
        day = day_of(
            whole, self._desk.clock(), known.past or EarlierMakes(), known.ahead or Ahead()
        )
        path_of = self._journal.photos.path
        return replace(day, notes=noted(whole.notes, whole.make.started_ms, self._thumbs, path_of))

    def _ask_past(self, known: KnownMake) -> None:
        make, known.past_asked = known.whole.make, True
        task = self._desk.work.start_file(
            f"vat past {make.id}", str(self._journal.path), past_of, make.id,
            known.whole.plan.name, make.started_ms,
        )  # fmt: skip
        task.finished.connect(self._on_past)
        task.failed.connect(self._on_failed)

    def _ask_ahead(self, known: KnownMake, day: MakeSnapshot) -> None:
        known.ahead_asked = True
        task = self._desk.work.start(f"vat ahead {day.make_id}", ahead_of, day)
        task.finished.connect(self._on_ahead)
        task.failed.connect(self._on_failed)

    def _asker(self) -> KnownMake | None:
        """The make a task was started for, None when it is there no more."""
        task = self.sender()
        if self._current is None or not isinstance(task, Task):
            return None
        return self._known.get(int(task.name.rpartition(" ")[2]))

    def _on_past(self, past: EarlierMakes) -> None:
        known = self._asker()
        if known is None:
            return
        known.past = past
        if known is self._current:
            self.changed.emit()
            self.ask_ahead()
        else:
            self.expected.emit(known)

    def _on_ahead(self, ahead: Ahead) -> None:
        known = self._asker()
        if known is None or known.stale:
            return
        known.ahead = ahead
        if known is self._current and known.whole.make.finished_ms is None:
            self.save_acknowledged(self.acknowledged().with_shown(ahead.events, self._desk.clock()))
        self.expected.emit(known)

    def _on_failed(self, error: Exception) -> None:
        self.failed.emit(text_of(error))
