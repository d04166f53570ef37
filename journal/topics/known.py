"""What a record knows for the sums, and what a sum's answer changes in a plan."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

from journal.quantities.units import quantity_named
from journal.quantities.written import write
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.topics.answer import SumAnswer
from journal.topics.asked import InputValue
from journal.topics.topic import WORD, Topic
from journal.topics.typed import read_value

Fact = str | tuple[float, str]
"""A text as one would type it, or a value in the kept unit of a quantity."""

# What a dose is of, by the topic that calculates it.
DOSED = {
    "culture": "culture",
    "rennet": "rennet",
    "calcium-chloride": "calcium chloride",
    "colour": "colour",
}


@dataclass(frozen=True)
class KnownValues:
    """A record's values for the sums: `called` as it is named on the screen, `facts` by key, or by
    topic and key ("press.mould") where the name alone would mean something else elsewhere."""

    called: str
    facts: Mapping[str, Fact]

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


def milk_facts(milk: Milk) -> dict[str, Fact]:
    """Of the milk of a make."""
    out: dict[str, Fact] = {
        "milk": (milk.litres, "volume"),
        "milk-mix.total": (milk.litres, "volume"),
        "standardise.have": (milk.litres, "volume"),
    }
    for pct, names in (
        (milk.fat_pct, ("yield.fat_pct", "density.fat_pct", "pasteurise.fat_pct",
                        "standardise.have_pct")),
        (milk.protein_pct, ("yield.protein_pct", "standardise.have_protein_pct")),
    ):  # fmt: skip
        if pct is not None:
            out |= dict.fromkeys(names, (pct, "percent"))
    return out


def plan_facts(plan: Plan) -> dict[str, Fact]:
    """Of a plan: its milk, mould, factor, yield, and what its stages say."""
    out: dict[str, Fact] = {
        "milk": (plan.milk_l, "volume"),
        "milk-mix.total": (plan.milk_l, "volume"),
        "standardise.have": (plan.milk_l, "volume"),
        "yield": (plan.yield_pct, "percent"),
    }
    if plan.floc_multiplier is not None:
        out["multiplier"] = f"{plan.floc_multiplier:g}"
    if plan.protein_fat is not None:
        out["standardise.want_protein_fat"] = f"{plan.protein_fat:g}"
    if plan.mould_mm is not None:
        out |= {"mould": (plan.mould_mm, "length"), "diameter": (plan.mould_mm, "length")}
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
        before = stage.target_c if stage.target_c is not None else before
    return out


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
    for unit in ("ml", "g"):
        amount = found.values.get(unit)
        if amount is not None and (unit == "g" or found.values.get("g") is None):
            return DOSED[topic.name], float(amount), unit
    return None


def plan_taking(
    plan: Plan, topic: Topic, given: Mapping[str, InputValue], found: SumAnswer
) -> Plan | None:
    """The plan with what a sum answered in it; None where it changes nothing of a plan."""
    dose, litres = dose_of(topic, found), litres_of(given)
    if dose is not None and litres:
        return _dosed(plan, dose[0], dose[1] / litres, dose[2])
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
    multiplier = given.get("multiplier")
    if topic.name == "set" and multiplier is not None and isinstance(multiplier.kept, float):
        return _changed(plan, replace(plan, floc_multiplier=multiplier.kept))
    return None


def _number(values: Mapping[str, object], name: str) -> float:
    return float(str(values[name]))


def _changed(plan: Plan, other: Plan) -> Plan | None:
    return other if other != plan else None


def _dosed(plan: Plan, kind: str, per_litre: float, unit: str) -> Plan | None:
    """The dose of that kind changed, where the plan has one alone."""
    if sum(dose.kind == kind for stage in plan.stages for dose in stage.doses) != 1:
        return None
    stages = tuple(
        replace(stage, doses=tuple(
            replace(dose, per_litre=per_litre, unit=unit, spoons=dose.spoons and unit == "ml")
            if dose.kind == kind else dose
            for dose in stage.doses
        ))
        for stage in plan.stages
    )  # fmt: skip
    return _changed(plan, replace(plan, stages=stages))


def _staged(plan: Plan, kind: str, change: Callable[[Stage], Stage]) -> Plan | None:
    """The last stage of a kind changed; None without one."""
    places = [i for i, stage in enumerate(plan.stages) if stage.kind == kind]
    if not places:
        return None
    stages = list(plan.stages)
    stages[places[-1]] = change(stages[places[-1]])
    return _changed(plan, replace(plan, stages=tuple(stages)))


def _ramped(stage: Stage, to_c: float, minutes: float) -> Stage:
    longer = stage.lasting(max(stage.minutes, minutes)) if stage.minutes < minutes else stage
    return replace(longer, target_c=to_c, ramp_min=minutes, first_c_per_min=None, first_min=None)
