"""A moment of the life line: the day's own stands in the chart, a later one where it is kept."""

from __future__ import annotations

from journal.records.instants import DAY_MS, MINUTE_MS


class PickedMoment:
    """Mixed into the place of the vat before Place."""

    def go_to_moment(self, at_ms: int) -> None:
        """Go where that part of the life is to be seen."""
        if self._whole is None:
            return
        make = self._whole.make
        ends = self._day.stage_ends
        last = make.started_ms + round((ends[-1] if ends else 0.0) * MINUTE_MS)
        if at_ms <= max(last, self._day.now_ms if make.finished_ms is None else make.finished_ms):
            self.show_moment(at_ms)
            return
        near = any(abs(given.at_ms - at_ms) < 2 * DAY_MS for given in self._whole.scores)
        later = "tastings" if near else "room" if self._whole.wheels else "makes"
        self.goes.emit(later, make.id)

    def show_moment(self, at_ms: int | None) -> None:
        """Pick a moment of the day out in the chart; None shows it as ever."""
        self.days.moment_ms = at_ms
        self._show()
