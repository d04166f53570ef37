"""Topics of the vat: culture, rennet, calcium chloride, colour, the set, the ramp."""

from __future__ import annotations

from journal.message import Message
from journal.reckoning import doses, ramp, setting
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
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
    asked.assume("topics.dose-for-all-milk", dose=dose, unit=unit, each=each)
    return _WHOLE[quantity], each


def slow_acid(asked: Inputs, *, limits_stand: bool = False) -> tuple[Message, str]:
    """What a culture that fails means, by the limits of each family unless those stand beside it,
    and where they are from."""
    rows = {name: asked.cells("acid_limits", name) for name in ("family", "hours", "note")}
    limits = [
        Message("topics.limit-at" if hours else "topics.limit", of=family, hours=hours, note=note)
        for family, hours, note in zip(*rows.values(), strict=True)
    ]
    which = "topics.slow-acid" if limits_stand else "topics.slow-acid-limits"
    return Message(which, limits=limits), "; ".join(asked.cells("acid_limits", "source"))


def work_out_culture(asked: Inputs) -> SumAnswer:
    """Culture for a milk: % of bulk starter, or an amount for a litre."""
    left = asked.or_assume("strength", 100.0, "topics.assumed-culture-strength")
    if left <= 0:
        raise TopicError("topics.culture-without-strength")
    if not asked.has("dose"):
        asked.assume("topics.assumed-bulk-dose")
    quantity, dose = _dose(asked)
    ml: float | None = None
    g: float | None = None
    if quantity in ("", "percent"):
        pct = doses.USUAL_BULK_PCT if dose is None else dose
        asked.warn(doses.culture_warnings(pct))
        g = 1000 * float(doses.bulk_starter_kg(asked.kg(), pct)) * 100 / left
        ml = g / 1.03
        asked.assume("topics.assumed-bulk-weight")
    elif quantity == "volume_per_volume":
        ml = asked.litres() * float(dose or 0) * 100 / left
    else:
        g = asked.litres() * float(dose or 0) * 100 / left
        asked.assume("topics.culture-by-spoon")
    formula = "topics.culture-formula"
    caution, limits = slow_acid(asked)
    return answer(
        asked,
        {"ml": ml, "g": g},
        formula,
        Message("topics.culture-source", limits=limits),
        cautions=(caution,),
        kitchen_ml=ml,
    )


def work_out_rennet(asked: Inputs) -> SumAnswer:
    """Rennet for a milk by its strength as sold, an old one corrected by a clotting test."""
    quantity, dose = _dose(asked)
    if dose == 0:
        raise TopicError("topics.no-rennet")
    if asked.has("strength", "sold"):
        raise TopicError("topics.strength-or-sold")
    values: dict[str, float | None] = dict.fromkeys(("ml", "g", "tablets", "imcu_per_kg"))
    tag = asked.given["strength"].tag if asked.has("strength") else ""
    if asked.has("tablet"):
        values["tablets"] = float(doses.rennet_tablets(asked.litres(), asked.litres("tablet")))
        asked.assume("topics.assumed-tablet")
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
        asked.assume("topics.assumed-same-clotting-test")
    formula = "topics.rennet-formula"
    source = "topics.rennet-source"
    return answer(asked, {**values}, formula, source, kitchen_ml=values["ml"])


def _strength(asked: Inputs) -> float:
    """IMCU in a ml or a g as the label says, or as it is sold."""
    single = doses.SINGLE_STRENGTH_IMCU_PER_ML
    usual = "topics.assumed-single-strength"
    if not asked.has("sold"):
        return asked.or_assume("strength", single, usual)
    sold = asked.word("sold", "single")
    times = doses.STRENGTHS_SOLD[sold]
    if sold == "single":
        asked.assume(usual)
    else:
        asked.assume("topics.sold-strength", sold=sold, times=times, usual=Message(usual))
    return single * times


def _rennet_by_activity(
    asked: Inputs, dose: float | None, values: dict[str, float | None], tag: str
) -> None:
    """Rennet dosed in IMCU for a kg of milk: ml, or g of one sold by IMCU in a g."""
    if dose is None:
        asked.assume("topics.assumed-imcu-dose")
    elif not asked.given["dose"].tag:
        asked.assume("topics.assumed-dose-in-imcu")
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
        asked.assume("topics.parts-are-no-imcu")
    elif amount is None:
        asked.assume("topics.weight-is-no-imcu")
    else:
        imcu_per_kg = amount * _strength(asked) / asked.kg()
        asked.warn(doses.rennet_warnings(imcu_per_kg))
        values["imcu_per_kg"] = imcu_per_kg


