"""What in a plan cannot work: each fault at its stage, with its message."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import pairwise

from journal.curves.acid_limits import AcidLimit, family_of, limits_of
from journal.curves.culture_time import culture_in_min
from journal.curves.fault import Fault, indexes_of, of_kind
from journal.curves.growth import culture
from journal.curves.plan_acid import planned_make, planned_time, reached_min
from journal.curves.plan_kinds import KINDS
from journal.curves.plan_safety import SAFETY
from journal.message import Message
from journal.reckoning.brine import GOUDA_M2_S, g_per_kg_water, hours_for_share, uptake_share
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.doses import (
    MOST_CALCIUM_PCT_OF_MILK,
    SINGLE_STRENGTH_IMCU_PER_ML,
    calcium_chloride_g,
    calcium_chloride_pct_of_milk,
    litre_dose_per_kg,
    rennet_warnings,
)
from journal.reckoning.ramp import wash_temp_c
from journal.reckoning.salt import salt_warnings
from journal.records.plan_expected import (
    MOST_TALL,
    expected,
    of_curd_pct,
    press_load_kg,
    press_multiple,
)
from journal.records.plan_scaled import for_milk, wheel_of
from journal.records.plans import AcidTarget, Plan, Stage

# The highest published: 28 psi for gouda (University of Guelph).
MOST_PRESSURE_KPA = 195.0
# Twice the 20 times of the old rule (Thom & Fisk 1918, par. 189): common practice, no source.
MOST_TIMES_ITS_WEIGHT = 40.0
# Of whey there is about 0.9 of the milk; a little more runs from a lean curd.
MOST_WHEY = 0.95
# Rennet works best near 41 °C and little above 50 (Thom & Fisk 1918, par. 94).
HOTTEST_SET_C = 50.0
MOST_RENNET_IMCU_PER_KG = 63.0  # the highest of the published make sheets
MOST_SALT_PCT_OF_CURD = 10.0  # what a blue cheese is rubbed with (Thom & Fisk 1918)
# Bulk starter of the soft and the brined cheeses (University of Guelph, feta and camembert).
MOST_CULTURE_PCT = 3.0
# An orange cheddar takes some 100 ml for 1000 kg: twice that, from memory, no source.
MOST_COLOUR_ML_PER_KG = 0.2
# Salt for 100 g of the cheese's water: the saltiest of the typical cheeses is a parmesan, 3.0 of
# 29.2; a gouda 2.08 of 41.5, from the sodium of the table (University of Guelph, table 1.2).
MOST_SALT_IN_WATER, USUAL_SALT_IN_WATER = 10.3, 5.0
WASH_MISSES_C = 2.5  # heat lost to the room is 1 to 2 °C (University of Guelph, gouda)
TOWER, MUCH_LOAD = "curves.tower-of-curd", "curves.much-load"  # what another milk may bring
_ROUNDING = 1e-6
_BEFORE_DRAINING = ("cut", "heal", "stir", "wash", "cook")


def faults(plan: Plan) -> list[Fault]:
    """Everything in a plan that cannot work, in the order of its stages; it blocks nothing."""
    return list(_faults(plan))


def faults_at(plan: Plan, litres: float) -> list[Fault]:
    """What cannot work with so much milk, which goes into as many moulds as it takes; where it is
    too little for the plan's load, one sentence says from how much on the plan works."""
    found = faults(for_milk(plan, litres))
    own = {fault.message.id for fault in faults(plan)}
    if TOWER not in own:
        found = [fault for fault in found if fault.message.id != TOWER]
    heavy = [f for f in found if f.message.id == MUCH_LOAD and MUCH_LOAD not in own]
    if not heavy or litres >= plan.milk_l:
        return found
    times = max(float(fault.message.values["times"]) for fault in heavy)
    least = math.ceil(2 * litres * times / MOST_TIMES_ITS_WEIGHT) / 2
    little = Message("curves.little-milk", litres=litres, least_l=least, mould_mm=plan.mould_mm)
    return [*(fault for fault in found if fault not in heavy), Fault(heavy[0].stage, little)]


