"""How what is typed at the vat is kept: now or late, struck out, corrected, or doubted."""

from __future__ import annotations

from dataclasses import dataclass

from journal.curves.trend import far_from, odd_alone
from journal.desk.place import Desk
from journal.desk.vat.makes import VatMakes
from journal.message import Instant
from journal.records import RecordError
from journal.records.instants import DAY_MS, MINUTE_MS, at_clock, local
from journal.records.kinds import READING_KINDS
from journal.records.traces import CORRECTED, DOUBTFUL, STRUCK, Reading
from journal.wording import worded
from journal.wording.dates import clock_to_type
from journal.wording.readings import figure_text, off_words, value_text
from journal.wording.vat_day import odd_words

_LOOKED_AT, _NEAR_MS = 2000, 10 * MINUTE_MS  # readings of a day; how near a point is meant


@dataclass(frozen=True)
class Correction:
    """A reading that is about to be replaced."""

    reading: Reading

    @property
    def text(self) -> str:
        """Its value as the instrument showed it, which is what is typed."""
        raw = self.reading.raw
        return figure_text(self.reading.kind, self.reading.value if raw is None else raw)

    @property
    def stored(self) -> float:
        """The same as it is stored."""
        raw = self.reading.raw
        return self.reading.value if raw is None else raw

    def sentence(self, zone: str) -> str:
        """What is being done."""
        was = value_text(self.reading.kind, self.reading.value)
        return worded("desk.replaces", value=was, at=Instant(self.reading.at_ms, zone))


class Log:
    """Keeps readings of the current make in the journal; nothing is said to be kept before it
    is."""

    def __init__(self, desk: Desk, makes: VatMakes) -> None:
        self._journal, self._now, self._makes = desk.journal, desk.clock, makes

    @property
    def zone(self) -> str:
        """The zone of the current make."""
        return self._makes.day.whole.make.zone

    def when(self, text: str) -> int:
        """The instant a late reading was taken, now for an empty text.

        Raises
        ------
        RecordError
            When the text is no time, or lies outside the make; for a finished make also when
            there is none.
        """
        make, now = self._makes.day.whole.make, self._now()
        if make.finished_ms is None:
            return at_clock(text, make.zone, make.started_ms, now) if text else now
        if not text:
            raise RecordError("desk.type-when", code=make.code)
        try:
            return at_clock(text, make.zone, make.started_ms, min(now, make.started_ms + DAY_MS))
        except RecordError:
            return at_clock(text, make.zone, make.started_ms, min(now, make.finished_ms + DAY_MS))

    def time_text(self, reading: Reading) -> str:
        """When a reading was taken, as its time is typed: "09:22", of another day with its date."""
        zone = self._journal.makes.get(reading.make_id).zone
        at, now = local(reading.at_ms, zone), local(self._now(), zone)
        day = "" if at.date() == now.date() else f"{at:%Y-%m-%d}T"
        return day + clock_to_type(reading.at_ms, zone)

    def fits(self, kind: str, value: float) -> bool:
        """Whether such a value lies on the course of what was read, so that nothing is asked."""
        whole = self._makes.day.whole
        if whole.make.finished_ms is not None or kind not in whole.traces:
            return False
        return not self.question(kind, value, self._now())

    def question(self, kind: str, value: float, at_ms: int) -> str:
        """What to ask before a value far from the trend is kept: "42.1 °C right after 31.3 °C?"; ""
        where there is nothing to ask, or where such a value is refused anyway."""
        spec, whole = READING_KINDS[kind], self._makes.day.whole
        if not spec.low <= value <= spec.high:
            return ""
        read = self._journal.readings.corrected(kind, value, at_ms)
        if odd_alone(whole, kind, read, at_ms):
            return odd_words(kind, read, None)
        last = far_from(whole, kind, read, at_ms)
        return "" if last is None else odd_words(kind, read, last)

    def save(
        self,
        kind: str,
        value: float,
        at_ms: int,
        late: bool,
        correction: Correction | None,
        *,
        doubtful: bool = False,
    ) -> str:
        """Keep a reading, durably, and return what there is to say about it ("" for nothing)."""
        make_id, at = self._makes.day.make_id, Instant(at_ms, self.zone)
        flags = (CORRECTED if late else 0) | (DOUBTFUL if doubtful else 0)
        if correction is not None:
            old = correction.reading
            with self._journal.unit("correct a reading", initiator=self):
                if not old.flags & STRUCK:
                    self._journal.readings.strike(make_id, kind, old.at_ms, old.value)
                new = self._journal.readings.log(make_id, kind, value, at_ms, CORRECTED)
            return worded("desk.value-saved-for", value=value_text(kind, new.value), at=at)
        new = self._journal.readings.log(make_id, kind, value, at_ms, flags)
        shown = value_text(kind, new.value)
        if doubtful:
            return worded("desk.value-saved-doubtful", value=shown)
        if new.raw is not None:
            which = "desk.value-corrected-for" if late else "desk.value-corrected"
            return worded(which, value=shown, at=at, off=off_words(kind, new.raw - new.value))
        return worded("desk.saved-for", at=at) if late else ""

    def nearest(self, make_id: int, at_ms: int) -> Reading | None:
        """The typed reading of a make nearest to an instant, if one lies within some minutes."""
        found = self._journal.readings.last(make_id, _LOOKED_AT)
        near = [one for one in found if abs(one.at_ms - at_ms) <= _NEAR_MS]
        return min(near, key=lambda one: abs(one.at_ms - at_ms), default=None)

    def strike(self, reading: Reading) -> None:
        """Strike a reading out, or let a struck one stand again."""
        self._journal.readings.strike(
            reading.make_id,
            reading.kind,
            reading.at_ms,
            reading.value,
            struck=not reading.flags & STRUCK,
        )
