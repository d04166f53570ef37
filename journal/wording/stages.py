"""A stage in words: what it does, and what is set once at it: load, whey, water, brine, air."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce

from journal.records.plan_expected import press_load_kg
from journal.records.plans import Plan, Stage
from journal.wording import word_of, worded
from journal.wording.shown import temperature, write

_DOING = "wording.doing-"  # a stage by its kind as something that goes on: "drying"


def doing(label: str) -> str:
    """A stage as something that goes on: "drying"; one with its own name by that name."""
    return word_of(_DOING, label)


def finish_words(label: str) -> str:
    """What ends a stage, as on its button: "Finish drying", "Finish: raise slowly"."""
    going = doing(label)
    which = "wording.finish-named" if going == label else "wording.finish-doing"
    return worded(which, stage=going)


def settings_of(plan: Plan, stage: Stage, litres: float) -> Iterator[str]:
    """Each thing to set, for so much milk: "press with 9.0 kg on each mould of 150 mm (5 kPa)"."""
    if stage.size_mm is not None:
        yield worded("wording.pieces", size=stage.size_mm)
    if stage.whey_drawn_per_l:
        yield worded("wording.draw-whey", litres=stage.whey_drawn_per_l * litres)
    if stage.water_added_per_l:
        water = stage.water_added_per_l * litres
        warm = "" if stage.water_c is None else temperature(stage.water_c)
        which = "wording.add-water-at" if warm else "wording.add-water"
        yield worded(which, litres=water, warm=warm)
    if stage.brine_pct is not None:
        yield worded("wording.brine-of-salt", pct=stage.brine_pct)
    if stage.humidity_pct is not None:
        yield worded("wording.air-of", pct=stage.humidity_pct)
    if stage.pressure_kpa:
        yield press_words(plan, stage)


def press_words(plan: Plan, stage: Stage) -> str:
    """The load of a stage's press, on the mould where the plan names one; where the parts between
    its turns have their own, each."""
    parts = stage.pressures_kpa or (stage.pressure_kpa or 0.0,)
    kpa = f"{', '.join(_kpa(part) for part in parts)} kPa"
    if plan.mould_mm is None:
        return worded("wording.press-with", kpa=kpa)
    loads = [load_words(part, press_load_kg(plan, part)) for part in parts]
    one_by_one = reduce(lambda before, after: _then(before=before, after=after), loads)
    return worded("wording.press-mould-with", loads=one_by_one, mould=plan.mould_mm, kpa=kpa)


def _then(**both: str) -> str:
    return worded("wording.then", **both)


def load_words(pressure_kpa: float, load_kg: float | None) -> str:
    """A pressure as the load on one mould, "9.0 kg"; as it is without a mould (None)."""
    if load_kg is None:
        return f"{_kpa(pressure_kpa)} kPa"
    return write(load_kg, "mass", digits=1 if load_kg < 10 else 0)


def _kpa(pressure_kpa: float) -> str:
    return write(pressure_kpa, "pressure", digits=1).removesuffix(" kPa")
