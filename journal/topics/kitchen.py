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
from journal.topics.milk import GUELPH
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
        raise TopicError(
            "“milk-mix” needs two or three labels of milk_label, cream_label and powder_label."
        )
    fat, protein = asked.number("want_fat_pct"), asked.number("want_protein_pct")
    given = list(parts.values())
    share = milk_mix.shares(given, fat, protein)
    found = milk_mix.mixed(given, share)
    total = asked.need("total", "the mix wanted")
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
    asked.assume("casein is 2.6 of 3.3 parts of the protein (University of Guelph)")
    formula = (
        "shares by a balance of mass of the whole, fat and protein; 100 ml of a label weigh by "
        "fat 0.93, other solids 1.608 and water"
    )
    source = (
        f"{GUELPH}, standardization problems and table of densities; milk sugar and ash: Thom & "
        "Fisk 1918, table I"
    )
    cautions = (
        "UHT and long-heated milk or powder sets weakly or not at all: take low-heat powder. Mix "
        "before you pasteurise.",
    )
    return answer(asked, values, formula, source, cautions=cautions)


_MIX_UNITS = (("milk", "kg"), ("milk", "l"), ("cream", "kg"), ("cream", "l"), ("powder", "g"))


def _label(asked: Inputs, name: str) -> milk_mix.Part:
    """One part from what its label says: fat, protein and perhaps sugar."""
    grams = [float(one) for one in asked.numbers(f"{name}_label")]
    if name == "powder":
        if len(grams) != 2:
            raise TopicError("Give powder_label as fat, protein in 100 g, like 1, 35.")
        asked.assume("powder holds 4 % of water (from memory)")
        return milk_mix.part_of_powder(*grams)
    if len(grams) not in (2, 3):
        raise TopicError(
            f"Give {name}_label as fat, protein in 100 ml, like 3.5, 3.3; sugar may stand behind."
        )
    if len(grams) == 2:
        asked.assume(f"{name}: 4.8 g of sugar in 100 ml of what is not fat (Thom & Fisk, table I)")
    return milk_mix.part_of_label(*grams)


def work_out_moulds(asked: Inputs) -> SumAnswer:
    """How many moulds for a milk, and what goes into each."""
    curd = asked.word("curd", "pressed")
    if not asked.has("curd"):
        asked.assume("curd that is pressed; curd=ladled for soft curd")
    if curd == "ladled":
        based_on = "13 kg of soft cheese from 100 kg of milk (camembert, Thom & Fisk 1918)"
        pct = asked.or_assume("yield", 13.0, based_on)
    else:
        pct = asked.or_assume("yield", 10.0, "10 kg of cheese from 100 kg of milk (rule of thumb)")
    area = area_cm2(asked)
    cheese = float(mould.wheel_kg(asked.kg(), pct))
    count = _count(asked, curd, area, cheese)
    wheel = cheese / count
    height = float(mould.wheel_height_mm(wheel, area))
    asked.assume("the cheese weighs 1.08 kg/L as it leaves the mould (from memory)")
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
    formula = (
        "moulds = cheese / wanted weight, to the nearest; or as many as hold the loose curd (half "
        "as high again), or of ladled curd 1.37 L of milk for a L of the mould"
    )
    source = (
        "exact geometry; ladled curd: Thom & Fisk 1918, par. 146 and 147 (camembert: 2 quarts in a "
        "hoop of 4 5/8 by 5 in); loose over pressed: common practice, no source"
    )
    return answer(asked, values, formula, source)


def _count(asked: Inputs, curd: str, area: float, cheese: float) -> int:
    wishes = [name for name in ("weight", "height") if asked.has(name)]
    if len(wishes) > 1:
        raise TopicError("Give weight or height of a wheel, not both.")
    if asked.has("weight"):
        return mould.moulds_for_weight(cheese, asked.need("weight"))
    if asked.has("height"):
        each = asked.need("height") * area / 1e4 * mould.CHEESE_KG_PER_L
        return mould.moulds_for_weight(cheese, each)
    tall = asked.need("mould_height", "or the weight or height wanted of a wheel")
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
        raise TopicError("The number of springs must be whole, like 2.")
    values: dict[str, object] = {"rate_n_per_mm": rate, "load_kg": None, "squeeze_mm": None}
    squeeze = asked.number("squeeze")
    if asked.has("load"):
        if squeeze is not None:
            raise TopicError("Give load or squeeze, not both.")
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
    asked.assume("springs side by side, each squeezed alike; the spring is straight (Hooke)")
    formula = (
        "rate = G d⁴ / (8 D³ n) or load / squeeze; load = rate × squeeze × springs / 9.80665; "
        "tighten when the curd has sunk a fifth of the squeeze (four fifths of the load left)"
    )
    source = (
        "Wahl, Mechanical Springs, 2nd ed. (restated); Hooke's law, exact; four fifths: common "
        "practice, no source"
    )
    cautions = (
        "A squeezed spring is dangerous: keep it on its rod, and let it go slowly. Never squeeze "
        "it until its coils touch.",
    )
    return answer(asked, values, formula, source, cautions=cautions)


