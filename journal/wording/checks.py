"""What the last check of an instrument said, and what it does to readings."""

from __future__ import annotations

from collections.abc import Sequence

from journal.reckoning.meter import meter_warnings
from journal.records.calibrations import INSTRUMENTS, Calibration, Checks
from journal.records.instants import local
from journal.wording.ages import ago
from journal.wording.letters import capital
from journal.wording.numbers import minus
from journal.wording.sentences import text_of, word_of, worded
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
                report.append(last_check_words(held, now_ms, zone))
    words = "; ".join(report)
    return capital(words)


def instrument_words(instrument: str) -> str:
    """An instrument as it is called: "bath thermometer"."""
    return word_of("wording.instrument-", instrument)


def last_check_words(held: Calibration, now_ms: int, zone: str) -> str:
    """One check: "meter checked 12 days ago, slope 97 %"."""
    name = instrument_words(held.instrument)
    if held.source:
        name = worded("wording.instrument-of", instrument=name, source=held.source)
    when = ago(held.at_ms, now_ms, zone)
    which = "wording.checked"
    if held.corrects_nothing:
        today = local(held.at_ms, zone).date() >= local(now_ms, zone).date()
        which = "wording.not-corrected" if today else "wording.not-corrected-since"
    return worded(which, instrument=name, when=when, does=does_words(held))


def does_words(held: Calibration) -> str:
    """What a check found and so does: "slope 97 %", "corrected by −0.4 °C", "right"."""
    electrode = held.electrode
    if electrode is not None:
        return worded("wording.slope", slope=electrode.slope_pct)
    off = held.shown[0] - held.known[0]
    sign = "+" if off < 0 else ""
    which = "wording.reads-right" if abs(off) < RIGHT_C else "wording.corrected-by"
    return worded(which, off=f"{sign}{apart(-off)}")


def follows_words(found: Calibration) -> str:
    """What a check says of its instrument."""
    electrode = found.electrode
    if electrode is None:
        off = found.shown[0] - found.known[0]
        if abs(off) < RIGHT_C:
            return worded("wording.right-in-ice")
        return worded("wording.reads-off", off=abs(off), high=off > 0)
    warm = 25.0 if found.temp_c is None else found.temp_c
    offset = minus(f"{electrode.offset_mv:+.0f}")
    slope, verdict = electrode.slope_pct, electrode.verdict
    sentences = [worded("wording.slope-found", slope=slope, offset=offset, verdict=verdict)]
    sentences += [text_of(one) for one in meter_warnings(found.known, warm)]
    return " ".join(sentences)
