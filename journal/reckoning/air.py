"""The air of a room from two thermometers: humidity, dew point, and how sure they are."""

from __future__ import annotations

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Floats, Numbers, plain, require, within

STANDARD_KPA = 101.325
# Water to dry air by molar mass, and the coefficients of Hyland and Wexler, as printed in the
# ASHRAE Handbook, Fundamentals (2017), chapter 1.
_RATIO = 0.621945
_TRIPLE_C = 0.01
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_ICE = (
    -5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019,
)  # fmt: skip
_LOWEST_C, _HIGHEST_C = -50.0, 100.0


def saturation_pa(temp_c: Numbers) -> Numbers:
    """Pressure of saturated water vapour, Pa, over ice below 0.01 °C and over water above.

    ASHRAE Handbook, Fundamentals (2017), chapter 1, equations 5 and 6, here for −50 to 100 °C.
    """
    within(temp_c, _LOWEST_C, _HIGHEST_C, "reckoning.temperature-of-air", "°C")
    t = np.asarray(temp_c, dtype=np.float64)
    return plain(np.where(t <= _TRIPLE_C, _vapour(t, _ICE), _vapour(t, _WATER)))


def standard_pressure_kpa(altitude_m: Numbers) -> Numbers:
    """The usual pressure of the air so high above the sea, kPa.

    101.325 (1 − 2.25577e-5 h)^5.2559: ASHRAE 2017, chapter 1, equation 3, −500 to 10,000 m.
    """
    within(altitude_m, -500, 10_000, "reckoning.altitude", "m")
    return plain(STANDARD_KPA * (1 - 2.25577e-5 * np.asarray(altitude_m)) ** 5.2559)


def saturated_humidity_ratio(temp_c: Numbers, pressure_kpa: Numbers = STANDARD_KPA) -> Numbers:
    """Water that saturated air holds, kg to a kg of dry air (ASHRAE 2017, equation 23)."""
    _pressure(pressure_kpa)
    vapour = saturation_pa(temp_c)
    total = np.asarray(pressure_kpa) * 1000
    require(vapour < total, "reckoning.air-boils")
    return plain(_RATIO * vapour / (total - vapour))


def rh_from_wet_bulb_pct(
    dry_c: Numbers, wet_c: Numbers, pressure_kpa: Numbers = STANDARD_KPA
) -> Numbers:
    """Relative humidity from a dry and a wet bulb, %.

    Humidity ratio by ASHRAE 2017, chapter 1, equations 33 (wet bulb above freezing) and 35 (ice),
    then against saturation at the dry bulb. The wet bulb is the thermodynamic one: a bulb in still
    air reads several points too moist; fan it.

    Raises
    ------
    ReckoningError
        When the wet bulb is above the dry one, or so far below that no air is so dry.
    """
    require(
        np.asarray(wet_c) <= np.asarray(dry_c),
        "reckoning.wet-bulb-warmer",
    )
    ratio = np.asarray(_humidity_ratio(dry_c, wet_c, pressure_kpa))
    require(ratio >= 0, "reckoning.air-too-dry")
    vapour = ratio * np.asarray(pressure_kpa) * 1000 / (_RATIO + ratio)
    return plain(np.minimum(100 * vapour / saturation_pa(dry_c), 100.0))


def dew_point_c(dry_c: Numbers, rh_pct: Numbers) -> Numbers:
    """Where water begins to fall out, °C: saturation there is the vapour's pressure here.

    Found by halving between −50 °C and the air's own temperature.
    """
    require(np.asarray(rh_pct) > 0, "reckoning.no-dew-point")
    within(rh_pct, 0, 100, "reckoning.relative-humidity", "%")
    dry = np.asarray(dry_c, dtype=np.float64)
    vapour = np.asarray(rh_pct) / 100 * saturation_pa(dry_c)
    require(vapour >= saturation_pa(_LOWEST_C), "reckoning.dew-point-too-low")
    shape = np.broadcast_shapes(dry.shape, vapour.shape)
    low, high = np.full(shape, _LOWEST_C), np.broadcast_to(dry, shape).copy()
    for _ in range(60):
        middle = (low + high) / 2
        over = np.asarray(saturation_pa(middle)) > vapour
        high, low = np.where(over, middle, high), np.where(over, low, middle)
    return plain((low + high) / 2)