@lru_cache(maxsize=256)
def _faults(plan: Plan) -> tuple[Fault, ...]:
    found = [fault for look in _LOOKS for fault in look(plan)]
    return tuple(sorted(found, key=_stage_index))


def _stage_index(fault: Fault) -> int:
    return fault.stage


# Temperature


def _cook_below_set(plan: Plan) -> Iterator[Fault]:
    sets = [(i, s.target_c) for i, s in of_kind(plan, "set") if s.target_c is not None]
    if not sets:
        return
    index, set_c = sets[-1]
    for i, stage in of_kind(plan, "cook"):
        if i > index and stage.target_c is not None and stage.target_c < set_c - _ROUNDING:
            yield Fault(
                i,
                Message(
                    "curves.cook-colder-than-set",
                    stage=stage.label,
                    target_c=stage.target_c,
                    set_c=set_c,
                ),
            )


def _set_temperature(plan: Plan) -> Iterator[Fault]:
    for i, stage in of_kind(plan, "set"):
        if stage.target_c is None:
            yield Fault(i, Message("curves.set-without-temperature", stage=stage.label))
        elif stage.target_c > HOTTEST_SET_C:
            yield Fault(i, Message("curves.set-too-warm", target_c=stage.target_c))


def _culture_temperature(plan: Plan) -> Iterator[Fault]:
    if not plan.sours:
        return
    kind = culture(plan.culture_type)
    for i, stage in of_kind(plan, "ripen"):
        if stage.target_c is None:
            continue
        if not kind.lowest_c < stage.target_c < kind.highest_c:
            yield Fault(
                i,
                Message(
                    "curves.culture-temperature",
                    culture=plan.culture_type,
                    target_c=stage.target_c,
                    lowest_c=kind.lowest_c,
                    highest_c=kind.highest_c,
                ),
            )


def _ramps(plan: Plan) -> Iterator[Fault]:
    now = plan.milk_c
    for i, stage in enumerate(plan.stages):
        knots = stage.knots(now)
        limit = stage.limit_c_per_min
        steepest = max((_slope(a, b) for a, b in pairwise(knots)), default=0.0)
        if limit is not None and steepest > limit * (1 + 1e-3) + _ROUNDING:
            numbers = {"target_c": stage.target_c, "stage": stage.label, "limit": limit}
            if steepest == float("inf"):
                yield Fault(i, Message("curves.ramp-at-once", **numbers))
            else:
                yield Fault(i, Message("curves.ramp-too-steep", **numbers, rate=steepest))
        now = knots[-1][1] if knots else now


def _slope(a: tuple[float, float], b: tuple[float, float]) -> float:
    """°C a minute between two knots; a jump is as steep as can be."""
    if b[1] <= a[1] + _ROUNDING:
        return 0.0
    return (b[1] - a[1]) / (b[0] - a[0]) if b[0] > a[0] else float("inf")


def _wash_water(plan: Plan) -> Iterator[Fault]:
    now, drawn = plan.milk_c, 0.0
    for i, stage in enumerate(plan.stages):
        vat = 1.0 - drawn - stage.whey_drawn_per_l
        water = stage.water_added_per_l
        if stage.target_c is not None and stage.water_c is not None and water and vat > 0:
            ends = float(
                wash_temp_c(1.0 - drawn, stage.whey_drawn_per_l, now, water, stage.water_c)
            )
            if stage.target_c - ends > WASH_MISSES_C:
                yield Fault(
                    i,
                    Message(
                        "curves.wash-too-cold",
                        water_c=stage.water_c,
                        ends_c=ends,
                        target_c=stage.target_c,
                    ),
                )
        drawn = min(drawn + stage.whey_drawn_per_l - water, 1.0)
        now = stage.target_c if stage.target_c is not None else now


# Acid


