"""Topics of the wheel: brine, water activity, air, weight loss, bandage."""

from __future__ import annotations

from journal.message import Message
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
from journal.wording import worded

STRENGTHS = ("pct_w_w", "density", "baume", "salometer_deg", "g_per_kg_water")
RINDS = ("natural", "bandaged", "waxed", "coated", "vacuum")


def read_brine(asked: Inputs) -> brine.BrineTable:
    """The densities of brine from the table passed in."""
    names = ("pct_w_w", "kg_m3_20c", "kg_m3_per_c")
    return brine.BrineTable(*(asked.column("brine_density", name) for name in names))


def work_out_brine(asked: Inputs) -> SumAnswer:
    """The four ways to say a brine's strength, topping up, and what a wheel takes from it."""
    table = read_brine(asked)
    temp = asked.or_assume("temp", 20.0, "topics.assumed-brine-temp")
    pct = _strength(asked, temp, table)
    dense = float(brine.brine_density_kg_m3(pct, temp, table))
    values: dict[str, object] = {
        "pct_w_w": pct,
        "density_kg_m3": dense,
        "baume": brine.baume(dense, temp),
        "salometer_deg": brine.salometer_deg(pct),
        "g_per_kg_water": brine.g_per_kg_water(pct),
    }
    asked.assume("topics.assumed-hydrometers")
    asked.warn(brine.brine_warnings(pct, temp))
    if asked.has("brine"):
        _top_up(asked, dense, pct, values)
    if asked.has("hours"):
        _uptake(asked, pct, values)
    formula = "topics.brine-formula"
    source = "topics.brine-source"
    return answer(asked, values, formula, source)


def _strength(asked: Inputs, temp: float, table: brine.BrineTable) -> float:
    named = [name for name in STRENGTHS if asked.has(name)]
    if len(named) != 1:
        raise TopicError("topics.brine-needs-strength", strengths=STRENGTHS)
    value = asked.need(named[0])
    if named[0] == "density":
        if value < 0.01:
            asked.assume("topics.assumed-density-unit")
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
        whey = asked.or_assume("whey_given", 0.0, "topics.assumed-whey-given")
        now = float(brine.used_brine_pct(kg, pct, taken, whey))
        left = kg - taken + whey
        values["used_brine_pct"] = now
    wanted = asked.or_assume("want_pct", pct, "topics.assumed-want-pct", pct=pct)
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
    asked.assume("topics.assumed-brine-keeps")


def span(low: float, high: float) -> str:
    """ "1.9", "1.9 to 3.2"."""
    ends = f"{low:g}", f"{high:g}"
    return ends[0] if low == high else worded("wording.from-to", first=ends[0], last=ends[1])


def read_diffusion(asked: Inputs) -> tuple[float, float, Message]:
    """The published lowest and highest coefficient of a cheese, m²/s, and what to say."""
    names = list(asked.cells("salt_diffusion", "cheese"))
    cheese = asked.word("cheese", "gouda").lower()
    if cheese not in names:
        raise TopicError("topics.no-diffusion", cheese=cheese, known=names)
    i = names.index(cheese)
    low, high = (
        float(asked.column("salt_diffusion", name)[i])
        for name in ("low_1e10_m2_s", "high_1e10_m2_s")
    )
    at = "–".join(sorted({asked.cells("salt_diffusion", n)[i] for n in ("low_c", "high_c")}))
    assumed = Message("topics.diffusion-of", d=span(low, high), cheese=cheese, at=at)
    return low * 1e-10, high * 1e-10, assumed


def some_diffusion(asked: Inputs) -> tuple[float, float, Message]:
    """As `read_diffusion`; the range of all where none is published of the cheese that is named."""
    known = list(asked.cells("salt_diffusion", "cheese"))
    if asked.word("cheese", "").lower() in known:
        return read_diffusion(asked)
    low = float(min(asked.column("salt_diffusion", "low_1e10_m2_s")))
    high = float(max(asked.column("salt_diffusion", "high_1e10_m2_s")))
    return low * 1e-10, high * 1e-10, Message("topics.diffusion-of-all", low=low, high=high)


