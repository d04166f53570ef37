"""Topic of the cheese: what it is made of, by analysis or by milk and a kitchen scale."""

from __future__ import annotations

from journal.reckoning import ReckoningError, composition, milk_yield, standards
from journal.reckoning.answer import Answer
from journal.reckoning.asked import Asked
from journal.reckoning.topics.milk import casein_pct
from journal.reckoning.topics.topic import DENSITY, MILK, Key, Topic, answer, mass, percent
from journal.reckoning.topics.topic import salt as spoonable_salt

_SPREADS = ("fat_pct_sd", "protein_pct_sd", "weight_sd_g")
_LIMITS = ("max_moisture_pct", "min_fdm_pct", "min_fat_pct")
_SOURCE = (
    "Codex general standard for cheese; Mullan, dairyscience.info; firmness by the wording of "
    "Codex A-6 and Codex 283-1978; limits as each standard names them; windows of young cheddar: "
    "Lawrence & Gilles 1980, from memory"
)
_CAUTION = (
    "A standard met here is met in moisture and fat alone: age, milk and making count too. "
    "Raw-milk cheese of 60 days is a legal term, not a proof that it is safe."
)


def work_out_composition(asked: Asked) -> Answer:
    """The trade's ratios of a cheese, from an analysis or from milk and a kitchen scale."""
    if asked.has("green_weight") or not asked.has("moisture_pct"):
        return _from_scale(asked)
    return _from_analysis(asked)


def _from_analysis(asked: Asked) -> Answer:
    moisture, fat, salt = (
        asked.need("moisture_pct"),
        asked.need("fat_pct"),
        asked.number("salt_pct"),
    )
    found = {
        "moisture_pct": moisture,
        "fat_in_cheese_pct": fat,
        "mnfs_pct": float(composition.moisture_in_non_fat_substance(moisture, fat)),
        "fdm_pct": float(composition.fat_in_dry_matter(moisture, fat)),
    }
    if salt is not None:
        composition.whole_cheese(moisture, fat, salt)
        asked.warn(composition.water_phase_warnings(salt, moisture))
        found["s_m_pct"] = float(composition.salt_in_moisture(salt, moisture))
        found["water_phase_salt_pct"] = float(composition.salt_in_water_phase(salt, moisture))
    formula = (
        "MNFS = 100 moisture / (100 − fat); FDM = 100 fat / (100 − moisture); S/M = 100 salt / "
        "moisture; salt in the water phase = 100 salt / (salt + moisture)"
    )
    return answer(
        asked, {**found, **_classes(asked, found)}, formula, _SOURCE, cautions=(_CAUTION,)
    )


def _from_scale(asked: Asked) -> Answer:
    green = asked.need("green_weight", "with milk and fat_pct, or moisture_pct with fat_pct")
    milk, fat, casein = asked.kg(), asked.need("fat_pct"), casein_pct(asked)
    salt = _salt_kept_kg(asked)
    weight = _weight(asked, green)
    spreads = _spreads(asked)
    asked.assume("solids are kept as Van Slyke and Price have it for cheddar (93 % of the fat)")
    kitchen = composition.kitchen_composition(milk, fat, casein, weight, salt or 0.0, **spreads)
    asked.warn(milk_yield.yield_warnings(fat, casein, kitchen.moisture_pct))
    asked.warn(composition.water_phase_warnings(kitchen.salt_pct, kitchen.moisture_pct))
    found = {
        "moisture_pct": kitchen.moisture_pct,
        "fat_in_cheese_pct": kitchen.fat_pct,
        "mnfs_pct": kitchen.mnfs_pct,
        "fdm_pct": kitchen.fdm_pct,
    }
    if salt is not None:
        found["salt_in_cheese_pct"] = kitchen.salt_pct
        found["s_m_pct"] = kitchen.s_m_pct
        found["water_phase_salt_pct"] = kitchen.water_phase_salt_pct
    ranges = _ranges(kitchen, set(found))
    values: dict[str, object] = {**found, "ranges": ranges, **_classes(asked, found)}
    if asked.has("weight_now"):
        values["loss_pct"] = 100 * (1 - weight / green)
    formula = (
        "solids = milk × (0.93 fat + casein − 0.1) × 1.09; moisture = 1 − solids / weight; then "
        "MNFS = moisture / (100 − fat), FDM = fat / (100 − moisture), S/M = salt / moisture; "
        "ranges hold about 95 times in 100, by first-order propagation of what was entered"
    )
    return answer(asked, values, formula, _SOURCE, cautions=(_CAUTION,))