def _acid_targets(plan: Plan) -> Iterator[Fault]:
    gated = [(i, s) for i, s in enumerate(plan.stages) if s.acid_target is not None]
    time = planned_time(plan) if gated and plan.sours else None
    for (i, stage), start in ((pair, plan.starts()[pair[0]]) for pair in gated):
        acid_target = stage.acid_target
        assert acid_target is not None
        opens = acid_target.from_min or 0.0
        if opens >= stage.minutes:
            yield Fault(i, Message("curves.gate-after-stage", minutes=opens, stage=stage.label))
            continue
        if time is None or not acid_target.kind.endswith("ph"):
            continue
        closes = min(
            stage.minutes if acid_target.to_min is None else acid_target.to_min, stage.minutes
        )
        whey = acid_target.kind == "whey-ph"
        early = reached_min(plan, acid_target.high, whey=whey, time=time)[0]
        late = reached_min(plan, acid_target.low, whey=whey, time=time)[1]
        if early > start + closes:
            yield Fault(i, _too_soon(plan, acid_target.high, start + closes, early))
        elif late < start + opens:
            yield Fault(
                i,
                Message(
                    "curves.gate-too-late",
                    culture=plan.culture_type,
                    ph=acid_target.low,
                    minutes=max(late, 1.0),
                ),
            )


def _acid_limits(plan: Plan) -> Iterator[Fault]:
    """A plan of a family with a published limit that lets its curd stay sweeter than that."""
    if not family_of(plan) or not plan.sours:
        return
    zero = culture_in_min(planned_make(plan))
    for limit in limits_of(plan):
        early = reached_min(plan, limit.slow_ph, whey=bool(limit.whey))[0]
        due = zero + 60 * limit.hours
        index = _stage_index_at(plan, due)
        if early > due:
            yield Fault(
                index,
                Message(
                    "curves.acid-too-late",
                    culture=plan.culture_type,
                    ph=limit.slow_ph,
                    limit=limit.message,
                ),
            )
        elif (sweet := _sweeter(plan, limit, due)) is not None:
            yield Fault(sweet, Message("curves.gate-too-sweet", limit=limit.message))


def _sweeter(plan: Plan, limit: AcidLimit, due: float) -> int | None:
    """The index of an acid target that only opens after a limit's minute and lies wholly above
    it."""
    for i, (stage, start) in enumerate(zip(plan.stages, plan.starts(), strict=True)):
        acid_target = stage.acid_target
        if acid_target is None or acid_target.kind not in ("milk-ph", "curd-ph"):
            continue
        if start + (acid_target.from_min or 0.0) >= due and acid_target.low > limit.slow_ph:
            return i
    return None


def _stage_index_at(plan: Plan, minute: float) -> int:
    """The index of the stage that a plan is at in a minute."""
    return max(i for i, start in enumerate(plan.starts()) if start <= minute or i == 0)


def _acid_targets_apart(plan: Plan) -> Iterator[Fault]:
    """Two acid targets of one reading, the second open when the first closes, that share no
    value."""
    before: tuple[float, Stage, AcidTarget] | None = None
    for i, (start, stage) in enumerate(zip(plan.starts(), plan.stages, strict=True)):
        acid_target = stage.acid_target
        if acid_target is None or not acid_target.kind.endswith("ph"):
            continue
        opens = start + (acid_target.from_min or 0.0)
        if (
            before is not None
            and before[2].kind == acid_target.kind
            and opens <= before[0] + _ROUNDING
        ):
            first = before[2]
            if acid_target.high < first.low or acid_target.low > first.high:
                yield Fault(
                    i,
                    Message(
                        "curves.gates-at-once",
                        low=acid_target.low,
                        high=acid_target.high,
                        stage=before[1].label,
                        first_low=first.low,
                        first_high=first.high,
                    ),
                )
        closes = (
            stage.minutes if acid_target.to_min is None else min(acid_target.to_min, stage.minutes)
        )
        before = (start + closes, stage, acid_target)


def _too_soon(plan: Plan, ph: float, closes: float, early: float) -> Message:
    """Why an acid target is not reached."""
    numbers = {"culture": plan.culture_type, "ph": ph, "minutes": closes}
    if early == float("inf"):
        return Message("curves.gate-never-reached", **numbers)
    return Message("curves.gate-too-soon", **numbers, quickest=round(early / 5) * 5)


# What goes in


