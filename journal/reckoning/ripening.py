"""Ages made equal: the days of one room in the days of another."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning.bounds import Floats, above, outside, require, within

# White cheddar was liked as well after 8 months at 10 °C as after 12 at 7.2 (J. Food Sci. 85,
# 268, 2020, abstract): 4.3 times as fast for 10 °C. The rule of thumb is twice (no source).
TRIAL_TIMES_PER_10_C = float((12 / 8) ** (10 / (10 - 7.2)))
RULE_TIMES_PER_10_C = 2.0
# The rooms of the published trials: 4.4 to 15.6 °C (Thom & Fisk 1918), 8 to 16 °C (1996).
PUBLISHED_C = (4.0, 16.0)
LATE_GAS_C = 10.0
MOST_C, MOST_TIMES = (
    60.0,
    100.0,
)  # far beyond any room a cheese ripens in; what is more was mistyped


def degree_days(days: npt.ArrayLike, temp_c: npt.ArrayLike) -> float:
    """°C × days over several rooms, from 0 °C.

    Ripening, as soluble nitrogen, grows closely in proportion to the temperature (Thom & Fisk
    1918, par. 241, from 0 to 16 °C); that it stands still at 0 °C is common practice, no source.
    """
    spans, temps = _both(days, temp_c)
    return float(np.sum(spans * temps))


def equal_days(days: npt.ArrayLike, temp_c: npt.ArrayLike, to_c: float) -> float:
    """The days at another temperature with as many degree-days: degree-days / °C."""
    above(to_c, 0, "reckoning.temperature-of-room", "°C")
    within(to_c, 0, MOST_C, "reckoning.temperature-of-room", "°C")
    return degree_days(days, temp_c) / to_c


def equal_days_by_rate(
    days: npt.ArrayLike, temp_c: npt.ArrayLike, to_c: float, times_per_10_c: float
) -> float:
    """The days at another temperature where 10 °C more is so many times as fast.

    Σ days × times^((°C − to) / 10).
    """
    spans, temps = _both(days, temp_c)
    above(to_c, 0, "reckoning.temperature-of-room", "°C")
    within(to_c, 0, MOST_C, "reckoning.temperature-of-room", "°C")
    above(times_per_10_c, 1, "reckoning.times-as-fast")
    within(times_per_10_c, 1, MOST_TIMES, "reckoning.times-as-fast")
    return float(np.sum(spans * times_per_10_c ** ((temps - to_c) / 10)))


def ripening_warnings(temp_c: npt.ArrayLike) -> tuple[Message, ...]:
    """Where a room is outside the trials, or warm enough for late gas."""
    temps = np.asarray(temp_c, dtype=np.float64)
    warnings: list[Message] = []
    if outside(temps, *PUBLISHED_C):
        warnings.append(Message("reckoning.room-outside-trials"))
    if np.any(temps >= LATE_GAS_C):
        warnings.append(Message("reckoning.room-of-late-gas"))
    return tuple(warnings)


def _both(days: npt.ArrayLike, temp_c: npt.ArrayLike) -> tuple[Floats, Floats]:
    spans = np.atleast_1d(np.asarray(days, dtype=np.float64))
    temps = np.atleast_1d(np.asarray(temp_c, dtype=np.float64))
    require(spans.size == temps.size and spans.size > 0, "reckoning.room-for-each-age")
    above(spans, 0, "reckoning.time", "d")
    above(temps, 0, "reckoning.temperature-of-room", "°C")
    within(temps, 0, MOST_C, "reckoning.temperature-of-room", "°C")
    return spans, temps
