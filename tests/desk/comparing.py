"""Pictures of the window beside those that were approved: so small that text is a grey texture,
so alike that a word that moved or a colour that changed is seen.

`python -m tests.desk.comparing` draws them anew and approves them; look at what
`git diff --stat tests/desk/pictures` names, and at the pictures, before it is committed.
"""

from __future__ import annotations

import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontInfo, QImage
from PySide6.QtWidgets import QApplication

from journal.desk.pictures import draw_pictures
from journal.desk.shots import USUAL, Shot
from tests.desk.many_makes import NARROW, draw_compare
from tests.desk.many_wheels import draw_wheels

APPROVED = Path(__file__).with_name("pictures")
DRAWN_WITH = APPROVED / "drawn_with.json"
SHOTS = (Shot("", USUAL),)
SHOTS_OF_TWO = (Shot("2", USUAL),)
SHOTS_OF_FIFTY = (Shot("50-narrow-dark", NARROW, "dark"),)
_WIDE = 480  # pixels of an approved picture
_TILE = 8
# A caret that blinks darkens a tile by some 5 levels; a label that moved by a line changes tens
# of tiles by 20 and more.
_TILE_DIFFERS, _TILES_MOST = 10.0, 2


@dataclass(frozen=True)
class Difference:
    """One picture that is not as it was: its name and how many tiles of 8 by 8 pixels differ."""

    name: str
    tiles: int


def drawn_with() -> dict[str, str]:
    """What the approved pictures hang on beside the program: the font and Qt's release."""
    import PySide6

    return {"font": QFontInfo(QApplication.font()).family(), "qt": PySide6.__version__}


def draw(out: Path) -> list[Path]:
    """Draw every place of the sample, at its present, of an empty journal, Compare and Ageing with
    few makes and wheels and with very many."""
    with TemporaryDirectory() as folder:
        return [
            *draw_pictures(out, shots=SHOTS),
            *draw_compare(out, Path(folder), 2, SHOTS_OF_TWO),
            *draw_compare(out, Path(folder), 50, SHOTS_OF_FIFTY),
            *draw_wheels(out, Path(folder)),
        ]


def small(path: Path) -> QImage:
    """A picture as it is kept for comparing."""
    image = QImage(str(path)).scaledToWidth(_WIDE, Qt.TransformationMode.SmoothTransformation)
    return image.convertToFormat(QImage.Format.Format_RGB888)


def tiles_that_differ(one: QImage, other: QImage) -> int:
    """How many tiles differ in their mean colour or in their texture; all of them when the sizes
    do."""
    if one.size() != other.size():
        return max(one.width() * one.height(), other.width() * other.height()) // _TILE**2
    off = np.abs(_pixels(one) - _pixels(other)).max(axis=2)
    high, wide = (length // _TILE * _TILE for length in off.shape)
    tiles = off[:high, :wide].reshape(high // _TILE, _TILE, wide // _TILE, _TILE).mean(axis=(1, 3))
    return int((tiles > _TILE_DIFFERS).sum())


def differences(drawn: list[Path]) -> list[Difference]:
    """Every picture that is not as approved, one that is new or gone too."""
    found = []
    names = {path.name for path in drawn}
    for path in drawn:
        approved = APPROVED / path.name
        tiles = (
            tiles_that_differ(small(path), QImage(str(approved)).convertToFormat(
                QImage.Format.Format_RGB888
            ))
            if approved.exists()
            else 1_000_000
        )  # fmt: skip
        if tiles > _TILES_MOST:
            found.append(Difference(path.name, tiles))
    gone = {path.name for path in APPROVED.glob("*.png")} - names
    return found + [Difference(name, 1_000_000) for name in sorted(gone)]


def approve(drawn: list[Path]) -> None:
    """Keep these as they are; pictures that differ by less than the tolerance stay."""
    APPROVED.mkdir(exist_ok=True)
    changed = {one.name for one in differences(drawn)}
    for path in APPROVED.glob("*.png"):
        if path.name not in {one.name for one in drawn}:
            path.unlink()
    for path in drawn:
        if path.name in changed:
            small(path).save(str(APPROVED / path.name), "PNG")
    DRAWN_WITH.write_text(json.dumps(drawn_with(), indent=1) + "\n", encoding="utf-8")
    sys.stdout.write(f"{len(changed)} of {len(drawn)} pictures are new or changed.\n")


def _pixels(image: QImage) -> np.ndarray:
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(float)


def main() -> int:
    """Draw and approve."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with TemporaryDirectory() as folder:
        approve(draw(Path(folder)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
