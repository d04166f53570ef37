"""Topics of the vat: culture, rennet, calcium chloride, colour, the set, the ramp."""

from __future__ import annotations

from journal.reckoning import doses, ramp, setting
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.milk import GUELPH
from journal.topics.topic import DENSITY, MILK, WORD, Input, Topic, answer, percent, temperature

_DOSES = ("volume_per_volume", "mass_per_volume")
# An amount for all the milk, each beside the dose for a litre that it makes.
_WHOLE = {"volume_ml": "volume_per_volume", "mass_g": "mass_per_volume"}


def _dose(asked: Inputs) -> tuple[str, float | None]:
    """The dose's quantity and number, an amount for all the milk turned into one for a litre."""
    dose = asked.number("dose")
    if dose is None:
        return "", None
    quantity = asked.given["dose"].quantity
    if quantity not in _WHOLE:
        return quantity, dose
    each = dose / asked.litres()
    unit = "ml" if quantity == "volume_ml" else "g"
    asked.assume(f"the dose is for all the milk: {dose:.3g} {unit}, {each:.3g} {unit}/L")
    return _WHOLE[quantity], each


def slow_acid(asked: Inputs, *, limits_stand: bool = False) -> tuple[str, str]:
    """What a culture that fails means, by the limits of each family unless those stand beside it,
    and where they are from."""
    rows = {name: asked.cells("acid_limits", name) for name in ("family", "hours", "note")}
    limits = "; ".join(
        f"{family} cheese{f' {hours} hours after the culture' if hours else ''}: {note}"
        for family, hours, note in zip(*rows.values(), strict=True)
    )
    how_far = "" if limits_stand else f"How far the acid must have come: {limits}. "
    text = (
        f"A culture that fails looks healthy for about three hours. {how_far}Where the acid has "
        "not come so far, staphylococci may have left toxin: do not eat such a cheese, do not age "
        "it. Local codes and licensed practice decide."
    )
    return text, "; ".join(asked.cells("acid_limits", "source"))


def work_out_culture(asked: Inputs) -> SumAnswer:
    """Culture for a milk: % of bulk starter, or an amount for a litre."""
    left = asked.or_assume("strength", 100.0, "a culture at its full strength")
    if left <= 0:
        raise TopicError("A culture without strength makes no acid; give a strength above 0 %.")
    if not asked.has("dose"):
        asked.assume("1 % of bulk starter (cheddar, University of Guelph)")
    quantity, dose = _dose(asked)
    ml: float | None = None
    g: float | None = None
    if quantity in ("", "percent"):
        pct = doses.USUAL_BULK_PCT if dose is None else dose
        asked.warn(doses.culture_warnings(pct))
        g = 1000 * float(doses.bulk_starter_kg(asked.kg(), pct)) * 100 / left
        ml = g / 1.03
        asked.assume("bulk starter weighs as much as milk")
    elif quantity == "volume_per_volume":
        ml = asked.litres() * float(dose or 0) * 100 / left
    else:
        g = asked.litres() * float(dose or 0) * 100 / left
        asked.assume("a spoon is not accurate for a dry culture: weigh it")
    formula = (
        "amount = milk × dose × 100 / strength left; a dose for all the milk is divided by it first"
    )
    caution, limits = slow_acid(asked)
    return answer(
        asked,
        {"ml": ml, "g": g},
        formula,
        f"{GUELPH} (bulk starter 0.75 to 3 % of the milk); the packet for a dry culture; limits "
        f"of acid: {limits}",
        cautions=(caution,),
        kitchen_ml=ml,
    )