def _weight(asked: Asked, green: float) -> float:
    """The cheese's weight at the last weighing, kg."""
    now = asked.number("weight_now")
    if now is None:
        return green
    if now > green:
        raise ReckoningError("The cheese weighs more than when it was green; check both weights.")
    asked.assume("all weight lost since was water")
    return now


def _spreads(asked: Asked) -> dict[str, float]:
    """How sure the entered values are, as kitchen_composition takes it."""
    if not any(asked.has(name) for name in _SPREADS):
        asked.assume("no uncertainties are given, so the ranges have no width")
    fat, protein, weight = (asked.number(name) or 0.0 for name in _SPREADS)
    share = 1.0 if asked.has("casein_pct") else milk_yield.CASEIN_OF_PROTEIN
    return {
        "fat_sd_pct": fat,
        "casein_sd_pct": share * protein,
        "weight_sd_kg": weight / 1000,
    }


def _salt_kept_kg(asked: Asked) -> float | None:
    """Salt that stayed, kg; None when none was named."""
    if asked.has("salt"):
        kept = asked.or_assume("salt_kept_pct", 100.0, "all salt that was added stayed")
        return asked.salt_kg("salt") * kept / 100
    if asked.has("salt_pct"):
        return asked.need("green_weight") * asked.need("salt_pct") / 100
    return None


def _ranges(found: composition.Kitchen, shown: set[str]) -> dict[str, list[float]]:
    names = {"fat_pct": "fat_in_cheese_pct", "salt_pct": "salt_in_cheese_pct"}
    pairs = {names.get(name, name): list(pair) for name, pair in found.ranges.items()}
    return {name: pair for name, pair in pairs.items() if name in shown}


def _classes(asked: Asked, found: dict[str, float]) -> dict[str, object]:
    """The words that go with the numbers: firmness, fat, standards, young cheddar."""
    firmness = composition.firmness(found["mnfs_pct"])
    met = standards.standards_met(
        found["moisture_pct"], found["fat_in_cheese_pct"], read_standards(asked)
    )
    asked.assume("young_cheddar: windows from memory, for a cheddar of 1 to 14 days; say its age")
    return {
        "firmness": [name for name, _ in firmness],
        "firmness_wording": dict(firmness),
        "fat_class": composition.fat_class(found["fdm_pct"]),
        "limits": [one.words() for one in met],
        "young_cheddar": composition.young_cheddar(
            found["mnfs_pct"], found.get("s_m_pct"), found["fdm_pct"], asked.number("ph")
        ),
    }


def read_standards(asked: Asked) -> list[standards.Standard]:
    """The standards of identity of the table passed in."""
    names = ("authority", "cheese", *_LIMITS, "min_dry_by_fdm", "age", "source", "ground")
    columns = [asked.cells("standards_of_identity", name) for name in names]
    return [_standard(dict(zip(names, row, strict=True))) for row in zip(*columns, strict=True)]


def _standard(row: dict[str, str]) -> standards.Standard:
    parts = [part.split(":") for part in row["min_dry_by_fdm"].split()]
    moisture, fdm, fat = (float(row[name]) if row[name] else None for name in _LIMITS)
    return standards.Standard(
        row["authority"],
        row["cheese"],
        moisture,
        fdm,
        fat,
        tuple((float(low), float(least)) for low, least in parts),
        row["age"],
        row["source"],
        row["ground"],
    )


TOPICS = (
    Topic(
        "composition",
        "MNFS, FDM, salt in moisture, firmness and limits of a cheese",
        (
            percent("moisture_pct", "moisture of the cheese, by analysis"),
            percent("fat_pct", "fat: of the cheese beside moisture_pct, of the milk beside milk"),
            percent("salt_pct", "salt of the cheese"),
            Key("ph", "pH of the cheese", ("ph",)),
            MILK,
            DENSITY,
            percent("protein_pct", "protein of the milk"),
            percent("casein_pct", "casein of the milk"),
            mass("green_weight", "the cheese as it left press or brine"),
            mass("weight_now", "the cheese at a later weighing"),
            spoonable_salt("salt", "salt added"),
            percent("salt_kept_pct", "how much of the salt stayed"),
            percent("fat_pct_sd", "how sure the milk's fat is, one standard deviation"),
            percent("protein_pct_sd", "how sure the milk's protein (or casein) is"),
            Key("weight_sd_g", "how sure the scale is, one standard deviation", ("mass_g",)),
        ),
        (
            "mnfs_pct",
            "fdm_pct",
            "s_m_pct",
            "water_phase_salt_pct",
            "firmness",
            "limits",
            "ranges",
        ),
        work_out_composition,
        tables=("standards_of_identity",),
    ),
)
