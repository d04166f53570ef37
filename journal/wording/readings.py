"""How a reading is written: its value with its unit, or with pH before it."""

from __future__ import annotations

from journal.records.kinds import READING_KINDS


def value_text(kind: str, value: float) -> str:
    """A reading's value with its unit: "34.3 °C", "pH 6.52"."""
    spec = READING_KINDS[kind]
    number = f"{value:.{spec.digits}f}"
    return f"pH {number}" if spec.unit == "pH" else f"{number} {spec.unit}"