def work_out_rennet(asked: Inputs) -> SumAnswer:
    """Rennet for a milk by its strength as sold, an old one corrected by a clotting test."""
    quantity, dose = _dose(asked)
    if dose == 0:
        raise TopicError("Without rennet the milk does not set; give more than 0.")
    if asked.has("strength", "sold"):
        raise TopicError("Give strength or sold, not both.")
    values: dict[str, float | None] = dict.fromkeys(("ml", "g", "tablets", "imcu_per_kg"))
    tag = asked.given["strength"].tag if asked.has("strength") else ""
    if asked.has("tablet"):
        values["tablets"] = float(doses.rennet_tablets(asked.litres(), asked.litres("tablet")))
        asked.assume("the milk of a tablet is as its packet says; crush it in cool boiled water")
    elif quantity in _DOSES:
        name = "g" if quantity == "mass_per_volume" else "ml"
        values[name] = asked.litres() * float(dose or 0)
        _say_strength(asked, values, tag)
    elif tag == "1:":
        values["ml"] = _rennet_by_parts(asked, dose)
    else:
        _rennet_by_activity(asked, dose, values, tag)
    if asked.has("clotting") or asked.has("fresh_clotting"):
        left = float(
            doses.rennet_strength_left(asked.need("fresh_clotting"), asked.need("clotting"))
        )
        for name in ("ml", "g", "tablets"):
            amount = values[name]
            values[name] = None if amount is None else amount / left
        values["strength_left_pct"] = 100 * left
        asked.assume("the clotting test used the same milk, dose and temperature both times")
    formula = (
        "ml = milk × dose / strength, × clotting time now / clotting time fresh; a dose for all "
        "the milk is divided by it first; 1:10 000 sets 10 000 parts of milk at 35 °C in 40 min: "
        "milk / parts × 40 / minutes to the first flakes × activity at 35 °C / activity now"
    )
    source = (
        f"{GUELPH}, chapter 28 and single-strength rule; IMCU by ISO 11815 / IDF 157; 1:10 000 "
        "after Soxhlet, teaching sheets of dairy schools; temperature: Thom & Fisk 1918, par. 94"
    )
    return answer(asked, {**values}, formula, source, kitchen_ml=values["ml"])


def _strength(asked: Inputs) -> float:
    """IMCU in a ml or a g as the label says, or as it is sold."""
    single = doses.SINGLE_STRENGTH_IMCU_PER_ML
    usual = "single strength, 250 IMCU/ml (200 ml for 1000 kg, University of Guelph)"
    if not asked.has("sold"):
        return asked.or_assume("strength", single, usual)
    sold = asked.word("sold", "single")
    times = doses.STRENGTHS_SOLD[sold]
    asked.assume(usual if sold == "single" else f"{sold} strength is {times:g} times {usual}")
    return single * times


def _rennet_by_activity(
    asked: Inputs, dose: float | None, values: dict[str, float | None], tag: str
) -> None:
    """Rennet dosed in IMCU for a kg of milk: ml, or g of one sold by IMCU in a g."""
    if dose is None:
        asked.assume("50 IMCU for a kg of milk (University of Guelph)")
    elif not asked.given["dose"].tag:
        asked.assume("the dose is in IMCU for a kg of milk")
    usual = doses.USUAL_IMCU_PER_KG if dose is None else dose
    values["g" if tag == "imcu/g" else "ml"] = float(
        doses.rennet_ml(asked.kg(), _strength(asked), usual)
    )
    values["imcu_per_kg"] = usual
    asked.warn(doses.rennet_warnings(usual))


def _say_strength(asked: Inputs, values: dict[str, float | None], tag: str) -> None:
    """What a dose by ml or g comes to in IMCU, where the strength is by the same."""
    amount = values["g"] if tag == "imcu/g" else values["ml"]
    if tag == "1:":
        asked.assume("a strength of 1 to so many parts is no IMCU: imcu_per_kg is not given")
    elif amount is None:
        asked.assume(
            "a rennet dosed by weight has its strength per gram on its label: imcu_per_kg is not "
            "given"
        )
    else:
        imcu_per_kg = amount * _strength(asked) / asked.kg()
        asked.warn(doses.rennet_warnings(imcu_per_kg))
        values["imcu_per_kg"] = imcu_per_kg


