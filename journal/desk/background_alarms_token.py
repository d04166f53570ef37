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


def write_token(path: Path, process: int, unread_ms: int | None = None) -> None:
    """Say which process keeps a journal's alarms, 0 for none, and since when it cannot read it."""
    words = str(process) if unread_ms is None else f"{process} {unread_ms}"
    with suppress(OSError):
        token_of(path).write_text(words, encoding="ascii")


def process_of(path: Path) -> int:
    """The process that keeps a journal's alarms; 0 for none."""
    numbers = _numbers(path)
    return numbers[0] if numbers else 0


def end_background_alarms(path: Path) -> int | None:
    """A window takes the journal up: the process that keeps its alarms ends within a second.
    Returns since when that could not read the journal, None where it could."""
    numbers = _numbers(path)
    with suppress(OSError):
        token_of(path).unlink(missing_ok=True)
    return numbers[1] if len(numbers) > 1 else None


def _numbers(path: Path) -> list[int]:
    try:
        return [int(word) for word in token_of(path).read_text(encoding="ascii").split()]
    except (OSError, ValueError):
        return []
