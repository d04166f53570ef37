"""What a plan gives from a milk: the cheese, its height in the mould, what the press puts on it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from journal.message import Message
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.milk_yield import casein_from_protein, guessed_protein_pct, van_slyke_price
from journal.reckoning.mould import mould_warnings, wheel_height_mm
from journal.reckoning.press import load_kg, multiple_of_weight, round_area_cm2
from journal.records.plans import Plan

# The milk a plan's yield is taken to be for, where a label says another fat. Common practice.
USUAL_FAT_PCT = 3.5
_MOISTURE_PCT = 40.0  # cancels out of the ratio of two milks
MOST_TALL = 1.5  # widths a wheel may stand high (common practice, no source)
# What ripens under a white mould is flat: half a pound in a hoop of 4 5/8 in is 0.17 widths high
# (Thom & Fisk 1918, par. 147 and 152), 250 g in 10 to 11 cm 0.25 (Codex C-33-1973). A small lactic
# cheese of some 200 g in 80 mm is half as high as it is wide (common practice, no source).
WHITE_TALL, LACTIC_TALL = 0.22, 0.5


@dataclass(frozen=True)
class ExpectedCheese:
    """The cheese of a milk in kg, how high one wheel stands (None: no mould is named), into how
    many moulds it goes at least, and what was assumed, a message each."""

    cheese_kg: float
    height_mm: float | None
    moulds: int
    warnings: tuple[Message, ...]
    assumed: tuple[Message, ...]


def expected(plan: Plan, litres: float, fat_pct: float | None = None) -> ExpectedCheese:
    """What a plan gives from so much milk, with the fat of its label where one is typed.

    The plan's yield is taken to be for milk of 3.5 % fat; another fat changes it as the formula
    of Van Slyke and Price does, with protein guessed from the fat.
    """
    share, assumed = milk_share(fat_pct)
    cheese = litres * MILK_KG_PER_L * plan.yield_pct / 100 * share
    if plan.mould_mm is None:
        return ExpectedCheese(cheese, None, 1, (), assumed)
    moulds = moulds_for(cheese, plan.mould_mm, most_tall(plan))
    height = _height(cheese / moulds, plan.mould_mm)
    warnings = mould_warnings(height, plan.mould_mm)
    return ExpectedCheese(cheese, height, moulds, warnings, assumed)


def milk_share(fat_pct: float | None) -> tuple[float, tuple[Message, ...]]:
    """How much more cheese a milk of that fat gives than usual milk, and what was assumed."""
    if fat_pct is None or not 1.0 <= fat_pct <= 10.0:
        return 1.0, ()
    protein = float(guessed_protein_pct(fat_pct))
    share = _solids(fat_pct) / _solids(USUAL_FAT_PCT)
    return share, (Message("records.protein-guessed", protein=protein, fat=USUAL_FAT_PCT),)


def most_tall(plan: Plan) -> float:
    """How many of its widths a cheese of the plan may stand high."""
    firm = any(stage.kind in ("press", "stretch") for stage in plan.stages)
    cares = {rule.kind for rule in plan.care}
    if firm or "pierce" in cares:
        return MOST_TALL
    if "ash" in cares or "lactic" in f"{plan.name} {plan.style}".lower():
        return LACTIC_TALL
    sown = any(dose.kind == "mould" for stage in plan.stages for dose in stage.doses)
    return WHITE_TALL if sown else MOST_TALL


def moulds_for(cheese_kg: float, mould_mm: float, tall: float = MOST_TALL) -> int:
    """The fewest moulds of that width in which no wheel stands too tall."""
    return max(1, math.ceil(_height(cheese_kg, mould_mm) / (tall * mould_mm) - 1e-9))


def press_load_kg(plan: Plan, pressure_kpa: float) -> float | None:
    """The load on one mould of the plan for that pressure, kg; None without a mould."""
    if plan.mould_mm is None:
        return None
    return float(load_kg(pressure_kpa, round_area_cm2(plan.mould_mm)))


def press_multiple(plan: Plan, pressure_kpa: float, litres: float) -> float | None:
    """How many times its own weight a wheel bears under that pressure; None without a mould."""
    load = press_load_kg(plan, pressure_kpa)
    if load is None:
        return None
    found = expected(plan, litres)
    return float(multiple_of_weight(load, found.cheese_kg / found.moulds))


def of_curd_pct(plan: Plan, grams: float, litres: float, fat_pct: float | None = None) -> float:
    """So many grams as % of the curd expected from a milk."""
    return grams / (10 * expected(plan, litres, fat_pct).cheese_kg)


def _solids(fat_pct: float) -> float:
    casein = casein_from_protein(guessed_protein_pct(fat_pct))
    return float(van_slyke_price(fat_pct, casein, _MOISTURE_PCT))


def _height(cheese_kg: float, mould_mm: float) -> float:
    return float(wheel_height_mm(cheese_kg, round_area_cm2(mould_mm)))
