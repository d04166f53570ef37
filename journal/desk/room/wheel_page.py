"""The right page of Ageing: one wheel, what is to be said of it, its rind, weight and air."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QEvent, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.profile import ProfileChart
from journal.desk.labels import Label, Marked, plain_tip
from journal.desk.layouts import empty
from journal.desk.room.air_map import AirMap
from journal.desk.room.chart import RoomChart
from journal.desk.room.rind import RindRow
from journal.desk.theme import LEAD, SMALL, STEP
from journal.desk.thumbnails import Thumbnails
from journal.desk.why.command import why_label
from journal.records.instants import local
from journal.records.makes import Note
from journal.records.wheels import Room
from journal.reports.outlook import Outlook
from journal.reports.profile import Profile
from journal.reports.rinds import WheelPhoto
from journal.reports.wheels import ShelfRow
from journal.wording.cautions import wheel_caution
from journal.wording.dates import format_day
from journal.wording.wheels import needs_words, wheel_words

_NOTES_MOST = 2
_WEIGHT_HIGH = 56 * STEP  # px at least
_LETTERS = 90  # of a note's line; the whole is read where it is edited


class WheelPage(QWidget):
    """Shows one wheel. `note_opened` carries the note whose words were pressed."""

    note_opened = Signal(object)

    def __init__(self, thumbs: Thumbnails, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head = Label("", LEAD, bold=True)
        self.about = Label("", role="quiet", wrap=True)
        self.needs = Label("", wrap=True)
        self.why = WordButton(why_label(), size=SMALL)
        self.drying, self.caution = Marked(), Marked(SMALL)
        self.ready = Label("", wrap=True)
        self.make_up = Label("", SMALL, role="quiet", wrap=True)
        self.rind = RindRow(thumbs)
        self.chart, self.air = RoomChart(), AirMap()
        self.profile = ProfileChart()
        self.chart.setMinimumHeight(_WEIGHT_HIGH)
        # It takes the room that is left, and no more where the page is scrolled.
        self.chart.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        notes = QWidget()
        notes.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self._notes = QVBoxLayout(notes)
        self._notes.setContentsMargins(0, 0, 0, 0)
        self._notes.setSpacing(0)
        words = QVBoxLayout()
        words.setContentsMargins(8 * STEP, 6 * STEP, 8 * STEP, 0)
        words.setSpacing(STEP)
        head = QHBoxLayout()
        head.addWidget(self.head)
        head.addStretch(1)
        head.addWidget(self.why)
        words.addLayout(head)
        for label in (self.about, self.drying, self.needs, self.ready):
            words.addWidget(label)
        words.addSpacing(STEP)
        words.addWidget(self.rind)
        words.addWidget(notes)
        words.addWidget(self.caution)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(words)
        column.addWidget(self.chart, 1)
        air = QVBoxLayout()
        air.setContentsMargins(8 * STEP, 0, 6 * STEP, 2 * STEP)
        air.addWidget(self.make_up)
        air.addWidget(self.air)
        air.addWidget(self.profile)
        column.addLayout(air)

    def event(self, event: QEvent) -> bool:
        """Words that wrap have all their lines: the page it stands on scrolls by its height."""
        done = super().event(event)
        layout = self.layout()
        if layout is not None and event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize):
            self.setMinimumHeight(max(0, layout.minimumHeightForWidth(self.width())))
        return done

    def clear(self) -> None:
        """Show nothing."""
        self.why.hide()
        self.rind.hide()
        for label in (self.head, self.about, self.needs):
            label.setText("")
        self.caution.say("")
        self.show_outlook(None)
        self.rind.show_photos([])
        self.show_notes([], "UTC")
        self.show_profile(None)
        self.chart.show_wheel(None)
        self.air.hide()

    def show_wheel(
        self, row: ShelfRow, room: Room | None, photos: Sequence[WheelPhoto],
        notes: Sequence[Note], zone: str,
    ) -> None:  # fmt: skip
        """Show a wheel's text, photos and notes."""
        self.why.show()
        self.rind.show()
        self.head.setText(row.code)
        self.about.setText(wheel_words(row.life.plan, row.age_days, room))
        self.needs.setText(needs_words(row.life.verdict, row.dues, row.today))
        self.rind.show_photos(photos)
        self.show_notes(notes, zone)
        words = [note.text for note in reversed(notes)]
        self.caution.say(wheel_caution({rule.kind for rule in row.life.rules}, words))

    def show_outlook(self, outlook: Outlook | None) -> None:
        """Show what is expected of it, once that is known; None: not yet."""
        self.drying.say("" if outlook is None else outlook.drying)
        words = () if outlook is None else (outlook.ready, outlook.raw)
        self.ready.say_if_any(" ".join(one for one in words if one))
        self.make_up.say_if_any("" if outlook is None else outlook.make_up)

    def show_profile(self, profile: Profile | None) -> None:
        """Show what its attributes got; nothing of one that was never scored."""
        self.profile.show_profile(profile)
        self.profile.setVisible(profile is not None)

    def show_notes(self, notes: Sequence[Note], zone: str) -> None:
        """The newest words on it, each to be pressed for changing it."""
        empty(self._notes)
        shown = [note for note in notes if note.text][-_NOTES_MOST:]
        for note in reversed(shown):
            day = format_day(local(note.at_ms, zone), short=True, year=False)
            text = note.text if len(note.text) <= _LETTERS else f"{note.text[:_LETTERS]}…"
            line = WordButton(f"{day}: {text}", size=SMALL)
            line.setToolTip(plain_tip("Change or delete the note"))
            line.clicked.connect(partial(self.note_opened.emit, note))
            self._notes.addWidget(line)
