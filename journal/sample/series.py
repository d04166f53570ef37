"""The kitchen's one designed series: eight hard makes set up beforehand, each with its plan."""

from __future__ import annotations

from dataclasses import dataclass, replace

from journal.findings.series import design
from journal.findings.series_plans import factors_of, rounded, variants
from journal.records.instants import DAY_MS
from journal.records.plans import Plan
from journal.records.series import Series
from journal.sample.design import Intent
from journal.sample.seeds import MAKE, identity, stream

MAKES = (4, 5, 8, 9, 10, 13, 17, 18)  # the numbers of its makes; 14 was to be one, and failed
NAME = "salt, cook and curd size"
KEYS = ("salt_in_curd", "cook_temperature", "curd_size")
LOW, HIGH = (2.0, 37.4, 8.0), (2.8, 39.0, 12.0)  # % of the curd, °C, mm
MILL_PH, CAREFUL = 5.48, 0.3  # where they were to be milled, and how far off they still come
_BEFORE_DAYS = 5  # how long before its first make it was set up


@dataclass(frozen=True)
class SimulatedSeries:
    """The series with a plan and the wanted values for each of its makes, in their order."""

    series: Series
    base: Plan
    plans: tuple[Plan, ...]
    wanted: tuple[tuple[float, ...], ...]

    def begun(self, first_ms: int) -> Series:
        """The series as it is kept, its first make begun at `first_ms`."""
        return replace(self.series, begun_ms=first_ms - _BEFORE_DAYS * DAY_MS)

    def meant(self, number: int, intent: Intent) -> Intent:
        """What a make of it was meant to be: its values, milled with care, and everything else as
        always."""
        salt, cook_c, cut_mm = self.wanted[MAKES.index(number)]
        version = replace(intent.version, cook_c=cook_c, cut_mm=cut_mm)
        return replace(
            intent,
            version=version,
            salt_g_per_kg=10.0 * salt + intent.salt_off,
            mill_ph=MILL_PH + CAREFUL * (intent.mill_ph - MILL_PH),
        )


def set_up_series(seed: int, base: Plan) -> SimulatedSeries:
    """The series from a plan, as the form of series lays it out; when, is known with its first
    make."""
    planned = design(factors_of(KEYS, LOW, HIGH), len(MAKES), seed=seed)
    rng = stream(seed, MAKE, 0, 1 << 20)
    plans = tuple(replace(plan, uuid=identity(rng)) for plan in variants(base, KEYS, planned))
    series = Series(NAME, 0, KEYS, LOW, HIGH, planned.kind, uuid=identity(rng))
    return SimulatedSeries(series, base, plans, tuple(rounded(KEYS, planned)))