def _rennet_by_parts(asked: Inputs, dose: float | None) -> float:
    """A rennet sold as 1 to so many parts, for a wanted time to the first flakes, ml."""
    if dose is not None:
        raise TopicError(
            "A strength like 1:10 000 takes no dose in IMCU: give minutes, the time wanted to the "
            "first flakes, or a dose in ml/L."
        )
    minutes = asked.or_assume(
        "minutes", doses.USUAL_FLOCCULATION_MIN, "first flakes after 15 min (University of Guelph)"
    )
    temp = asked.or_assume("temp", 31.0, "milk at 31 °C")
    table = asked.column("rennet_temperature", "temp_c")
    pct = asked.column("rennet_temperature", "activity_pct")
    now, then = (
        float(setting.rennet_activity_pct(t, table, pct)) for t in (temp, doses.PARTS_AT_C)
    )
    asked.warn(setting.setting_warnings(temp, table))
    asked.assume("the label's 1:… holds; milk of another pH or season sets faster or slower")
    parts = asked.need("strength")
    return float(doses.rennet_by_parts(1000 * asked.litres(), parts, minutes, now / then))


def work_out_calcium(asked: Inputs) -> SumAnswer:
    """Calcium chloride for a milk, against the legal limit."""
    strength = asked.or_assume("strength", 30.0, "a solution of 30 g in 100 ml (% w/v)")
    if strength <= 0:
        raise TopicError("A solution without calcium chloride does nothing; check strength.")
    form = asked.word("form", "anhydrous")
    per_g = doses.DIHYDRATE_OVER_ANHYDROUS if form == "dihydrate" else 1.0
    milk = asked.kg()
    quantity, dose = _dose(asked)
    if dose is not None and quantity == "percent":
        ml = 10 * milk * dose * per_g * 100 / strength
    elif dose is not None and quantity == "mass_per_volume":
        ml = asked.litres() * dose * per_g * 100 / strength
    elif dose is not None:
        ml = asked.litres() * dose
    else:
        ml = milk * doses.USUAL_CALCIUM_ML_PER_KG
        asked.assume("20 ml of solution for 100 kg of milk (University of Guelph)")
    if not asked.has("form"):
        asked.assume("the solution's strength counts anhydrous calcium chloride")
    g = float(doses.calcium_chloride_g(ml, strength)) / per_g
    of_milk = float(doses.calcium_chloride_pct_of_milk(g, milk))
    asked.warn(doses.calcium_warnings(of_milk))
    values: dict[str, object] = {
        "ml": ml,
        "g": g,
        "dihydrate_g": doses.dihydrate_g(g),
        "of_milk_pct": of_milk,
        "legal_most_pct": doses.MOST_CALCIUM_PCT_OF_MILK,
    }
    formula = "g anhydrous = ml × strength / 100; % of milk = g / (10 × kg); dihydrate = × 1.3246"
    source = f"{GUELPH}, chapter 28; limit: 21 CFR 133.148(b), 133.150(b); Codex 278"
    return answer(asked, values, formula, source, kitchen_ml=ml)


def work_out_colour(asked: Inputs) -> SumAnswer:
    """Annatto for a milk."""
    _, dose = _dose(asked)
    if dose is not None:
        per_kg = dose * asked.litres() / asked.kg()
    else:
        per_kg = doses.USUAL_COLOUR_ML_PER_KG
        asked.assume("1.5 ml of annatto for 1000 kg of milk (gouda in winter)")
    asked.warn(doses.colour_warnings(round(per_kg, 12)))
    ml = float(doses.colour_ml(asked.kg(), per_kg))
    return answer(
        asked,
        {"ml": ml, "g": None},
        "ml = milk × dose",
        f"{GUELPH}, gouda procedure: 1 to 2 ml for 1000 kg",
        kitchen_ml=ml,
    )