def work_out_water_activity(asked: Inputs) -> SumAnswer:
    """Water activity by the formula that fits what is known."""
    salt, moisture = asked.need("salt_pct"), asked.need("moisture_pct")
    by_salt = float(water_activity.marcos_aw(salt, moisture))
    asked.warn(composition.water_phase_warnings(salt, moisture))
    values: dict[str, object] = {"aw": by_salt, "by": worded("topics.aw-by-salt")}
    values["aw_by_salt"] = by_salt
    if asked.has("ph"):
        ph = asked.need("ph")
        other = float(water_activity.unripe_aw(salt, moisture, ph))
        values |= {"aw": other, "by": worded("topics.aw-by-salt-and-ph")}
        values["aw_by_salt_and_ph"] = other
        asked.warn(water_activity.unripe_warnings(ph))
        asked.assume("topics.assumed-unripe")
        if water_activity.marcos_warnings(moisture):
            asked.assume("topics.outside-salt-range")
    else:
        asked.warn(water_activity.marcos_warnings(moisture))
        asked.assume("topics.assumed-no-ph")
    formula = "topics.water-activity-formula"
    source = "topics.water-activity-source"
    cautions = ("topics.water-activity-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


def work_out_air(asked: Inputs) -> SumAnswer:
    """Humidity and dew point from two thermometers."""
    dry, wet = asked.need("dry"), asked.need("wet")
    kpa = _pressure(asked)
    error = asked.or_assume("thermometer", 0.2, "topics.assumed-thermometer")
    rh = float(air.rh_from_wet_bulb_pct(dry, wet, kpa))
    off = air.rh_uncertainty_pct(dry, wet, error, kpa)
    asked.warn(air.air_warnings(rh, off))
    asked.assume("topics.assumed-fanned")
    values: dict[str, object] = {
        "rh_pct": rh,
        "dew_point_c": air.dew_point_c(dry, rh),
        "uncertainty_pct": off,
    }
    formula = "topics.air-formula"
    source = "topics.air-source"
    return answer(asked, values, formula, source)


def _pressure(asked: Inputs) -> float:
    given = asked.number("pressure")
    if given is not None:
        return given
    high = asked.number("altitude")
    if high is not None:
        return float(air.standard_pressure_kpa(high / 1000))
    asked.assume("topics.assumed-sea-level")
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
        asked.warn_that("topics.no-loss-published", rind=rind)
    elif not rind and kg >= loss.SMALLEST_KG:
        asked.assume("topics.assumed-cloth")
    elif rind != "bandaged":
        asked.assume("topics.assumed-bare-rind")
        if moisture is None:
            asked.warn_that("topics.soft-loses-more")
    asked.assume("topics.assumed-steady-loss")
    values: dict[str, object] = {"loss_pct": found.middle}
    ranges = {
        "loss_pct": (found.low, found.high),
        "weight_after_kg": (kg * (1 - found.high / 100), kg * (1 - found.low / 100)),
    }
    if found.middle is not None:
        values["weight_after_kg"] = kg * (1 - found.middle / 100)
    if moisture is not None:
        asked.assume("topics.assumed-lost-water")
        driest, middle, wettest = (
            None if pct is None else float(loss.moisture_after_loss_pct(moisture, pct))
            for pct in (found.high, found.middle, found.low)
        )
        values["moisture_after_pct"] = middle
        ranges["moisture_after_pct"] = (driest or 0.0, wettest or 0.0)
    values["ranges"] = ranges
    formula = "topics.loss-formula"
    source = "topics.loss-source"
    return answer(asked, values, formula, source)


def work_out_bandage(asked: Inputs) -> SumAnswer:
    """Cloth and fat for a wheel."""
    layers = asked.or_assume("layers", 2.0, "topics.assumed-layers")
    over = asked.or_assume("overlap", bandage.OVERLAP_MM, "topics.assumed-overlap")
    if layers != int(layers):
        raise TopicError("reckoning.layers-whole")
    cut = bandage.pieces(asked.need("diameter"), asked.need("height"), int(layers), over)
    area = bandage.cloth_area_cm2(cut)
    fat = float(bandage.fat_g(area))
    asked.assume("topics.assumed-melted-fat")
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
    formula = "topics.bandage-formula"
    return answer(asked, values, formula, "topics.bandage-source", kitchen_ml=fat / 0.92)


TOPICS = (
    Topic(
        "brine",
        "topics.brine-is-for",
        (
            percent("pct_w_w", "topics.input-brine-pct-w-w"),
            Input("density", "topics.input-brine-density", ("density",), default_unit="kg/m3"),
            Input("baume", "topics.input-baume", tags=("°bé", "°be", "bé", "be")),
            Input(
                "salometer_deg",
                "topics.input-salometer",
                tags=("°s", "s", "%"),
                also=("salometer",),
            ),
            Input("g_per_kg_water", "topics.input-g-per-kg-water", ("mass_g",)),
            temperature("temp", "topics.input-brine-temp"),
            Input("brine", "topics.input-brine-brine", ("volume", "mass")),
            percent("want_pct", "topics.input-brine-want-pct"),
            salt("salt_taken", "topics.input-salt-taken"),
            mass("whey_given", "topics.input-whey-given"),
            Input("cheese", "topics.input-diffusion", kind=WORD),
            Input("hours", "topics.input-hours-in-brine", ("duration",), default_unit="h"),
            length("diameter", "reckoning.width-of-wheel"),
            length("height", "reckoning.height-of-wheel"),
            percent("moisture_pct", "topics.input-cheese-moisture-pct"),
        ),
        ("pct_w_w", "density_kg_m3", "baume", "salometer_deg", "g_per_kg_water"),
        work_out_brine,
        tables=("brine_density", "salt_diffusion"),
    ),
    Topic(
        "water-activity",
        "topics.water-activity-is-for",
        (
            percent("salt_pct", "reckoning.salt-of-cheese"),
            percent("moisture_pct", "topics.input-cheese-moisture-pct"),
            Input("ph", "topics.input-cheese-ph", ("ph",)),
        ),
        ("aw", "by"),
        work_out_water_activity,
    ),
    Topic(
        "air",
        "topics.air-is-for",
        (
            temperature("dry", "topics.input-dry"),
            temperature("wet", "topics.input-wet"),
            Input("pressure", "topics.input-air-pressure", ("pressure",)),
            Input("altitude", "topics.input-altitude", ("length",), default_unit="m"),
            Input("thermometer", "topics.input-thermometer", ("temperature_difference",)),
        ),
        ("rh_pct", "dew_point_c", "uncertainty_pct"),
        work_out_air,
    ),
    Topic(
        "loss",
        "topics.loss-is-for",
        (
            mass("weight", "topics.input-loss-weight"),
            temperature("room", "reckoning.temperature-of-room"),
            Input("weeks", "topics.input-weeks", ("duration",), default_unit="week"),
            Input("rind", "topics.input-rind", kind=WORD, choices=RINDS),
            percent("moisture_pct", "topics.input-loss-moisture-pct"),
        ),
        ("loss_pct", "ranges"),
        work_out_loss,
        tables=("weight_loss",),
    ),
    Topic(
        "bandage",
        "topics.bandage-is-for",
        (
            length("diameter", "topics.input-bandage-diameter"),
            length("height", "topics.input-bandage-diameter"),
            Input("layers", "topics.input-layers"),
            length("overlap", "topics.input-overlap"),
        ),
        ("pieces", "cloth_area_cm2", "fat_g"),
        work_out_bandage,
    ),
)
