"""A stage as one types it: the text of each cell, which `stage_typed` reads back the same."""

from __future__ import annotations

import re
from dataclasses import dataclass

from journal.quantities.written import write
from journal.records.dose_written import dose_text
from journal.records.kinds import STAGE_KINDS
from journal.records.plan_expected import press_load_kg
from journal.records.plan_scaled import stage_for_milk
from journal.records.plans import AcidTarget, Dose, Plan, Stage

NO_CULTURE, USUAL_CULTURE = "no culture", "mesophilic"
_PLACES = {"milk-ph": "milk pH", "curd-ph": "curd pH", "whey-ph": "whey pH",
           "milk-acidity": "milk acidity", "whey-acidity": "whey acidity"}  # fmt: skip


def kind_in(text: str) -> str | None:
    """The kind of stage that a name says ("first press", "cheddaring", "cut, heal")."""
    for word in re.findall(r"[a-z]+", text.lower().replace("pasteuriz", "pasteuris")):
        for kind in STAGE_KINDS:
            if re.fullmatch(rf"{kind}(s|ed|ing|{kind[-1]}ing|{kind[-1]}ed)?", word):
                return kind
            if kind[-1] == "e" and re.fullmatch(rf"{kind[:-1]}(ed|ing)", word):
                return kind
    return None


def stage_text(stage: Stage) -> str:
    """The first cell: the stage's name, with its kind before it where the name does not say it."""
    if not stage.name:
        return stage.kind
    return stage.name if kind_in(stage.name) == stage.kind else f"{stage.kind}: {stage.name}"


def temp_text(celsius: float | None) -> str:
    """A temperature's cell: the number, one decimal or as many as it has."""
    return "" if celsius is None else _short(celsius, 1)


def minutes_typed(minutes: float) -> str:
    """A length's cell: minutes, or hours and minutes where there are many."""
    return f"{minutes:g}" if minutes < 180 else write(minutes, "duration")


def cell_text(plan: Plan, stage: Stage, column: str, litres: float) -> str:
    """The text of a stage's cell, for typing on."""
    if column == "stage":
        return stage_text(stage)
    if column == "temp":
        return temp_text(stage.target_c)
    if column == "minutes":
        return minutes_typed(stage_for_milk(plan, stage, litres).minutes)
    if column == "what":
        return "; ".join(part.text for part in stage_parts(plan, stage, litres))
    return stage.instruction if column == "do" else stage.until


@dataclass(frozen=True)
class CellPart:
    """A part of a cell: its text, the fields it says, and the dose where it is one."""

    text: str
    fields: tuple[str, ...] = ()
    dose: Dose | None = None


def stage_parts(plan: Plan, stage: Stage, litres: float) -> list[CellPart]:
    """What goes in and what must be true, part by part, for so much milk."""
    return [
        *(CellPart(dose_text(stage, dose, litres), (), dose) for dose in stage.doses),
        *_curd_parts(stage, litres),
        *_ramp_parts(stage),
        *_mould_parts(plan, stage),
        *(
            [CellPart(acid_target_text(stage.acid_target), ("acid_target",))]
            if stage.acid_target is not None
            else []
        ),
        *([CellPart("alone", ("alone",))] if stage.alone else []),
    ]


def size_text(mm: float) -> str:
    """A size with the digits that a hand can cut or a rule shows: "9.5 mm", "165 mm"."""
    return f"{mm:.0f} mm" if mm >= 100 else f"{round(mm, 1):g} mm"


def acid_target_text(acid_target: AcidTarget) -> str:
    """An acid target with the time it is open: "curd pH 5.30 to 5.40 from 1 h 45 min"."""
    digits = 2 if acid_target.kind.endswith("ph") else 3
    unit = " %" if acid_target.kind.endswith("acidity") else ""
    low, high = _short(acid_target.low, digits), _short(acid_target.high, digits)
    text = f"{_PLACES[acid_target.kind]} {low} to {high}{unit}"
    if acid_target.from_min is not None:
        text += f" from {_time(acid_target.from_min)}"
    if acid_target.to_min is not None:
        text += f" until {_time(acid_target.to_min)}"
    return text


def milk_parts(plan: Plan) -> list[CellPart]:
    """The line of the milk: animal, treatment, culture, yield and what else the plan says."""
    parts = [
        CellPart("mixed milk" if plan.animal == "mixed" else plan.animal, ("animal",)),
        CellPart(plan.treatment, ("treatment",)),
        _culture_part(plan),
        CellPart(f"yield {_short(plan.yield_pct, 1)} %", ("yield_pct",)),
    ]
    if plan.floc_multiplier is not None:
        parts.append(CellPart(f"floc × {plan.floc_multiplier:g}", ("floc_multiplier",)))
    if plan.protein_fat is not None:
        parts.append(CellPart(f"protein to fat {plan.protein_fat:g}", ("protein_fat",)))
    if plan.room_c is not None:
        parts.append(CellPart(f"room {_short(plan.room_c, 1)} °C", ("room_c",)))
    if plan.room_humidity_pct is not None:
        words = f"room humidity {plan.room_humidity_pct:g} %"
        parts.append(CellPart(words, ("room_humidity_pct",)))
    return parts


