"""What the last check of an instrument said, and what it does to readings, in words."""

from __future__ import annotations

from collections.abc import Sequence

from journal.keeping import Journal
from journal.records.calibrations import INSTRUMENTS, Calibration, Checks
from journal.records.makes import Make
from journal.wording.dates import ago
from journal.wording.letters import capital
from journal.wording.shown import apart

RIGHT_C = 0.05  # a thermometer is read to a tenth of a degree


def checks_of(journal: Journal, make: Make, now_ms: int) -> str:
    """What the last checks said by now, for a finished make by its end; the instruments of sensors
    that are on are among them."""
    sources = ["", *(one.name for one in journal.sources.all() if one.make_id)]
    at_ms = now_ms if make.finished_ms is None else make.finished_ms
    return checks_words(journal.readings.checks, at_ms, make.zone, sources)


def checks_words(checks: Checks, now_ms: int, zone: str, sources: Sequence[str] = ("",)) -> str:
    """The last check of every instrument in one line, "" where none was made: "Thermometer
    checked today, corrected by −0.4 °C; meter checked 12 days ago, slope 97 %"."""
    report = []
    for instrument in reversed(INSTRUMENTS):
        for source in sources:
            held = checks.holding(instrument, now_ms, source)
            if held is not None:
                report.append(last_words(held, now_ms, zone))
    words = "; ".join(report)
    return capital(words)


def instrument_words(instrument: str) -> str:
    """An instrument as it is called: "bath thermometer"."""
    return instrument.replace("-", " ")


def last_words(held: Calibration, now_ms: int, zone: str) -> str:
    """One check: "meter checked 12 days ago, slope 97 %"."""
    name = instrument_words(held.instrument)
    name = f"{name} of {held.source}" if held.source else name
    when = ago(held.at_ms, now_ms, zone)
    if held.corrects_nothing:
        return f"{name} not corrected since {when}" if when != "today" else f"{name} not corrected"
    return f"{name} checked {when}, {does_words(held)}"


def does_words(held: Calibration) -> str:
    """What a check found and so does: "slope 97 %", "corrected by −0.4 °C", "right"."""
    electrode = held.electrode
    if electrode is not None:
        return f"slope {electrode.slope_pct:.0f} %"
    off = held.shown[0] - held.known[0]
    if abs(off) < RIGHT_C:
        return "right"
    return f"corrected by {'+' if off < 0 else ''}{apart(-off)}"
