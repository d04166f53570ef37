"""Checks of the instruments: what they showed where the truth is known, and what follows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from journal.reckoning import ReckoningError
from journal.reckoning.meter import Electrode, electrode, reading_mv
from journal.records import RecordError
from journal.records.plans import new_uuid
from journal.records.traces import Floats, Instants

# Which readings an instrument takes.
INSTRUMENTS: dict[str, tuple[str, ...]] = {
    "meter": ("milk-ph", "curd-ph", "whey-ph"),
    "thermometer": ("milk-temp",),
    "bath-thermometer": ("bath-temp",),
}
ICE_C = 0.0  # ice melting in water at sea level (ITS-90, to a hundredth of a degree)
_MOST_OFF_C = (
    5.0  # a thermometer further off in ice is broken, not off (common practice, no source)
)
_SLOPES_PCT = (80.0, 110.0)  # an electrode outside tells no pH (common practice, no source)


@dataclass(frozen=True)
class Calibration:
    """What an instrument showed in one or two known samples; later readings follow it.

    One sample shifts what is shown, two lay a straight line through both. `known` and `shown` are
    in the kept unit (°C or pH), `temp_c` is that of the buffers. `source` names whose readings:
    "" for those typed by hand, else a sensor's. The raw readings are what is kept in the file.
    A check belongs to the instrument: it holds for every make from its instant on, until the next
    one of that instrument and source; `make_id` is the make it was noted with.
    """

    make_id: int
    instrument: str
    at_ms: int
    known: tuple[float, ...]
    shown: tuple[float, ...]
    temp_c: float | None = None
    source: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if self.instrument not in INSTRUMENTS:
            raise RecordError(
                "records.no-such-instrument", word=self.instrument, known=tuple(INSTRUMENTS)
            )
        if not 1 <= len(self.known) <= 2 or len(self.known) != len(self.shown):
            raise RecordError("records.check-samples")
        if self.instrument == "meter":
            self._check_meter()
        elif max(abs(t - s) for t, s in zip(self.known, self.shown, strict=True)) > _MOST_OFF_C:
            raise RecordError("records.check-thermometer", most_c=_MOST_OFF_C)

    def _check_meter(self) -> None:
        if len(self.known) != 2:
            raise RecordError("records.check-buffers")
        found = self.electrode
        if found is None or not _SLOPES_PCT[0] <= found.slope_pct <= _SLOPES_PCT[1]:
            raise RecordError("records.check-electrode")

    @classmethod
    def none_from_now(
        cls, make_id: int, instrument: str, at_ms: int, source: str = ""
    ) -> Calibration:
        """That readings are taken as they are shown again: a line laid by word, not by samples."""
        line = (4.0, 7.0) if instrument == "meter" else (0.0, 100.0)
        return cls(make_id, instrument, at_ms, line, line, source=source)

    @property
    def corrects_nothing(self) -> bool:
        """Whether it was laid down that readings are taken as shown, no sample being read."""
        return len(self.known) == 2 and self.known == self.shown and self.temp_c is None

    @property
    def electrode(self) -> Electrode | None:
        """Slope and offset of a meter's electrode with what to do; None for a thermometer."""
        if self.instrument != "meter":
            return None
        temp = 25.0 if self.temp_c is None else self.temp_c
        try:
            shown = np.array(self.shown)
            return electrode(self.known, reading_mv(shown, temp), temp)
        except ReckoningError as error:
            raise RecordError(error.message) from None

    @property
    def gain(self) -> float:
        """By how much a step of the instrument is to be stretched."""
        if len(self.known) == 1:
            return 1.0
        return (self.known[1] - self.known[0]) / (self.shown[1] - self.shown[0])

    def corrected(self, shown: Floats) -> Floats:
        """What is true where the instrument shows `shown` (any shape)."""
        fixed: Floats = self.known[0] + self.gain * (np.asarray(shown, float) - self.shown[0])
        return fixed


class Checks:
    """All checks of a kitchen's instruments, ready to correct readings of any make."""

    def __init__(self, calibrations: Iterable[Calibration] = ()) -> None:
        self._by: dict[tuple[str, str], list[Calibration]] = {}
        for one in sorted(calibrations, key=_at):
            self._by.setdefault((one.instrument, one.source), []).append(one)
        self._at = {
            key: np.array([one.at_ms for one in some], np.int64) for key, some in self._by.items()
        }

    def __bool__(self) -> bool:
        return bool(self._by)

    def values(self, kind: str, source: str, at_ms: Instants, raw: Floats) -> Floats:
        """Readings (n,) as they are to be read: each by the last check before it, else as it is."""
        key = (instrument_of(kind), source)
        mine = self._by.get(key)
        if mine is None or not len(raw):
            return raw
        out = np.array(raw, float)
        which = np.searchsorted(self._at[key], at_ms, side="right") - 1
        for index in np.unique(which[which >= 0]):
            here = which == index
            out[here] = mine[index].corrected(raw[here])
        return out

    def holding(self, instrument: str, at_ms: int, source: str = "") -> Calibration | None:
        """The last check of an instrument by an instant, None where there is none."""
        mine = self._by.get((instrument, source), [])
        index = sum(one.at_ms <= at_ms for one in mine) - 1
        return mine[index] if index >= 0 else None

    def bearing_on(self, from_ms: int, to_ms: int) -> tuple[Calibration, ...]:
        """The checks by which readings of a stretch of time are read, oldest first: the last one
        of each instrument and source before it, and those within."""
        found: list[Calibration] = []
        for key, some in self._by.items():
            first = max(0, int(np.searchsorted(self._at[key], from_ms, side="right")) - 1)
            last = int(np.searchsorted(self._at[key], to_ms, side="right"))
            found += some[first:last]
        return tuple(sorted(found, key=_at))


def instrument_of(kind: str) -> str:
    """The instrument a kind of reading is taken with, "" where none is checked."""
    return next((name for name, kinds in INSTRUMENTS.items() if kind in kinds), "")


def _at(calibration: Calibration) -> int:
    return calibration.at_ms
