"""What a picture that is no plot is made of: marks on scales of their own, with what can be pointed
at. A strip, a cell of a list and paper are drawn from it alike, by `drawing.py`."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QImage, QPixmap

from journal.curves.surface import Span
from journal.desk.theme import SMALL

LEFT, MIDDLE, RIGHT = 0.0, 0.5, 1.0  # of a text: it begins, stands about or ends at its place
Ink: TypeAlias = str | tuple[str, str, float]
"""A role of the theme, or so far on the way from one to another."""

DASHES = {
    "dash": Qt.PenStyle.DashLine, "dots": Qt.PenStyle.DotLine, "fine": Qt.PenStyle.CustomDashLine,
}  # fmt: skip


@dataclass(frozen=True)
class MarkScale:
    """Values of an axis in px, straight between values that ascend, and on beyond them."""

    values: tuple[float, ...]
    px: tuple[float, ...]

    def at(self, value: float) -> float:
        """Where a value stands, px."""
        return _between(value, self.values, self.px)

    def all_at(self, values: Sequence[float] | np.ndarray) -> list[float]:
        """Where many values stand, px."""
        if len(self.values) > 2 or not isinstance(values, np.ndarray):
            return [self.at(float(value)) for value in values]
        (low, high), (first, last) = self.values, self.px
        out: list[float] = (first + (values - low) / (high - low) * (last - first)).tolist()
        return out

    def value(self, px: float) -> float:
        """The value that stands there."""
        return _between(px, self.px, self.values)


def _between(value: float, known: Sequence[float], out: Sequence[float]) -> float:
    i = min(max(bisect_left(known, value), 1), len(known) - 1)
    apart = known[i] - known[i - 1]
    share = (value - known[i - 1]) / apart if apart else 0.5
    return out[i - 1] + share * (out[i] - out[i - 1])


def wash(role: str, share: float) -> Ink:
    """So much of a role in the paper."""
    return "paper", role, share


PIXELS = MarkScale((0.0, 1.0), (0.0, 1.0))


@dataclass(frozen=True)
class TextMark:
    """Words about the height `y`, or with it as their base line; cut to `wide`, or `wrapped` to it;
    in a face of the theme, or another `face`. Those with a `gap`
    keep so far from each other: what comes later and has no room is left out, and `tick` with
    it."""

    x: float
    y: float
    text: str
    role: Ink = "quiet"
    align: float = LEFT
    bold: bool = False
    size: int = SMALL
    wide: float = 0.0
    gap: float = 0.0
    base: bool = False
    tick: LineMark | None = None
    cut_left: bool = False
    wrapped: bool = False
    face: QFont | None = None


@dataclass(frozen=True)
class LineMark:
    """A line through points; `flat` ends where its last point is."""

    x: Sequence[float] | np.ndarray
    y: Sequence[float] | np.ndarray
    role: Ink = "hairline"
    width: float = 1.0
    dash: str = ""
    flat: bool = False


@dataclass(frozen=True)
class BoxMark:
    """A rectangle, `fill`ed and with an `edge`, each by role; at least so many px wide."""

    x: Span
    y: Span
    fill: Ink = ""
    edge: Ink = ""
    width: float = 1.0
    dash: str = ""
    rounded: float = 0.0
    least: float = 0.0


@dataclass(frozen=True)
class DotMark:
    """A round mark, or a square one, so many px across."""

    x: float
    y: float
    size: float
    fill: Ink = ""
    edge: Ink = ""
    width: float = 1.4
    dash: str = ""
    square: bool = False


@dataclass(frozen=True)
class AreaMark:
    """A wash within corners."""

    x: Sequence[float] | np.ndarray
    y: Sequence[float] | np.ndarray
    fill: Ink


@dataclass(frozen=True)
class TriangleMark:
    """What asks for attention: its upper left corner, and how wide it is."""

    x: float
    y: float
    wide: float
    role: str = "attention"


@dataclass(frozen=True, eq=False)
class PhotoMark:
    """A photo over a box, or the circle in it."""

    x: Span
    y: Span
    photo: QPixmap | QImage
    round_off: bool = False


@dataclass(frozen=True)
class ScenePoint:
    """What can be pointed at: the middle of it (NaN: at any height), its description, and what a
    click on it hands out (None: nothing); how `wide` and `high` it is, px."""

    x: float
    y: float
    words: str
    key: object = None
    wide: float = 0.0
    high: float = 0.0


@dataclass(frozen=True, eq=False)
class Scene:
    """Marks, the later above the earlier, on two scales in px from the upper left corner; one of
    them may be a scene with scales of its own. Nothing is drawn beyond `clip`; words that keep
    from each other stay `within` two px."""

    marks: Sequence[Mark] = ()
    x: MarkScale = PIXELS
    y: MarkScale = PIXELS
    clip: QRectF | None = None
    within: Span | None = None
    points: Sequence[ScenePoint] = ()

    def px_points(self) -> Iterator[ScenePoint]:
        """What can be pointed at, in px."""
        for one in self.points:
            yield replace(one, x=self.x.at(one.x), y=self.y.at(one.y))
        for mark in self.marks:
            if isinstance(mark, Scene):
                yield from mark.px_points()


Mark: TypeAlias = (
    TextMark | LineMark | BoxMark | DotMark | AreaMark | TriangleMark | PhotoMark | Scene
)