def _rennet_by_parts(asked: Inputs, dose: float | None) -> float:
    """A rennet sold as 1 to so many parts, for a wanted time to the first flakes, ml."""
    if dose is not None:
        raise TopicError("topics.parts-need-minutes")
    minutes = asked.or_assume("minutes", doses.USUAL_FLOCCULATION_MIN, "topics.assumed-minutes")
    temp = asked.or_assume("temp", 31.0, "topics.assumed-rennet-temp")
    table = asked.column("rennet_temperature", "temp_c")
    pct = asked.column("rennet_temperature", "activity_pct")
    now, then = (
        float(setting.rennet_activity_pct(t, table, pct)) for t in (temp, doses.PARTS_AT_C)
    )
    asked.warn(setting.setting_warnings(temp, table))
    asked.assume("topics.assumed-label-holds")
    parts = asked.need("strength")
    return float(doses.rennet_by_parts(1000 * asked.litres(), parts, minutes, now / then))


def work_out_calcium(asked: Inputs) -> SumAnswer:
    """Calcium chloride for a milk, against the legal limit."""
    strength = asked.or_assume("strength", 30.0, "topics.assumed-calcium-strength")
    if strength <= 0:
        raise TopicError("topics.solution-without-strength")
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
        asked.assume("topics.assumed-solution-dose")
    if not asked.has("form"):
        asked.assume("topics.assumed-anhydrous")
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
    formula = "topics.calcium-chloride-formula"
    source = "topics.calcium-chloride-source"
    return answer(asked, values, formula, source, kitchen_ml=ml)


