"""The row along the top: the places, the finder, the menu."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.places import PLACES
from journal.desk.theme import SMALL, STEP

HEIGHT = 52


class TopBar(QWidget):
    """The place names as words, the current one underlined. `picked` carries a place's key."""

    picked = Signal(str)
    find_asked = Signal()
    menu_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedHeight(HEIGHT)
        self._group = QButtonGroup(self)
        self._keys: dict[int, str] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(8 * STEP, 2 * STEP, 8 * STEP, 0)
        row.setSpacing(7 * STEP)
        for number, entry in enumerate(PLACES):
            button = WordButton(entry.title)
            button.setCheckable(True)
            button.setToolTip(f"Ctrl+{number + 1}")
            self._group.addButton(button, number)
            self._keys[number] = entry.key
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addStretch(1)
        self.finder = WordButton("Find  Ctrl K", size=SMALL)
        self.menu = WordButton("Menu  Alt M", size=SMALL)
        self.menu.setShortcut("Alt+M")
        row.addWidget(self.finder)
        row.addWidget(self.menu)
        self._group.idClicked.connect(self._on_clicked)
        self.finder.clicked.connect(self.find_asked)
        self.menu.clicked.connect(self.menu_asked)

    def show_current(self, key: str) -> None:
        """Underline the place one is in."""
        for number, name in self._keys.items():
            if name == key:
                self._group.button(number).setChecked(True)

    def _on_clicked(self, number: int) -> None:
        self.picked.emit(self._keys[number])
