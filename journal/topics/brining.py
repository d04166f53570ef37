"""Topics of the brine tub: hours for a wanted salt, and a brine from nothing."""

from __future__ import annotations

from journal.reckoning import brine, brine_recipe, brining
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import WORD, Input, Topic, answer, length, percent, temperature
from journal.topics.wheel import read_brine, read_diffusion, span
from journal.wording import worded

# What a brine is for, and its usual strength: University of Guelph; Pappas et al. 1996.
USES = {"salting": 20.0, "keeping": 7.0}
LIQUIDS = ("water", "whey")
WHEY_KG_PER_L = 1.025  # from memory


def read_times(asked: Inputs) -> list[brining.PublishedTime]:
    """The published times in brine from the table passed in."""
    numbers = [asked.column("brining_hours", n) for n in ("low_kg", "high_kg", "low_h", "high_h")]
    words = asked.cells("brining_hours", "cheese"), asked.cells("brining_hours", "source")
    return [
        brining.PublishedTime(cheese, low_kg, high_kg, low_h, high_h, source)
        for cheese, source, low_kg, high_kg, low_h, high_h in zip(*words, *numbers, strict=True)
    ]


def work_out_brining_time(asked: Inputs) -> SumAnswer:
    """Hours in the brine for a wanted salt, by this wheel's size."""
    target = asked.need("target", "topics.needed-brining-time-target")
    moisture = asked.need("moisture_pct")
    size = asked.need("diameter"), asked.need("height")
    pct = asked.or_assume("pct_w_w", USES["salting"], "topics.assumed-brining-pct")
    before = asked.or_assume("salt_pct", 0.0, "topics.assumed-salt-pct")
    low, high, diffusion = read_diffusion(asked)
    asked.assume("topics.assumed-wheel-keeps-water", diffusion=diffusion)
    fast, slow = (
        brining.brining_h(target, moisture, pct, *size, d, before_pct=before) for d in (high, low)
    )
    middle = (fast * slow) ** 0.5
    kg = brining.wheel_kg(*size)
    asked.assume("topics.assumed-round-wheel", kg=kg)
    near = brining.published_near(kg, read_times(asked))
    ends = (min(one.low_h for one in near), max(one.high_h for one in near)) if near else None
    asked.warn(brining.brining_warnings(middle, ends))
    asked.warn(brine.brine_warnings(pct, 20.0))
    values: dict[str, object] = {
        "brining_h": middle,
        "salt_depth_mm": float(brine.diffusion_depth_mm((low * high) ** 0.5, middle)),
        "published": [
            worded(
                "topics.published-time",
                cheese=one.cheese,
                weight=_weight(one),
                hours=span(one.low_h, one.high_h),
                source=one.source,
            )
            for one in near
        ],
        "ranges": {"brining_h": (fast, slow)} | ({"published_h": ends} if ends else {}),
    }
    formula = "topics.brining-time-formula"
    source = "topics.brining-time-source"
    cautions = (
        "topics.brining-time-caution",
        "topics.brining-time-caution-2",
    )
    return answer(asked, values, formula, source, cautions=cautions)


def _weight(one: brining.PublishedTime) -> str:
    """The weight of a wheel of a published time, where its name does not say it."""
    return "" if "kg" in one.cheese else f" {span(one.low_kg, one.high_kg)} kg"


def work_out_brine_recipe(asked: Inputs) -> SumAnswer:
    """Salt, water, calcium chloride and vinegar for a brine, over what an old one brings."""
    table, use = read_brine(asked), asked.word("use", "salting")
    wanted = asked.need("brine", "topics.amount-wanted")
    usual = USES[use]
    pct = asked.or_assume("pct_w_w", usual, "topics.assumed-brine-pct", usual=usual, use=use)
    temp = asked.or_assume("temp", 20.0, "topics.assumed-brine-recipe-temp")
    dense = float(brine.brine_density_kg_m3(pct, temp, table))
    kg = wanted * dense / 1000 if asked.given["brine"].quantity == "volume" else wanted
    have, have_pct = _old_brine(asked, temp, table)
    salt, water = brine_recipe.salt_and_water_kg(kg, pct, have, have_pct)
    if not asked.has("use"):
        asked.warn(brine.brine_warnings(pct, temp))
    values: dict[str, object] = {
        "salt_kg": salt,
        "water_kg": water,
        "brine_kg": kg,
        "g_per_kg_water": brine.g_per_kg_water(pct),
        "density_kg_m3": dense,
        "baume": brine.baume(dense, temp),
    }
    kitchen = None
    if asked.word("liquid", "water") == "whey":
        values |= {"water_l": water / WHEY_KG_PER_L, "calcium_ml": 0.0, "vinegar_ml": 0.0}
        asked.assume("topics.assumed-own-whey")
    else:
        kitchen = _calcium_and_acid(asked, kg - have, water, values)
    formula = "topics.brine-recipe-formula"
    source = "topics.brine-recipe-source"
    cautions = (
        "topics.brine-recipe-caution",
        "topics.brining-time-caution-2",
    )
    return answer(asked, values, formula, source, cautions=cautions, kitchen_ml=kitchen)


