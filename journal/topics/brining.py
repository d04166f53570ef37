"""Topics of the brine tub: hours for a wanted salt, and a brine from nothing."""

from __future__ import annotations

from journal.reckoning import brine, brine_recipe, brining
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.milk import GUELPH
from journal.topics.topic import WORD, Input, Topic, answer, length, percent, temperature
from journal.topics.wheel import read_brine, read_diffusion

# What a brine is for, and its usual strength: University of Guelph; Pappas et al. 1996.
USES = {"salting": 20.0, "keeping": 7.0}
LIQUIDS = ("water", "whey")
WHEY_KG_PER_L = 1.025  # from memory
_SAFE_BRINE = (
    "A brine is no barrier: in used brines Listeria lived for 200 days and more (Schirmer et al. "
    "2014; Larson et al. 1999). Boil it or make it new when it turns slimy or smells of yeast. "
    "Local codes and licensed practice decide."
)


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
    target = asked.need("target", "the salt wanted in the cheese")
    moisture = asked.need("moisture_pct")
    size = asked.need("diameter"), asked.need("height")
    pct = asked.or_assume("pct_w_w", USES["salting"], f"a brine of 20 % ({GUELPH})")
    before = asked.or_assume("salt_pct", 0.0, "no salt in the curd before the brine")
    low, high, diffusion = read_diffusion(asked)
    asked.assume(f"{diffusion}; the wheel keeps its water and the brine its strength")
    fast, slow = (
        brining.brining_h(target, moisture, pct, *size, d, before_pct=before) for d in (high, low)
    )
    middle = (fast * slow) ** 0.5
    kg = brining.wheel_kg(*size)
    asked.assume(f"a round wheel of {kg:.2g} kg, at 1.08 kg/L (from memory)")
    near = brining.published_near(kg, read_times(asked))
    span = (min(one.low_h for one in near), max(one.high_h for one in near)) if near else None
    asked.warn(brining.brining_warnings(middle, span))
    asked.warn(brine.brine_warnings(pct, 20.0))
    values: dict[str, object] = {
        "brining_h": middle,
        "salt_depth_mm": float(brine.diffusion_depth_mm((low * high) ** 0.5, middle)),
        "published": [
            f"{one.cheese}{_weight(one)}: {_span(one.low_h, one.high_h)} h ({one.source})"
            for one in near
        ],
        "ranges": {"brining_h": (fast, slow)} | ({"published_h": span} if span else {}),
    }
    formula = (
        "the share of all the salt its water could take, target / (moisture × g salt in a g of the "
        "brine's water); the time at which a slab and a cylinder have taken that share by diffusion"
    )
    source = (
        "diffusion: Dairy Sci. Technol. 90 (2010), table II; Crank, The Mathematics of Diffusion; "
        "published times as named"
    )
    cautions = (
        "Diffusion alone tells little: published times for like wheels lie between a third "
        "and five times it. Weigh and taste a wheel before you trust it.",
        _SAFE_BRINE,
    )
    return answer(asked, values, formula, source, cautions=cautions)


def _weight(one: brining.PublishedTime) -> str:
    """The weight of a wheel of a published time, where its name does not say it."""
    return "" if "kg" in one.cheese else f" {_span(one.low_kg, one.high_kg)} kg"


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def work_out_brine_recipe(asked: Inputs) -> SumAnswer:
    """Salt, water, calcium chloride and vinegar for a brine, over what an old one brings."""
    table, use = read_brine(asked), asked.word("use", "salting")
    wanted = asked.need("brine", "how much is wanted")
    usual = f"a brine of {USES[use]:g} % for {use}"
    pct = asked.or_assume("pct_w_w", USES[use], usual)
    temp = asked.or_assume("temp", 20.0, "measured at 20 °C")
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
        asked.assume(
            "whey of this cheese brings its own calcium and acid; boil it, let it settle and pour "
            "it off clear (common practice, no source); it weighs 1.025 kg/L (from memory)"
        )
    else:
        kitchen = _calcium_and_acid(asked, kg - have, water, values)
    formula = (
        "salt = brine × % / 100; the rest is water; calcium chloride as % of the new brine; "
        "vinegar: what turns the water's bicarbonate at that pH, and the free acid"
    )
    source = (
        f"{GUELPH}: 16 to 25 % salt, 0.1 % calcium chloride, pH 5.2 to 5.6; densities: Poradnik "
        "fizykochemiczny, WNT Warsaw 1974; brine to keep in: Pappas et al. 1996, McMahon et al. "
        "2009; acid: charge balance, its constants from memory"
    )
    cautions = (
        "Stir the vinegar in by halves and measure: the meter or a strip decides, at the pH of the "
        "cheese.",
        _SAFE_BRINE,
    )
    return answer(asked, values, formula, source, cautions=cautions, kitchen_ml=kitchen)


