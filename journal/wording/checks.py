"""What the last check of an instrument said, and what it does to readings."""

from __future__ import annotations

from journal.reckoning.meter import meter_warnings
from journal.records.calibrations import Calibration
from journal.wording.numbers import minus
from journal.wording.sentences import text_of
from journal.wording.shown import apart


def follows_words(found: Calibration) -> str:
    """What a check says of its instrument."""
    electrode = found.electrode
    if electrode is None:
        off = found.shown[0] - found.known[0]
        if abs(off) < 0.05:
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