def _old_brine(asked: Inputs, temp: float, table: brine.BrineTable) -> tuple[float, float]:
    if not asked.has("have"):
        return 0.0, 0.0
    pct, amount = asked.need("have_pct", "topics.needed-have-pct"), asked.need("have")
    if asked.given["have"].quantity == "volume":
        amount *= float(brine.brine_density_kg_m3(pct, temp, table)) / 1000
    asked.assume("topics.assumed-old-brine")
    return amount, pct


def _calcium_and_acid(
    asked: Inputs, new_kg: float, water_kg: float, values: dict[str, object]
) -> float:
    """Calcium chloride and vinegar for the new part; the vinegar, ml."""
    if new_kg < 0:
        raise TopicError("topics.too-much-old-brine")
    calcium = asked.or_assume(
        "calcium_pct", brine_recipe.NEW_CALCIUM_PCT, "topics.assumed-calcium-pct"
    )
    strength = asked.or_assume("strength", 30.0, "topics.assumed-brine-recipe-strength")
    middle = sum(brine_recipe.NEW_PH) / 2
    ph = asked.or_assume("ph", middle, "topics.assumed-ph", middle=middle)
    alkalinity = asked.or_assume(
        "alkalinity",
        brine_recipe.WATER_ALKALINITY_MG_L,
        "topics.assumed-alkalinity",
    )
    acid = asked.or_assume("vinegar_pct", brine_recipe.VINEGAR_PCT, "topics.assumed-vinegar-pct")
    ml = float(brine_recipe.calcium_solution_ml(new_kg, calcium, strength))
    vinegar = float(brine_recipe.vinegar_ml(water_kg, ph, alkalinity, acid))
    asked.warn(brine_recipe.recipe_warnings(calcium, ph))
    values |= {
        "water_l": water_kg,
        "calcium_ml": ml,
        "calcium_g": ml * strength / 100,
        "vinegar_ml": vinegar,
    }
    if not asked.has("alkalinity"):
        low, high = (
            float(brine_recipe.vinegar_ml(water_kg, ph, end, acid))
            for end in brine_recipe.ALKALINITY_ENDS_MG_L
        )
        values["ranges"] = {"vinegar_ml": (low, high)}
    return vinegar


TOPICS = (
    Topic(
        "brining-time",
        "topics.brining-time-is-for",
        (
            percent("target", "topics.input-brining-time-target"),
            percent("moisture_pct", "topics.input-brining-time-moisture-pct"),
            length("diameter", "reckoning.width-of-wheel"),
            length("height", "reckoning.height-of-wheel"),
            Input("pct_w_w", "topics.input-brining-time-pct-w-w", ("percent",), also=("brine",)),
            percent("salt_pct", "topics.input-brining-time-salt-pct"),
            Input("cheese", "topics.input-diffusion", kind=WORD),
        ),
        ("brining_h", "salt_depth_mm", "published", "ranges"),
        work_out_brining_time,
        tables=("salt_diffusion", "brining_hours"),
    ),
    Topic(
        "brine-recipe",
        "topics.brine-recipe-is-for",
        (
            Input("brine", "topics.input-brine-recipe-brine", ("volume", "mass")),
            percent("pct_w_w", "topics.input-brine-recipe-pct-w-w"),
            Input("use", "topics.input-use", kind=WORD,
                choices=tuple(USES)),
            Input("liquid", "topics.input-liquid", kind=WORD, choices=LIQUIDS),
            temperature("temp", "topics.input-brine-temp"),
            Input("have", "topics.input-brine-recipe-have", ("volume", "mass")),
            percent("have_pct", "topics.input-brine-recipe-have-pct"),
            percent("calcium_pct", "topics.input-calcium-pct"),
            percent("strength", "topics.input-brine-recipe-strength"),
            Input("ph", "topics.input-brine-recipe-ph", ("ph",)),
            Input("alkalinity", "topics.input-alkalinity", tags=("mg/l", "ppm")),
            percent("vinegar_pct", "topics.input-vinegar-pct"),
        ),
        ("salt_kg", "water_kg", "water_l", "calcium_ml", "vinegar_ml", "kitchen"),
        work_out_brine_recipe,
        tables=("brine_density",),
    ),
)  # fmt: skip
