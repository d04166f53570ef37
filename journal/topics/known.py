"""What a record knows for the sums, and what a sum's answer changes in a plan."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from math import isclose

from journal.curves.acid_limits import family_of, target_of
from journal.quantities.units import quantity_named
from journal.quantities.written import write
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.doses import SINGLE_STRENGTH_IMCU_PER_ML
from journal.records.makes import Milk
from journal.records.plan_expected import expected, of_curd_pct
from journal.records.plans import Dose, Plan, Stage
from journal.topics.answer import SumAnswer
from journal.topics.asked import InputValue
from journal.topics.topic import WORD, Topic
from journal.topics.typed import read_value
from journal.wording import worded

KnownFact = str | tuple[float, str]
"""A text as one would type it, or a value in the kept unit of a quantity."""

# What a dose is of, by the topic that calculates it.
DOSED = {
    "culture": "culture",
    "culture-units": "culture",
    "rennet": "rennet",
    "calcium-chloride": "calcium chloride",
    "colour": "colour",
    "salt": "salt",
}
_SAME = 0.003  # of a dose: as far as the rounding of what fills a form goes
HEIGHTS = ("brining-time.height", "bandage.height", "brine.height")
_RINDS = {"wax": "waxed", "bandage": "bandaged", "vacuum": "vacuum"}
# What the packet of a direct-set culture says, in any order: "50 u, for 500 L, 8 g".
_PACKET = {
    "packet_units": re.compile(r"\b(\d+(?:[.,]\d+)?)\s*(?:u|units)\b", re.IGNORECASE),
    "packet_milk": re.compile(r"\b(\d+(?:[.,]\d+)? ?(?:l|litres?|gal))\b", re.IGNORECASE),
    "packet_g": re.compile(r"\b(\d+(?:[.,]\d+)? ?g)\b", re.IGNORECASE),
}


@dataclass(frozen=True)
class KnownValues:
    """A record's values for the sums: `called` as it is named on the screen, `facts` by key, or by
    topic and key ("press.mould") where the name alone would mean something else elsewhere."""

    called: str
    facts: Mapping[str, KnownFact]

    def texts(self, topic: Topic, units: Collection[str] = ()) -> dict[str, str]:
        """What stands in the topic's fields, by key, in the units the maker types."""
        out = {}
        for key in topic.keys:
            fact = self.facts.get(f"{topic.name}.{key.name}", self.facts.get(key.name))
            if fact is None or (key.kind == WORD and fact not in key.choices):
                continue
            if isinstance(fact, str):
                with suppress(ValueError):  # a packet's words may be more than a strength
                    read_value(topic, key, fact)
                    out[key.name] = fact
            elif fact[1] in key.quantities:
                out[key.name] = _typed(*fact, key.default_unit, units)
        return out


def _typed(kept: float, quantity: str, default_unit: str | None, units: Collection[str]) -> str:
    known = [unit.key for unit in quantity_named(quantity).units if unit.key in units]
    return write(kept, quantity, known[0] if known else default_unit).replace("−", "-")


def milk_facts(milk: Milk) -> dict[str, KnownFact]:
    """Of the milk of a make."""
    out: dict[str, KnownFact] = {
        "milk": (milk.litres, "volume"),
        "milk-mix.total": (milk.litres, "volume"),
        "standardise.have": (milk.litres, "volume"),
    }
    for pct, names in (
        (milk.fat_pct, ("yield.fat_pct", "density.fat_pct", "pasteurise.fat_pct",
                        "standardise.have_pct", "composition.fat_pct")),
        (milk.protein_pct, ("yield.protein_pct", "standardise.have_protein_pct",
                            "composition.protein_pct")),
    ):  # fmt: skip
        if pct is not None:
            out |= dict.fromkeys(names, (pct, "percent"))
    return out


def plan_facts(plan: Plan, milk: Milk | None = None) -> dict[str, KnownFact]:
    """Of a plan: its milk, mould, factor, yield, doses, and what its stages say; of another milk
    than its own where one is given."""
    litres = plan.milk_l if milk is None else milk.litres
    out: dict[str, KnownFact] = {
        "milk": (litres, "volume"),
        "milk-mix.total": (litres, "volume"),
        "standardise.have": (litres, "volume"),
        "yield": (plan.yield_pct, "percent"),
        "acid-limits.family": family_of(plan) or "any other",
    }
    if plan.floc_multiplier is not None:
        out["multiplier"] = f"{plan.floc_multiplier:g}"
    if plan.protein_fat is not None:
        out["standardise.want_protein_fat"] = f"{plan.protein_fat:g}"
    out |= _dose_facts(plan) | _stage_facts(plan) | _later_facts(plan)
    return out | _wheel_facts(plan, litres, None if milk is None else milk.fat_pct)


