"""A wheel's photos in a row over its months."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk.charts.marks import BoxMark, Mark, PhotoMark, Scene, ScenePoint, TextMark
from journal.desk.charts.view import SceneView
from journal.desk.theme import STEP
from journal.desk.thumbnails import Thumbnails
from journal.reports.rinds import WheelPhoto, spread
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.keys import with_keys
from journal.wording.languages import translated

_WIDE, _HIGH, _GAP = 22 * STEP, 17 * STEP, 3 * STEP
_TITLE, _BELOW = 5 * STEP, 5 * STEP
_EMPTY = "Rind: drop or paste a photo here, or press {key:wheel_note} for a note"


class RindRow(SceneView):
    """Draws photos; a point's key is its photo. `path_of` finds the file of a photo's name."""

    def __init__(self, thumbs: Thumbnails, parent: QWidget | None = None) -> None:
        super().__init__("Rind", high=_TITLE, parent=parent)
        self._photos: list[WheelPhoto] = []
        self._thumbs = thumbs
        self.path_of: Callable[[str], Path | None] = _nowhere
        thumbs.came.connect(self._on_came)
        self.show_photos([])

    def show_photos(self, photos: Sequence[WheelPhoto]) -> None:
        """Draw these, oldest first."""
        self._photos = list(photos)
        captions = "; ".join(f"{p.title}{f': {p.text}' if p.text else ''}" for p in photos)
        self.setFixedHeight(_TITLE + (_HIGH + _BELOW if photos else 0))
        self.tell(self._build_rind, captions or with_keys(_EMPTY))

    def _build_rind(self, wide: float, _high: float) -> Scene:
        """Those there is room for."""
        shown = spread(self._photos, max(1, int(wide + _GAP) // (_WIDE + _GAP)))
        hidden, points = len(self._photos) - len(shown), []
        title = worded("desk.rind-and-more", hidden=hidden) if hidden else translated("Rind")
        title = title if self._photos else with_keys(_EMPTY)
        marks: list[Mark] = [TextMark(0, 3 * STEP, title, base=True)]
        for number, photo in enumerate(shown):
            left, top = number * (_WIDE + _GAP), _TITLE
            x, y = (left, left + _WIDE), (top, top + _HIGH)
            picture = self._thumbs.of(self.path_of(photo.photo), _WIDE)
            if picture is not None:
                marks.append(PhotoMark(x, y, picture))
            age, words = age_words(photo.age_days), f"{photo.title}. {photo.text}".strip()
            marks.append(BoxMark(x, y, edge="hairline"))
            marks.append(TextMark(x[0], y[1] + 4 * STEP, age, base=True))
            points.append(ScenePoint(sum(x) / 2, sum(y) / 2, words, photo, _WIDE, _HIGH))
        return Scene(marks, points=points)

    def _on_came(self) -> None:
        self.show_scene(self._build_rind)


def _nowhere(_name: str) -> Path | None:
    return None
