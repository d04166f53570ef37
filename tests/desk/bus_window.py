"""A window of its own process, for a reader on the accessibility bus: `python -m
tests.desk.bus_window JOURNAL`. Each line of standard input is the key of a place to go to, "say
SENTENCE" or "end"; it answers "at KEY", "said" or ends."""

from __future__ import annotations

import sys
from pathlib import Path
from threading import Thread


def main(path: Path) -> int:
    """Show the window and do as told."""
    from PySide6.QtCore import QObject, QSettings, QTimer, Signal
    from PySide6.QtWidgets import QApplication

    from journal.desk.theme import Look
    from journal.desk.window import Window
    from journal.keeping import Journal
    from tests import present

    class Reports(QObject):
        heard = Signal(str)

    app = QApplication(["vatside"])
    look = Look(app, "light")
    settings = QSettings(str(path.parent / "bus.ini"), QSettings.Format.IniFormat)
    journal = Journal.open(path)
    window = Window(
        journal, clock=present.now, settings=settings, look=look, daily_backup=False
    )  # fmt: skip
    window.resize(1440, 900)
    window.show()

    def answer(words: str) -> None:
        if not window.settled():
            QTimer.singleShot(20, lambda: answer(words))
            return
        app.processEvents()
        sys.stdout.write(f"{words}\n")
        sys.stdout.flush()

    def on_told(line: str) -> None:
        if line == "end":
            window.close()
            app.quit()
        elif line.startswith("say "):
            assert window.current is not None
            window.current.say("bus", line[4:])
            answer("said")
        else:
            window.go(line)
            answer(f"at {line}")

    def read() -> None:
        for line in sys.stdin:
            announced.heard.emit(line.strip())

    announced = Reports()
    announced.heard.connect(on_told)
    Thread(target=read, daemon=True).start()
    answer("ready")
    app.exec()
    journal.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
