"""How a reading is written: its value with its unit, or with pH before it."""

from __future__ import annotations

from journal.curves.trend import EXACT_C, WOKEN_C
from journal.quantities.units import stored_unit
from journal.records.kinds import READING_KINDS, ReadingKind
from journal.wording.counts import counted
from journal.wording.dates import clock
from journal.wording.shown import shown_figure, shown_unit, write

_NAMED = 3


def value_text(kind: str, value: float) -> str:
    """A reading's value with its unit: "34.3 °C", "pH 6.52"."""
    spec = READING_KINDS[kind]
    if spec.unit == "pH":
        return f"pH {value:.{spec.digits}f}"
    return f"{figure_text(kind, value)} {unit_text(kind)}"


def readings_words(kind: str, number: int, low: float, high: float) -> str:
    """How many there are of a kind, and between what: "milk: 12 readings from 31.0 to 33.5 °C"."""
    readings = counted(number, "reading")
    between = f"from {figure_text(kind, low)} to {value_text(kind, high)}"
    return f"{READING_KINDS[kind].label}: {readings} {between}"


def reading_name(spec: ReadingKind) -> str:
    """What is read, in a list of all kinds: "milk temperature", "curd pH"."""
    return f"{spec.label} temperature" if spec.quantity == "temperature" else spec.label


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
    what = "thermometer" if kind.endswith("temp") else "meter"
    digits = READING_KINDS[kind].digits
    if round(off, digits) == 0:
        return f"this {what} reads right"
    apart = f"{abs(off):.{digits}f}"
    if what == "thermometer":
        apart = shown_figure(abs(off), "temperature_difference", digits)
    return f"this {what} reads {apart} too {'high' if off > 0 else 'low'}"


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
        f"{reading_text(kind, value)} at {clock(at, zone)}" for at, kind, value in found[:_NAMED]
    ]
    more = len(found) - len(named)
    listed = ", ".join(named) + (f" and {more:,} more" if more else "")
    marked = "is marked" if len(found) == 1 else "are marked"
    sentences = [f"{counted(len(found), 'value')} {marked} as doubtful: {listed}."]
    if any(
        abs(value - WOKEN_C) < EXACT_C and READING_KINDS[kind].quantity == "temperature"
        for _, kind, value in found
    ):
        woken = write(WOKEN_C, "temperature")
        sentences.append(f"Exactly {woken} is what some sensors show before they have measured.")
    return sentences