def work_out_set(asked: Inputs) -> SumAnswer:
    """Minutes to the cut, from flocculation or a known set, after a change of dose or heat."""
    cut = _known_cut(asked)
    values: dict[str, object] = {}
    doses_ratio = _ratio(asked, "dose_from", "dose_to")
    activity = 1.0
    if asked.has("temp_from") or asked.has("temp_to"):
        table = asked.column("rennet_temperature", "temp_c")
        pct = asked.column("rennet_temperature", "activity_pct")
        both = [asked.need("temp_from"), asked.need("temp_to")]
        before, after = (float(setting.rennet_activity_pct(t, table, pct)) for t in both)
        activity = after / before
        values |= {"activity_from_pct": before, "activity_to_pct": after}
        for temp in both:
            asked.warn(setting.setting_warnings(temp, table))
        asked.assume("the table of rennet and temperature is accurate to 5 points; pH unchanged")
    found = float(setting.set_minutes_after_change(cut, doses_ratio, activity))
    values = {"cut_min": found, **values}
    formula = (
        "cut = flocculation × multiplier; after a change × old dose / new dose × old activity / "
        "new activity, the activity by the published table (it peaks near 41 °C)"
    )
    source = (
        "multiplier: Thom & Fisk, The Book of Cheese, 1918, par. 196 (2.5), University of Guelph "
        "(camembert 3); table: Thom & Fisk, par. 94"
    )
    return answer(asked, values, formula, source)


def _known_cut(asked: Inputs) -> float:
    known = asked.number("minutes")
    if known is not None:
        return known
    floc = asked.need("flocculation", "(with multiplier), or minutes of a set you know")
    multiplier = asked.or_assume(
        "multiplier",
        setting.CHEDDAR_MULTIPLIER,
        "a multiplier of 2.5, as cheddar; most multipliers are kitchen tradition",
    )
    asked.warn(setting.multiplier_warnings(multiplier))
    return float(setting.cut_minutes(floc, multiplier))


def _ratio(asked: Inputs, before: str, after: str) -> float:
    if not (asked.has(before) or asked.has(after)):
        return 1.0
    old, new = asked.need(before), asked.need(after)
    if old <= 0 or new <= 0:
        raise TopicError("Both doses must be more than 0.")
    return new / old


def work_out_ramp(asked: Inputs) -> SumAnswer:
    """A ramp in one slope or two, with its schedule and each break of a limit."""
    start, end, minutes = asked.need("from"), asked.need("to"), asked.need("minutes")
    first = asked.number("first_slope_c_per_min")
    first_min = asked.number("first_minutes")
    if first is not None and first_min is None:
        asked.assume("the first slope lasts half of the ramp")
    parts = ramp.slopes(start, end, minutes, first, first_min)
    asked.warn(ramp.limit_breaks(parts, asked.number("limit_c_per_min")))
    every = asked.or_assume("every", 5.0, "a line of the schedule every 5 min")
    values: dict[str, object] = {
        "c_per_min": ramp.mean_slope(start, end, minutes),
        "slopes": [
            {"from_min": p.from_min, "to_min": p.to_min, "c_per_min": p.c_per_min} for p in parts
        ],
        "schedule": [
            {"minute": minute, "temp_c": temp} for minute, temp in ramp.schedule(parts, every)
        ],
    }
    formula = "°C a minute = (to − from) / minutes; a first slope and the rest in a straight line"
    source = f"{GUELPH}, cheddar procedure: at most 1 °C in 5 min at first, 30 to 39 °C in 30 min"
    return answer(
        asked, values, formula, source, cautions=("Stir while you heat; a hot vessel scalds.",)
    )


