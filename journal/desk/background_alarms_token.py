"""The small file that says which process keeps a journal's alarms while its window is closed."""

from __future__ import annotations

import hashlib
from contextlib import suppress
from pathlib import Path

from journal.desk.settings import data_folder

_FOLDER = "alarms"


def token_of(path: Path) -> Path:
    """Where it is."""
    digest = hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:16]
    return data_folder() / _FOLDER / digest


def end_background_alarms(path: Path) -> None:
    """A window takes the journal up: the process that minds it ends within a second."""
    with suppress(OSError):
        token_of(path).unlink(missing_ok=True)
