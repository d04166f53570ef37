"""A press with springs: their rate, the load of a squeeze, and what is left as the curd sinks."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, plain, require, within
from journal.reckoning.press import GRAVITY

# Modulus of rigidity, N/mm²: 11.5 and 10.6 million psi (Wahl, Mechanical Springs, restated).
MODULUS_N_MM2 = {"steel": 79_290.0, "stainless": 73_084.0}
LEAST_INDEX, MOST_INDEX = 4.0, 12.0
TIGHTEN_BELOW = 0.8  # of the load (common practice, no source)


def rate_of_wire_n_per_mm(
    wire_mm: Numbers, coil_mm: Numbers, turns: Numbers, modulus_n_mm2: float
) -> Numbers:
    """Rate of a helical spring, N/mm: G d⁴ / (8 D³ n).

    Parameters
    ----------
    wire_mm, coil_mm
        Of the wire, and of the coil from middle to middle of the wire.
    turns
        That move: two fewer than all for ends that are closed and ground.
    modulus_n_mm2
        Of the wire, N/mm².

    Notes
    -----
    Source: Wahl, Mechanical Springs, 2nd ed. (restated). For a coil 4 to 12 times the wire.
    """
    above(wire_mm, 0, "reckoning.wire", "mm")
    above(coil_mm, 0, "reckoning.coil", "mm")
    above(turns, 0, "reckoning.turns")
    above(modulus_n_mm2, 0, "reckoning.modulus", "N/mm²")
    return plain(modulus_n_mm2 * wire_mm**4 / (8 * coil_mm**3 * turns))


def rate_of_test_n_per_mm(load_kg: Numbers, squeeze_mm: Numbers) -> Numbers:
    """Rate of a spring that a known load squeezes so far, N/mm: load × 9.80665 / mm. Exact."""
    above(load_kg, 0, "reckoning.load", "kg")
    above(squeeze_mm, 0, "reckoning.squeeze", "mm")
    return load_kg * GRAVITY / squeeze_mm


def squeezed_load_kg(rate_n_per_mm: Numbers, squeeze_mm: Numbers, springs: Numbers = 1) -> Numbers:
    """Load of springs side by side, each squeezed so far, kg: rate × mm × springs / 9.80665."""
    above(rate_n_per_mm, 0, "reckoning.rate-of-spring", "N/mm")
    at_least(squeeze_mm, 0, "reckoning.squeeze", "mm")
    within(springs, 1, 20, "reckoning.number-of-springs")
    return rate_n_per_mm * squeeze_mm * springs / GRAVITY


def squeeze_for_load_mm(load_kg: Numbers, rate_n_per_mm: Numbers, springs: Numbers = 1) -> Numbers:
    """How far to squeeze for a load, mm: the reverse of `squeezed_load_kg`. Exact."""
    at_least(load_kg, 0, "reckoning.load", "kg")
    above(rate_n_per_mm, 0, "reckoning.rate-of-spring", "N/mm")
    within(springs, 1, 20, "reckoning.number-of-springs")
    return load_kg * GRAVITY / (rate_n_per_mm * springs)


def load_after_sinking_kg(
    rate_n_per_mm: float, squeeze_mm: float, sinks_mm: float, springs: float = 1
) -> float:
    """The load left when the curd has sunk so far and nobody has tightened, kg; never below 0."""
    at_least(sinks_mm, 0, "reckoning.sinking", "mm")
    return float(squeezed_load_kg(rate_n_per_mm, max(squeeze_mm - sinks_mm, 0.0), springs))


def sinking_to_tighten_mm(squeeze_mm: Numbers, below: float = TIGHTEN_BELOW) -> Numbers:
    """How far the curd may sink until that share of the load is left, mm: squeeze × (1 − share)."""
    at_least(squeeze_mm, 0, "reckoning.squeeze", "mm")
    require(0 < below < 1, "reckoning.tighten-share")
    return squeeze_mm * (1 - below)


def spring_warnings(index: float | None, lost_pct: float | None) -> tuple[Message, ...]:
    """A coil outside the formula, and a spring too stiff to hold its load as the curd sinks."""
    warnings: list[Message] = []
    if index is not None and not LEAST_INDEX <= index <= MOST_INDEX:
        warnings.append(Message("reckoning.spring-index"))
    if lost_pct is not None and lost_pct > 100 * (1 - TIGHTEN_BELOW):
        warnings.append(Message("reckoning.spring-slackens", pct=lost_pct))
    return tuple(warnings)
