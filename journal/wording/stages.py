"""A stage in words: what it does, and what is set once at it: load, whey, water, brine, air."""

from __future__ import annotations

from collections.abc import Iterator

from journal.records.plan_expected import press_load_kg
from journal.records.plans import Plan, Stage
from journal.wording.shown import size, temperature, write

# A stage by its kind as something that goes on: "drying should have ended".
_DOING = {
    "warm": "warming",
    "pasteurise": "pasteurising",
    "cool": "cooling",
    "ripen": "ripening",
    "set": "setting",
    "cut": "cutting",
    "heal": "healing",
    "stir": "stirring",
    "wash": "washing",
    "cook": "cooking",
    "scald": "scalding",
    "stretch": "stretching",
    "churn": "churning",
    "pitch": "pitching",
    "drain": "draining",
    "cheddar": "cheddaring",
    "mill": "milling",
    "salt": "salting",
    "mould": "moulding",
    "press": "pressing",
    "brine": "brining",
    "dry": "drying",
    "smoke": "smoking",
}


def doing(label: str) -> str:
    """A stage as something that goes on: "drying"; one with its own name by that name."""
    return _DOING.get(label, label)


def finish_words(label: str) -> str:
    """What ends a stage, as on its button: "Finish drying", "Finish: raise slowly"."""
    return f"Finish {_DOING[label]}" if label in _DOING else f"Finish: {label}"


def settings_of(plan: Plan, stage: Stage, litres: float) -> Iterator[str]:
    """Each thing to set, for so much milk: "press with 9.0 kg on each mould of 150 mm (5 kPa)"."""
    if stage.size_mm is not None:
        yield f"pieces of {size(stage.size_mm)}"
    if stage.whey_drawn_per_l:
        yield f"draw {write(stage.whey_drawn_per_l * litres, 'volume', digits=1)} of whey"
    if stage.water_added_per_l:
        warm = "" if stage.water_c is None else f" at {temperature(stage.water_c)}"
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
    loads = ", then ".join(load_words(part, press_load_kg(plan, part)) for part in parts)
    return f"press with {loads} on each mould of {size(plan.mould_mm)} ({kpa})"


def load_words(pressure_kpa: float, load_kg: float | None) -> str:
    """A pressure as the load on one mould, "9.0 kg"; as it is without a mould (None)."""
    if load_kg is None:
        return f"{_kpa(pressure_kpa)} kPa"
    return write(load_kg, "mass", digits=1 if load_kg < 10 else 0)


def _kpa(pressure_kpa: float) -> str:
    return write(pressure_kpa, "pressure", digits=1).removesuffix(" kPa")
