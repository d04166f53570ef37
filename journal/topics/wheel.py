"""Topics of the wheel: brine, water activity, air, weight loss, bandage."""

from __future__ import annotations

from journal.reckoning import air, bandage, brine, composition, loss, water_activity
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import (
    WORD,
    Input,
    Topic,
    answer,
    length,
    mass,
    percent,
    salt,
    temperature,
)

STRENGTHS = ("pct_w_w", "density", "baume", "salometer_deg", "g_per_kg_water")
RINDS = ("natural", "bandaged", "waxed", "coated", "vacuum")


def read_brine(asked: Inputs) -> brine.BrineTable:
    """The densities of brine from the table passed in."""
    names = ("pct_w_w", "kg_m3_20c", "kg_m3_per_c")
    return brine.BrineTable(*(asked.column("brine_density", name) for name in names))


def work_out_brine(asked: Inputs) -> SumAnswer:
    """The four ways to say a brine's strength, topping up, and what a wheel takes from it."""
    table = read_brine(asked)
    temp = asked.or_assume("temp", 20.0, "brine at 20 °C")
    pct = _strength(asked, temp, table)
    dense = float(brine.brine_density_kg_m3(pct, temp, table))
    values: dict[str, object] = {
        "pct_w_w": pct,
        "density_kg_m3": dense,
        "baume": brine.baume(dense, temp),
        "salometer_deg": brine.salometer_deg(pct),
        "g_per_kg_water": brine.g_per_kg_water(pct),
    }
    asked.assume("salometer 100 is 26.395 % (60 °F); °Bé = 145 − 145/SG, water as warm as brine")
    asked.warn(brine.brine_warnings(pct, temp))
    if asked.has("brine"):
        _top_up(asked, dense, pct, values)
    if asked.has("hours"):
        _uptake(asked, pct, values)
    formula = (
        "% w/w is salt in the solution; g per kg of water = 1000 p / (100 − p); density by the "
        "published table; top-up = brine × (want − now) / (100 − want); uptake of a wheel by "
        "diffusion: depth = √(D t), share by the series for a slab and a cylinder"
    )
    source = (
        "densities: Poradnik fizykochemiczny, WNT Warsaw 1974; saturation: salt handbook; "
        "diffusion: Dairy Sci. Technol. 90 (2010), table II; Crank, The Mathematics of Diffusion"
    )
    return answer(asked, values, formula, source)


def _strength(asked: Inputs, temp: float, table: brine.BrineTable) -> float:
    named = [name for name in STRENGTHS if asked.has(name)]
    if len(named) != 1:
        raise TopicError(f"“brine” needs its strength, as one of {', '.join(STRENGTHS)}.")
    value = asked.need(named[0])
    if named[0] == "density":
        if value < 0.01:
            asked.assume("a density so small is taken to be in kg/L")
            value *= 1000
        return float(brine.brine_pct_from_density(value * 1000, temp, table))
    if named[0] == "baume":
        dense = brine.kg_m3_from_baume(value, temp)
        return float(brine.brine_pct_from_density(dense, temp, table))
    if named[0] == "salometer_deg":
        return float(brine.pct_from_salometer(value))
    if named[0] == "g_per_kg_water":
        return float(brine.pct_from_g_per_kg_water(value))
    return value


def _top_up(asked: Inputs, kg_m3: float, pct: float, values: dict[str, object]) -> None:
    """What use has left of the brine, and the salt that brings it back to strength."""
    amount = asked.need("brine")
    kg = amount * kg_m3 / 1000 if asked.given["brine"].quantity == "volume" else amount
    left, now = kg, pct
    if asked.has("salt_taken"):
        taken = asked.salt_kg("salt_taken")
        whey = asked.or_assume("whey_given", 0.0, "the cheese gave off no whey")
        now = float(brine.used_brine_pct(kg, pct, taken, whey))
        left = kg - taken + whey
        values["used_brine_pct"] = now
    wanted = asked.or_assume("want_pct", pct, f"the brine is wanted at {pct:.3g} % again")
    values["top_up_salt_kg"] = float(brine.top_up_salt_kg(left, now, wanted))


