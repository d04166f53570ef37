"""The vat: how its content warms and cools, solved exactly piece by piece."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class SimulatedVat:
    """What a vat is: dT/dt = gain · P − loss · (T − room), and P follows the knob with a lag.

    `gain_c_per_min` is the warming at full heat, `loss_per_min` Newton's coefficient of cooling,
    `lag_min` the time constant with which the heat follows the knob (water bath, thick base): it
    is what lets the milk coast past its target.
    """

    gain_c_per_min: float
    loss_per_min: float
    lag_min: float
    room_c: float


@dataclass(frozen=True)
class KnobSpan:
    """A span with the knob untouched: how it began."""

    at_min: float
    temp_c: float
    heat: float
    knob: float
    vessel: SimulatedVat


def after(piece: KnobSpan, minutes: float) -> tuple[float, float]:
    """Temperature (°C) and heat (0 to 1) `minutes` into a piece, from the exact solution."""
    settled, slow, fast = _terms(piece)
    vessel = piece.vessel
    fade = math.exp(-minutes / vessel.lag_min)
    temp = settled + slow * math.exp(-vessel.loss_per_min * minutes) + fast * fade
    return temp, piece.knob + (piece.heat - piece.knob) * fade


def _terms(piece: KnobSpan) -> tuple[float, float, float]:
    """The constants of T = settled + slow · exp(−loss t) + fast · exp(−t / lag)."""
    vessel = piece.vessel
    settled = vessel.room_c + vessel.gain_c_per_min * piece.knob / vessel.loss_per_min
    fast = (
        vessel.gain_c_per_min
        * (piece.heat - piece.knob)
        / (vessel.loss_per_min - 1.0 / vessel.lag_min)
    )
    return settled, piece.temp_c - settled - fast, fast


class Vat:
    """A day at one vat: what is in it now, and every piece so far."""

    def __init__(self, vessel: SimulatedVat, temp_c: float) -> None:
        self.pieces = [KnobSpan(0.0, temp_c, 0.0, 0.0, vessel)]
        self.at_min, self.temp_c, self.heat = 0.0, temp_c, 0.0

    @property
    def vessel(self) -> SimulatedVat:
        """The vessel as it is (drained curd loses its heat faster than a full vat)."""
        return self.pieces[-1].vessel

    def turn(self, knob: float) -> None:
        """Set the heat's knob, 0 to 1."""
        self._begin(knob, self.temp_c, self.vessel)

    def become(self, vessel: SimulatedVat) -> None:
        """Go on as another vessel: drained, milled, in the mould."""
        self._begin(self.pieces[-1].knob, self.temp_c, vessel)

    def pour(self, water_c: float, share: float) -> None:
        """Stir in water that then makes up `share` of the content."""
        knob = self.pieces[-1].knob
        self._begin(knob, self.temp_c + share * (water_c - self.temp_c), self.vessel)

    def run(self, minutes: float) -> None:
        """Let `minutes` pass."""
        self.at_min += minutes
        piece = self.pieces[-1]
        self.temp_c, self.heat = after(piece, self.at_min - piece.at_min)

    def temperature_at(self, at_min: Floats) -> Floats:
        """The true °C at `at_min` (minutes from the start, any shape, 0 or later)."""
        starts = np.array([piece.at_min for piece in self.pieces])
        terms = np.array(
            [(*_terms(p), p.vessel.loss_per_min, p.vessel.lag_min) for p in self.pieces]
        )
        which = np.maximum(np.searchsorted(starts, at_min, side="right") - 1, 0)
        passed = at_min - starts[which]
        settled, slow, fast, loss, lag = terms[which].T
        out: Floats = settled + slow * np.exp(-loss * passed) + fast * np.exp(-passed / lag)
        return out

    def _begin(self, knob: float, temp_c: float, vessel: SimulatedVat) -> None:
        piece = KnobSpan(self.at_min, temp_c, self.heat, knob, vessel)
        if self.pieces[-1].at_min == self.at_min:
            self.pieces[-1] = piece
        else:
            self.pieces.append(piece)
        self.temp_c = temp_c


def full(litres: float, room_c: float) -> SimulatedVat:
    """The kitchen's vat full of milk: the more milk, the slower it warms and cools."""
    return SimulatedVat(
        0.92 * (12.0 / litres) ** 0.25, 0.0046 * (12.0 / litres) ** (1 / 3), 3.5, room_c
    )


def drained(vessel: SimulatedVat) -> SimulatedVat:
    """The same vat with only curd in it."""
    return SimulatedVat(vessel.gain_c_per_min * 1.8, vessel.loss_per_min * 1.7, 5.0, vessel.room_c)


def moulded(vessel: SimulatedVat) -> SimulatedVat:
    """Curd in its mould under the press: nothing heats it."""
    return SimulatedVat(0.0, 0.0085, 5.0, vessel.room_c)
