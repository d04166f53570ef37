"""The hand at the vat: looks at the thermometer every few minutes and turns the heat."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from journal.sample.culture import Souring
from journal.sample.vat import Vat

_DRAWN = 600  # random numbers drawn at once; a day needs fewer


class Hand:
    """Someone at a vat. Passing time is only ever let pass here, so vat and culture agree."""

    def __init__(self, rng: np.random.Generator, vat: Vat) -> None:
        self.vat = vat
        self.souring: Souring | None = None
        noise: list[float] = rng.normal(0.0, 1.0, _DRAWN).tolist()
        self._noise = iter(noise)
        self._skill = float(rng.uniform(0.45, 0.85))  # of the coasting that is expected

    @property
    def at_min(self) -> float:
        """Minutes from the start."""
        return self.vat.at_min

    @property
    def ph(self) -> float:
        """Curd pH now; milk's own before there is a culture."""
        return self.souring.ph if self.souring else 6.7

    def wait(self, minutes: float) -> None:
        """Let time pass with the knob untouched."""
        while minutes > 1e-9:
            step = min(minutes, 6.0)
            before = self.vat.temp_c
            self.vat.run(step)
            if self.souring:
                self.souring.run(self.at_min, before, self.vat.temp_c)
            minutes -= step

    def hold(
        self,
        minutes: float,
        aim: Callable[[float], float],
        *,
        every: float = 4.0,
        ahead: float = 7.0,
        enough: Callable[[], bool] | None = None,
    ) -> None:
        """Keep the vat on `aim` (°C at minutes from the start) for `minutes`, or until `enough`."""
        end = self.at_min + minutes
        while self.at_min < end - 1e-9 and not (enough and enough()):
            self.vat.turn(self._knob(aim(self.at_min + ahead), ahead))
            look = every * (1.0 + 0.25 * max(min(self._draw(), 2.0), -2.0))
            self.wait(min(look, end - self.at_min))

    def off(self, minutes: float) -> None:
        """Turn the heat off and let time pass."""
        self.vat.turn(0.0)
        self.wait(minutes)

    def _knob(self, wanted_c: float, ahead: float) -> float:
        vessel = self.vat.vessel
        seen = self.vat.temp_c + 0.12 * self._draw()
        coming = self._skill * vessel.gain_c_per_min * self.vat.heat * vessel.lag_min
        climb = (wanted_c - seen - coming) / ahead
        knob = (climb + vessel.loss_per_min * (seen - vessel.room_c)) / vessel.gain_c_per_min
        return round(min(max(knob * (1.0 + 0.08 * self._draw()), 0.0), 1.0) * 20) / 20

    def _draw(self) -> float:
        return next(self._noise)
