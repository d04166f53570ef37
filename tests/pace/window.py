"""How soon the window is up and usable, from the start of the process, against a bare window."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from tests.pace.ratio import Ratio, in_turn

_BARE = """
import sys, time
from PySide6.QtWidgets import QApplication
import pyqtgraph as pg
app = QApplication([])
plot = pg.PlotWidget()
plot.plot(list(range(600)), [i % 40 for i in range(600)])
plot.resize(1280, 720)
plot.show()
while not plot.windowHandle().isExposed():
    app.processEvents()
plot.grab()
app.processEvents()
sys.stdout.write(str(time.monotonic_ns()))
"""

_OURS = """
import sys, time
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal
app = QApplication([])
settings = QSettings(sys.argv[2], QSettings.Format.IniFormat)
look, place = Look(app, "light"), sys.argv[3]
window = Window(Journal.open(sys.argv[1]), settings=settings, look=look, place=place)
window.resize(1280, 720)
window.show()
while not window.windowHandle().isExposed():
    app.processEvents()
while not window.settled():
    app.processEvents()
window.grab()
app.processEvents()
sys.stdout.write(str(time.monotonic_ns()))
sys.stdout.flush()
window.journal.close()
"""


def measure(folder: Path, rounds: int, makes: int) -> Iterator[Ratio]:
    """The window on the sample and on a large journal, each against the bare window."""
    from journal.sample import write_sample

    small, large = folder / "sample.vatside", folder / "large.vatside"
    write_sample(small)
    write_sample(large, makes=makes, readings_per_make=5000)
    for place, promise in (("today", 1.5), ("vat", None)):
        yield in_turn(
            f"the window up in {place}, sample",
            _Start(_OURS, str(small), str(folder / "a.ini"), place),
            _Start(_BARE),
            rounds,
            promise,
        )
        yield in_turn(
            f"the window up in {place}, {makes} makes, against the same with the sample",
            _Start(_OURS, str(large), str(folder / "b.ini"), place),
            _Start(_OURS, str(small), str(folder / "a.ini"), place),
            rounds,
            1.2 if promise else None,
        )


class _Start:
    """One start of a process, timed until it says it is up."""

    def __init__(self, code: str, *args: str) -> None:
        self._command = [sys.executable, "-c", code, *args]

    def __call__(self) -> float:
        begun = time.monotonic_ns()
        done = subprocess.run(
            self._command, capture_output=True, text=True, check=True, env={**os.environ}
        )
        return (int(done.stdout) - begun) / 1e6
