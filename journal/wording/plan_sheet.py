"""A plan in words and amounts for the milk there is: its stages, its needs, its length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.curves.acid_targets import DayAcidTarget
from journal.curves.fault import Fault
from journal.reckoning import ReckoningError
from journal.reckoning.brine import g_per_kg_water
from journal.reckoning.milk_yield import guessed_protein_pct
from journal.reckoning.press import load_kg, round_area_cm2
from journal.reckoning.standardise import ratio_add_kg
from journal.records.dose_written import format_amount
from journal.records.kinds import READING_KINDS
from journal.records.plan_day import vat_minutes as vat_minutes
from journal.records.plan_expected import ExpectedCheese, expected, of_curd_pct
from journal.records.plans import AcidTarget, Plan, Stage
from journal.records.stage_written import intervals_text
from journal.wording import text_of
from journal.wording.counts import counted
from journal.wording.doses import doses_of, doses_of_make
from journal.wording.keys import key_words
from journal.wording.letters import capital, small
from journal.wording.shown import (
    in_shown_units,
    rate,
    shown_figure,
    size,
    stored_value,
    temperature,
    unit_label,
    write,
)

_SAME_RATIO = 0.03  # a share that a label's rounding makes
# Of a carton's label (from memory).
_SKIM_FAT_PCT, _CREAM_FAT_PCT, _CREAM_PROTEIN_PCT = 0.1, 35.0, 2.2

MILK_KG_PER_L = 1.03  # as the plans that come with the program convert published doses
SHORT = 22  # characters a line says about a stage's end; the rest is below the sheet


@dataclass(frozen=True)
class Need:
    """Something to have ready: what, how much, and the same in a kitchen's measure."""

    label: str
    amount: str
    about: str = ""


def to_add(plan: Plan, stage: Stage, litres: float) -> str:
    """What to add and what to check, short enough for a line."""
    parts = [f"{dose.label} {dose.amount}" for dose in doses_of(stage, litres)]
    if stage.size_mm is not None:
        parts.append(size(stage.size_mm))
    if stage.whey_drawn_per_l:
        parts.append(f"draw {write(stage.whey_drawn_per_l * litres, 'volume', digits=1)} of whey")
    if stage.water_added_per_l:
        parts.append(_water_words(stage, litres))
    in_parts = bool(stage.intervals_min or stage.pressures_kpa)
    if stage.pressure_kpa and not stage.pressures_kpa:
        parts.append(_press_words(plan, stage.pressure_kpa))
    if in_parts:
        parts.append(in_shown_units(intervals_text(plan, stage)))
    if stage.brine_pct is not None:
        parts.append(f"brine of {stage.brine_pct:g} %")
    if stage.turns and not in_parts:
        times = {1: "once", 2: "twice"}.get(stage.turns, f"{stage.turns} times")
        parts.append(f"turn {times}")
    if stage.acid_target is not None:
        parts.append(acid_target_sentence(stage.acid_target))
    elif stage.until and len(stage.until) <= SHORT and not parts:
        parts.append(f"until {small(stage.until).rstrip('.')}")
    return "; ".join(parts)


def in_full(stage: Stage, litres: float) -> str:
    """A stage in whole sentences: what to do, what to add, when it is over."""
    parts = [_sentence(stage.instruction)] if stage.instruction else []
    parts += [dose.in_full for dose in doses_of(stage, litres)]
    if stage.limit_c_per_min is not None:
        parts.append(f"At most {rate(stage.limit_c_per_min)}.")
    if stage.acid_target is not None:
        parts.append(
            f"{capital(acid_target_sentence(stage.acid_target))}{_acid_target_time(stage)}."
        )
    if stage.until:
        parts.append(f"Until: {small(_sentence(stage.until))}")
    return " ".join(parts) or "The plan says no more about this stage."


