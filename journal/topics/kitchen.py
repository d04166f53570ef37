"""Topics round the make: a mix from labels, moulds, a spring press, cost."""

from __future__ import annotations

import numpy as np

from journal.reckoning import cost, milk_mix, mould, press, springs, standardise
from journal.reckoning.bounds import above
from journal.reckoning.milk_yield import casein_from_protein
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.curd import MOULD, SHAPE, area_cm2
from journal.topics.topic import (
    DENSITY,
    MILK,
    SEVERAL,
    WORD,
    Input,
    Topic,
    answer,
    length,
    mass,
    percent,
)

_LB_IN_N_MM = 4.4482216152605 / 25.4
_LABELS = ("milk", "cream", "powder")
CURDS = ("pressed", "ladled")


def work_out_milk_mix(asked: Inputs) -> SumAnswer:
    """How much of each milk for a wanted fat and protein, from the labels."""
    parts = {name: _label(asked, name) for name in _LABELS if asked.has(f"{name}_label")}
    if len(parts) < 2:
        raise TopicError("topics.milk-mix-needs")
    fat, protein = asked.number("want_fat_pct"), asked.number("want_protein_pct")
    given = list(parts.values())
    share = milk_mix.shares(given, fat, protein)
    found = milk_mix.mixed(given, share)
    total = asked.need("total", "topics.needed-total")
    kg = total * found.kg_per_l if asked.given["total"].quantity == "volume" else total
    values: dict[str, object] = dict.fromkeys(
        f"{name}_{unit}" for name, unit in _MIX_UNITS if name in parts
    )
    for (name, part), one in zip(parts.items(), share, strict=True):
        values[f"{name}_kg" if name != "powder" else "powder_g"] = (
            one * kg if name != "powder" else 1000 * one * kg
        )
        if name != "powder":
            values[f"{name}_l"] = one * kg / part.kg_per_l
    casein = float(casein_from_protein(found.protein_pct))
    values |= {
        "fat_pct": found.fat_pct,
        "protein_pct": found.protein_pct,
        "density_kg_per_l": found.kg_per_l,
        "protein_fat": found.protein_pct / found.fat_pct if found.fat_pct > 1e-9 else None,
        "casein_fat": casein / found.fat_pct if found.fat_pct > 1e-9 else None,
    }
    asked.warn(standardise.snf_warnings(100 * found.snf_pct / (100 - found.fat_pct)))
    if "powder" in parts:
        asked.warn(milk_mix.powder_warnings(share[-1]))
    asked.assume("topics.assumed-casein-of-protein")
    formula = "topics.milk-mix-formula"
    source = "topics.milk-mix-source"
    cautions = ("topics.milk-mix-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


_MIX_UNITS = (("milk", "kg"), ("milk", "l"), ("cream", "kg"), ("cream", "l"), ("powder", "g"))


def _label(asked: Inputs, name: str) -> milk_mix.Part:
    """One part from what its label says: fat, protein and perhaps sugar."""
    grams = [float(one) for one in asked.numbers(f"{name}_label")]
    if name == "powder":
        if len(grams) != 2:
            raise TopicError("topics.powder-label-unread")
        asked.assume("topics.assumed-powder-water")
        return milk_mix.part_of_powder(*grams)
    if len(grams) not in (2, 3):
        raise TopicError("topics.label-unread", name=name)
    if len(grams) == 2:
        asked.assume("topics.assumed-sugar", name=name)
    return milk_mix.part_of_label(*grams)


def work_out_moulds(asked: Inputs) -> SumAnswer:
    """How many moulds for a milk, and what goes into each."""
    curd = asked.word("curd", "pressed")
    if not asked.has("curd"):
        asked.assume("topics.assumed-pressed-curd")
    if curd == "ladled":
        based_on = "topics.assumed-soft-yield"
        pct = asked.or_assume("yield", 13.0, based_on)
    else:
        pct = asked.or_assume("yield", 10.0, "topics.assumed-yield")
    area = area_cm2(asked)
    cheese = float(mould.wheel_kg(asked.kg(), pct))
    count = _count(asked, curd, area, cheese)
    wheel = cheese / count
    height = float(mould.wheel_height_mm(wheel, area))
    asked.assume("topics.assumed-wheel-density")
    width = float(min(asked.numbers("mould")))
    asked.warn(mould.mould_warnings(height, width))
    values: dict[str, object] = {
        "moulds": count,
        "wheel_kg": wheel,
        "height_mm": height,
        "milk_each_l": asked.litres() / count,
        "loose_height_mm": mould.loose_height_mm(height) if curd == "pressed" else None,
    }
    if asked.has("mould_height"):
        tall = asked.need("mould_height")
        values["fits"] = count >= _fewest(asked, curd, area, tall, cheese)
    formula = "topics.moulds-formula"
    source = "topics.moulds-source"
    return answer(asked, values, formula, source)


def _count(asked: Inputs, curd: str, area: float, cheese: float) -> int:
    wishes = [name for name in ("weight", "height") if asked.has(name)]
    if len(wishes) > 1:
        raise TopicError("topics.weight-or-height")
    if asked.has("weight"):
        return mould.moulds_for_weight(cheese, asked.need("weight"))
    if asked.has("height"):
        each = asked.need("height") * area / 1e4 * mould.CHEESE_KG_PER_L
        return mould.moulds_for_weight(cheese, each)
    tall = asked.need("mould_height", "topics.needed-mould-height")
    return _fewest(asked, curd, area, tall, cheese)


def _fewest(asked: Inputs, curd: str, area: float, tall: float, cheese: float) -> int:
    """The fewest moulds of that height that hold the curd."""
    if curd == "ladled":
        return mould.moulds_to_hold(asked.litres(), float(mould.most_ladled_l(area, tall)))
    return mould.moulds_to_hold(cheese, float(mould.most_pressed_kg(area, tall)))


def work_out_spring(asked: Inputs) -> SumAnswer:
    """A spring's rate, the load of a squeeze or the squeeze for a load, and how it slackens."""
    rate = _rate(asked)
    count = asked.number("springs") or 1.0
    if count != int(count) or count < 1:
        raise TopicError("topics.springs-whole")
    values: dict[str, object] = {"rate_n_per_mm": rate, "load_kg": None, "squeeze_mm": None}
    squeeze = asked.number("squeeze")
    if asked.has("load"):
        if squeeze is not None:
            raise TopicError("topics.load-or-squeeze")
        squeeze = float(springs.squeeze_for_load_mm(asked.need("load"), rate, count))
    lost = None
    if squeeze is not None:
        load = float(springs.squeezed_load_kg(rate, squeeze, count))
        values |= {
            "load_kg": load,
            "squeeze_mm": squeeze,
            "tighten_after_mm": float(springs.sinking_to_tighten_mm(squeeze)),
        }
        lost = _after(asked, rate, squeeze, count, load, values)
    index = asked.need("coil") / asked.need("wire") if asked.has("wire", "coil") else None
    asked.warn(springs.spring_warnings(index, lost))
    asked.assume("topics.assumed-springs-alike")
    formula = "topics.spring-formula"
    source = "topics.spring-source"
    cautions = ("topics.spring-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


def _rate(asked: Inputs) -> float:
    """N/mm as given, by a test load, or by the wire."""
    given = [n for n in ("rate", "test_load", "wire") if asked.has(n)]
    if len(given) != 1:
        raise TopicError("topics.spring-needs")
    if asked.has("rate"):
        tag, rate = asked.given["rate"].tag, asked.need("rate")
        if not tag:
            asked.assume("topics.assumed-rate-unit")
        above(rate, 0, "reckoning.rate-of-spring", "N/mm")
        return rate * {"kg/mm": press.GRAVITY, "lb/in": _LB_IN_N_MM}.get(tag, 1.0)
    if asked.has("test_load"):
        squeeze = asked.need("test_squeeze", "topics.needed-test-squeeze")
        return float(springs.rate_of_test_n_per_mm(asked.need("test_load"), squeeze))
    material = asked.word("material", "steel")
    modulus = springs.MODULUS_N_MM2[material]
    asked.assume("topics.assumed-wire", material=material, modulus=modulus)
    wire, coil, turns = (asked.need(name) for name in ("wire", "coil", "turns"))
    return float(springs.rate_of_wire_n_per_mm(wire, coil, turns, modulus))


def _after(
    asked: Inputs, rate: float, squeeze: float, count: float, load: float, values: dict[str, object]
) -> float | None:
    """Pressure on the mould, and the load left as the curd sinks; what is lost, %."""
    if asked.has("mould"):
        values["pressure_kpa"] = press.pressure_kpa(load, area_cm2(asked))
    if not asked.has("sinks"):
        return None
    left = springs.load_after_sinking_kg(rate, squeeze, asked.need("sinks"), count)
    values["load_left_kg"] = left
    return 100 * (1 - left / load) if load > 0 else None


def work_out_cost(asked: Inputs) -> SumAnswer:
    """What the cheese costs, and a kg of it fresh and aged."""
    price = asked.need("milk_price", "topics.needed-milk-price")
    by_mass = asked.given["milk_price"].tag in ("/kg", "/lb", "/100 lb")
    per = {"/lb": 0.45359237, "/100 lb": 45.359237, "/gal": 3.785411784}
    price /= per.get(asked.given["milk_price"].tag, 1.0)
    if not asked.given["milk_price"].tag:
        asked.assume("topics.assumed-price-a-litre")
    milk = asked.kg() if by_mass else asked.litres()
    other = float(np.sum(asked.numbers("other"))) if asked.has("other") else 0.0
    hours = (asked.number("hours") or 0.0) / 60
    wage = asked.or_assume("wage", 0.0, "topics.assumed-wage")
    total = float(cost.whole_cost(milk, price, other, hours, wage))
    cheese = asked.number("cheese")
    if cheese is None:
        pct = asked.or_assume("yield", 10.0, "topics.assumed-yield")
        cheese = float(mould.wheel_kg(asked.kg(), pct))
    loss = asked.or_assume("loss_pct", 0.0, "topics.assumed-loss-pct")
    values: dict[str, object] = {
        "cost": total,
        "cost_per_kg": float(cost.cost_per_kg(total, cheese)),
        "aged_cost_per_kg": float(cost.cost_per_kg(total, cheese, loss)),
        "milk_share_pct": 100 * milk * price / total if total > 0 else None,
        "cheese_kg": cheese,
        "aged_kg": cheese * (1 - loss / 100),
    }
    formula = "topics.cost-formula"
    source = "topics.cost-source"
    return answer(asked, values, formula, source)


_GRAMS = ("number",)
TOPICS = (
    Topic(
        "milk-mix",
        "topics.milk-mix-is-for",
        (
            Input("total", "topics.amount-wanted", ("volume", "mass")),
            Input("milk_label", "topics.input-milk-label", _GRAMS, kind=SEVERAL),
            Input("cream_label", "topics.input-cream-label", _GRAMS, kind=SEVERAL,
                also=("skim_label",)),
            Input("powder_label", "topics.input-powder-label", _GRAMS, kind=SEVERAL),
            percent("want_fat_pct", "topics.input-want-fat-pct"),
            percent("want_protein_pct", "topics.input-want-protein-pct"),
        ),
        ("milk_l", "milk_kg", "cream_l", "cream_kg", "powder_g", "fat_pct", "protein_pct",
         "protein_fat", "casein_fat"),
        work_out_milk_mix,
    ),
    Topic(
        "moulds",
        "topics.moulds-is-for",
        (
            MILK,
            DENSITY,
            Input("yield", "topics.input-yield", ("percent",), also=("yield_pct",)),
            MOULD,
            SHAPE,
            length("mould_height", "topics.input-moulds-mould-height"),
            mass("weight", "topics.input-moulds-weight"),
            length("height", "topics.input-moulds-height"),
            Input("curd", "topics.input-moulds-curd", kind=WORD, choices=CURDS),
        ),
        ("moulds", "wheel_kg", "height_mm", "milk_each_l", "fits"),
        work_out_moulds,
    ),
    Topic(
        "spring",
        "topics.spring-is-for",
        (
            Input("rate", "topics.input-rate", tags=("n/mm", "kg/mm", "lb/in")),
            mass("test_load", "topics.input-test-load"),
            length("test_squeeze", "topics.input-test-squeeze"),
            length("wire", "topics.input-wire"),
            length("coil", "topics.input-coil"),
            Input("turns", "topics.input-turns"),
            Input("material", "topics.input-material", kind=WORD,
                choices=tuple(springs.MODULUS_N_MM2)),
            Input("springs", "topics.input-springs"),
            length("squeeze", "topics.input-squeeze"),
            mass("load", "topics.input-spring-load"),
            length("sinks", "topics.input-sinks"),
            MOULD,
            SHAPE,
        ),
        ("rate_n_per_mm", "load_kg", "squeeze_mm", "tighten_after_mm"),
        work_out_spring,
    ),
    Topic(
        "cost",
        "topics.cost-is-for",
        (
            MILK,
            DENSITY,
            Input("milk_price", "topics.input-milk-price",
                tags=("/l", "/kg", "/lb", "/100 lb", "/gal")),
            Input("other", "topics.input-other", kind=SEVERAL),
            Input("hours", "topics.input-cost-hours", ("duration",), default_unit="h"),
            Input("wage", "topics.input-wage"),
            mass("cheese", "topics.input-cost-cheese"),
            Input("yield", "topics.input-cost-yield", ("percent",),
                also=("yield_pct",)),
            percent("loss_pct", "topics.input-loss-pct"),
        ),
        ("cost", "cost_per_kg", "aged_cost_per_kg", "milk_share_pct"),
        work_out_cost,
    ),
)  # fmt: skip
