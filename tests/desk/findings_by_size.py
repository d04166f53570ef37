"""Pictures of Findings with few makes and with many: `python -m tests.desk.findings_by_size OUT`.

The kitchen of Hollow Lane with 6, 12, 24 and 200 makes, each as usual and dark, in a small window
and in a narrow one; for looking at, no test.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSize

from journal.desk.pictures import draw_pictures
from journal.desk.shots import DRAWN_MS, SMALL, USUAL, Shot
from journal.sample import write_sample

SIZES = (6, 12, 24, 200)
NARROW = QSize(960, 1040)
READINGS = 40


def draw(out: Path, sizes: Sequence[int], place: str = "findings") -> list[Path]:
    """Draw a place of journals of so many makes; the files written."""
    drawn = []
    with TemporaryDirectory() as folder:
        for makes in sizes:
            path = Path(folder) / f"{makes}.vatside"
            write_sample(path, makes=makes, readings_per_make=READINGS, now_ms=DRAWN_MS)
            shots = (
                Shot(f"{makes}", USUAL), Shot(f"{makes}-dark", USUAL, "dark"),
                Shot(f"{makes}-small", SMALL), Shot(f"{makes}-narrow", NARROW),
            )  # fmt: skip
            drawn += draw_pictures(out, path, shots=shots, places=(place,), with_empty=False,
                                   clock=lambda: DRAWN_MS)  # fmt: skip
    return drawn


def main() -> None:
    """Draw them and print where they are."""
    ask = argparse.ArgumentParser(description="Draw Findings with few makes and with many.")
    ask.add_argument("out", type=Path)
    ask.add_argument("--makes", type=int, nargs="*", default=list(SIZES))
    ask.add_argument("--place", default="findings")
    output = ask.parse_args()
    for path in draw(output.out, output.makes, output.place):
        sys.stdout.write(f"{path}\n")


if __name__ == "__main__":
    main()