def needs_of(plan: Plan, litres: float) -> list[Need]:
    """Everything to have ready, milk first; what is added twice is summed."""
    out = [Need("milk", write(litres, "volume"))]
    sums = (total for total, _ in doses_of_make(plan, litres))
    out += [Need(one.dose.name, one.amount, one.about) for one in sums]
    water = sum(s.water_added_per_l for s in plan.stages) * litres
    if water:
        out.append(Need("water for the curd", write(water, "volume", digits=1)))
    brines = [s.brine_pct for s in plan.stages if s.brine_pct is not None]
    if brines:
        salt = float(g_per_kg_water(brines[0])) * stored_value(1.0, "volume")
        salt_words = in_shown_units(format_amount(salt, "g"))
        for_each = f"{salt_words}/{unit_label('volume')} of water"
        out.append(Need("brine", f"{brines[0]:g} % salt", for_each))
    return out


def facts_of(plan: Plan, litres: float) -> str:
    """The kind of milk, the mould, and about how much cheese it gives."""
    parts = [f"{plan.animal}, {plan.treatment}"]
    if plan.mould_mm is not None:
        parts.append(f"mould {size(plan.mould_mm)}")
    cheese = litres * MILK_KG_PER_L * plan.yield_pct / 100
    parts.append(f"about {write(cheese, 'mass', digits=2 if cheese < 10 else 1)} of cheese")
    return " · ".join(parts)


def rest_words(plan: Plan, until: str) -> str:
    """What follows the day at the vat, and when it is over; "" for nothing."""
    end, parts = vat_minutes(plan), []
    for stage, start in zip(plan.stages, plan.starts(), strict=True):
        if start >= end:
            parts.append(f"{stage.label} {write(stage.minutes, 'duration')}")
    return f"Then {'; '.join(parts)}, until {until}." if parts else ""


def hands_words(plan: Plan, until_min: float) -> str:
    """How long hands are needed and how long one may leave, up to a minute of the plan."""
    hands = alone = 0.0
    for stage, start in zip(plan.stages, plan.starts(), strict=True):
        length = max(0.0, min(stage.minutes, until_min - start))
        hands, alone = (hands + length, alone) if stage.hands else (hands, alone + length)
    parts = [f"filled: hands needed, {write(hands, 'duration')}"] if hands else []
    parts += [f"open: you may leave, {write(alone, 'duration')}"] if alone else []
    return "   ".join(parts)


def acid_target_sentence(acid_target: AcidTarget) -> str:
    """An acid target in words: "curd pH 5.30 to 5.40"."""
    kind = READING_KINDS[acid_target.kind]
    unit = "" if kind.unit == "pH" else " %"
    return f"{kind.label} {acid_target.low:.2f} to {acid_target.high:.2f}{unit}"


def _acid_target_time(stage: Stage) -> str:
    acid_target = stage.acid_target
    if acid_target is None or (acid_target.from_min is None and acid_target.to_min is None):
        return ""
    if acid_target.to_min is None or acid_target.to_min >= stage.minutes:
        return f" after {write(acid_target.from_min, 'duration')}" if acid_target.from_min else ""
    if not acid_target.from_min:
        return f" in the first {write(acid_target.to_min, 'duration')}"
    first, last = (write(end, "duration") for end in (acid_target.from_min, acid_target.to_min))
    return f" between {first} and {last}"


def _water_words(stage: Stage, litres: float) -> str:
    water = write(stage.water_added_per_l * litres, "volume", digits=1)
    return f"add {water}" + ("" if stage.water_c is None else f" at {temperature(stage.water_c)}")


def _press_words(plan: Plan, pressure_kpa: float) -> str:
    pressure = write(pressure_kpa, "pressure", digits=1)
    if plan.mould_mm is None:
        return pressure
    load = float(load_kg(pressure_kpa, round_area_cm2(plan.mould_mm)))
    return f"{write(load, 'mass', digits=1 if load < 10 else 0)} = {pressure}"


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def need_words(need: Need) -> str:
    return f"{need.label} {need.amount}" + (f", {need.about}" if need.about else "")


