"""What a function in the background is handed: how to report progress, and when to stop."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event


class State:
    """What a function in the background is handed: it reports progress and asks whether to go on.

    Pass `state.progress` and `state.stopped` on to whatever takes callbacks.
    """

    def __init__(self, report: Callable[[float, str], None]) -> None:
        self._report = report
        self._stop = Event()
        self.wanted = True  # what becomes of it is heard, also after it was stopped

    def progress(self, share: float, words: str = "") -> None:
        """Report how far it is, 0 to 1, and what is being done."""
        self._report(share, words)

    def stopped(self) -> bool:
        """True when the result is no longer wanted."""
        return self._stop.is_set()

    def stop(self) -> None:
        """Ask the function to end."""
        self._stop.set()
