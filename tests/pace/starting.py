"""Starts of a process, ours and a bare window's, each timed by itself until it is up."""

from __future__ import annotations

import compileall
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

BARE = """
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
print(time.monotonic_ns(), time.process_time_ns(), flush=True)
sys.stdin.read()
"""

# The program itself, its modules loaded in its own order. "typed" is a key in the field it puts
# the focus in, once the first paint was seen; "drawn" the picture, with what there is to do in it.
# It says "at rest" once nothing was under way for four seconds.
OURS = """
import gc, os, sys, time, traceback
from journal.command.entry import main
from journal.desk.qt_imports import load_qt
path, up = sys.argv[1:]
gc.disable()
load_qt()
import journal.desk.app as program
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

def standing(window, *rest):
    real(window, *rest)
    window.resize(1280, 720)
    soon(0, lambda: tell(window))

def soon(ms, act):
    def acting():  # Qt would tell of an exception in it, and go on for ever
        try:
            act()
        except BaseException:
            traceback.print_exc()
            os._exit(1)
    QTimer.singleShot(ms, acting)

def tell(window):
    while not window.windowHandle().isExposed():
        QApplication.processEvents()
    if up == "typed":
        line = QApplication.focusWidget()
        key = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_3, Qt.KeyboardModifier.NoModifier, "3")
        QApplication.sendEvent(line, key)
        assert line is window.current.page.entry.temp.line and line.text().endswith("3")
    else:
        window.grab()
        QApplication.processEvents()
    print(time.monotonic_ns(), time.process_time_ns(), flush=True)
    at_rest(window)

def at_rest(window, quiet=0):
    if quiet < 8 or time.monotonic() < begun + 10:  # by then the day's check and backup have begun
        quiet = 0 if window.work.busy else quiet + 1
        soon(500, lambda: at_rest(window, quiet))
    else:
        print("at rest", flush=True)

begun = time.monotonic()
real, program.Standing = program.Standing, standing
sys.exit(main([path]))
"""


def compile_all() -> None:
    """Compile the program, as `start.py` does when it sets it up: no start compiles it anew."""
    compileall.compile_dir(ROOT / "journal", quiet=1)


class Start:
    """A start of a process: milliseconds until it says it is up, by the clock or in `work` of the
    processor."""

    def __init__(self, code: str, *args: str, home: Path, work: bool = False) -> None:
        self._command = [sys.executable, "-c", code, *args]
        self._work = work
        self._env = {**os.environ, "XDG_CONFIG_HOME": str(home), "XDG_DATA_HOME": str(home)}
        home.mkdir(exist_ok=True)

    def __call__(self) -> float:
        return self.run(lambda _process: None)

    def run(self, look: Callable[[subprocess.Popen[str]], None]) -> float:
        """Start it; once it is up, `look` is handed its process before it ends."""
        begun = time.monotonic_ns()
        pipe = subprocess.PIPE
        with subprocess.Popen(
            self._command, stdin=pipe, stdout=pipe, text=True, env=self._env, cwd=ROOT
        ) as process:
            assert process.stdout is not None
            output = process.stdout.readline().split()
            look(process)
            process.kill()  # a backup that has begun would keep it
        if len(output) != 2:
            raise RuntimeError("The window that was to be measured did not come up.")
        return int(output[1]) / 1e6 if self._work else (int(output[0]) - begun) / 1e6
