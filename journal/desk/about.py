"""About: what the program is, its licence, and the parts it is built of with theirs."""

from __future__ import annotations

import platform
from importlib import metadata

from PySide6.QtWidgets import QGridLayout, QWidget

from journal import __version__
from journal.desk.buttons import Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.theme import SMALL, STEP, TEXT, scaled
from journal.keeping.file import sqlite_version

# What the program needs to run, by the name each is installed under.
_PARTS = (
    "PySide6", "pyqtgraph", "numpy", "scipy", "pint", "sqlite-utils", "openpyxl", "icalendar",
    "segno", "paho-mqtt", "pyserial", "keyring", "jeepney", "defusedxml", "tzdata",
)  # fmt: skip
_LONG = 200  # letters; some packages give their whole licence for its name
_WIDE = 90 * STEP  # px; a longer one goes on below


class AboutDialog(FramedDialog):
    """The versions and licences, as they are installed here."""

    help_topic = "begin"

    def __init__(self, parent: QWidget) -> None:
        super().__init__("About Vatside", parent)
        self.heading.setText(f"Vatside {__version__}")
        about = Label("A journal for people who make cheese at home. MIT licence.")
        close = Button("Close", key="Esc")
        close.clicked.connect(self.close)
        self.arrange(in_column(about, Hairline(), _table(), gap=2 * STEP), acts=(close,))


def _table() -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(6 * STEP)
    grid.setVerticalSpacing(STEP)
    for row, cells in enumerate(parts()):
        for at, words in enumerate(cells):
            word = Label(words, SMALL if at else TEXT, role="quiet" if at else "ink", wrap=at == 2)
            if at == 2:
                word.setMinimumWidth(scaled(_WIDE))
                word.setMinimumHeight(word.heightForWidth(scaled(_WIDE)))
            grid.addWidget(word, row, at)
    return grid


def parts() -> list[tuple[str, str, str]]:
    """Each part with its version and licence, Python and SQLite first."""
    found = [
        ("Python", platform.python_version(), "Python Software Foundation licence"),
        ("SQLite", sqlite_version(), "public domain"),
    ]
    for name in _PARTS:
        try:
            known = metadata.metadata(name)
        except metadata.PackageNotFoundError:
            continue  # of those that are only needed for what is not used here
        found.append((name, known["Version"] or "", _licence(known)))
    return found


def _licence(known: metadata.PackageMetadata) -> str:
    """What a package says of its licence, in short."""
    kinds = known.get_all("Classifier") or []
    named = [kind.rpartition(" :: ")[2] for kind in kinds if kind.startswith("License :: ")]
    keys = [key for key in ("License-Expression", "License") if key in known]
    written = [known[key] for key in keys[:1] if key == "License-Expression"] or named
    written = written or [known[key] for key in keys]
    return written[0].splitlines()[0][:_LONG] if written and written[0] else "see its own files"