def planned_line_words(plan: Plan, first: str, last: str, targets: int) -> str:
    """The chart of a plan as text; `first` and `last` are when it begins and ends."""
    temps = [s.target_c for s in plan.stages if s.target_c is not None]
    span = ""
    if temps:
        low, high = shown_figure(min(temps), "temperature", 1), write(max(temps), "temperature")
        span = f", {low} to {high}"
    return (
        f"{plan.name}: {counted(len(plan.stages), 'stage')}{span}, from {first} to {last}, "
        f"{counted(targets, 'acid target')} shown"
    )


def target_on_paper(target: DayAcidTarget) -> str:
    """An acid target by its stage's number and its range."""
    return f"{target.index + 1} {acid_target_sentence(target.acid_target)}"


def sentences_of(
    plan: Plan,
    litres: float,
    fat_pct: float | None,
    faults: Sequence[Fault],
    current_stage: int,
    others: Sequence[tuple[bool, str]],
) -> list[tuple[bool, str]]:
    """What comes of the plan; the faults of the current stage before those of others."""
    found = expected(plan, litres, fat_pct)
    out = [(False, cheese_words(plan, litres, fat_pct, found))]
    out += [(True, text_of(fault.message)) for fault in faults if fault.stage == current_stage]
    out += [
        (True, f"{_where(plan, fault)}: {text_of(fault.message)}")
        for fault in faults
        if fault.stage != current_stage
    ]
    out += [(True, text_of(warning)) for warning in found.warnings]
    standardise = standardise_words(plan, litres, fat_pct)
    return out + ([(False, standardise)] if standardise else []) + list(others)


def standardise_words(plan: Plan, litres: float, fat_pct: float | None) -> str:
    """What brings milk of that fat to the plan's protein to fat; "" where it is there, or nothing
    is known. The protein is guessed from the fat."""
    if plan.protein_fat is None or fat_pct is None or not 1.0 <= fat_pct <= 10.0:
        return ""
    protein = float(guessed_protein_pct(fat_pct))
    has, wants = protein / fat_pct, plan.protein_fat
    if abs(has / wants - 1) < _SAME_RATIO:
        return ""
    name, its_fat, its_protein = (
        ("skim milk", _SKIM_FAT_PCT, protein) if has < wants
        else ("cream of 35 % fat", _CREAM_FAT_PCT, _CREAM_PROTEIN_PCT)
    )  # fmt: skip
    kg = litres * MILK_KG_PER_L
    try:
        add = float(ratio_add_kg(kg, fat_pct, protein, its_fat, its_protein, wants))
    except ReckoningError:  # no amount of it does
        return ""
    return (
        f"Protein to fat is about {has:.2f}; the plan wants {wants:.2f}: stir in about "
        f"{write(add, 'mass', digits=1)} of {name}. {key_words('calculate')}, standardise "
        "milk, has it by its "
        "label."
    )


def cheese_words(plan: Plan, litres: float, fat_pct: float | None, found: ExpectedCheese) -> str:
    """The cheese, its wheel in the mould, the salt on it, and what was assumed."""
    cheese = write(found.cheese_kg, "mass", digits=2 if found.cheese_kg < 10 else 1)
    message = f"Curd about {cheese}"
    if plan.mould_mm is not None and found.height_mm is not None:
        mould, high = size(plan.mould_mm), f"{write(found.height_mm, 'length', digits=0)} high"
        several = f"for at least {found.moulds} moulds of {mould}, then {high}"
        message += f", a wheel {high} in {mould}" if found.moulds == 1 else f", {several}"
    doses = [d for s in plan.stages for d in s.doses]
    salt = sum(d.for_milk(litres) for d in doses if d.kind == "salt" and d.unit == "g")
    if salt:
        message += f"; salt {of_curd_pct(plan, salt, litres, fat_pct):.1f} % of it"
    return " ".join([f"{message}.", *(text_of(one) for one in found.assumed)])


def _where(plan: Plan, fault: Fault) -> str:
    if not 0 <= fault.stage < len(plan.stages):
        return "The plan"
    label = plan.stages[fault.stage].label
    return capital(label)
