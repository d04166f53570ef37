"""Which events were shown at the vat and which were acknowledged, so that none is shown twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from journal.curves.events import Event
from journal.records.instants import MINUTE_MS

NEWS_MIN = 10  # for so long what happened stands on the page
JUST_OVER_MIN = 5  # what was over for longer when it was first seen is no news


@dataclass(frozen=True)
class ShownEvent:
    """An event that was shown: its stretch of time, when it was shown, and whether dismissed."""

    kind: str
    since_ms: int
    until_ms: int
    at_ms: int
    heard: bool = False


@dataclass(frozen=True)
class Acknowledged:
    """Of one make: the events shown, the stages whose heat was turned down when that was said
    (their runs' ids, and when), and whether slow acid was heard of."""

    shown: tuple[ShownEvent, ...] = ()
    turned: tuple[tuple[int, int], ...] = ()
    slow: bool = False

    def with_shown(self, events: Sequence[Event], now_ms: int) -> Acknowledged:
        """The same once these events are shown; one that goes on is not shown again."""
        shown = list(self.shown)
        for event in events:
            until_ms = event.since_ms + round(event.minutes * MINUTE_MS)
            index = _index_of(shown, event, until_ms)
            if index is not None:
                first = min(shown[index].since_ms, event.since_ms)
                shown[index] = replace(shown[index], since_ms=first, until_ms=until_ms)
                continue
            over = not event.lasts and now_ms - until_ms > JUST_OVER_MIN * MINUTE_MS
            shown.append(ShownEvent(event.kind, event.since_ms, until_ms, now_ms, over))
        return replace(self, shown=tuple(shown))

    def news(self, events: Sequence[Event], now_ms: int) -> list[Event]:
        """The events to show on the page: recent ones that were not dismissed, the newest first."""
        out = []
        for event in events:
            index = _index_of(self.shown, event, event.since_ms + round(event.minutes * MINUTE_MS))
            if index is None:
                continue
            one = self.shown[index]
            if not one.heard and now_ms - one.at_ms < NEWS_MIN * MINUTE_MS:
                out.append(event)
        return out[::-1]

    def dismissed(self) -> Acknowledged:
        """The same once all events shown are dismissed."""
        return replace(self, shown=tuple(replace(one, heard=True) for one in self.shown))

    def turned_at(self, run_id: int | None) -> int | None:
        """When turning down the heat of a stage was acknowledged, None while it was not."""
        return dict(self.turned).get(run_id or 0)

    def turning(self, run_id: int, at_ms: int) -> Acknowledged:
        """The same once the heat of a stage is turned down."""
        return replace(self, turned=(*self.turned, (run_id, at_ms)))


def _index_of(shown: Sequence[ShownEvent], event: Event, until_ms: int) -> int | None:
    """The index among those shown of an event: of its kind, and at the same time."""
    for index, one in enumerate(shown):
        together = one.since_ms <= until_ms and event.since_ms <= one.until_ms
        if one.kind == event.kind and together:
            return index
    return None
