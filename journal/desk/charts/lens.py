"""The zoom of a chart: which stretch of its axis it shows."""

from __future__ import annotations

from journal.curves.surface import Span

STEP = 1.25  # how much closer a notch of the wheel or a key brings it
_CLOSEST = 400.0  # so many times closer than all, and no more
_NEARLY = 1e-6


class Lens:
    """Zooms within `limits`, beyond which nothing is drawn; `usual` is shown while nobody zooms."""

    def __init__(self) -> None:
        self.usual: Span = (0.0, 1.0)
        self.limits: Span = (0.0, 1.0)
        self.window: Span | None = None

    @property
    def shown(self) -> Span:
        """What is shown."""
        return self.usual if self.window is None else self.window

    def set_range(self, usual: Span, limits: Span | None = None) -> Span:
        """Set what there is to show; returns what is shown of it."""
        low, high = usual if limits is None else limits
        self.usual, self.limits = usual, (min(low, usual[0]), max(high, usual[1]))
        if self.window is not None:
            self.window = self._inside(self.window)
        return self.shown

    def zoom(self, factor: float, at: float | None = None) -> None:
        """Come so many times closer to a place, which stays where it is; without one the middle."""
        low, high = self.shown
        at = (low + high) / 2 if at is None else min(max(at, low), high)
        self.show((at - (at - low) / factor, at + (high - at) / factor))

    def pan(self, by: float) -> None:
        """Move along the axis, in its own units."""
        low, high = self.shown
        if self.window is not None:
            self.show((low + by, high + by))

    def show(self, span: Span) -> None:
        """Show this stretch, as far as there is anything."""
        self.window = self._inside(span)

    def show_all(self) -> None:
        """Show what is shown usually."""
        self.window = None

    def _inside(self, span: Span) -> Span | None:
        """A stretch brought within the limits and to a width that can be; None: the usual one."""
        first, last = self.limits
        most = last - first
        wide = min(max(span[1] - span[0], most / _CLOSEST), most)
        middle = sum(span) / 2
        low = min(max(middle - wide / 2, first), last - wide)
        found = (low, low + wide)
        apart = max(abs(a - b) for a, b in zip(found, self.usual, strict=True))
        return None if apart <= _NEARLY * most else found
