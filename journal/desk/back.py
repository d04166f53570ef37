"""Back and forward: the places that were shown before, each with its make."""

from __future__ import annotations

from dataclasses import dataclass

MOST = 50


@dataclass(frozen=True)
class VisitedPlace:
    """A place, and the make that was open there."""

    key: str
    make_id: int | None


class VisitedPlaces:
    """The places one went through, the last one at its end."""

    def __init__(self) -> None:
        self._spots: list[VisitedPlace] = []

    def add(self, spot: VisitedPlace) -> None:
        """One is there now; the same place again is no step."""
        if not self._spots or self._spots[-1] != spot:
            self._spots = [*self._spots[-MOST:], spot]

    def can_back(self) -> bool:
        """There is a place to go back to."""
        return len(self._spots) > 1

    def back(self) -> VisitedPlace | None:
        """Go one step back: where one was before; None where that is nowhere."""
        if not self.can_back():
            return None
        self._spots.pop()
        return self._spots.pop()  # going there adds it again

    def forget(self) -> None:
        """Another journal: its makes are others."""
        self._spots.clear()
