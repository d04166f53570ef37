"""Beside the causes: the photo of the cut, and the strips of the last session."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.charts.marks import (
    MIDDLE,
    BoxMark,
    DotMark,
    LineMark,
    Mark,
    MarkScale,
    PhotoMark,
    Scene,
    ScenePoint,
    TextMark,
)
from journal.desk.charts.view import SceneView
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.theme import SMALL, STEP, scaled
from journal.desk.thumbnails import Thumbnails
from journal.reports.cut_and_scores import CutAndScores, SessionStrip
from journal.wording import worded

SIDE = 36 * STEP
_ROW = 19
_NAME = 24 * STEP
_TOP = 10.0


class CutPhoto(DrawnWidget):
    """The photo of the cut."""

    def __init__(self, path_of: Callable[[str], Path | None]) -> None:
        super().__init__()
        self._path_of, self._photo = path_of, ""
        self._thumbnails = Thumbnails(self)
        self._thumbnails.came.connect(self.update)
        self.setFixedSize(SIDE, SIDE)

    def show_photo(self, photo: str, words: str) -> None:
        """Show a photo of the journal's folder."""
        self._photo = photo
        self.setAccessibleName(words)
        self.update()

    def scene(self) -> Scene:
        box = 0.5, SIDE - 0.5
        picture = self._thumbnails.of(self._path_of(self._photo), SIDE) if self._photo else None
        photo = BoxMark(box, box, "field") if picture is None else PhotoMark(box, box, picture)
        return Scene([photo, BoxMark(box, box, edge="hairline")])


def session_scene(strips: Sequence[SessionStrip], asked: str, wide: float) -> Scene:
    """Each attribute on its scale: filled the last session, hollow the one before, a bar the best
    wheel; the attribute asked about stands out."""
    high, names, marks = scaled(_ROW), list[Mark](), list[Mark]()
    points = []
    for i, one in enumerate(strips):
        y, role = (i + 0.5) * high, "attention" if one.attribute == asked else "ink"
        names.append(TextMark(0, y, one.attribute, role))
        marks.append(BoxMark((0, _TOP), (y, y + 1), "hairline"))
        if one.best is not None:
            marks.append(LineMark((one.best, one.best), (y - 6, y + 6), "planned", 3, flat=True))
        if one.before is not None:
            marks.append(DotMark(one.before, y, 9, "paper", "ink"))
        marks.append(DotMark(one.here, y, 9, role))
        points.append(ScenePoint(one.here, y, f"{one.attribute} {one.here:.1f}"))
    foot = (len(strips) + 0.5) * high
    marks += [TextMark(score, foot, f"{score:g}", align=MIDDLE) for score in (0, _TOP / 2, _TOP)]
    return Scene([*names, Scene(marks, MarkScale((0, _TOP), (_NAME + 4, wide - 8)), points=points)])


class CutAndStrips(QWidget):
    """Both side by side, each with a word above it; hidden where there is neither."""

    def __init__(self, path_of: Callable[[str], Path | None]) -> None:
        super().__init__()
        self.cut, self.strips = CutPhoto(path_of), SceneView("", high=1)
        self.age = Label("", SMALL, role="quiet")
        self.key = Label("", SMALL, role="quiet", wrap=True)
        self._left = QWidget()
        left = in_column(
            Label("The cut", SMALL, role="quiet"), self.cut, self.age, None, of=self._left
        )
        right = in_column(self.key, self.strips, None)
        row = QHBoxLayout(self)
        row.setSpacing(6 * STEP)
        for layout in (left, right, row):
            layout.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._left)
        row.addLayout(right, 1)

    def show_beside(self, beside: CutAndScores, asked: str) -> None:
        """Show what there is."""
        cut = beside.cut
        self._left.setVisible(cut is not None)
        if cut is not None:
            self.cut.show_photo(cut.photo, worded("desk.the-cut", title=cut.title))
            self.age.setText(cut.title)
        self.strips.setVisible(bool(beside.strips))
        self.key.setVisible(bool(beside.strips))
        key = "desk.strips-and-best" if beside.best else "desk.strips"
        self.key.setText(worded(key, best=beside.best))
        self.strips.setFixedHeight(scaled(_ROW) * (len(beside.strips) + 1))
        scores = [f"{one.attribute} {one.here:.1f}" for one in beside.strips]
        self.strips.tell(
            lambda wide, _high: session_scene(beside.strips, asked, wide), ", ".join(scores)
        )
        self.strips.setAccessibleName(worded("desk.scores-of-last-session", scores=scores))
        self.setVisible(cut is not None or bool(beside.strips))
