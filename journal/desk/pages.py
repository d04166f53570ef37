"""The two pages of a place: beside each other, or the picture below the words where the window is
narrow, and then the whole scrolls."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from PySide6.QtCore import QSettings, QSize, Qt
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QSplitterHandle,
    QStackedWidget,
    QWidget,
)

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.scrollbars import quieten
from journal.desk.theme import colours_of, scaled

_HANDLE = 9  # px


@dataclass(frozen=True)
class PageWidths:
    """How two pages stand: the share of the width that is the words', and their least width, while
    they stand beside each other; below which width of the place the picture goes under the words;
    and how high each then is at least. All in px of text of the usual size."""

    share: float = 0.3
    least: int = 300
    below: int = 900
    words_high: int = 400
    picture_high: int = 340


class PagePair(QScrollArea):
    """Holds the divider with both pages. It scrolls only where the picture is below the words."""

    def __init__(
        self, left: QWidget, right: QWidget, fold: PageWidths, settings: QSettings, key: str
    ) -> None:
        super().__init__()
        self._fold = fold
        self.divider = Divider(left, right, fold, settings, key)
        quieten(self)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(self.divider)

    @property
    def folded(self) -> bool:
        """The picture is below the words."""
        return self.divider.orientation() == Qt.Orientation.Vertical

    def minimumSizeHint(self) -> QSize:
        return QSize(0, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.divider.fold(self.width() < scaled(self._fold.below))
        super().resizeEvent(event)


class Divider(QSplitter):
    """The line between the pages; it moves and remembers, beside each other and folded."""

    def __init__(
        self, left: QWidget, right: QWidget, fold: PageWidths, settings: QSettings, key: str
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._settings, self._name, self._how = settings, key, fold
        self.setChildrenCollapsible(False)
        self.setHandleWidth(_HANDLE)
        self._pages = (left, right)
        self._own_least = left.minimumWidth()
        right.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.addWidget(left)
        self.addWidget(right)
        left.lower()  # a screen reader goes by what lies above what: words before the picture
        self.setStretchFactor(0, 0)
        self.setStretchFactor(1, 1)
        self._take()
        self.splitterMoved.connect(self._on_moved)

    def fold(self, on: bool) -> None:
        """Put the picture below the words, or beside them."""
        way = Qt.Orientation.Vertical if on else Qt.Orientation.Horizontal
        if way != self.orientation():
            self.setOrientation(way)
            self._take()

    def createHandle(self) -> QSplitterHandle:
        return _Handle(self.orientation(), self)

    def minimumSizeHint(self) -> QSize:
        """Folded, what both pages need; beside each other they make do with the height there is."""
        if not self._folded:
            return QSize(super().minimumSizeHint().width(), 1)
        wide = max(_least(self._pages[number], self.width()).width() for number in (0, 1))
        return QSize(wide, sum(self._highs()) + _HANDLE)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()  # words that wrap need another height
        if not self._folded:
            left = round(self.width() * self._share)
            self.setSizes([left, self.width() - left])
            return
        words, picture = self._highs()
        room = self.height() - _HANDLE
        high = min(max(round(room * self._share), words), room - picture)
        self.setSizes([high, room - high])

    @property
    def _folded(self) -> bool:
        return self.orientation() == Qt.Orientation.Vertical

    @property
    def _key(self) -> str:
        return f"divider/{self._name}{'/folded' if self._folded else ''}"

    def _take(self) -> None:
        """The share of the words, as it was left or as it is at first; and their least width."""
        how = self._how
        both = how.words_high + how.picture_high
        usual = how.words_high / both if self._folded else how.share
        share = cast(float, self._settings.value(self._key, usual, type=float))
        self._share = min(max(share, 0.1), 0.9)
        self._pages[0].setMinimumWidth(
            self._own_least if self._folded else max(self._own_least, scaled(how.least))
        )
        self.updateGeometry()

    def _highs(self) -> tuple[int, int]:
        """The least heights of the words and of the picture under them, px."""
        words, picture = (_least(self._pages[number], self.width()).height() for number in (0, 1))
        how = self._how
        return max(words, scaled(how.words_high)), max(picture, scaled(how.picture_high))

    def _on_moved(self, _position: int, _index: int) -> None:
        self._share = self.sizes()[0] / max(1, sum(self.sizes()))
        self._settings.setValue(self._key, self._share)


class _Handle(QSplitterHandle):
    def paintEvent(self, _event: QPaintEvent) -> None:
        wide, high = self.width(), self.height()
        x, y = wide // 2, high // 2
        upright = self.orientation() == Qt.Orientation.Horizontal
        line = ((x, x + 1), (0, high)) if upright else ((0, wide), (y, y + 1))
        paint_scene(self, Scene([BoxMark(*line, "hairline")]), colours_of(self))


def _least(page: QWidget, wide: int) -> QSize:
    """What a page so wide needs at least; of several in one place, that which is shown."""
    shown = page.currentWidget() if isinstance(page, QStackedWidget) else None
    if shown is not None:
        return _least(shown, wide)
    layout, least = page.layout(), page.minimumSizeHint().expandedTo(page.minimumSize())
    if layout is not None and layout.hasHeightForWidth():
        least.setHeight(layout.minimumHeightForWidth(wide))
    return least
