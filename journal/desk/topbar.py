"""The row along the top: the places, the menus, the finder."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import plain_tip
from journal.desk.layouts import in_row
from journal.desk.menus import MenuBar
from journal.desk.places import PLACES
from journal.desk.theme import SMALL, STEP, font
from journal.wording.keys import key_of, place_use

HEIGHT = 52
_GAP, _LEAST_GAP = 6 * STEP, 3 * STEP


class TopBar(QWidget):
    """The place names as words, the current one underlined, then the menus; where they lack room
    one word opens them all. `picked` carries a place's key."""

    picked = Signal(str)
    find_asked = Signal()
    menu_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._menus: MenuBar | None = None
        self._group = QButtonGroup(self)
        self._keys: dict[int, str] = {}
        self._row = row = in_row(of=self, margins=(8 * STEP, 2 * STEP, 6 * STEP, 0), gap=_GAP)
        for number, entry in enumerate(PLACES):
            button = WordButton(entry.title)
            button.setCheckable(True)
            button.setAutoExclusive(True)  # to a screen reader, one of several
            self._group.addButton(button, number)
            self._keys[number] = entry.key
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addStretch(1)
        self.finder, self.menu = WordButton("", size=SMALL), WordButton("", size=SMALL)
        self._name_keys()
        row.addWidget(self.menu)
        row.addWidget(self.finder)
        self.setFixedHeight(max(HEIGHT, self.finder.sizeHint().height() + 5 * STEP))
        self._group.idClicked.connect(self._on_clicked)
        self.finder.clicked.connect(self.find_asked)
        self.menu.clicked.connect(self.menu_asked)

    def _name_keys(self) -> None:
        for number, button in enumerate(self._group.buttons()):
            button.setToolTip(plain_tip(key_of(place_use(number))))
        for button, words, use in ((self.finder, "Find", "find"), (self.menu, "Menu", "menu")):
            button.setText(f"{words}  {key_of(use)}".rstrip())
            button.setAccessibleName(button.text())

    def hold(self, menus: MenuBar) -> None:
        """Put these menus into the row."""
        self._menus = menus
        self._row.insertWidget(
            self._row.indexOf(self.menu), menus, 0, Qt.AlignmentFlag.AlignVCenter
        )
        self.fold()

    def fold(self) -> None:
        """Close up where there is little room, and show one word for the menus where there is less
        than they need."""
        words = [button.sizeHint().width() for button in self._group.buttons()]
        margins = self._row.contentsMargins()
        places = sum(words) + margins.left() + margins.right() + self.finder.sizeHint().width()
        menus = self._menus.sizeHint().width() if self._menus is not None else 0
        room = self.width() - places - menus
        wide = room >= (len(words) + 2) * _GAP
        if self._menus is not None:
            self._menus.setVisible(wide)
        self.menu.setVisible(not wide)
        spare = room + menus - self.menu.sizeHint().width()
        tight = not wide and spare < (len(words) + 2) * _GAP
        self._row.setSpacing(max(_LEAST_GAP, spare // (len(words) + 2)) if tight else _GAP)

    def show_current(self, key: str) -> None:
        """Underline the place one is in."""
        for number, name in self._keys.items():
            if name == key:
                self._group.button(number).setChecked(True)

    def take_fonts(self) -> None:
        """Write the words in the size, and with the keys, that are chosen now."""
        self._name_keys()
        for button in self.findChildren(WordButton):
            button.take_font()
        if self._menus is not None:
            self._menus.setFont(font())
        self.setFixedHeight(max(HEIGHT, self.finder.sizeHint().height() + 5 * STEP))
        self.fold()

    def place_button(self, key: str) -> WordButton:
        """The word of a place."""
        number = next(number for number, name in self._keys.items() if name == key)
        button = self._group.button(number)
        assert isinstance(button, WordButton)
        return button

    def minimumSizeHint(self) -> QSize:
        return QSize(0, self.height())  # it folds

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fold()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._menus is not None:
            self._menus.take_colours()

    def _on_clicked(self, number: int) -> None:
        self.picked.emit(self._keys[number])
