"""A make's entries in the journal: stages as run, what was used, wheels, weights, care, notes."""

from __future__ import annotations

import numpy as np

from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.makes import FAILED, Addition, Ingredient, Make, Milk, Note, StageRun
from journal.records.plans import Plan
from journal.records.wheels import Care, Weighing, Wheel
from journal.sample.made import ZONE, Made
from journal.sample.plans import WASH_L, WHEY_L
from journal.sample.ripening import (
    GONE_AFTER_DAYS,
    NOTED_AFTER_DAYS,
    ROOMS,
    THROWN_AFTER_DAYS,
    RoomAir,
    care_days,
    weight_kg,
)
from journal.sample.seeds import identity

# A slow make may let Staphylococcus aureus make its toxin, which outlasts ripening (J. Food Prot.
# 2006 69:2161; Tatini et al., J. Dairy Sci.).
SLOW_ACID = (
    "Slow acid. The curd was still at pH {ph:.2f} more than six hours after the culture went in. "
    "In such a make harmful bacteria can grow and leave toxin that neither salt, age nor heat "
    "takes away. Thrown out, not tasted; vat and tools scalded, culture lot set aside."
)
_REASONS = (
    "the milk truck came",
    "a visitor at the door",
    "the kettle for the tools was not hot",
    "school run",
    "telephone",
    "the cloth was not boiled yet",
)


def make_entry(rng: np.random.Generator, one: Made, plan: Plan) -> Make:
    """The make itself; `plan` is the saved one."""
    intent, day = one.intent, one.day
    finished = None if one.running else one.at_ms(day.begins[-1])
    washed = intent.version.washed
    return Make(
        code=one.code,
        plan_id=id_of(plan),
        milk=Milk(intent.litres, source="the farm across the lane", fat_pct=intent.fat_pct),
        started_ms=one.started_ms,
        zone=ZONE,
        name=plan.name,
        finished_ms=finished,
        failed=day.failed,
        culture_lot=culture_lot(one.number),
        whey_drawn_l=round(WHEY_L * intent.litres, 3) if washed else None,
        water_added_l=round(WASH_L * intent.litres, 3) if washed else None,
        uuid=identity(rng),
    )


def culture_lot(number: int) -> str:
    """The lot of culture a make is made with: a packet lasts for four, M-07 is open now; the
    notebook has none."""
    if number < 1:
        return ""
    return f"M-{1 + (1 + (number - 1) // 4) % 7:02d}"


def run_entries(rng: np.random.Generator, one: Made, make_id: int) -> list[StageRun]:
    """The stages on the plan's clock and as they really ran, until now."""
    out, begins = [], one.day.begins
    for position, (stage, planned) in enumerate(
        zip(one.day.plan.stages, one.day.plan.starts(), strict=True)
    ):
        began = begins[position] if position < len(begins) - 1 else None
        ended = begins[position + 1] if began is not None else None
        out.append(
            StageRun(
                make_id=make_id,
                position=position,
                kind=stage.kind,
                planned_begin_ms=one.at_ms(planned),
                planned_end_ms=one.at_ms(planned + stage.minutes),
                began_ms=_past(one, began),
                ended_ms=_past(one, ended),
                uuid=identity(rng),
            )
        )
    return out


def _past(one: Made, minutes: float | None) -> int | None:
    """The instant, or None when it is still to come."""
    return None if minutes is None or minutes > one.until_min else one.at_ms(minutes)


