"""What is set once at a stage, in words for the hand: load, whey, water, brine, air, sizes."""

from __future__ import annotations

from collections.abc import Iterator

from journal.quantities.written import write
from journal.records.plan_expected import press_load_kg
from journal.records.plans import Plan, Stage
from journal.records.stage_written import size_text


def settings_of(plan: Plan, stage: Stage, litres: float) -> Iterator[str]:
    """Each thing to set, for so much milk: "press with 9.0 kg on each mould of 150 mm (5 kPa)"."""
    if stage.size_mm is not None:
        yield f"pieces of {size_text(stage.size_mm)}"
    if stage.whey_drawn_per_l:
        yield f"draw {write(stage.whey_drawn_per_l * litres, 'volume', digits=1)} of whey"
    if stage.water_added_per_l:
        warm = "" if stage.water_c is None else f" at {stage.water_c:g} °C"
        water = write(stage.water_added_per_l * litres, "volume", digits=1)
        yield f"add {water} of water{warm}"
    if stage.brine_pct is not None:
        yield f"brine of {stage.brine_pct:g} % salt"
    if stage.humidity_pct is not None:
        yield f"air of {stage.humidity_pct:g} % humidity"
    if stage.pressure_kpa:
        yield press_words(plan, stage)


def press_words(plan: Plan, stage: Stage) -> str:
    """The load of a stage's press, on the mould where the plan names one; where the parts between
    its turns have their own, each."""
    parts = stage.pressures_kpa or (stage.pressure_kpa or 0.0,)
    kpa = f"{', '.join(_kpa(part) for part in parts)} kPa"
    if plan.mould_mm is None:
        return f"press with {kpa}"
    loads = ", then ".join(load_text(plan, part) for part in parts)
    return f"press with {loads} on each mould of {size_text(plan.mould_mm)} ({kpa})"


def load_text(plan: Plan, pressure_kpa: float) -> str:
    """A pressure as the load on one mould, "9.0 kg"; as it is without a mould."""
    load = press_load_kg(plan, pressure_kpa)
    if load is None:
        return f"{_kpa(pressure_kpa)} kPa"
    return write(load, "mass", digits=1 if load < 10 else 0)


def turn_words(plan: Plan, stage: Stage, done: int) -> str:
    """The next turn, and the load after it where that is another: "turn 2 of 3, then 12 kg"."""
    said = f"turn {done + 1} of {stage.turns}"
    parts = stage.pressures_kpa
    if done + 1 < len(parts) and parts[done + 1] != parts[done]:
        return f"{said}, then {load_text(plan, parts[done + 1])}"
    return said


def _kpa(pressure_kpa: float) -> str:
    return write(pressure_kpa, "pressure", digits=1).removesuffix(" kPa")