def _dose_facts(plan: Plan) -> dict[str, KnownFact]:
    """The doses for a litre. A rennet by its activity, so that the strength of the current lot
    counts: a plan's ml are of single strength."""
    out: dict[str, KnownFact] = {}
    for topic, kind in DOSED.items():
        doses = [one for stage in plan.stages for one in stage.doses if one.kind == kind]
        if len(doses) != 1 or topic in ("culture-units", "salt"):
            continue
        each, unit = doses[0].per_litre, doses[0].unit
        if topic == "rennet" and unit == "ml":
            activity = each * SINGLE_STRENGTH_IMCU_PER_ML / MILK_KG_PER_L
            out["rennet.dose"] = f"{activity:.4g} IMCU/kg"
        elif unit in ("ml", "g"):
            out[f"{topic}.dose"] = f"{each:.4g} {unit}/L"
    return out


def _stage_facts(plan: Plan) -> dict[str, KnownFact]:
    out: dict[str, KnownFact] = {}
    before = plan.milk_c
    for stage in plan.stages:
        if stage.kind == "cook" and stage.target_c is not None:
            out["ramp.from"] = (before, "temperature")
            out["ramp.to"] = (stage.target_c, "temperature")
            out["ramp.minutes"] = (stage.ramp_length_min, "duration")
        if stage.kind == "brine" and stage.brine_pct is not None:
            out |= dict.fromkeys(
                ("brining-time.pct_w_w", "brine-recipe.pct_w_w"), (stage.brine_pct, "percent")
            )
        if stage.kind == "set" and stage.target_c is not None:
            out["rennet.temp"] = (stage.target_c, "temperature")
        if stage.kind == "press" and stage.pressure_kpa:
            out["press.pressure"] = (stage.pressure_kpa, "pressure")
        if stage.kind == "pasteurise" and stage.target_c is not None:
            out["pasteurise.temp"] = (stage.target_c, "temperature")
            out["pasteurise.minutes"] = (stage.minutes - stage.ramp_length_min, "duration")
            if any(one.kind == "churn" for one in plan.stages):
                out["pasteurise.product"] = "cream for butter"
        before = stage.target_c if stage.target_c is not None else before
    return out


def _later_facts(plan: Plan) -> dict[str, KnownFact]:
    """What comes after the vat: the pH it is to have come to, the room, the rind, the age."""
    out: dict[str, KnownFact] = {}
    asked = target_of(plan)
    if asked is not None and asked.kind == "curd-ph":
        out["growth-limits.ph"] = (asked.high, "ph")
        if any(stage.kind == "brine" for stage in plan.stages):
            out["brine-recipe.ph"] = ((asked.low + asked.high) / 2, "ph")
    if plan.room_c is not None:
        room = (plan.room_c, "temperature")
        out |= dict.fromkeys(("loss.room", "eyes.temp", "growth-limits.temp"), room)
        out["ripening-days.rooms"] = f"{plan.room_c:g} °C"
    if plan.eat_from_days:
        out["loss.weeks"] = (plan.eat_from_days * 1440, "duration")
        out["ripening-days.days"] = f"{plan.eat_from_days:g} d"
    return out | rind_fact(rule.kind for rule in plan.care)


def rind_fact(cares: Iterable[str]) -> dict[str, KnownFact]:
    """What covers a wheel by the care it gets, where that says it."""
    rinds = [_RINDS[kind] for kind in cares if kind in _RINDS]
    return {"loss.rind": rinds[-1]} if rinds else {}


def _wheel_facts(plan: Plan, litres: float, fat_pct: float | None) -> dict[str, KnownFact]:
    """The wheels that are expected of a milk."""
    found = expected(plan, litres, fat_pct)
    each = (found.cheese_kg / found.moulds, "mass")
    out: dict[str, KnownFact] = {"salt.curd": (found.cheese_kg, "mass"), "loss.weight": each}
    salts = [one for stage in plan.stages for one in stage.doses if one.kind == "salt"]
    if len(salts) == 1 and salts[0].unit == "g":
        share = of_curd_pct(plan, salts[0].per_litre * litres, litres, fat_pct)
        out["salt.target"] = f"{share:.3g} %"
    if plan.mould_mm is not None and found.height_mm is not None:
        out |= {"mould": (plan.mould_mm, "length"), "diameter": (plan.mould_mm, "length")}
        out |= {"wheel_weight": each, "mould.wheels": f"{found.moulds}"}
        out |= dict.fromkeys(HEIGHTS, (found.height_mm, "length"))
    return out


def packet_facts(words: str) -> dict[str, KnownFact]:
    """What the packet of a direct-set culture says of itself, by the key of its sum."""
    found = {key: one.search(words) for key, one in _PACKET.items()}
    return {f"culture-units.{key}": one[1] for key, one in found.items() if one is not None}


def litres_of(given: Mapping[str, InputValue]) -> float | None:
    """The milk a dose was calculated for, L; None where it was given by mass."""
    milk = given.get("milk")
    if milk is None or not isinstance(milk.kept, float) or milk.quantity != "volume":
        return None
    return milk.kept


def dose_of(topic: Topic, found: SumAnswer) -> tuple[str, float, str] | None:
    """The kind, amount and unit (ml or g) of a dose that was calculated; None for other sums."""
    if topic.name not in DOSED:
        return None
    if topic.name == "salt":
        return "salt", _number(found.values, "salt_g"), "g"
    for unit in ("ml", "g"):
        amount = found.values.get(unit)
        if amount is not None and (unit == "g" or found.values.get("g") is None):
            return DOSED[topic.name], float(amount), unit
    return None