def _rate(asked: Inputs) -> float:
    """N/mm as given, by a test load, or by the wire."""
    given = [n for n in ("rate", "test_load", "wire") if asked.has(n)]
    if len(given) != 1:
        raise TopicError(
            "“spring” needs one of rate, test_load with test_squeeze, and wire with coil and turns."
        )
    if asked.has("rate"):
        tag, rate = asked.given["rate"].tag, asked.need("rate")
        if not tag:
            asked.assume("rate is read in N/mm")
        above(rate, 0, "reckoning.rate-of-spring", "N/mm")
        return rate * {"kg/mm": press.GRAVITY, "lb/in": _LB_IN_N_MM}.get(tag, 1.0)
    if asked.has("test_load"):
        squeeze = asked.need("test_squeeze", "how far that load squeezes one spring")
        return float(springs.rate_of_test_n_per_mm(asked.need("test_load"), squeeze))
    material = asked.word("material", "steel")
    modulus = springs.MODULUS_N_MM2[material]
    asked.assume(f"{material} wire of G = {modulus:.0f} N/mm²; turns are those that move")
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
    price = asked.need("milk_price", "for a litre, or like 0.9 /kg")
    by_mass = asked.given["milk_price"].tag in ("/kg", "/lb", "/100 lb")
    per = {"/lb": 0.45359237, "/100 lb": 45.359237, "/gal": 3.785411784}
    price /= per.get(asked.given["milk_price"].tag, 1.0)
    if not asked.given["milk_price"].tag:
        asked.assume("the price of milk is for a litre")
    milk = asked.kg() if by_mass else asked.litres()
    other = float(np.sum(asked.numbers("other"))) if asked.has("other") else 0.0
    hours = (asked.number("hours") or 0.0) / 60
    wage = asked.or_assume("wage", 0.0, "your work costs nothing; give hours and wage")
    total = float(cost.whole_cost(milk, price, other, hours, wage))
    cheese = asked.number("cheese")
    if cheese is None:
        pct = asked.or_assume("yield", 10.0, "10 kg of cheese from 100 kg of milk (rule of thumb)")
        cheese = float(mould.wheel_kg(asked.kg(), pct))
    loss = asked.or_assume("loss_pct", 0.0, "no weight is lost in the room")
    values: dict[str, object] = {
        "cost": total,
        "cost_per_kg": float(cost.cost_per_kg(total, cheese)),
        "aged_cost_per_kg": float(cost.cost_per_kg(total, cheese, loss)),
        "milk_share_pct": 100 * milk * price / total if total > 0 else None,
        "cheese_kg": cheese,
        "aged_kg": cheese * (1 - loss / 100),
    }
    formula = "cost = milk × price + other + hours × wage; a kg = cost / (kg × (1 − loss))"
    source = "exact, in the money of your prices; loss: see “loss”"
    return answer(asked, values, formula, source)


_GRAMS = ("number",)
TOPICS = (
    Topic(
        "milk-mix",
        "a mix of milk, cream and powder for a wanted fat and protein, from their labels",
        (
            Input("total", "how much is wanted", ("volume", "mass")),
            Input("milk_label", "fat, protein (and sugar) in 100 ml", _GRAMS, kind=SEVERAL),
            Input("cream_label", "the same of cream, or of skim milk", _GRAMS, kind=SEVERAL,
                also=("skim_label",)),
            Input("powder_label", "fat, protein in 100 g", _GRAMS, kind=SEVERAL),
            percent("want_fat_pct", "fat wanted, % of the mass"),
            percent("want_protein_pct", "protein wanted, % of the mass"),
        ),
        ("milk_l", "milk_kg", "cream_l", "cream_kg", "powder_g", "fat_pct", "protein_pct",
         "protein_fat", "casein_fat"),
        work_out_milk_mix,
    ),
    Topic(
        "moulds",
        "how many moulds for a milk, and what goes into each",
        (
            MILK,
            DENSITY,
            Input("yield", "kg of cheese from 100 kg of milk", ("percent",), also=("yield_pct",)),
            MOULD,
            SHAPE,
            length("mould_height", "inner height of a mould"),
            mass("weight", "a wheel wanted so heavy"),
            length("height", "a wheel wanted so high as it leaves the mould"),
            Input("curd", "how it goes in", kind=WORD, choices=CURDS),
        ),
        ("moulds", "wheel_kg", "height_mm", "milk_each_l", "fits"),
        work_out_moulds,
    ),
    Topic(
        "spring",
        "the load of a spring press, and how it slackens as the curd sinks",
        (
            Input("rate", "of one spring", tags=("n/mm", "kg/mm", "lb/in")),
            mass("test_load", "a load on one spring, instead of its rate"),
            length("test_squeeze", "how far that load squeezes it"),
            length("wire", "thickness of its wire, instead of its rate"),
            length("coil", "width of the coil, middle of the wire to middle"),
            Input("turns", "turns that move"),
            Input("material", "of the wire", kind=WORD, choices=tuple(springs.MODULUS_N_MM2)),
            Input("springs", "how many side by side"),
            length("squeeze", "how far they are squeezed"),
            mass("load", "the load wanted, for its squeeze"),
            length("sinks", "how far the curd sinks"),
            MOULD,
            SHAPE,
        ),
        ("rate_n_per_mm", "load_kg", "squeeze_mm", "tighten_after_mm"),
        work_out_spring,
    ),
    Topic(
        "cost",
        "what a kilogram of cheese costs, fresh and aged",
        (
            MILK,
            DENSITY,
            Input("milk_price", "for a litre, in any money",
                tags=("/l", "/kg", "/lb", "/100 lb", "/gal")),
            Input("other", "what else was paid, like 1.2, 0.4, 3", kind=SEVERAL),
            Input("hours", "of work", ("duration",), default_unit="h"),
            Input("wage", "for an hour"),
            mass("cheese", "what came of it, as it left the mould"),
            Input("yield", "kg of cheese from 100 kg of milk, instead", ("percent",),
                also=("yield_pct",)),
            percent("loss_pct", "weight lost in the room"),
        ),
        ("cost", "cost_per_kg", "aged_cost_per_kg", "milk_share_pct"),
        work_out_cost,
    ),
)  # fmt: skip
