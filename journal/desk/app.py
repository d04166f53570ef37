"""The application: what `vatside` without a command opens."""

from __future__ import annotations

import getpass
import os
import sys
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSettings, Qt, QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from journal.desk import settings as remembered
from journal.desk.late import IdleTasks
from journal.desk.places import PLACES, first_place
from journal.desk.preferences import chosen
from journal.desk.theme import Look
from journal.desk.uncaught import UncaughtErrors
from journal.desk.window import Window
from journal.keeping import Journal, KeepingError
from journal.keeping.file import name_finished, older
from journal.records.own_files import own_file
from journal.wording import worded

SERVER = f"vatside-{getpass.getuser()}"
LOG_NAME = "vatside.log"


def run(path: str | None = None) -> int:
    """Open the window on the journal at `path`, else on the last one, else on the sample."""
    there = QApplication.instance()
    app = there if isinstance(there, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("Vatside")
    app.setDesktopFileName("vatside")
    app.setWindowIcon(QIcon(str(own_file("icons", "vatside.svg"))))
    saved = remembered.settings()
    look = Look(app, chosen(saved, "look"))
    bundle = path if path is not None and path.lower().endswith(".zip") else None
    from journal.desk.background_alarms_asked import (
        BackgroundAlarmsQuestion,
        may_keep_alarms,
        start_background_alarms,
    )
    from journal.desk.single import FirstWindow, hand_over

    whole = str(Path(path).resolve()) if path is not None else None
    if hand_over(SERVER, whole):
        return 0
    failed, to_update = _wanted(path, saved), ""
    if failed is not None and older(failed) is not None:  # the window says how far it is
        journal, sentence, failed, to_update = None, "", None, str(failed)
    else:
        journal, sentence = first_journal(None if bundle else path, saved)
    place = first_place(journal, saved)
    window = Window(
        journal,
        settings=saved,
        look=look,
        sentence=sentence,
        place=place,
        failed=failed if journal is None else None,
    )
    uncaught = UncaughtErrors(window.say_fault, remembered.data_folder() / LOG_NAME, window)
    uncaught.install()
    first = FirstWindow(SERVER, window)
    first.asked.connect(partial(bring_forward, window))
    window.show()
    IdleTasks(window, window.work, [entry.module for entry in PLACES])
    if bundle is not None:
        QTimer.singleShot(0, partial(window.files.open_bundle, bundle))
    elif to_update:
        QTimer.singleShot(0, partial(window.files.open_path, to_update))
    asking = BackgroundAlarmsQuestion(window, saved)
    window.installEventFilter(asking)
    code = app.exec()
    uncaught.uninstall()
    if window.journal is not None:
        minded = may_keep_alarms(window.journal) and chosen(saved, "minding") == "yes"
        window.journal.close()
        if minded:
            start_background_alarms(window.journal.path)
    return code


def bring_forward(window: Window, path: str) -> None:
    """Show the window over others, with a journal or a bundle where one is named."""
    window.setWindowState(window.windowState() & ~Qt.WindowState.WindowMinimized)
    window.show()
    window.raise_()
    window.activateWindow()
    if path.lower().endswith(".zip"):
        window.files.open_bundle(path)
    elif path:
        window.files.open_path(path)


def first_journal(path: str | None, saved: QSettings) -> tuple[Journal | None, str]:
    """The journal to begin with, or None and the sentence that says why."""
    try:
        if path is not None:
            return Journal.open_as_may_be(path), ""
        known = remembered.recent(saved)
        if known:
            return Journal.open_as_may_be(known[0]), ""
        return sample_journal(remembered.data_folder()), ""
    except (KeepingError, OSError) as error:
        return None, worded("desk.not-opened", why=error)


def _wanted(path: str | None, saved: QSettings) -> Path | None:
    """The file that `first_journal` would open, where there is one."""
    known = [path] if path is not None else remembered.recent(saved)[:1]
    return next((Path(one) for one in known if Path(one).is_file()), None)


def sample_journal(folder: Path) -> Journal:
    """The sample journal in `folder`, made there when it is not there yet."""
    path = folder / remembered.SAMPLE_NAME
    if not path.exists():
        from journal.sample import write_sample

        folder.mkdir(parents=True, exist_ok=True)
        begun = folder / f".{os.getpid()}-{remembered.SAMPLE_NAME}"
        begun.unlink(missing_ok=True)
        write_sample(begun)
        name_finished(begun, path)
    return Journal.open(path)