def _rennet(plan: Plan) -> Iterator[Fault]:
    for i, stage in of_kind(plan, "set")[:1]:
        if not _to_add(plan, i, "rennet"):
            yield Fault(i, Message("curves.no-rennet", stage=stage.label))


def _culture(plan: Plan) -> Iterator[Fault]:
    sets = of_kind(plan, "set") or of_kind(plan, "cut")
    ripens = of_kind(plan, "ripen")
    if not plan.sours:
        for index in list(indexes_of(plan, "culture"))[:1]:
            yield Fault(index, Message("curves.culture-in-none", stage=plan.stages[index].label))
    elif sets and not _to_add(plan, sets[0][0], "culture"):
        index = ripens[0][0] if ripens else sets[0][0]
        yield Fault(index, Message("curves.no-culture-before-set"))


def _to_add(plan: Plan, until: int, kind: str) -> bool:
    return any(index <= until for index in indexes_of(plan, kind))


def _salt(plan: Plan) -> Iterator[Fault]:
    salted = any(d.kind == "salt" and d.per_litre > 0 for s in plan.stages for d in s.doses)
    for i, stage in of_kind(plan, "salt")[-1:]:
        if not salted:
            yield Fault(i, Message("curves.no-salt", stage=stage.label))
    for i, stage in of_kind(plan, "brine"):
        if not stage.brine_pct:
            yield Fault(i, Message("curves.brine-without-strength", stage=stage.label))


def _brine(plan: Plan) -> Iterator[Fault]:
    """What a wheel of this size takes from the brine, by the sum of `reckon brine`."""
    wheel = wheel_of(plan)
    for i, stage in of_kind(plan, "brine"):
        if wheel is None or not stage.brine_pct:
            continue
        full = float(g_per_kg_water(stage.brine_pct)) / 10  # of 100 g of water
        taken = full * float(uptake_share(GOUDA_M2_S, stage.minutes / 60, *wheel))
        if taken > MOST_SALT_IN_WATER:
            share = min(USUAL_SALT_IN_WATER / full, 0.9)
            would = 60 * hours_for_share(GOUDA_M2_S, share, *wheel)
            yield Fault(
                i,
                Message(
                    "curves.brine-too-long",
                    high_mm=wheel[1],
                    salt_g=taken,
                    minutes=stage.minutes,
                    most_g=MOST_SALT_IN_WATER,
                    would_do=_about(would),
                ),
            )


def _calcium(plan: Plan) -> Iterator[Fault]:
    for i, stage in enumerate(plan.stages):
        ml = sum(
            d.per_litre for d in stage.doses if d.kind == "calcium chloride" and d.unit == "ml"
        )
        share = float(calcium_chloride_pct_of_milk(calcium_chloride_g(ml), MILK_KG_PER_L))
        if share > MOST_CALCIUM_PCT_OF_MILK * 1.001:
            yield Fault(i, Message("curves.much-calcium", percent=share))


def _much_rennet(plan: Plan) -> Iterator[Fault]:
    """Taken as of single strength; powder is stronger yet."""
    index, per_litre = _all_of(plan, "rennet", "ml", "g")
    imcu = float(litre_dose_per_kg(per_litre)) * SINGLE_STRENGTH_IMCU_PER_ML
    if imcu > MOST_RENNET_IMCU_PER_KG * 1.001:
        why = rennet_warnings(imcu)
        yield Fault(index, Message("curves.much-rennet", imcu_per_kg=imcu, why=why))


def _much_culture(plan: Plan) -> Iterator[Fault]:
    index, per_litre = _all_of(plan, "culture", "ml", "g")
    if per_litre / 10 > MOST_CULTURE_PCT * 1.001:
        yield Fault(
            index,
            Message("curves.much-culture", percent=per_litre / 10, most=MOST_CULTURE_PCT),
        )


def _much_colour(plan: Plan) -> Iterator[Fault]:
    index, per_litre = _all_of(plan, "colour", "ml", "g")
    per_kg = float(litre_dose_per_kg(per_litre))
    if per_kg > MOST_COLOUR_ML_PER_KG * 1.001:
        yield Fault(index, Message("curves.much-colour", ml_per_1000_kg=1000 * per_kg))