def _uptake(asked: Inputs, pct: float, values: dict[str, object]) -> None:
    low, high, text = read_diffusion(asked)
    hours = asked.need("hours") / 60
    both = (low, high)
    values["salt_depth_mm"] = [float(brine.diffusion_depth_mm(d, hours)) for d in both]
    asked.assume(text)
    if not asked.has("diameter", "height"):
        return
    size = (asked.need("diameter"), asked.need("height"))
    shares = [float(brine.uptake_share(d, hours, *size)) for d in both]
    values["share_of_all_pct"] = [100 * share for share in shares]
    if asked.has("moisture_pct"):
        moisture = asked.need("moisture_pct")
        values["cheese_salt_pct"] = [
            float(brine.salt_after_brine_pct(moisture, pct, share)) for share in shares
        ]
    asked.assume("the brine keeps its strength and the cheese its water; the mean over the wheel")


def read_diffusion(asked: Inputs) -> tuple[float, float, str]:
    """The published lowest and highest coefficient of a cheese, m²/s, and what to say."""
    names = list(asked.cells("salt_diffusion", "cheese"))
    cheese = asked.word("cheese", "gouda").lower()
    if cheese not in names:
        raise TopicError(f"No diffusion is published for “{cheese}”: {', '.join(names)}.")
    i = names.index(cheese)
    low, high = (
        float(asked.column("salt_diffusion", name)[i])
        for name in ("low_1e10_m2_s", "high_1e10_m2_s")
    )
    at = "–".join(sorted({asked.cells("salt_diffusion", n)[i] for n in ("low_c", "high_c")}))
    number = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return low * 1e-10, high * 1e-10, f"diffusion of {number}e-10 m²/s, {cheese} at {at} °C"


def some_diffusion(asked: Inputs) -> tuple[float, float, str]:
    """As `read_diffusion`; the range of all where none is published of the cheese that is named."""
    known = list(asked.cells("salt_diffusion", "cheese"))
    if asked.word("cheese", "").lower() in known:
        return read_diffusion(asked)
    low = float(min(asked.column("salt_diffusion", "low_1e10_m2_s")))
    high = float(max(asked.column("salt_diffusion", "high_1e10_m2_s")))
    return low * 1e-10, high * 1e-10, f"diffusion of {low:g} to {high:g}e-10 m²/s, all published"


def work_out_water_activity(asked: Inputs) -> SumAnswer:
    """Water activity by the formula that fits what is known."""
    salt, moisture = asked.need("salt_pct"), asked.need("moisture_pct")
    by_salt = float(water_activity.marcos_aw(salt, moisture))
    asked.warn(composition.water_phase_warnings(salt, moisture))
    values: dict[str, object] = {"aw": by_salt, "by": "salt (Marcos et al. 1981)"}
    values["aw_by_salt"] = by_salt
    if asked.has("ph"):
        ph = asked.need("ph")
        other = float(water_activity.unripe_aw(salt, moisture, ph))
        values |= {"aw": other, "by": "salt and pH, unripe cheese (J. Dairy Res. 1990)"}
        values["aw_by_salt_and_ph"] = other
        asked.warn(water_activity.unripe_warnings(ph))
        asked.assume("unripe cheese; 87 % of the samples lay within 0.005")
        if water_activity.marcos_warnings(moisture):
            asked.assume("aw_by_salt is outside its range (above about 40 % moisture)")
    else:
        asked.warn(water_activity.marcos_warnings(moisture))
        asked.assume("no pH is given: the formula by salt alone")
    formula = "1 − 0.033 × mol salt in a kg of water; or 0.9719 − 0.0044 × g salt in 100 g water + "
    source = "Marcos et al. 1981; J. Dairy Res. 1990 (abstracts)"
    cautions = (
        "Listeria grows from 0.90 (FSANZ 2016) and Staphylococcus aureus from 0.83 (Adams & Moss "
        "2008): water activity alone does not make a cheese safe; see growth-limits.",
    )
    return answer(asked, values, formula + "0.0041 × pH", source, cautions=cautions)