def wet_bulb_c(dry_c: Numbers, rh_pct: Numbers, pressure_kpa: Numbers = STANDARD_KPA) -> Numbers:
    """The wet bulb that goes with a humidity, °C: the reverse of `rh_from_wet_bulb_pct`."""
    within(rh_pct, 0, 100, "reckoning.relative-humidity", "%")
    dry = np.asarray(dry_c, dtype=np.float64)
    vapour = np.asarray(rh_pct) / 100 * saturation_pa(dry_c)
    wanted = _RATIO * vapour / (np.asarray(pressure_kpa) * 1000 - vapour)
    shape = np.broadcast_shapes(dry.shape, np.shape(wanted))
    low, high = np.full(shape, _LOWEST_C), np.broadcast_to(dry, shape).copy()
    for _ in range(60):
        middle = (low + high) / 2
        over = np.asarray(_humidity_ratio(dry, middle, pressure_kpa)) > wanted
        high, low = np.where(over, middle, high), np.where(over, low, middle)
    return plain((low + high) / 2)


def rh_uncertainty_pct(
    dry_c: Numbers, wet_c: Numbers, thermometer_c: Numbers, pressure_kpa: Numbers = STANDARD_KPA
) -> Numbers:
    """How far the humidity may be off, points of %, for thermometers good to ± so many °C.

    First order: √(a² + b²) × the thermometer's error, a and b the change of humidity with each
    bulb; the two errors count as independent.
    """
    within(thermometer_c, 0, 10, "reckoning.error-of-thermometer", "°C")
    step = 1e-4
    ratio = _humidity_ratio(dry_c, wet_c, pressure_kpa)
    require(np.asarray(ratio) >= 0, "reckoning.air-too-dry")

    def raw(dry: Numbers, wet: Numbers) -> Numbers:
        w = _humidity_ratio(dry, wet, pressure_kpa)
        return 100 * w * pressure_kpa * 1000 / (_RATIO + w) / saturation_pa(dry)

    dry, wet = np.asarray(dry_c, dtype=np.float64), np.asarray(wet_c, dtype=np.float64)
    by_dry = (raw(dry + step, wet) - raw(dry - step, wet)) / (2 * step)
    by_wet = (raw(dry, wet + step) - raw(dry, wet - step)) / (2 * step)
    return plain(np.hypot(by_dry, by_wet) * thermometer_c)


def air_warnings(rh_pct: Numbers, uncertainty_pct: Numbers) -> tuple[Message, ...]:
    """What a pair of thermometers cannot tell in a damp room."""
    warnings: list[Message] = []
    most = float(np.max(uncertainty_pct))
    if np.any(np.asarray(rh_pct) >= 90):
        warnings.append(Message("reckoning.damp-air"))
    if most > 5:
        warnings.append(Message("reckoning.humidity-unsure", points=most))
    return tuple(warnings)


def _humidity_ratio(dry_c: Numbers, wet_c: Numbers, pressure_kpa: Numbers) -> Numbers:
    at_wet = np.asarray(saturated_humidity_ratio(wet_c, pressure_kpa))
    dry, wet = np.asarray(dry_c, dtype=np.float64), np.asarray(wet_c, dtype=np.float64)
    water = ((2501 - 2.326 * wet) * at_wet - 1.006 * (dry - wet)) / (
        2501 + 1.86 * dry - 4.186 * wet
    )
    ice = ((2830 - 0.24 * wet) * at_wet - 1.006 * (dry - wet)) / (2830 + 1.86 * dry - 2.1 * wet)
    return plain(np.where(wet >= 0, water, ice))


def _vapour(temp_c: Floats, c: tuple[float, ...]) -> Floats:
    t = temp_c + 273.15
    powers = c[0] / t + c[1] + c[2] * t + c[3] * t**2 + c[4] * t**3 + c[5] * t**4
    return np.asarray(np.exp(powers + c[6] * np.log(t)), dtype=np.float64)


def _pressure(pressure_kpa: Numbers) -> None:
    within(pressure_kpa, 20, 120, "reckoning.pressure-of-air", "kPa")
