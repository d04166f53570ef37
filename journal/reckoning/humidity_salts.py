"""The humidity over a wet salt in a closed box, and a hygrometer checked against it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning.bounds import Floats, require, within

# How far a box in a kitchen may be off: the handbooks' own fit is good to 2 points (CRC), the
# salts themselves to less than one (Greenspan 1977).
OFF_PCT = 2.0


def salt_rh_pct(temp_c: float, table_c: npt.ArrayLike, table_pct: npt.ArrayLike) -> float:
    """Relative humidity over one saturated salt with some left undissolved, %.

    In straight lines between the published temperatures, refused beyond them. Source: Greenspan
    1977, restated.
    """
    temps = np.asarray(table_c, dtype=np.float64)
    require(temps.size >= 2, "reckoning.salt-not-published")
    within(temp_c, float(temps[0]), float(temps[-1]), "reckoning.temperature-of-box", "°C")
    return float(np.interp(temp_c, temps, np.asarray(table_pct, dtype=np.float64)))


def hygrometer_line(shown_pct: npt.ArrayLike, true_pct: npt.ArrayLike) -> tuple[float, float]:
    """Slope and offset that turn what a hygrometer shows into what is: true = slope × shown + off.

    One salt gives an offset alone (slope 1), two give both.

    Raises
    ------
    ReckoningError
        For a reading without its salt, the same reading over two salts, or more than two.
    """
    shown, true = _points(shown_pct), _points(true_pct)
    require(shown.size == true.size and 1 <= shown.size <= 2, "reckoning.reading-for-each-salt")
    if shown.size == 1:
        return 1.0, float(true[0] - shown[0])
    rise = float(shown[1] - shown[0])
    require(abs(rise) >= 1.0 and rise * (true[1] - true[0]) > 0, "reckoning.hygrometer-stuck")
    slope = float(true[1] - true[0]) / rise
    return slope, float(true[0] - slope * shown[0])


def corrected_rh_pct(reading_pct: float, slope: float, offset_pct: float) -> float:
    """What is, where a hygrometer shows that: slope × reading + offset, 0 to 100 %."""
    within(reading_pct, 0, 100, "reckoning.relative-humidity", "%")
    return min(max(slope * reading_pct + offset_pct, 0.0), 100.0)


def hygrometer_warnings(
    errors_pct: Sequence[float], reading_pct: float | None, true_pct: Sequence[float]
) -> tuple[Message, ...]:
    """A hygrometer that is far off, and a correction that reaches beyond what was checked."""
    warnings: list[Message] = []
    if any(abs(error) > 10 for error in errors_pct):
        warnings.append(Message("reckoning.hygrometer-far-off"))
    if reading_pct is not None and true_pct and reading_pct > max(true_pct) + 10:
        warnings.append(Message("reckoning.hygrometer-beyond-check"))
    return tuple(warnings)


def _points(values: npt.ArrayLike) -> Floats:
    found = np.atleast_1d(np.asarray(values, dtype=np.float64))
    within(found, 0, 100, "reckoning.relative-humidity", "%")
    return found
