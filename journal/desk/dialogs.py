"""The one way to ask for a file or a folder; tests put their own answer here."""

from __future__ import annotations

from PySide6.QtWidgets import QFileDialog, QWidget

JOURNALS = "Journals (*.vatside)"
READINGS = "Readings (*.csv *.txt *.tsv);;All files (*)"
TABLES = "Tables (*.csv *.xlsx *.tsv *.txt);;All files (*)"
PICTURES_PNG = "PNG picture (*.png)"
PICTURES_SVG = "SVG drawing (*.svg)"
PDF = "PDF (*.pdf)"
PLANS = "Plans (*.toml)"


def ask_open(parent: QWidget | None, title: str, kinds: str, folder: str = "") -> str:
    """The path of a file that is there, or "" when nothing was chosen."""
    path, _kind = QFileDialog.getOpenFileName(parent, title, folder, kinds)
    return path


def ask_save(parent: QWidget | None, title: str, kinds: str, suggestion: str = "") -> str:
    """The path of a file to write, or "" when nothing was chosen."""
    path, _kind = QFileDialog.getSaveFileName(parent, title, suggestion, kinds)
    return path


def ask_folder(parent: QWidget | None, title: str, folder: str = "") -> str:
    """The path of a folder, or "" when nothing was chosen."""
    return QFileDialog.getExistingDirectory(parent, title, folder)
