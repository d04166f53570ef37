"""The shelf's pages: its sections on the left with a form below them, what is said on the right."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import Label
from journal.desk.larder.baths import BathSection
from journal.desk.larder.detail import DetailPage
from journal.desk.larder.form import Form, FormSpec
from journal.desk.larder.ingredients import IngredientSection
from journal.desk.larder.mothers import MotherSection
from journal.desk.larder.section import Detail, Section
from journal.desk.larder.went_in import WentInSection
from journal.desk.larder.whey import WheySection
from journal.desk.place import Place
from journal.desk.theme import STEP, TITLE
from journal.keeping import Change

SECTIONS: tuple[type[Section], ...] = (
    IngredientSection, BathSection, MotherSection, WheySection, WentInSection,
)  # fmt: skip


class LarderPage(QWidget):
    """The left page; `right_page` is the other one. It belongs to a place and speaks through it.

    `left_by_key` when Esc is pressed in a table.
    """

    left_by_key = Signal()

    def __init__(self, place: Place, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.place = place
        self.right_page = DetailPage()
        self.sections = [kind(place) for kind in SECTIONS]
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
        self._group.idClicked.connect(self.show_section)
        self.tabs[0].setChecked(True)

    def _build(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        head.setSpacing(6 * STEP)
        head.addWidget(Label("Shelf", TITLE, bold=True))
        head.addSpacing(2 * STEP)
        for place, section in enumerate(self.sections):
            tab = WordButton(section.title)
            tab.setCheckable(True)
            self._group.addButton(tab, place)
            self.tabs.append(tab)
            head.addWidget(tab, 0, Qt.AlignmentFlag.AlignBottom)
        head.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 4 * STEP, 4 * STEP)
        column.setSpacing(3 * STEP)
        column.addLayout(head)
        column.addWidget(self.stack, 1)
        column.addWidget(self.form)

    @property
    def section(self) -> Section:
        """The section shown."""
        return self.sections[self.stack.currentIndex()]

    def entered(self) -> None:
        """The page is shown: read it all again, and put the focus."""
        self.section.load()
        self.take_focus()

    def heard(self, change: Change) -> None:
        """Something was kept."""
        if change.kinds & self.section.told:
            self.section.load()

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
        section = self.section
        section.do(section.main() if section.table.current() is not None else section.begin[1])

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
        self.place.clear("shelf")
        self.section.stand_back(True)
        self.form.show_form(spec)

    def _on_closed(self) -> None:
        self.section.stand_back(False)
        self.section.take_focus()

    def _on_says(self, sentence: str, attention: bool) -> None:
        self.place.say("shelf", sentence, attention=attention)

    def _on_shown(self, detail: Detail) -> None:
        if self.sender() is self.section:
            desk = self.place.desk
            self.right_page.show_detail(detail, desk.clock(), desk.journal.zone)
