"""Photos on paper: two beside each other, each with what is seen on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage

from journal.desk.photo_file import read_photo
from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import MM, Paper
from journal.desk.sheets.table import heading
from journal.keeping import Journal
from journal.records.whole import WholeMake
from journal.reports.make_photos import photos_of_make

_GUTTER, _HIGH = 4.0, 50.0  # mm between two, and at most of one
_SIDE = 1200  # px of the longer side: 300 to the inch at the width of a column
_MOST = 6


@dataclass(frozen=True)
class PrintedPhoto:
    """A photo and what is seen on it."""

    image: QImage
    words: str


def photos_to_print(journal: Journal, whole: WholeMake) -> list[PrintedPhoto]:
    """The photos of a make that its record shows; those that cannot be read are left out."""
    out = []
    for one in photos_of_make(journal, whole, _MOST):
        file = journal.photos.file(one.photo)
        image = None if file is None else read_photo(file, QSize(_SIDE, _SIDE), enlarge=False)
        if image is not None:
            out.append(PrintedPhoto(image, one.words))
    return out


def photo_blocks(paper: Paper, photos: Sequence[PrintedPhoto], points: float) -> list[Block]:
    """Their heading, then two in a row; nothing where there are none."""
    if not photos:
        return []
    rows = [photos[at : at + 2] for at in range(0, len(photos), 2)]
    return [heading(paper, "Photos", points + 1), *(_row(paper, one, points) for one in rows)]


def _row(paper: Paper, photos: Sequence[PrintedPhoto], points: float) -> Block:
    wide = (paper.across - _GUTTER) / 2
    sizes = [_size(one.image, wide) for one in photos]
    lines = [paper.wrapped(one.words, wide, points) for one in photos]
    high = max(size[1] for size in sizes)
    words = max(map(len, lines)) * paper.line_height(points)
    return Block(high + words + 3.0, partial(_draw, paper, photos, sizes, lines, points))


def _size(image: QImage, wide: float) -> tuple[float, float]:
    """How large a photo is printed, mm: as wide as its column, unless it is too high then."""
    high = wide * image.height() / max(1, image.width())
    return (wide, high) if high <= _HIGH else (wide * _HIGH / high, _HIGH)


def _draw(
    paper: Paper, photos: Sequence[PrintedPhoto], sizes: Sequence[tuple[float, float]],
    lines: Sequence[list[str]], points: float, y: float, _height: float,
) -> None:  # fmt: skip
    column = (paper.across - _GUTTER) / 2 + _GUTTER
    high = max(size[1] for size in sizes)
    for at, (one, (w, h)) in enumerate(zip(photos, sizes, strict=True)):
        x = paper.left + at * column
        box = QRectF(x * MM, y * MM, w * MM, h * MM)
        paper.painter.drawImage(box, one.image)
        paper.lines(x, y + high + 1.0, lines[at], points, colour=paper.ink.quiet)
