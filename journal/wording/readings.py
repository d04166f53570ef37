"""How a reading is written: its value with its unit, or with pH before it."""

from __future__ import annotations

from journal.curves.trend import EXACT_C, WOKEN_C
from journal.message import Instant, Message
from journal.quantities.units import stored_unit
from journal.records.kinds import READING_KINDS, ReadingKind
from journal.wording.sentences import worded
from journal.wording.shown import shown_figure, shown_unit, unit_ahead

_NAMED = 3


def value_text(kind: str, value: float) -> str:
    """A reading's value with its unit: "34.3 °C", "pH 6.52"."""
    spec = READING_KINDS[kind]
    if spec.unit == "pH":
        return f"{unit_ahead(spec.unit)}{value:.{spec.digits}f}"
    return f"{figure_text(kind, value)} {unit_text(kind)}"


def readings_words(kind: str, number: int, low: float, high: float) -> str:
    """How many there are of a kind, and between what: "milk: 12 readings from 31.0 to 33.5 °C"."""
    low_text, high_text = figure_text(kind, low), value_text(kind, high)
    return worded("wording.reading-many", kind=kind, readings=number, low=low_text, high=high_text)


def reading_name(spec: ReadingKind) -> str:
    """What is read, in a list of all kinds: "milk temperature", "curd pH"."""
    if spec.quantity == "temperature":
        return worded("wording.reading-temperature", what=spec.label)
    return spec.label


def figure_text(kind: str, value: float) -> str:
    """The bare number of it, in the unit it is shown in."""
    spec = READING_KINDS[kind]
    return shown_figure(value, spec.quantity, spec.digits)


def unit_text(kind: str) -> str:
    """The unit a reading is shown in: "°C"."""
    spec = READING_KINDS[kind]
    shown = shown_unit(spec.quantity)
    return spec.unit if shown.key == stored_unit(spec.quantity).key else shown.label


def off_words(kind: str, off: float) -> str:
    """How far the instrument is off there: "this thermometer reads 0.6 too high"."""
    warmth, digits = kind.endswith("temp"), READING_KINDS[kind].digits
    if round(off, digits) == 0:
        return worded("wording.thermometer-right" if warmth else "wording.meter-right")
    if warmth:
        which = "wording.thermometer-high" if off > 0 else "wording.thermometer-low"
        apart = shown_figure(abs(off), "temperature_difference", digits)
        return worded(which, apart=apart)
    which = "wording.meter-high" if off > 0 else "wording.meter-low"
    return worded(which, apart=f"{abs(off):.{digits}f}")


def reading_text(kind: str, value: float) -> str:
    """A reading as it was understood: "milk 31.4 °C", "curd pH 5.42"."""
    spec = READING_KINDS[kind]
    unit = "" if spec.unit == "pH" else f" {unit_text(kind)}"
    return f"{spec.label} {figure_text(kind, value)}{unit}"


def doubtful_lines(found: list[tuple[int, str, float]], zone: str) -> list[str]:
    """How many values are marked, the first of them by name."""
    if not found:
        return []
    named = [
        Message("wording.reading-at", reading=reading_text(kind, value), at=Instant(at, zone))
        for at, kind, value in found[:_NAMED]
    ]
    more = len(found) - len(named)
    which = "wording.reading-doubtful-more" if more else "wording.reading-doubtful"
    sentences = [worded(which, count=len(found), readings=named, more=more)]
    if any(
        abs(value - WOKEN_C) < EXACT_C and READING_KINDS[kind].quantity == "temperature"
        for _, kind, value in found
    ):
        sentences.append(worded("wording.reading-woken", woken=WOKEN_C))
    return sentences
