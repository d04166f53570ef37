"""A pH meter's electrode: its slope against the Nernst equation, and whether it still serves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.reckoning.bounds import Numbers, require, within

# Exact SI constants (2019).
_GAS = 8.31446261815324
_FARADAY = 96485.33212
_KELVIN = 273.15
NEUTRAL_PH = 7.0


def nernst_mv_per_ph(temp_c: Numbers) -> Numbers:
    """What a perfect electrode falls for a rise of one pH, mV: 2.302585 R T / F.

    59.16 mV at 25 °C. For 0 to 100 °C.
    """
    within(temp_c, -5, 130, "temperature of the buffers", "°C")
    return np.log(10.0) * _GAS * (temp_c + _KELVIN) / _FARADAY * 1000  # type: ignore[no-any-return]


def reading_mv(shown_ph: Numbers, temp_c: Numbers) -> Numbers:
    """The mV behind a pH that an unadjusted meter shows: (7 − pH) × Nernst."""
    within(shown_ph, 0, 14, "pH shown")
    return (NEUTRAL_PH - shown_ph) * nernst_mv_per_ph(temp_c)


@dataclass(frozen=True)
class Electrode:
    """Slope (positive: mV lost for a pH gained), its % of Nernst, mV at pH 7, and what to do."""

    slope_mv_per_ph: float
    slope_pct: float
    offset_mv: float
    verdict: str


def electrode(buffers_ph: npt.ArrayLike, readings_mv: npt.ArrayLike, temp_c: float) -> Electrode:
    """Slope and offset of one electrode from its readings in two or more buffers.

    A straight line by least squares (through two points exactly): mV = offset + slope (7 − pH).
    The verdict's bounds (95 to 102 % and ±30 mV good, from 90 % serviceable) are common practice,
    no source.

    Raises
    ------
    ReckoningError
        For fewer than two different buffers, or not one reading each.
    """
    ph = np.asarray(buffers_ph, dtype=np.float64).ravel()
    mv = np.asarray(readings_mv, dtype=np.float64).ravel()
    require(ph.size == mv.size, "Give one reading for each buffer, with a semicolon between.")
    require(np.unique(ph).size >= 2, "Give two different buffers at least, like 4.01 and 7.00.")
    within(ph, 0, 14, "pH of a buffer")
    require(np.all(np.isfinite(mv)), "A reading in mV is not a number.")
    x = NEUTRAL_PH - ph
    centre = float(x.mean())
    slope = float(((x - centre) * (mv - mv.mean())).sum() / ((x - centre) ** 2).sum())
    offset = float(mv.mean() - slope * centre)
    pct = 100 * slope / float(nernst_mv_per_ph(temp_c))
    return Electrode(slope, pct, offset, _verdict(pct, offset))


def _verdict(slope_pct: float, offset_mv: float) -> str:
    if slope_pct <= 0:
        return "wrong way round: check which reading belongs to which buffer"
    if slope_pct < 90 or slope_pct > 105:
        return "replace: clean it and try fresh buffers, and replace it if that does not help"
    if slope_pct < 95 or slope_pct > 102 or abs(offset_mv) > 30:
        return "serviceable: clean it and calibrate again with fresh buffers"
    return "good"


def meter_warnings(buffers_ph: npt.ArrayLike, temp_c: float) -> list[str]:
    """Where a calibration says little about curd."""
    said = []
    ph = np.asarray(buffers_ph, dtype=float)
    if ph.min() > 5.2 or ph.max() < 6.6:
        said.append("Take buffers either side of curd and milk, such as 4.01 and 7.00.")
    if float(np.ptp(ph)) < 2:
        said.append("Buffers less than 2 pH apart tell little about the slope.")
    if temp_c < 5 or temp_c > 50:
        said.append("Buffers are printed for room temperature; bring them to 15 to 40 °C.")
    return said
