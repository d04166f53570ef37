"""What is typed at the vat and not kept yet, of each make: it outlives the window."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, replace

from PySide6.QtCore import QObject, QSettings, QTimer

from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.settings import sync_settings
from journal.desk.vat.acts import MakeActs
from journal.desk.vat.makes import VatMakes
from journal.desk.vat.page import VatPage
from journal.desk.vat.typing import Typing
from journal.records.kinds import TEMP_KINDS
from journal.records.makes import Make
from journal.wording import worded

PAUSE_MS = 250  # after a key, until it is written down; emptied, kept and left are at once
NOT_KEPT = "Typed before, not saved yet: Enter saves it."
_GROUP = "vat/half typed"


@dataclass(frozen=True)
class UnsavedEntry:
    """The texts of the two fields with the acidity that is read and the time of a late reading;
    the reading that is being corrected (kind, instant, value); the question that is open, by its
    act, with what was answered so far; answers to others that wait; the weights of the wheels."""

    temp: str = ""
    acid: str = ""
    acid_kind: str = ""
    at: str = ""
    corrects: tuple[str, int, float] | None = None
    act: str = ""
    answers: tuple[str, ...] = ()
    photo: str = ""
    waiting: dict[str, tuple[str, ...]] = field(default_factory=dict)
    weights: str = ""
    weighing: bool = False
    temp_kind: str = ""  # of the first field, where it is not the milk's

    @property
    def empty(self) -> bool:
        """True when nothing is typed."""
        readings = self.temp or self.acid or self.at
        return not (readings or self.act or self.waiting or self.weights)

    @property
    def words(self) -> str:
        """What was answered to the open question, to be said where it cannot be asked again."""
        return ", ".join(answer for answer in self.answers if answer)


class HalfTypedController(QObject):
    """Writes down on a short pause what is typed and not kept, and puts it back later. It stays
    with the make it was typed for, whether another make becomes current or the window closes."""

    def __init__(
        self, desk: Desk, makes: VatMakes, page: VatPage, typing: Typing, acts: MakeActs,
        messages: MessageBar,
    ) -> None:  # fmt: skip
        super().__init__(page)
        self._settings, self._readings = desk.settings, desk.journal.readings
        self._makes, self._page, self._typing, self._acts = makes, page, typing, acts
        self._messages = messages
        self._typed_for: Make | None = None
        self._written = UnsavedEntry()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(PAUSE_MS)
        self._rest.timeout.connect(self.write_down)
        fields = (page.entry.temp.line, page.entry.acid.line, page.entry.at_line)
        for line in (*fields, page.finish.line):
            line.textChanged.connect(self._on_typed)
        page.ask.edited.connect(self._on_typed)
        page.ask.closed.connect(self.write_down)

    def write_down(self) -> None:
        """Write down what is typed and not kept, as far as it changed."""
        self._rest.stop()
        if self._typed_for is None:
            return
        half = self._half_now()
        if half != self._written:
            write_half_typed(self._settings, self._typed_for.uuid, half)
            self._written = half

    def put_aside(self, make: Make) -> bool:
        """Where another make than this was typed for, write down what is typed, and empty the
        page; False where it was this one."""
        if self._typed_for is not None and self._typed_for.id == make.id:
            return False
        self.write_down()
        self._typed_for = None
        self._typing.put_down()
        page = self._page
        page.entry.put_texts(("", ""))
        if page.ask.asking:
            page.ask.leave()
        page.ask.unfinished = {}
        page.finish.line.clear()
        if page.finish.asking:
            page.finish.put_away()
        return True

    def take_up(self, make: Make) -> None:
        """Put back what was typed for the make that is shown now."""
        half = half_typed_of(self._settings, make.uuid)
        if not half.empty:
            self._put_readings(half)
            self._ask_again(half)
            self._weigh_again(half)
        self._typed_for, self._written = make, half
        self.write_down()

    def _half_now(self) -> UnsavedEntry:
        """What is typed now; what a question or a correction began with is not."""
        entry, ask, finish = self._page.entry, self._page.ask, self._page.finish
        temp, acid = entry.texts()
        corrects, at = self._typing.corrects, entry.at_text
        if corrects is not None and not self._typing.corrects_otherwise:
            temp, acid = ("", acid) if corrects[0] in TEMP_KINDS else (temp, "")
            corrects, at = None, ""
        photo = self._acts.asked_photo
        act = ask.key if ask.touched or photo else ""
        return UnsavedEntry(
            temp, acid, entry.acid_kind if acid else "", at, corrects,
            act, ask.texts if act else (), photo, dict(ask.unfinished),
            finish.line.text(), finish.asking and bool(finish.line.text()),
            entry.temp_kind if temp and entry.temp_kind != TEMP_KINDS[0] else "",
        )  # fmt: skip

    def _put_readings(self, half: UnsavedEntry) -> None:
        entry = self._page.entry
        if half.temp_kind in TEMP_KINDS:
            entry.set_temp_kind(half.temp_kind)
        if half.acid_kind:
            entry.set_acid_kind(half.acid_kind)
        entry.put_texts((half.temp, half.acid))
        if half.at:
            entry.open_late()
            entry.at_line.setText(half.at)
            entry.focus_last()
        for one in entry.fields:
            if one.line.text():
                one.note(f"{one.message.text()} {NOT_KEPT}".strip())
        if half.corrects is not None:
            self._correct_again(half, *half.corrects)
        self._page.refit()

    def _correct_again(self, half: UnsavedEntry, kind: str, at_ms: int, value: float) -> None:
        text = half.temp if kind in TEMP_KINDS else half.acid
        for reading in self._readings.last(self._makes.day.make_id, 50):
            if (reading.kind, reading.at_ms, reading.value) == (kind, at_ms, value):
                self._typing.correct(reading, text, half.at)
                return
        self._page.entry.field_for(kind).clear_text()
        self._say(worded("desk.correction-lost", typed=text))

    def _ask_again(self, half: UnsavedEntry) -> None:
        """Ask again what was asked; where that cannot be, what was answered is said."""
        ask = self._page.ask
        ask.unfinished = dict(half.waiting)
        if not half.act:
            return
        if half.photo:
            self._acts.take_photo(half.photo)
        else:
            self._acts.ask_again(half.act)
        if ask.asking:
            ask.put_texts(half.answers)
        elif half.words:
            self._say(worded("desk.typed-before", words=half.words))

    def _weigh_again(self, half: UnsavedEntry) -> None:
        if not half.weights or self._makes.day.whole.make.finished_ms is not None:
            return
        self._page.finish.line.setText(half.weights)
        if half.weighing and self._makes.has_running():
            self._page.finish.ask()

    def _say(self, sentence: str) -> None:
        self._messages.show_message("half typed", sentence)

    def _on_typed(self, text: str) -> None:
        if self._typed_for is None:
            return
        if text:
            self._rest.start()
        else:
            self.write_down()  # what is kept or erased does not come back


def half_typed_of(settings: QSettings, uuid: str) -> UnsavedEntry:
    """What was typed for a make and not kept, as it was written down."""
    text = str(settings.value(f"{_GROUP}/{uuid}", "", type=str))
    try:
        half = UnsavedEntry(**json.loads(text)) if text else UnsavedEntry()
        kind, at_ms, value = half.corrects or ("", 0, 0.0)
        corrects = (str(kind), int(at_ms), float(value)) if half.corrects else None
        waiting = {act: tuple(map(str, texts)) for act, texts in half.waiting.items()}
        answers = tuple(map(str, half.answers))
        return replace(half, corrects=corrects, answers=answers, waiting=waiting)
    except (ValueError, TypeError, AttributeError):
        return UnsavedEntry()  # of another program's making


def write_half_typed(settings: QSettings, uuid: str, half: UnsavedEntry) -> None:
    """Write down what is typed for a make, on the disk at once; nothing typed leaves no trace."""
    key = f"{_GROUP}/{uuid}"
    if half.empty:
        if not settings.contains(key):
            return
        settings.remove(key)
    else:
        settings.setValue(key, json.dumps(asdict(half)))
    sync_settings(settings)
