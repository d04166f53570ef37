"""A plan in words and amounts for the milk there is: its stages, its needs, its length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.curves.acid_targets import DayAcidTarget
from journal.curves.fault import Fault
from journal.message import Message
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
from journal.wording import text_of, worded
from journal.wording.doses import doses_of, doses_of_make
from journal.wording.letters import capital, small
from journal.wording.shown import (
    in_shown_units,
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
_TURNS = {1: "wording.turn-once", 2: "wording.turn-twice"}
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
        parts.append(worded("wording.draw-whey", litres=stage.whey_drawn_per_l * litres))
    if stage.water_added_per_l:
        parts.append(_water_words(stage, litres))
    in_parts = bool(stage.intervals_min or stage.pressures_kpa)
    if stage.pressure_kpa and not stage.pressures_kpa:
        parts.append(_press_words(plan, stage.pressure_kpa))
    if in_parts:
        parts.append(in_shown_units(intervals_text(plan, stage)))
    if stage.brine_pct is not None:
        parts.append(worded("wording.brine-of", pct=stage.brine_pct))
    if stage.turns and not in_parts:
        turn = _TURNS.get(stage.turns, "wording.turn-times")
        parts.append(worded(turn, times=stage.turns))
    if stage.acid_target is not None:
        parts.append(acid_target_sentence(stage.acid_target))
    elif stage.until and len(stage.until) <= SHORT and not parts:
        parts.append(worded("wording.until", until=small(stage.until).rstrip(".")))
    return "; ".join(parts)


def in_full(stage: Stage, litres: float) -> str:
    """A stage in whole sentences: what to do, what to add, when it is over."""
    parts = [_sentence(stage.instruction)] if stage.instruction else []
    parts += [dose.in_full for dose in doses_of(stage, litres)]
    if stage.limit_c_per_min is not None:
        parts.append(worded("wording.at-most", rate=stage.limit_c_per_min))
    if stage.acid_target is not None:
        target, when = acid_target_sentence(stage.acid_target), _acid_target_time(stage)
        parts.append(worded("wording.acid-target-in-full", target=target, when=when))
    if stage.until:
        parts.append(worded("wording.until-full", until=small(_sentence(stage.until))))
    return " ".join(parts) or worded("wording.plan-says-no-more")


def needs_of(plan: Plan, litres: float) -> list[Need]:
    """Everything to have ready, milk first; what is added twice is summed."""
    out = [Need(worded("reckoning.milk"), write(litres, "volume"))]
    sums = (total for total, _ in doses_of_make(plan, litres))
    out += [Need(one.dose.name, one.amount, one.about) for one in sums]
    water = sum(s.water_added_per_l for s in plan.stages) * litres
    if water:
        out.append(Need(worded("wording.curd-water"), write(water, "volume", digits=1)))
    brines = [s.brine_pct for s in plan.stages if s.brine_pct is not None]
    if brines:
        salt = float(g_per_kg_water(brines[0])) * stored_value(1.0, "volume")
        each = {"salt": in_shown_units(format_amount(salt, "g")), "unit": unit_label("volume")}
        strength, for_each = (
            worded(one, pct=brines[0], **each)
            for one in ("wording.brine-strength", "wording.salt-of-water")
        )
        out.append(Need(worded("reckoning.brine"), strength, for_each))
    return out


def facts_of(plan: Plan, litres: float) -> str:
    """The kind of milk, the mould, and about how much cheese it gives."""
    parts = [f"{plan.animal}, {plan.treatment}"]
    if plan.mould_mm is not None:
        parts.append(worded("wording.mould", mould=plan.mould_mm))
    cheese = litres * MILK_KG_PER_L * plan.yield_pct / 100
    text = write(cheese, "mass", digits=2 if cheese < 10 else 1)
    parts.append(worded("wording.cheese-about", cheese=text))
    return " · ".join(parts)


def rest_words(plan: Plan, until: str) -> str:
    """What follows the day at the vat, and when it is over; "" for nothing."""
    end, parts = vat_minutes(plan), []
    for stage, start in zip(plan.stages, plan.starts(), strict=True):
        if start >= end:
            parts.append(f"{stage.label} {write(stage.minutes, 'duration')}")
    return worded("wording.then-the-rest", stages=parts, until=until) if parts else ""


def hands_words(plan: Plan, until_min: float) -> str:
    """How long hands are needed and how long one may leave, up to a minute of the plan."""
    hands = alone = 0.0
    for stage, start in zip(plan.stages, plan.starts(), strict=True):
        length = max(0.0, min(stage.minutes, until_min - start))
        hands, alone = (hands + length, alone) if stage.hands else (hands, alone + length)
    parts = [worded("wording.hands-needed", minutes=hands)] if hands else []
    parts += [worded("wording.may-leave", minutes=alone)] if alone else []
    return "   ".join(parts)


def acid_target_sentence(acid_target: AcidTarget) -> str:
    """An acid target in words: "curd pH 5.30 to 5.40"."""
    kind, low, high = acid_target.kind, acid_target.low, acid_target.high
    unit = "" if READING_KINDS[kind].unit == "pH" else "%"
    return worded("wording.acid-target", kind=kind, low=low, high=high, unit=unit)


def _acid_target_time(stage: Stage) -> Message | str:
    acid_target = stage.acid_target
    if acid_target is None or (acid_target.from_min is None and acid_target.to_min is None):
        return ""
    if acid_target.to_min is None or acid_target.to_min >= stage.minutes:
        first = acid_target.from_min
        return Message("wording.acid-target-after", first=first) if first else ""
    which = "wording.acid-target-between" if acid_target.from_min else "wording.acid-target-within"
    return Message(which, first=acid_target.from_min, last=acid_target.to_min)


def _water_words(stage: Stage, litres: float) -> str:
    warm = "" if stage.water_c is None else temperature(stage.water_c)
    which = "wording.add-so-much-at" if warm else "wording.add-so-much"
    return worded(which, litres=stage.water_added_per_l * litres, warm=warm)


def _press_words(plan: Plan, pressure_kpa: float) -> str:
    pressure = write(pressure_kpa, "pressure", digits=1)
    if plan.mould_mm is None:
        return pressure
    load = float(load_kg(pressure_kpa, round_area_cm2(plan.mould_mm)))
    return f"{write(load, 'mass', digits=1 if load < 10 else 0)} = {pressure}"


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def plan_need_words(need: Need) -> str:
    return f"{need.label} {need.amount}" + (f", {need.about}" if need.about else "")


def planned_line_words(plan: Plan, first: str, last: str, targets: int) -> str:
    """The chart of a plan as text; `first` and `last` are when it begins and ends."""
    temps = [s.target_c for s in plan.stages if s.target_c is not None]
    span: Message | str = ""
    if temps:
        low = shown_figure(min(temps), "temperature", 1)
        span = Message("wording.planned-span", low=low, high=max(temps))
    day = {"first": first, "last": last, "targets": targets, "span": span}
    return worded("wording.planned-line", plan=plan.name, stages=len(plan.stages), **day)


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
    which, its_fat, its_protein = (
        ("wording.stir-in-skim", _SKIM_FAT_PCT, protein) if has < wants
        else ("wording.stir-in-cream", _CREAM_FAT_PCT, _CREAM_PROTEIN_PCT)
    )  # fmt: skip
    kg = litres * MILK_KG_PER_L
    try:
        add = float(ratio_add_kg(kg, fat_pct, protein, its_fat, its_protein, wants))
    except ReckoningError:  # no amount of it does
        return ""
    return worded(which, has=has, wants=wants, add=add)


def cheese_words(plan: Plan, litres: float, fat_pct: float | None, found: ExpectedCheese) -> str:
    """The cheese, its wheel in the mould, the salt on it, and what was assumed."""
    cheese = write(found.cheese_kg, "mass", digits=2 if found.cheese_kg < 10 else 1)
    wheels: Message | str = ""
    if plan.mould_mm is not None and found.height_mm is not None:
        which = "wording.curd-one-wheel" if found.moulds == 1 else "wording.curd-wheels"
        sizes = {"mould": plan.mould_mm, "high": found.height_mm}
        wheels = Message(which, moulds=found.moulds, **sizes)
    salted: Message | str = ""
    doses = [d for s in plan.stages for d in s.doses]
    salt = sum(d.for_milk(litres) for d in doses if d.kind == "salt" and d.unit == "g")
    if salt:
        salted = Message("wording.curd-salt", pct=of_curd_pct(plan, salt, litres, fat_pct))
    curd = worded("wording.curd-about", cheese=cheese, wheels=wheels, salted=salted)
    return " ".join([curd, *(text_of(one) for one in found.assumed)])


def _where(plan: Plan, fault: Fault) -> str:
    if not 0 <= fault.stage < len(plan.stages):
        return worded("wording.the-plan")
    label = plan.stages[fault.stage].label
    return capital(label)