_DURATION = ("duration",)
_MILKS = ("volume", "mass")
TOPICS = (
    Topic(
        "culture",
        "how much culture to add",
        (
            MILK,
            DENSITY,
            Input(
                "dose",
                "% of bulk starter, or g or ml for a litre or for all the milk",
                ("percent", *_DOSES, *_WHOLE),
            ),
            percent("strength", "strength that an old culture has left"),
        ),
        ("ml", "g", "kitchen"),
        work_out_culture,
        tables=("acid_limits",),
    ),
    Topic(
        "rennet",
        "how much rennet to add, corrected where it is old",
        (
            MILK,
            DENSITY,
            Input(
                "strength",
                "as on the label: IMCU in a ml or a g, or 1 to so many parts of milk",
                tags=("imcu/ml", "imcu_per_ml", "imcu per ml", "imcu/g", "1:"),
                also=("imcu_per_ml", "strength_imcu_per_ml"),
            ),
            Input("sold", "strength as a word", kind=WORD, choices=tuple(doses.STRENGTHS_SOLD)),
            Input("tablet", "the milk that one tablet sets, as its packet says", _MILKS),
            Input("minutes", "time wanted to the first flakes, for a strength of 1:…", _DURATION),
            temperature("temp", "temperature of the milk, for a strength of 1:…"),
            Input(
                "dose",
                "IMCU for a kg of milk, or ml or g for a litre or for all the milk",
                ("number", *_DOSES, *_WHOLE),
                tags=("imcu/kg", "imcu_per_kg", "imcu per kg"),
                also=("imcu_per_kg",),
            ),
            Input("clotting", "clotting time of the old rennet in a test", _DURATION),
            Input("fresh_clotting", "clotting time when it was fresh, in the same test", _DURATION),
        ),
        ("ml", "g", "tablets", "kitchen"),
        work_out_rennet,
        tables=("rennet_temperature",),
    ),
    Topic(
        "calcium-chloride",
        "how much calcium chloride to add, and the legal limit",
        (
            MILK,
            DENSITY,
            percent("strength", "g in 100 ml of the solution"),
            Input(
                "dose",
                "ml of solution or g, for a litre or for all the milk, or % of the milk",
                (*_DOSES, "percent", *_WHOLE),
            ),
            Input("form", "what the strength is of", kind=WORD, choices=("anhydrous", "dihydrate")),
        ),
        ("ml", "g", "kitchen"),
        work_out_calcium,
    ),
    Topic(
        "colour",
        "how much annatto to add",
        (
            MILK,
            DENSITY,
            Input("dose", "ml for a litre or for all the milk", ("volume_per_volume", "volume_ml")),
        ),
        ("ml", "g", "kitchen"),
        work_out_colour,
    ),
    Topic(
        "set",
        "when to cut",
        (
            Input("flocculation", "minutes from rennet to flocculation", _DURATION),
            Input("multiplier", "how many times the flocculation time", tags=("x", "×")),
            Input("minutes", "a known time to the cut, instead of the flocculation", _DURATION),
            Input("dose_from", "rennet used before", ("volume_ml",)),
            Input("dose_to", "rennet used now", ("volume_ml",)),
            temperature("temp_from", "temperature of the milk before"),
            temperature("temp_to", "temperature of the milk now"),
        ),
        ("cut_min",),
        work_out_set,
        tables=("rennet_temperature",),
    ),
    Topic(
        "ramp",
        "a schedule for warming the curd",
        (
            temperature("from", "temperature at the start"),
            temperature("to", "temperature at the end"),
            Input("minutes", "how long it takes", _DURATION),
            Input("first_slope_c_per_min", "how fast at first", ("temperature_rate",),
                also=("first_slope",)),
            Input("first_minutes", "how long the first slope lasts", _DURATION),
            Input("limit_c_per_min", "fastest warming", ("temperature_rate",), also=("limit",)),
            Input("every", "how often the schedule has a line", _DURATION),
        ),
        ("c_per_min", "schedule"),
        work_out_ramp,
    ),
)  # fmt: skip