def additions(
    rng: np.random.Generator, one: Made, make_id: int, stock: list[Ingredient]
) -> list[Addition]:
    """What was really used, at the stages that came about; the culture is of the make's lot, as
    long as its packet is still in stock."""
    by_name = {item.name: item.id for item in stock if item.kind != "culture" and not one.noted}
    lot = culture_lot(one.number)
    by_name |= {item.name: item.id for item in stock if item.kind == "culture" and item.lot == lot}
    out = []
    for position, stage in enumerate(one.day.plan.stages[: len(one.day.begins) - 1]):
        at_ms = _past(one, one.day.begins[position])
        for dose in stage.doses if at_ms is not None else ():
            out.append(
                Addition(
                    make_id=make_id,
                    position=position,
                    kind=dose.kind,
                    name=dose.name,
                    amount=_amount(one, dose.kind, dose.per_litre),
                    unit=dose.unit,
                    at_ms=at_ms or 0,
                    ingredient_id=by_name.get(dose.name),
                    uuid=identity(rng),
                )
            )
    return out


def _amount(one: Made, kind: str, per_litre: float) -> float:
    litres = one.intent.litres
    if kind == "salt":
        return one.salt_g
    if kind == "rennet":
        return round(one.intent.rennet_ml_per_l * litres, 2)
    return round(per_litre * litres, 2)


def wheel_entries(
    rng: np.random.Generator, one: Made, make: Make, rooms: list[int], now_ms: int
) -> list[Wheel]:
    """The make's wheels: in their room, or eaten after their last tasting."""
    finished = make.finished_ms or 0
    out = []
    for cheese in one.cheeses:
        after = NOTED_AFTER_DAYS if one.noted else GONE_AFTER_DAYS
        after = THROWN_AFTER_DAYS if one.gassy else after
        gone = finished + round((after + float(rng.uniform(0, 45))) * DAY_MS)
        eaten, why = gone < now_ms, "thrown out" if one.gassy else "eaten"
        out.append(
            Wheel(
                make_id=id_of(make),
                code=f"{make.code}-{cheese.letter}",
                green_weight_kg=cheese.green_kg,
                room_id=rooms[one.intent.room],
                gone_ms=gone if eaten else None,
                gone_why=why if eaten else "",
                uuid=identity(rng),
            )
        )
    return out


def care_entries(
    rng: np.random.Generator, one: Made, wheel: Wheel, finished_ms: int, now_ms: int
) -> tuple[list[Care], list[Weighing]]:
    """What was done to a wheel until now or until it was gone, and what it weighed."""
    green, room = wheel.green_weight_kg or 0.0, ROOMS[one.intent.room]
    until = ((wheel.gone_ms or now_ms) - finished_ms) / DAY_MS
    cares: list[Care] = []
    weighings = [_weighed(rng, wheel, finished_ms, green)]
    for rule in one.day.plan.care:
        if one.noted and rule.kind != "weigh":
            continue  # the notebook has the weights alone
        for day in care_days(rng, rule, until):
            at_ms = finished_ms + round(day * 86_400) * 1000
            cares.append(Care(id_of(wheel), rule.kind, at_ms, uuid=identity(rng)))
            if rule.kind == "weigh":
                weighings.append(_weighed(rng, wheel, at_ms, _scale(rng, green, room, day)))
    return cares, weighings


def _weighed(rng: np.random.Generator, wheel: Wheel, at_ms: int, kg: float) -> Weighing:
    return Weighing(id_of(wheel), at_ms, kg, uuid=identity(rng))


def _scale(rng: np.random.Generator, green: float, room: RoomAir, days: float) -> float:
    return round(weight_kg(green, room, days) + float(rng.normal(0.0, 0.002)), 3)


def notes(rng: np.random.Generator, one: Made, make_id: int) -> list[Note]:
    """What was worth a note: late stages, and why a make failed."""
    out = []
    for stage, at, minutes in one.day.lates:
        reason = _REASONS[int(rng.integers(len(_REASONS)))]
        text = f"{minutes:.0f} min late after the {stage.label}: {reason}."
        out.append((at + minutes, text))
    if one.day.failed:
        end = one.day.begins[-1]
        out.append((end, FAILED + SLOW_ACID.format(ph=one.day.ph_at(end))))
    return [
        Note(one.at_ms(at), text, make_id=make_id, uuid=identity(rng))
        for at, text in out
        if at <= one.until_min
    ]