def _culture_part(plan: Plan) -> CellPart:
    """The type of culture; that there is none where the plan says so, or where stages are said and
    none of them takes one, as long as no other type than the usual was chosen."""
    if not plan.sours:
        return CellPart(NO_CULTURE, ("culture_type",))
    if len(plan.stages) > 1 and not plan.cultured and plan.culture_type == USUAL_CULTURE:
        return CellPart(NO_CULTURE)
    return CellPart(f"{plan.culture_type} culture", ("culture_type",))


def _curd_parts(stage: Stage, litres: float) -> list[CellPart]:
    parts = []
    if stage.size_mm is not None:
        parts.append(CellPart(size_text(stage.size_mm), ("size_mm",)))
    if stage.whey_drawn_per_l:
        drawn = write(stage.whey_drawn_per_l * litres, "volume", digits=2)
        parts.append(CellPart(f"draw {drawn}", ("whey_drawn_per_l",)))
    if stage.water_added_per_l:
        water = f"water {write(stage.water_added_per_l * litres, 'volume', digits=2)}"
        warm = "" if stage.water_c is None else f" at {_short(stage.water_c, 1)} °C"
        parts.append(CellPart(water + warm, ("water_added_per_l", "water_c")))
    return parts


def _ramp_parts(stage: Stage) -> list[CellPart]:
    parts = []
    if stage.ramp_min is not None:
        parts.append(CellPart(f"ramp {_time(stage.ramp_min)}", ("ramp_min",)))
    if stage.first_c_per_min is not None and stage.first_min is not None:
        words = f"first {_rate(stage.first_c_per_min)} for {_time(stage.first_min)}"
        parts.append(CellPart(words, ("first_c_per_min", "first_min")))
    if stage.limit_c_per_min is not None:
        parts.append(CellPart(f"limit {_rate(stage.limit_c_per_min)}", ("limit_c_per_min",)))
    if stage.tolerance_c is not None:
        parts.append(CellPart(f"± {_short(stage.tolerance_c, 1)} °C", ("tolerance_c",)))
    return parts


def _mould_parts(plan: Plan, stage: Stage) -> list[CellPart]:
    parts = []
    in_parts = bool(stage.intervals_min or stage.pressures_kpa)
    if in_parts:
        names: tuple[str, ...] = ("intervals_min", "pressures_kpa", "turns")
        names = (*names, "pressure_kpa") if stage.pressures_kpa else names
        parts.append(CellPart(intervals_text(plan, stage), names))
    if stage.pressure_kpa is not None and not stage.pressures_kpa:
        load = press_load_kg(plan, stage.pressure_kpa)
        kpa = write(stage.pressure_kpa, "pressure", digits=1)
        words = kpa if load is None else f"{load:.1f} kg = {kpa}"
        parts.append(CellPart(words, ("pressure_kpa",)))
    if stage.brine_pct is not None:
        parts.append(CellPart(f"brine {stage.brine_pct:g} %", ("brine_pct",)))
    if stage.humidity_pct is not None:
        parts.append(CellPart(f"humidity {stage.humidity_pct:g} %", ("humidity_pct",)))
    if stage.turns and not in_parts:
        times = {1: "once", 2: "twice"}.get(stage.turns, f"{stage.turns} times")
        parts.append(CellPart(f"turn {times}", ("turns",)))
    return parts


def intervals_text(plan: Plan, stage: Stage) -> str:
    """The parts between turns: "intervals 10, 10, 15 min", each with its load where it has one."""
    minutes = [f"{part:.10g}" for part in stage.parts_min]
    if not stage.pressures_kpa:
        return f"intervals {', '.join(minutes)} min"
    loads = (_load(plan, kpa) for kpa in stage.pressures_kpa)
    both = zip(minutes, loads, strict=True)
    return f"intervals {', '.join(f'{part} min at {load}' for part, load in both)}"


def _load(plan: Plan, kpa: float) -> str:
    load = press_load_kg(plan, kpa)
    return write(kpa, "pressure", digits=1) if load is None else f"{load:.1f} kg"


def _time(minutes: float) -> str:
    return write(minutes, "duration") if minutes else "0 min"


def _rate(c_per_min: float) -> str:
    return f"{c_per_min:.3g} °C/min"


def _short(value: float, digits: int) -> str:
    """At least `digits` decimals, more where the number has them (three at most)."""
    text = f"{value:.3f}".rstrip("0")
    whole, _, part = text.partition(".")
    return f"{whole}.{part:0<{digits}}".replace("-", "−")
