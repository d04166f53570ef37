"""The stock's pages: its sections on the left with a form below them, details on the right."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QStackedWidget, QWidget

from journal.desk.buttons import WordButton
from journal.desk.calendarline import CHOSEN, RING, CalendarLine, CalendarMark
from journal.desk.commands import Command
from journal.desk.form.form import Form, FormSpec
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.messages import MessageBar
from journal.desk.place import CurrentRecord, Desk
from journal.desk.stock.baths import BathSection
from journal.desk.stock.detail import DetailPage
from journal.desk.stock.ingredients import IngredientSection, StockRow
from journal.desk.stock.milk import MilkSection
from journal.desk.stock.mothers import MotherSection
from journal.desk.stock.section import Detail, Section
from journal.desk.stock.used import UsedSection
from journal.desk.stock.whey import WheySection
from journal.desk.theme import STEP, TITLE
from journal.keeping import Change
from journal.records import id_of
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.languages import translated

AnySection = Section[Any]  # each has rows of its own
SECTIONS: tuple[type[AnySection], ...] = (
    IngredientSection, BathSection, MotherSection, WheySection, UsedSection, MilkSection,
)  # fmt: skip

# Which section has the rows of which records, and whether their key is the last of several.
_HOLDS: dict[str, tuple[type[AnySection], bool]] = {
    "ingredient": (IngredientSection, True),
    "brine": (BathSection, False),
    "generation": (MotherSection, False),
}


class StockPage(QWidget):
    """The left page; `right_page` is the other one, `dates` what runs below.

    `left_by_key` when Esc is pressed in a table, `goes` asks for another place with a make.
    """

    left_by_key = Signal()
    goes = Signal(str, object)

    def __init__(self, desk: Desk, messages: MessageBar, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._messages = desk, messages
        self.right_page = DetailPage()
        self.dates = CalendarLine("Dates")
        self.dates.went.connect(self.take_focus)
        self.sections: list[AnySection] = [kind(desk) for kind in SECTIONS]
        self.form = Form(self)
        self.form.closed.connect(self._on_closed)
        self.stack = QStackedWidget()
        self.tabs: list[WordButton] = []
        self._group = QButtonGroup(self)
        self._build()
        for section in self.sections:
            self.stack.addWidget(section)
            section.asks.connect(self._on_asks)
            section.says.connect(self._on_says)
            section.turned.connect(self.turn)
            section.shown.connect(self._on_shown)
            section.goes.connect(self.goes)
        self._group.idClicked.connect(self.show_section)
        self.tabs[0].setChecked(True)

    def _build(self) -> None:
        head = in_row(
            Label(translated("Stock"), TITLE, bold=True),
            2 * STEP,
            margins=(3 * STEP, 0, 3 * STEP, 0),
            gap=6 * STEP,
        )
        for index, section in enumerate(self.sections):
            tab = WordButton(section.title)
            tab.setCheckable(True)
            tab.setAutoExclusive(True)
            self._group.addButton(tab, index)
            self.tabs.append(tab)
            head.addWidget(tab, 0, Qt.AlignmentFlag.AlignBottom)
        head.addStretch(1)
        in_column(
            head,
            (self.stack, 1),
            self.form,
            of=self,
            margins=(5 * STEP, 5 * STEP, 4 * STEP, 4 * STEP),
            gap=3 * STEP,
        )

    @property
    def section(self) -> AnySection:
        """The section shown."""
        return self.sections[self.stack.currentIndex()]

    def current_lot(self) -> CurrentRecord | None:
        """The selected lot of an ingredient."""
        row = self.section.table.current()
        lot = row.lot if isinstance(row, StockRow) else None
        return None if lot is None else CurrentRecord("ingredient", id_of(lot), lot.name)

    def commands(self) -> tuple[Command, ...]:
        """What can be done in the stock."""
        return (
            Command("shelf_act", "Add to this part of the stock, or save the form", self.act,
                    ("main",)),
            Command("shelf_next", "Next part of the stock", self.next_section, ("next",)),
        )  # fmt: skip

    def entered(self) -> None:
        """The page is shown: read it all again, and put the focus."""
        self._show_dates()
        self.section.load()
        self.take_focus()

    def on_change(self, change: Change) -> None:
        """Something was kept."""
        if change.kinds & self.section.listens_to:
            self.section.load()
        self._show_dates()

    def show_used(self) -> None:
        """What the open make really used."""
        self.show_section(SECTIONS.index(UsedSection))

    def show_row(self, noun: str, key: int) -> None:
        """Go to the row of a record: an "ingredient", a "brine" or a "generation"."""
        kind, last = _HOLDS[noun]
        self.show_section(SECTIONS.index(kind))
        self.section.table.go_to(lambda row: (row.key[-1] if last else row.key) == key)

    def show_section(self, number: int) -> None:
        """Show a section."""
        self.form.put_away()
        self.tabs[number].setChecked(True)
        self.stack.setCurrentIndex(number)
        self.entered()

    def turn(self, step: int) -> None:
        """Show the section beside, round the corner."""
        self.show_section((self.stack.currentIndex() + step) % len(self.sections))

    def next_section(self) -> None:
        """Show the next section."""
        self.turn(1)

    def act(self) -> None:
        """Keep the open form, else do the section's main act."""
        if self.form.open:
            self.form.submit()
            return
        self.section.do_main()

    def take_focus(self) -> None:
        """To the form where one is open, else to the section."""
        if not self.form.open:
            self.section.take_focus()

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left_by_key.emit()
            return
        super().keyPressEvent(event)

    # Handlers

    def _on_asks(self, spec: FormSpec) -> None:
        self._messages.clear("stock")
        self.section.stand_back(True)
        self.form.show_form(spec)

    def _on_closed(self) -> None:
        self.section.stand_back(False)
        self.section.take_focus()

    def _on_says(self, sentence: str, attention: bool) -> None:
        self._messages.show_message("stock", sentence, attention=attention)

    def _on_shown(self, detail: Detail) -> None:
        if self.sender() is self.section:
            self.right_page.show_detail(detail, self._desk.clock(), self._desk.journal.zone)

    # The dates

    def _show_dates(self) -> None:
        journal, days = self._desk.journal, []
        for item in journal.ingredients.all():
            if item.expires_ms is not None and item.amount_left != 0:
                words = item.name
                if item.lot:
                    words = worded("desk.found-lot", name=item.name, lot=item.lot)
                days.append(_mark(item.expires_ms, words, item.name, journal.zone))
        for one in journal.generations.where(gone_ms=None):
            if one.keep_until_ms is not None:
                words = worded("desk.found-generation", name=one.name, number=one.number)
                days.append(_mark(one.keep_until_ms, words, one.name, journal.zone))
        if days:
            days.append(CalendarMark(self._desk.clock(), "today", "", CHOSEN, "today"))
        self.dates.show_days("Dates", days, journal.zone)


def _mark(at_ms: int, words: str, name: str, zone: str) -> CalendarMark:
    return CalendarMark(at_ms, f"{words}: {short_day(at_ms, zone)}", name, RING, name)
