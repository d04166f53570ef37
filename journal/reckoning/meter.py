"""A pH meter's electrode: its slope against the Nernst equation, and whether it still serves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.message import Message
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
    within(temp_c, -5, 130, "reckoning.temperature-of-buffers", "°C")
    return np.log(10.0) * _GAS * (temp_c + _KELVIN) / _FARADAY * 1000  # type: ignore[no-any-return]


def reading_mv(shown_ph: Numbers, temp_c: Numbers) -> Numbers:
    """The mV behind a pH that an unadjusted meter shows: (7 − pH) × Nernst."""
    within(shown_ph, 0, 14, "reckoning.ph-shown")
    return (NEUTRAL_PH - shown_ph) * nernst_mv_per_ph(temp_c)


@dataclass(frozen=True)
class Electrode:
    """Slope (positive: mV lost for a pH gained), its % of Nernst, mV at pH 7, and what to do."""

    slope_mv_per_ph: float
    slope_pct: float
    offset_mv: float
    verdict: Message


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
    require(ph.size == mv.size, "reckoning.reading-for-each-buffer")
    require(np.unique(ph).size >= 2, "reckoning.two-buffers")
    within(ph, 0, 14, "reckoning.ph-of-buffer")
    require(np.all(np.isfinite(mv)), "reckoning.reading-no-number")
    x = NEUTRAL_PH - ph
    centre = float(x.mean())
    slope = float(((x - centre) * (mv - mv.mean())).sum() / ((x - centre) ** 2).sum())
    offset = float(mv.mean() - slope * centre)
    pct = 100 * slope / float(nernst_mv_per_ph(temp_c))
    return Electrode(slope, pct, offset, _verdict(pct, offset))


def _verdict(slope_pct: float, offset_mv: float) -> Message:
    if slope_pct <= 0:
        return Message("reckoning.electrode-wrong-way-round")
    if slope_pct < 90 or slope_pct > 105:
        return Message("reckoning.electrode-to-replace")
    if slope_pct < 95 or slope_pct > 102 or abs(offset_mv) > 30:
        return Message("reckoning.electrode-serviceable")
    return Message("reckoning.electrode-good")


def meter_warnings(buffers_ph: npt.ArrayLike, temp_c: float) -> tuple[Message, ...]:
    """Where a calibration says little about curd."""
    warnings: list[Message] = []
    ph = np.asarray(buffers_ph, dtype=float)
    if ph.min() > 5.2 or ph.max() < 6.6:
        warnings.append(Message("reckoning.buffers-one-side"))
    if float(np.ptp(ph)) < 2:
        warnings.append(Message("reckoning.buffers-close"))
    if temp_c < 5 or temp_c > 50:
        warnings.append(Message("reckoning.buffers-cold-or-warm"))
    return tuple(warnings)