def _much_salt(plan: Plan) -> Iterator[Fault]:
    index, per_litre = _all_of(plan, "salt", "g")
    percent = of_curd_pct(plan, per_litre, 1.0)
    if percent > MOST_SALT_PCT_OF_CURD * 1.001:
        why = salt_warnings(percent, 100.0)
        yield Fault(index, Message("curves.much-salt", percent=percent, why=why))


def _about(minutes: float) -> float:
    """To five minutes, to the half hour where they are many."""
    step = 30 if minutes >= 240 else 5
    return max(step, step * round(minutes / step))


def _all_of(plan: Plan, kind: str, *units: str) -> tuple[int, float]:
    """The last stage that an ingredient goes in at, and all of it for a litre; not what is put
    in a brine."""
    index, total = -1, 0.0
    for i, stage in enumerate(plan.stages):
        for dose in stage.doses:
            if stage.kind != "brine" and dose.kind == kind and dose.unit in units:
                index, total = i, total + dose.per_litre
    return index, total


# The curd


def _order(plan: Plan) -> Iterator[Fault]:
    sets = [i for i, _ in of_kind(plan, "set")]
    for i, stage in of_kind(plan, "cut", "cook"):
        if sets and i < sets[0]:
            yield Fault(i, Message("curves.before-the-set", stage=stage.label))


def _sizes(plan: Plan) -> Iterator[Fault]:
    smallest: float | None = None
    for i, stage in enumerate(plan.stages):
        if stage.size_mm is None or stage.kind not in _BEFORE_DRAINING:
            continue
        if smallest is not None and stage.size_mm > smallest:
            yield Fault(
                i,
                Message("curves.pieces-grow", smallest_mm=smallest, size_mm=stage.size_mm),
            )
        smallest = stage.size_mm if smallest is None else min(smallest, stage.size_mm)


def _whey(plan: Plan) -> Iterator[Fault]:
    out = 0.0
    for i, stage in enumerate(plan.stages):
        out += stage.whey_drawn_per_l
        if stage.whey_drawn_per_l and out > MOST_WHEY:
            yield Fault(i, Message("curves.much-whey", percent=100 * out))
        out -= stage.water_added_per_l


def _press(plan: Plan) -> Iterator[Fault]:
    for i, stage in enumerate(plan.stages):
        kpa = stage.pressure_kpa
        if not kpa:
            continue
        load, times = press_load_kg(plan, kpa), press_multiple(plan, kpa, plan.milk_l)
        if kpa > MOST_PRESSURE_KPA:
            yield Fault(i, Message("curves.much-pressure", kpa=kpa))
        elif times is not None and load is not None and times > MOST_TIMES_ITS_WEIGHT:
            yield Fault(i, Message(MUCH_LOAD, kg=load, times=times))


def _tower(plan: Plan) -> Iterator[Fault]:
    """All the curd in one mould: how high a pressed wheel would stand."""
    presses = of_kind(plan, "press")
    if not presses or plan.mould_mm is None:
        return
    found = expected(plan, plan.milk_l)
    if found.height_mm is None or found.moulds == 1:
        return
    high = found.height_mm * found.moulds
    wide = plan.mould_mm * (high / (MOST_TALL * plan.mould_mm)) ** (1 / 3)
    yield Fault(
        presses[0][0],
        Message(
            TOWER,
            cheese_kg=found.cheese_kg,
            high_mm=high,
            mould_mm=plan.mould_mm,
            moulds=found.moulds,
            wider_mm=5 * math.ceil(wide / 5),
        ),
    )


_LOOKS: tuple[Callable[[Plan], Iterator[Fault]], ...] = (
    _cook_below_set, _set_temperature, _culture_temperature, _ramps, _wash_water, _acid_targets,
    _acid_limits, _acid_targets_apart, _rennet, _culture, _salt, _calcium, _much_rennet,
    _much_culture,
    _much_colour, _much_salt, _brine, _order, _sizes, _whey, _press, _tower, *SAFETY, *KINDS,
)  # fmt: skip