def work_out_colour(asked: Inputs) -> SumAnswer:
    """Annatto for a milk."""
    _, dose = _dose(asked)
    if dose is not None:
        per_kg = dose * asked.litres() / asked.kg()
    else:
        per_kg = doses.USUAL_COLOUR_ML_PER_KG
        asked.assume("topics.assumed-annatto")
    asked.warn(doses.colour_warnings(round(per_kg, 12)))
    ml = float(doses.colour_ml(asked.kg(), per_kg))
    return answer(
        asked,
        {"ml": ml, "g": None},
        "topics.colour-formula",
        "topics.colour-source",
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
        asked.assume("topics.assumed-rennet-table")
    found = float(setting.set_minutes_after_change(cut, doses_ratio, activity))
    values = {"cut_min": found, **values}
    formula = "topics.set-formula"
    source = "topics.set-source"
    return answer(asked, values, formula, source)


def _known_cut(asked: Inputs) -> float:
    known = asked.number("minutes")
    if known is not None:
        return known
    floc = asked.need("flocculation", "topics.needed-flocculation")
    multiplier = asked.or_assume(
        "multiplier",
        setting.CHEDDAR_MULTIPLIER,
        "topics.assumed-multiplier",
    )
    asked.warn(setting.multiplier_warnings(multiplier))
    return float(setting.cut_minutes(floc, multiplier))


def _ratio(asked: Inputs, before: str, after: str) -> float:
    if not (asked.has(before) or asked.has(after)):
        return 1.0
    old, new = asked.need(before), asked.need(after)
    if old <= 0 or new <= 0:
        raise TopicError("topics.doses-above-zero")
    return new / old


def work_out_ramp(asked: Inputs) -> SumAnswer:
    """A ramp in one slope or two, with its schedule and each break of a limit."""
    start, end, minutes = asked.need("from"), asked.need("to"), asked.need("minutes")
    first = asked.number("first_slope_c_per_min")
    first_min = asked.number("first_minutes")
    if first is not None and first_min is None:
        asked.assume("topics.assumed-first-slope")
    parts = ramp.slopes(start, end, minutes, first, first_min)
    asked.warn(ramp.limit_breaks(parts, asked.number("limit_c_per_min")))
    every = asked.or_assume("every", 5.0, "topics.assumed-every")
    values: dict[str, object] = {
        "c_per_min": ramp.mean_slope(start, end, minutes),
        "slopes": [
            {"from_min": p.from_min, "to_min": p.to_min, "c_per_min": p.c_per_min} for p in parts
        ],
        "schedule": [
            {"minute": minute, "temp_c": temp} for minute, temp in ramp.schedule(parts, every)
        ],
    }
    formula = "topics.ramp-formula"
    source = "topics.ramp-source"
    return answer(asked, values, formula, source, cautions=("topics.ramp-caution",))


_DURATION = ("duration",)
_MILKS = ("volume", "mass")
TOPICS = (
    Topic(
        "culture",
        "topics.culture-is-for",
        (
            MILK,
            DENSITY,
            Input(
                "dose",
                "topics.input-culture-dose",
                ("percent", *_DOSES, *_WHOLE),
            ),
            percent("strength", "topics.input-culture-strength"),
        ),
        ("ml", "g", "kitchen"),
        work_out_culture,
        tables=("acid_limits",),
    ),
    Topic(
        "rennet",
        "topics.rennet-is-for",
        (
            MILK,
            DENSITY,
            Input(
                "strength",
                "topics.input-rennet-strength",
                tags=("imcu/ml", "imcu_per_ml", "imcu per ml", "imcu/g", "1:"),
                also=("imcu_per_ml", "strength_imcu_per_ml"),
            ),
            Input("sold", "topics.input-sold", kind=WORD,
                choices=tuple(doses.STRENGTHS_SOLD)),
            Input("tablet", "topics.input-tablet", _MILKS),
            Input("minutes", "topics.input-rennet-minutes", _DURATION),
            temperature("temp", "topics.input-rennet-temp"),
            Input(
                "dose",
                "topics.input-rennet-dose",
                ("number", *_DOSES, *_WHOLE),
                tags=("imcu/kg", "imcu_per_kg", "imcu per kg"),
                also=("imcu_per_kg",),
            ),
            Input("clotting", "topics.input-clotting", _DURATION),
            Input("fresh_clotting", "topics.input-fresh-clotting", _DURATION),
        ),
        ("ml", "g", "tablets", "kitchen"),
        work_out_rennet,
        tables=("rennet_temperature",),
    ),
    Topic(
        "calcium-chloride",
        "topics.calcium-chloride-is-for",
        (
            MILK,
            DENSITY,
            percent("strength", "topics.input-calcium-chloride-strength"),
            Input(
                "dose",
                "topics.input-calcium-chloride-dose",
                (*_DOSES, "percent", *_WHOLE),
            ),
            Input("form", "topics.input-form", kind=WORD,
                choices=("anhydrous", "dihydrate")),
        ),
        ("ml", "g", "kitchen"),
        work_out_calcium,
    ),
    Topic(
        "colour",
        "topics.colour-is-for",
        (
            MILK,
            DENSITY,
            Input("dose", "topics.input-colour-dose", ("volume_per_volume", "volume_ml")),
        ),
        ("ml", "g", "kitchen"),
        work_out_colour,
    ),
    Topic(
        "set",
        "topics.set-is-for",
        (
            Input("flocculation", "topics.input-flocculation", _DURATION),
            Input("multiplier", "topics.input-multiplier", tags=("x", "×")),
            Input("minutes", "topics.input-set-minutes", _DURATION),
            Input("dose_from", "topics.input-dose-from", ("volume_ml",)),
            Input("dose_to", "topics.input-dose-to", ("volume_ml",)),
            temperature("temp_from", "topics.input-temp-from"),
            temperature("temp_to", "topics.input-temp-to"),
        ),
        ("cut_min",),
        work_out_set,
        tables=("rennet_temperature",),
    ),
    Topic(
        "ramp",
        "topics.ramp-is-for",
        (
            temperature("from", "topics.input-from"),
            temperature("to", "topics.input-to"),
            Input("minutes", "topics.input-ramp-minutes", _DURATION),
            Input("first_slope_c_per_min", "topics.input-first-slope", ("temperature_rate",),
                also=("first_slope",)),
            Input("first_minutes", "topics.input-first-minutes", _DURATION),
            Input("limit_c_per_min", "topics.input-limit", ("temperature_rate",),
                also=("limit",)),
            Input("every", "topics.input-every", _DURATION),
        ),
        ("c_per_min", "schedule"),
        work_out_ramp,
    ),
)  # fmt: skip