def work_out_air(asked: Inputs) -> SumAnswer:
    """Humidity and dew point from two thermometers."""
    dry, wet = asked.need("dry"), asked.need("wet")
    kpa = _pressure(asked)
    error = asked.or_assume("thermometer", 0.2, "thermometers accurate to ±0.2 °C each")
    rh = float(air.rh_from_wet_bulb_pct(dry, wet, kpa))
    off = air.rh_uncertainty_pct(dry, wet, error, kpa)
    asked.warn(air.air_warnings(rh, off))
    asked.assume("the wet bulb is fanned; in still air the answer is several points too high")
    values: dict[str, object] = {
        "rh_pct": rh,
        "dew_point_c": air.dew_point_c(dry, rh),
        "uncertainty_pct": off,
    }
    formula = (
        "humidity ratio at the wet bulb, less what warmed the water, against saturation at the dry "
        "bulb; uncertainty: first order in both thermometers"
    )
    source = "ASHRAE Handbook, Fundamentals (2017), chapter 1, equations 5, 6, 23, 33 and 35"
    return answer(asked, values, formula, source)


def _pressure(asked: Inputs) -> float:
    given = asked.number("pressure")
    if given is not None:
        return given
    high = asked.number("altitude")
    if high is not None:
        return float(air.standard_pressure_kpa(high / 1000))
    asked.assume("air at 101.325 kPa, sea level")
    return air.STANDARD_KPA


def work_out_loss(asked: Inputs) -> SumAnswer:
    """Weight lost in the room, from the published series."""
    kg, room, weeks = asked.need("weight"), asked.need("room"), asked.need("weeks") / (7 * 1440)
    names = ("cheese_kg", "room_c", "weeks", "loss_pct")
    rows = zip(*(asked.column("weight_loss", name) for name in names), strict=True)
    series = [loss.Loss(*map(float, row)) for row in rows]
    rind, moisture = asked.word("rind", ""), asked.number("moisture_pct")
    in_cloth = float(loss.weight_loss_pct(kg, room, weeks, series))
    found = loss.loss_range_pct(in_cloth, kg, rind, moisture)
    asked.warn(loss.loss_warnings(kg, room, weeks))
    if rind in ("waxed", "coated", "vacuum"):
        asked.warn_that(
            f"Nothing is published for a {rind} cheese: it loses far less than in cloth."
        )
    elif not rind and kg >= loss.SMALLEST_KG:
        asked.assume("a cheese with a rind in cloth, as the series")
    elif rind != "bandaged":
        asked.assume("a bare rind in air of 75 to 90 % humidity, as published for camembert")
        if moisture is None:
            asked.warn_that("A soft cheese loses more than a firm one: give moisture_pct.")
    asked.assume("loss in proportion to time; the series does not print the humidity")
    values: dict[str, object] = {"loss_pct": found.middle}
    ranges = {
        "loss_pct": (found.low, found.high),
        "weight_after_kg": (kg * (1 - found.high / 100), kg * (1 - found.low / 100)),
    }
    if found.middle is not None:
        values["weight_after_kg"] = kg * (1 - found.middle / 100)
    if moisture is not None:
        asked.assume("all weight lost is water")
        driest, middle, wettest = (
            None if pct is None else float(loss.moisture_after_loss_pct(moisture, pct))
            for pct in (found.high, found.middle, found.low)
        )
        values["moisture_after_pct"] = middle
        ranges["moisture_after_pct"] = (driest or 0.0, wettest or 0.0)
    values["ranges"] = ranges
    formula = (
        "between the published rooms in a straight line, between the weights along a power of the "
        "weight, below 5.7 kg by surface to mass (its cube root); a bare rind 2 to 4 times that; "
        "moisture after = 100 − (100 − M) / (1 − loss): weight loss is not water loss"
    )
    source = (
        "Thom & Fisk, The Book of Cheese, 1918, table XIX (cheddar, 20 weeks) and camembert; "
        "Picque et al., J. Dairy Sci. 2011 (camembert without a wrapper)"
    )
    return answer(asked, values, formula, source)


