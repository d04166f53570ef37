"""Where the acid of a cheese ends, by what its plan does with the curd."""

from __future__ import annotations

from typing import NamedTuple

from journal.records.plans import Plan


class End(NamedTuple):
    """The pH at which the acid ends and how far one cheese of that kind lies from another."""

    ph: float
    spread: float


# University of Guelph unless named. Milk or curd of which nothing is known: midway between feta at
# 4.4 and cheddar at 5.1. Curd that is not pressed keeps its whey and so its sugar: feta 4.7 at 20
# to 24 h and 4.4 in the end, camembert 4.6 to 4.9 at 8 to 12 h and still falling, cream 4.6.
# Lactic: quark 4.5 (table 1.2), and its own acid stops the culture a little below. Pressed: cheddar
# 4.9 to 5.1 at 14 days, 4.9 and 5.0 at a month (J. Milk Sci. Biotechnol. 35(2):85). Washed: gouda
# goes into the brine at 5.15 to 5.25. Cooked hot: swiss under 5.2 at 21 h, best 5.0 to 5.15 (J.
# Dairy Sci., abstract). The spreads are from memory.
UNKNOWN = End(4.75, 0.22)
LACTIC, SOFT = End(4.35, 0.13), End(4.50, 0.17)
PRESSED, WASHED, HOT = End(4.98, 0.14), End(5.15, 0.12), End(5.05, 0.10)
SOURED_WHOLE_MIN = 180.0  # milk without rennet that ripens so long is soured whole: quark, yoghurt
HOT_C = 48.0  # curd cooked above it is of the hot kind (gruyere, emmental, parmesan)


def end_of(plan: Plan, family: str = "") -> End:
    """Where the acid of a plan's curd ends; `family` as acid_limits.family_of tells it."""
    kinds = {stage.kind for stage in plan.stages}
    if family == "lactic" or _soured_whole(plan):
        return LACTIC
    if is_washed(plan):
        return WASHED
    if any(s.kind == "cook" and (s.target_c or 0.0) >= HOT_C for s in plan.stages):
        return HOT
    if kinds & {"press", "cheddar", "mill"}:
        return PRESSED
    return SOFT if "mould" in kinds else UNKNOWN


def _soured_whole(plan: Plan) -> bool:
    """Whether the milk itself sours by its culture until it is thick, without rennet."""
    rennet = any(dose.kind == "rennet" for stage in plan.stages for dose in stage.doses)
    long = any(s.kind == "ripen" and s.minutes >= SOURED_WHOLE_MIN for s in plan.stages)
    return plan.cultured and long and not rennet


def is_washed(plan: Plan) -> bool:
    """Whether water takes some of the sugar out of the curd, so that it ends sweeter."""
    return any(stage.water_added_per_l > 0 for stage in plan.stages)
