"""Pictures of Compare with few makes and with fifty, and of Makes with as many as a life has.

`python -m tests.desk.many_makes FOLDER [MAKES]` draws them for looking at: Compare with 2, 10 and
50 makes, light, dark and narrow, and Makes with MAKES (10,000, which take some minutes to write).
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QSize

from journal.desk.pictures import draw_pictures
from journal.desk.shots import DRAWN_MS, USUAL, Shot
from journal.sample import write_sample

NARROW = QSize(960, 1040)
_READINGS = 200  # of a make


def draw_compare(out: Path, folder: Path, makes: int, shots: tuple[Shot, ...]) -> list[Path]:
    """Compare with so many makes of the sample kitchen."""
    path = folder / f"{makes}.vatside"
    write_sample(path, makes=makes, readings_per_make=_READINGS, now_ms=DRAWN_MS)
    return draw_pictures(out, path, shots=shots, places=("compare",), with_empty=False)


def main(out: Path, makes: int) -> None:
    """Draw them all."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        for few in (2, 10, 50):
            shots = (Shot(f"{few}", USUAL), Shot(f"{few}-dark", USUAL, "dark"),
                     Shot(f"{few}-narrow", NARROW))  # fmt: skip
            draw_compare(out, folder, few, shots)
        many = folder / "many.vatside"
        write_sample(many, makes=makes, readings_per_make=20, now_ms=DRAWN_MS)
        shots = (Shot(f"{makes}", USUAL), Shot(f"{makes}-narrow-dark", NARROW, "dark"))
        draw_pictures(out, many, shots=shots, places=("makes",), with_empty=False)


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000)