def work_out_bandage(asked: Inputs) -> SumAnswer:
    """Cloth and fat for a wheel."""
    layers = asked.or_assume("layers", 2.0, "two layers")
    over = asked.or_assume("overlap", bandage.OVERLAP_MM, "an overlap of 20 mm")
    if layers != int(layers):
        raise TopicError("The number of layers must be whole, like 2.")
    cut = bandage.pieces(asked.need("diameter"), asked.need("height"), int(layers), over)
    area = bandage.cloth_area_cm2(cut)
    fat = float(bandage.fat_g(area))
    asked.assume("0.05 g of melted fat for a cm² of cloth (common practice)")
    values: dict[str, object] = {
        "pieces": [
            {
                "piece": one.name,
                "count": one.count,
                "width_mm": one.width_mm,
                "length_mm": one.length_mm,
            }
            for one in cut
        ],
        "cloth_area_cm2": area,
        "fat_g": fat,
    }
    formula = "a layer: two discs that reach down the side by the overlap, and a strip round it"
    return answer(
        asked, values, formula, "exact geometry; common practice, no source", kitchen_ml=fat / 0.92
    )


TOPICS = (
    Topic(
        "brine",
        "the strength of a brine, topping up, and the salt a wheel takes up",
        (
            percent("pct_w_w", "salt in the solution, % of the mass"),
            Input("density", "of the brine", ("density",), default_unit="kg/m3"),
            Input("baume", "hydrometer for heavy liquids", tags=("°bé", "°be", "bé", "be")),
            Input("salometer_deg", "% of saturation", tags=("°s", "s", "%"), also=("salometer",)),
            Input("g_per_kg_water", "salt in a kg of water", ("mass_g",)),
            temperature("temp", "temperature of the brine"),
            Input("brine", "how much brine there is, for topping up", ("volume", "mass")),
            percent("want_pct", "strength to bring it back to"),
            salt("salt_taken", "salt that the cheese took from it"),
            mass("whey_given", "whey that the cheese gave off into it"),
            Input("cheese", "which cheese's diffusion, like gouda or camembert", kind=WORD),
            Input("hours", "time in the brine", ("duration",), default_unit="h"),
            length("diameter", "width of the wheel"),
            length("height", "height of the wheel"),
            percent("moisture_pct", "moisture of the cheese"),
        ),
        ("pct_w_w", "density_kg_m3", "baume", "salometer_deg", "g_per_kg_water"),
        work_out_brine,
        tables=("brine_density", "salt_diffusion"),
    ),
    Topic(
        "water-activity",
        "water activity from salt, moisture and pH",
        (
            percent("salt_pct", "salt of the cheese"),
            percent("moisture_pct", "moisture of the cheese"),
            Input("ph", "pH of the cheese", ("ph",)),
        ),
        ("aw", "by"),
        work_out_water_activity,
    ),
    Topic(
        "air",
        "humidity of a room from two thermometers",
        (
            temperature("dry", "the dry bulb"),
            temperature("wet", "the wet bulb"),
            Input("pressure", "of the air", ("pressure",)),
            Input(
                "altitude", "above the sea, instead of the pressure", ("length",), default_unit="m"
            ),
            Input("thermometer", "how far off a thermometer may be", ("temperature_difference",)),
        ),
        ("rh_pct", "dew_point_c", "uncertainty_pct"),
        work_out_air,
    ),
    Topic(
        "loss",
        "weight lost in the ripening room",
        (
            mass("weight", "of the cheese"),
            temperature("room", "temperature of the room"),
            Input("weeks", "how long", ("duration",), default_unit="week"),
            Input("rind", "what covers it", kind=WORD, choices=RINDS),
            percent("moisture_pct", "moisture of the cheese, to get it after the loss"),
        ),
        ("loss_pct", "ranges"),
        work_out_loss,
        tables=("weight_loss",),
    ),
    Topic(
        "bandage",
        "cloth and fat for a wheel",
        (
            length("diameter", "of the wheel"),
            length("height", "of the wheel"),
            Input("layers", "of cloth"),
            length("overlap", "how far a piece overlaps the next"),
        ),
        ("pieces", "cloth_area_cm2", "fat_g"),
        work_out_bandage,
    ),
)
