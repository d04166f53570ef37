"""What the last check of an instrument said, and what it does to readings."""

from __future__ import annotations

from collections.abc import Sequence

from journal.reckoning.meter import meter_warnings
from journal.records.calibrations import INSTRUMENTS, Calibration, Checks
from journal.wording.dates import ago
from journal.wording.letters import capital
from journal.wording.numbers import minus
from journal.wording.sentences import text_of
from journal.wording.shown import apart

RIGHT_C = 0.05  # a thermometer is read to a tenth of a degree


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


def follows_words(found: Calibration) -> str:
    """What a check says of its instrument."""
    electrode = found.electrode
    if electrode is None:
        off = found.shown[0] - found.known[0]
        if abs(off) < RIGHT_C:
            return "The thermometer is right in ice water."
        way = "high" if off > 0 else "low"
        return f"It reads {apart(abs(off))} too {way}: readings are corrected from now on."
    warm = 25.0 if found.temp_c is None else found.temp_c
    offset = minus(f"{electrode.offset_mv:+.0f}")
    sentences = [
        f"Slope {electrode.slope_pct:.0f} % of the ideal, {offset} mV at pH 7: "
        f"{text_of(electrode.verdict)}. Readings are corrected from now on."
    ]
    sentences += [text_of(one) for one in meter_warnings(found.known, warm)]
    return " ".join(sentences)