def named_for(topic: Topic, dose: Dose) -> Dose:
    """A dose of bulk starter as the direct-set culture that is to stand for it."""
    if topic.name != "culture-units" or "bulk starter" not in dose.name:
        return dose
    name = dose.name.replace("bulk starter", "culture, direct-set")
    return replace(dose, name=name, note=worded("topics.by-the-packet"))


def plan_taking(
    plan: Plan, topic: Topic, given: Mapping[str, InputValue], found: SumAnswer
) -> Plan | None:
    """The plan with what a sum answered in it; None where it changes nothing of a plan."""
    dose, litres = dose_of(topic, found), litres_of(given)
    curd = given["curd"].kept if topic.name == "salt" else None
    if dose is not None and isinstance(curd, float) and curd > 0:
        cheese_kg = expected(plan, plan.milk_l).cheese_kg
        return _dosed(plan, topic, dose[1] / curd * cheese_kg / plan.milk_l, "g")
    if dose is not None and litres:
        return _dosed(plan, topic, dose[1] / litres, dose[2])
    values = found.values
    if topic.name == "press":
        return _staged(plan, "press", lambda one: one.pressed_with(_number(values, "pressure_kpa")))
    if topic.name == "brining-time":
        hours = _number(values, "brining_h")
        return _staged(plan, "brine", lambda one: one.lasting(60 * hours))
    if topic.name == "ramp":
        to, minutes = given["to"].kept, given["minutes"].kept
        if isinstance(to, float) and isinstance(minutes, float):
            return _staged(plan, "cook", lambda one: _ramped(one, to, minutes))
    if topic.name == "yield" and isinstance(values.get("yield_pct"), float):
        return _changed(plan, replace(plan, yield_pct=float(values["yield_pct"])))
    strength = given.get("pct_w_w")
    if topic.name == "brine-recipe" and strength is not None and "use" not in given:
        if not isinstance(pct := strength.kept, float):
            return None
        return _staged(plan, "brine", lambda one: replace(one, brine_pct=pct))
    return _typed_into(plan, topic, given)


def _with_mould(plan: Plan, mm: float) -> Plan:
    return replace(plan, mould_mm=mm)


# What of a sum's own keys a plan has too, and how it is changed in it.
_OF_A_PLAN: dict[tuple[str, str], Callable[[Plan, float], Plan]] = {
    ("set", "multiplier"): lambda plan, times: replace(plan, floc_multiplier=times),
    ("standardise", "want_protein_fat"): lambda plan, ratio: replace(plan, protein_fat=ratio),
    ("moulds", "mould"): _with_mould,
    ("mould", "mould"): _with_mould,
}


def _typed_into(plan: Plan, topic: Topic, given: Mapping[str, InputValue]) -> Plan | None:
    """The plan with what was typed for a sum, where it holds the same."""
    shape = given.get("shape")
    if shape is not None and shape.kept == "square":
        return None
    for (name, key), change in _OF_A_PLAN.items():
        asked = given.get(key)
        if name != topic.name or asked is None:
            continue
        sizes = asked.kept if isinstance(asked.kept, tuple) else (asked.kept,)
        if len(sizes) == 1 and isinstance(sizes[0], float):
            return _changed(plan, change(plan, sizes[0]))
    return None


def _number(values: Mapping[str, object], name: str) -> float:
    return float(str(values[name]))


def _changed(plan: Plan, other: Plan) -> Plan | None:
    return other if other != plan else None


def _dosed(plan: Plan, topic: Topic, per_litre: float, unit: str) -> Plan | None:
    """The dose of that topic's kind changed, where the plan has one alone and of another size."""
    kind = DOSED[topic.name]
    doses = [dose for stage in plan.stages for dose in stage.doses if dose.kind == kind]
    if len(doses) != 1 or (
        doses[0].unit == unit and isclose(doses[0].per_litre, per_litre, rel_tol=_SAME)
    ):
        return None
    stages = tuple(
        replace(stage, doses=tuple(
            replace(named_for(topic, dose), per_litre=per_litre, unit=unit,
                    spoons=dose.spoons and unit == "ml")
            if dose.kind == kind else dose
            for dose in stage.doses
        ))
        for stage in plan.stages
    )  # fmt: skip
    return replace(plan, stages=stages)


def _staged(plan: Plan, kind: str, change: Callable[[Stage], Stage]) -> Plan | None:
    """The last stage of a kind changed; None without one."""
    found = [i for i, stage in enumerate(plan.stages) if stage.kind == kind]
    if not found:
        return None
    stages = list(plan.stages)
    stages[found[-1]] = change(stages[found[-1]])
    return _changed(plan, replace(plan, stages=tuple(stages)))


def _ramped(stage: Stage, to_c: float, minutes: float) -> Stage:
    longer = stage.lasting(max(stage.minutes, minutes)) if stage.minutes < minutes else stage
    return replace(longer, target_c=to_c, ramp_min=minutes, first_c_per_min=None, first_min=None)
