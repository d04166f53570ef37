"""A restore and a rescue walked through in the window by keys, with a picture of each step:
`QT_QPA_PLATFORM=offscreen python -m tests.desk.safety_walk OUT`."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from journal.desk import dialogs
from journal.desk.backups import BackupsDialog
from journal.desk.damage import RescueDialog
from journal.desk.theme import Look
from journal.desk.undisplayed import application
from journal.desk.window import Window
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import MINUTE_MS, now_ms
from journal.sample import write_sample

SIZE, PAGE, LONGEST_S = (1280, 800), 4096, 60
ZEROED = (40, 400, 700)  # pages of the file


def main(out: Path) -> int:
    """Walk both ways; the pictures are in `out`."""
    out.mkdir(parents=True, exist_ok=True)
    app = application()
    look = Look(app, "light")
    with TemporaryDirectory() as folder:
        saved = QSettings(str(Path(folder) / "s.ini"), QSettings.Format.IniFormat)
        path = Path(folder) / "Hollow Lane.vatside"
        write_sample(path)
        _restore(path, saved, look, out)
        _rescue(path, saved, look, out)
    return 0


def _restore(path: Path, saved: QSettings, look: Look, out: Path) -> None:
    journal = Journal.open(path)
    make = journal.makes.rows()[0]
    journal.back_up(now_ms() - 24 * 60 * MINUTE_MS)
    journal.back_up(now_ms() - 3 * 60 * MINUTE_MS)
    for one in journal.makes.all()[:6]:
        journal.outcomes.delete(id_of(one))
    window = _opened(Window(journal, settings=saved, look=look, place="makes", daily_backup=False))
    _until(window.settled)
    window.run("backups")
    (shown,) = window.findChildren(BackupsDialog)
    _until(lambda: "sound" in shown.holds.text())
    _keep(window, shown, out / "restore-1.png")
    shown.back.setFocus()
    QTest.keyClick(shown.back, Qt.Key.Key_Space)
    _keep(window, shown, out / "restore-2.png")
    QTest.keyClick(QApplication.focusWidget() or shown, Qt.Key.Key_Return)
    _until(lambda: window.journal is not journal)
    _until(window.settled)
    _keep(window, None, out / "restore-3.png")
    again = window.journal
    assert again is not None
    assert again.makes.rows()[0].code == make.code
    window.close()
    again.close()


def _rescue(path: Path, saved: QSettings, look: Look, out: Path) -> None:
    whole = bytearray(path.read_bytes())
    for page in (1, *ZEROED):
        whole[page * PAGE : (page + 1) * PAGE] = bytes(PAGE)
    path.write_bytes(whole)
    words = "This journal is damaged. Choose another journal or create a new one."
    window = _opened(Window(None, settings=saved, look=look, sentence=words, failed=path))
    _keep(window, None, out / "rescue-1.png")
    where = path.with_name("Hollow Lane-rescued.vatside")
    dialogs.ask_save = lambda *_: str(where)
    window.damage.rescue(path)
    (shown,) = window.findChildren(RescueDialog)
    _until(shown.show_it.isEnabled)
    _keep(window, shown, out / "rescue-2.png")
    QTest.keyClick(shown.show_it, Qt.Key.Key_Space)
    _until(lambda: window.journal is not None)
    _until(window.settled)
    _keep(window, None, out / "rescue-3.png")
    made = window.journal
    assert made is not None
    assert made.check() == []
    window.close()
    made.close()


def _opened(window: Window) -> Window:
    window.resize(*SIZE)
    window.show()
    return window


def _keep(window: QWidget, over: QWidget | None, path: Path) -> None:
    """The window as it is seen, with the dialog that lies over it."""
    QApplication.processEvents()
    picture: QPixmap = window.grab()
    if over is not None:
        painter = QPainter(picture)
        painter.fillRect(picture.rect(), QColor(0, 0, 0, 70))
        room = picture.size() - over.size()
        painter.drawPixmap(QPoint(room.width() // 2, room.height() // 2), over.grab())
        painter.end()
    picture.save(str(path))


def _until(is_so: Callable[[], bool]) -> None:
    end = time.monotonic() + LONGEST_S
    while not is_so():
        if time.monotonic() > end:
            raise TimeoutError
        QApplication.processEvents()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
