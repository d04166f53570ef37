"""How what is typed at the vat is kept: now or late, struck out, corrected, or doubted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from journal.desk.vat.day import value_text
from journal.keeping import Journal
from journal.records import RecordError
from journal.records.instants import DAY_MS, at_clock, clock
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make
from journal.records.traces import CORRECTED, DOUBTFUL, STRUCK, Reading
from journal.records.whole import WholeMake

# How far a reading may be from the one before it without a second look (common practice, no
# source): milk in a kitchen vat does not jump 12 °C, nor pH by 0.8, between two readings.
_FAR = {"temperature": 12.0, "ph": 0.8, "acidity": 0.3}


@dataclass(frozen=True)
class Correction:
    """A reading that is about to be replaced."""

    reading: Reading

    @property
    def text(self) -> str:
        """Its value as it is typed."""
        spec = READING_KINDS[self.reading.kind]
        return f"{self.reading.value:.{spec.digits}f}"

    def sentence(self, zone: str) -> str:
        """What is being done."""
        was = value_text(self.reading.kind, self.reading.value)
        return f"In place of {was} at {clock(self.reading.at_ms, zone)}. Esc leaves it."


class Log:
    """Keeps readings of a make in the journal; nothing is said to be kept before it is."""

    def __init__(self, journal: Journal, now: Callable[[], int]) -> None:
        self._journal = journal
        self._now = now

    def when(self, make: Make, text: str) -> int:
        """The instant a late reading was taken, now for an empty text.

        Raises
        ------
        RecordError
            When the text is no time, or lies outside the make; for a finished make also when
            there is none.
        """
        now = self._now()
        if make.finished_ms is None:
            return at_clock(text, make.zone, make.started_ms, now) if text else now
        if not text:
            raise RecordError(f"{make.code} is finished: say when this was read, like 11:20.")
        try:
            return at_clock(text, make.zone, make.started_ms, min(now, make.started_ms + DAY_MS))
        except RecordError:
            return at_clock(text, make.zone, make.started_ms, min(now, make.finished_ms + DAY_MS))

    def keep(
        self,
        whole: WholeMake,
        kind: str,
        value: float,
        at_ms: int,
        late: bool,
        correction: Correction | None,
    ) -> str:
        """Keep a reading, durably, and return what there is to say about it ("" for nothing)."""
        make_id = whole.make.id
        flags = CORRECTED if late else 0
        if correction is not None:
            old = correction.reading
            with self._journal.unit("correct a reading", initiator=self):
                if not old.flags & STRUCK:
                    self._journal.readings.strike(make_id, kind, old.at_ms, old.value)
                self._journal.readings.log(make_id, kind, value, at_ms, CORRECTED)
            return f"Kept {value_text(kind, value)} in its place."
        if _far(whole, kind, value, at_ms):
            flags |= DOUBTFUL
        self._journal.readings.log(make_id, kind, value, at_ms, flags)
        if flags & DOUBTFUL:
            return f"Kept {value_text(kind, value)}, far from the one before. F2 corrects it."
        return f"Kept for {clock(at_ms, whole.make.zone)}." if late else ""

    def strike(self, reading: Reading) -> None:
        """Strike a reading out, or let a struck one stand again."""
        self._journal.readings.strike(
            reading.make_id,
            reading.kind,
            reading.at_ms,
            reading.value,
            struck=not reading.flags & STRUCK,
        )


def _far(whole: WholeMake, kind: str, value: float, at_ms: int) -> bool:
    """Whether a value is far from the last sound one within half an hour before it."""
    trace = whole.trace(kind).sound().between(at_ms - 30 * 60_000, at_ms)
    limit = _FAR.get(READING_KINDS[kind].quantity)
    return limit is not None and len(trace) > 0 and abs(value - float(trace.value[-1])) > limit