def _old_brine(asked: Inputs, temp: float, table: brine.BrineTable) -> tuple[float, float]:
    if not asked.has("have"):
        return 0.0, 0.0
    pct, amount = asked.need("have_pct", "of the old brine"), asked.need("have")
    if asked.given["have"].quantity == "volume":
        amount *= float(brine.brine_density_kg_m3(pct, temp, table)) / 1000
    asked.assume("the old brine has its calcium and acid; only what is new is corrected")
    return amount, pct


def _calcium_and_acid(
    asked: Inputs, new_kg: float, water_kg: float, values: dict[str, object]
) -> float:
    """Calcium chloride and vinegar for the new part; the vinegar, ml."""
    if new_kg < 0:
        raise TopicError("There is more old brine than is wanted.")
    calcium = asked.or_assume(
        "calcium_pct", brine_recipe.NEW_CALCIUM_PCT, f"0.1 % of calcium chloride ({GUELPH})"
    )
    strength = asked.or_assume("strength", 30.0, "its solution holds 30 g in 100 ml (% w/v)")
    middle = sum(brine_recipe.NEW_PH) / 2
    ph = asked.or_assume("ph", middle, f"pH {middle:g}, within 5.2 to 5.6 ({GUELPH})")
    alkalinity = asked.or_assume(
        "alkalinity",
        brine_recipe.WATER_ALKALINITY_MG_L,
        "water of 150 mg/L alkalinity as CaCO₃, ranges from 30 to 350; the water report has it",
    )
    acid = asked.or_assume("vinegar_pct", brine_recipe.VINEGAR_PCT, "vinegar of 5 % acid")
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
        "how long a wheel lies in the brine for a wanted salt",
        (
            percent("target", "salt wanted in the whole cheese"),
            percent("moisture_pct", "moisture of the cheese as it goes in"),
            length("diameter", "width of the wheel"),
            length("height", "height of the wheel"),
            Input("pct_w_w", "strength of the brine, % of its mass", ("percent",), also=("brine",)),
            percent("salt_pct", "salt that the cheese holds already"),
            Input("cheese", "which cheese's diffusion, like gouda or camembert", kind=WORD),
        ),
        ("brining_h", "salt_depth_mm", "published", "ranges"),
        work_out_brining_time,
        tables=("salt_diffusion", "brining_hours"),
    ),
    Topic(
        "brine-recipe",
        "salt, water, calcium chloride and acid for a new brine",
        (
            Input("brine", "how much brine is wanted", ("volume", "mass")),
            percent("pct_w_w", "its strength, % of its mass"),
            Input("use", "to salt in, or to keep salted white cheese in", kind=WORD,
                choices=tuple(USES)),
            Input("liquid", "what it is made with", kind=WORD, choices=LIQUIDS),
            temperature("temp", "temperature of the brine"),
            Input("have", "old brine that goes into it", ("volume", "mass")),
            percent("have_pct", "strength of the old brine"),
            percent("calcium_pct", "calcium chloride, anhydrous, % of the brine"),
            percent("strength", "g in 100 ml of the calcium chloride solution"),
            Input("ph", "pH wanted, that of the cheese", ("ph",)),
            Input("alkalinity", "of the water, mg/L as CaCO₃", tags=("mg/l", "ppm")),
            percent("vinegar_pct", "acid of the vinegar"),
        ),
        ("salt_kg", "water_kg", "water_l", "calcium_ml", "vinegar_ml", "kitchen"),
        work_out_brine_recipe,
        tables=("brine_density",),
    ),
)  # fmt: skip
