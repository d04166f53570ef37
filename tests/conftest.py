"""What holds for every test: a journal that is open is opened by nothing but SQLite, and an example
has no time limit."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from journal.keeping import is_open

# A busy machine, or the first conversion of a run that also makes the registry, is no fault.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")

_opened: list[str] = []


def _hear(event: str, args: tuple[object, ...]) -> None:
    if event == "open" and isinstance(args[0], str | bytes | os.PathLike) and is_open(args[0]):
        _opened.append(f"{args[0]!r}\n{''.join(traceback.format_stack(limit=6)[:-1])}")


sys.addaudithook(_hear)


@pytest.fixture(autouse=True)
def _locks_stay() -> Iterator[None]:
    """Fails a test in which the program, or the test, opens the file of an open journal: closing
    it again would take every lock of this process away."""
    _opened.clear()
    yield
    assert not _opened, f"An open journal was opened by other means: {_opened[0]}"
