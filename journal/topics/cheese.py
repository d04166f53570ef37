"""Topic of the cheese: what it is made of, by analysis or by milk and a kitchen scale."""

from __future__ import annotations

from journal.reckoning import brine, composition, milk_yield, standards
from journal.reckoning.salt import SALT_KEPT, SALT_KEPT_SD
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.milk import casein_pct
from journal.topics.topic import DENSITY, MILK, WORD, Input, Topic, answer, length, mass, percent
from journal.topics.topic import salt as spoonable_salt
from journal.topics.wheel import some_diffusion
from journal.wording import word_of
from journal.wording.trade_words import standard_words

_KEPT_SURE = 0.02  # of the salt, where it was said how much of it stayed
_BRINE_SURE = 0.1  # water that leaves and a rind that closes are not in the formula (from memory)
_LIMITS = ("max_moisture_pct", "min_fdm_pct", "min_fat_pct")


def work_out_composition(asked: Inputs) -> SumAnswer:
    """The trade's ratios of a cheese, from an analysis or from milk and a kitchen scale."""
    if asked.has("green_weight") or not asked.has("moisture_pct"):
        return _from_scale(asked)
    return _from_analysis(asked)


def _from_analysis(asked: Inputs) -> SumAnswer:
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
    formula = "topics.composition-formula"
    return answer(
        asked,
        {**found, **_classes(asked, found)},
        formula,
        "topics.composition-source",
        cautions=("topics.composition-caution",),
    )


def _from_scale(asked: Inputs) -> SumAnswer:
    green = asked.need("green_weight", "topics.needed-green-weight")
    milk, fat, casein = asked.kg(), asked.need("fat_pct"), casein_pct(asked)
    salt, salt_sd = _salt_kept_kg(asked, green)
    if asked.has("brine_pct"):
        salt, salt_sd = _out_of_brine(asked, (milk, fat, casein, green), salt, salt_sd)
    weight = _weight(asked, green)
    spreads = _spreads(asked)
    asked.assume(
        "topics.assumed-kept-in-curd",
        fat_kept_pct=100 * composition.FAT_KEPT,
        fat_kept_sd_pct=100 * composition.FAT_KEPT_SD,
        vat_sd_pct=100 * composition.VAT_SD,
    )
    kitchen = composition.kitchen_composition(
        milk, fat, casein, weight, salt, **spreads, salt_sd_kg=salt_sd
    )
    asked.warn(milk_yield.milk_warnings(fat, casein))
    asked.warn(composition.water_phase_warnings(kitchen.salt_pct, kitchen.moisture_pct))
    found = {
        "moisture_pct": kitchen.moisture_pct,
        "fat_in_cheese_pct": kitchen.fat_pct,
        "mnfs_pct": kitchen.mnfs_pct,
        "fdm_pct": kitchen.fdm_pct,
    }
    if asked.has("salt") or asked.has("salt_pct") or asked.has("brine_pct"):
        found["salt_in_cheese_pct"] = kitchen.salt_pct
        found["s_m_pct"] = kitchen.s_m_pct
        found["water_phase_salt_pct"] = kitchen.water_phase_salt_pct
    values: dict[str, object] = {
        **found,
        "ranges": _ranges(kitchen.ranges, set(found)),
        "ranges_80": _ranges(kitchen.ranges_80, set(found)),
        **_classes(asked, found),
    }
    if asked.has("weight_now"):
        values["loss_pct"] = 100 * (1 - weight / green)
    formula = "topics.composition-by-scale-formula"
    source = "topics.composition-by-scale-source"
    return answer(asked, values, formula, source, cautions=("topics.composition-caution",))


def _weight(asked: Inputs, green: float) -> float:
    """The cheese's weight at the last weighing, kg."""
    now = asked.number("weight_now")
    if now is None:
        return green
    if now > green:
        raise TopicError("topics.heavier-than-green")
    asked.assume("topics.assumed-lost-water-since")
    return now


def _spreads(asked: Inputs) -> dict[str, float]:
    """How sure the entered values are, as kitchen_composition takes it."""
    fat = asked.or_assume("fat_pct_sd", 0.1, "topics.assumed-fat-pct-sd")
    weight = asked.or_assume("weight_sd_g", 5.0, "topics.assumed-weight-sd-g")
    guessed = not (asked.has("protein_pct") or asked.has("casein_pct"))
    usual = milk_yield.GUESSED_PROTEIN_SD_PCT if guessed else 0.1
    which = "topics.casein-sure" if asked.has("casein_pct") else "topics.protein-sure"
    protein = asked.or_assume("protein_pct_sd", usual, which, usual=usual)
    share = 1.0 if asked.has("casein_pct") else milk_yield.CASEIN_OF_PROTEIN
    return {
        "fat_sd_pct": fat,
        "casein_sd_pct": share * protein,
        "weight_sd_kg": weight / 1000,
    }


def _salt_kept_kg(asked: Inputs, green: float) -> tuple[float, float]:
    """Salt that stayed, kg, and how sure that is; a guess when none was named."""
    if asked.has("salt"):
        added, kept = asked.salt_kg("salt"), asked.number("salt_kept_pct")
        if kept is not None:
            return added * kept / 100, _KEPT_SURE * added * kept / 100
        asked.assume("topics.assumed-salt-that-stays")
        return SALT_KEPT * added, SALT_KEPT_SD * added
    if asked.has("salt_pct"):
        return green * asked.need("salt_pct") / 100, 0.001 * green
    if asked.has("brine_pct"):
        return 0.0, 0.0
    asked.assume("topics.assumed-any-salt")
    unsaid = (composition.UNSAID_SALT_PCT, composition.UNSAID_SALT_SD_PCT)
    return green * unsaid[0] / 100, green * unsaid[1] / 100


def _out_of_brine(
    asked: Inputs, cheese: tuple[float, float, float, float], salt: float, salt_sd: float
) -> tuple[float, float]:
    """Salt after the brine, kg, and how sure that is: between the lowest and the highest diffusion
    that is published."""
    pct, hours = asked.need("brine_pct"), asked.need("hours", "topics.needed-hours") / 60
    size = asked.need("diameter", "topics.needed-diameter"), asked.need("height")
    low, high, diffusion = some_diffusion(asked)
    shares = [float(brine.uptake_share(d, hours, *size)) for d in (low, high)]
    asked.warn(brine.brine_warnings(pct, 20.0))
    asked.assume(
        "topics.assumed-brine-strength",
        pct=pct,
        brine_sure_pct=100 * _BRINE_SURE,
        diffusion=diffusion,
    )
    both = [composition.salt_from_brine_kg(*cheese, pct, share, salt) for share in shares]
    middle, spread = sum(both) / 2, abs(both[1] - both[0]) / 12**0.5
    left = salt_sd * (1 - sum(shares) / 2)
    return middle, float((spread**2 + left**2 + (_BRINE_SURE * middle) ** 2) ** 0.5)


def _ranges(
    found: dict[str, tuple[float, float]], shown: set[str]
) -> dict[str, tuple[float, float]]:
    names = {"fat_pct": "fat_in_cheese_pct", "salt_pct": "salt_in_cheese_pct"}
    pairs = {names.get(name, name): pair for name, pair in found.items()}
    return {name: pair for name, pair in pairs.items() if name in shown}


def _classes(asked: Inputs, found: dict[str, float]) -> dict[str, object]:
    """The words that go with the numbers: firmness, fat, standards, young cheddar."""
    firmness = composition.firmness(found["mnfs_pct"])
    met = _standards(asked, found["moisture_pct"], found["fat_in_cheese_pct"])
    young = None
    if "cheddar" in asked.word("cheese", "cheddar"):
        asked.assume("topics.assumed-young-cheddar")
        young = composition.young_cheddar(
            found["mnfs_pct"], found.get("s_m_pct"), found["fdm_pct"], asked.number("ph")
        )
    return {
        "firmness": [_worded(name) for name, _ in firmness],
        "firmness_wording": {_worded(name): _worded(wording) for name, wording in firmness},
        "fat_class": [_worded(name) for name in composition.fat_class(found["fdm_pct"])],
        "limits": [standard_words(one) for one in met],
        "young_cheddar": young and {axis: _worded(how) for axis, how in young.items()},
    }


def _worded(name: str) -> str:
    """A class of firmness or fat, a wording, a window, as a person reads it."""
    return word_of("topics.class-", name)


def _standards(asked: Inputs, moisture: float, fat: float) -> list[standards.Standard]:
    """The standards that the cheese meets, of its own name or of those it could have."""
    known = read_standards(asked)
    name = asked.word("cheese", "")
    if not name:
        asked.assume("topics.assumed-limits-by-firmness")
        met = standards.standards_met(moisture, fat, known)
        return [one for one in met if one.may_be_called(moisture, fat)]
    own = [one for one in known if one.is_called(name)]
    if not own:
        asked.warn_that("topics.no-standard", name=name)
    return standards.standards_met(moisture, fat, own)


def read_standards(asked: Inputs) -> list[standards.Standard]:
    """The standards of identity of the table passed in."""
    names = ("authority", "cheese", *_LIMITS, "min_dry_by_fdm", "age", "source", "ground", "made")
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
        row["made"],
    )


TOPICS = (
    Topic(
        "composition",
        "topics.composition-is-for",
        (
            percent("moisture_pct", "topics.input-composition-moisture-pct"),
            percent("fat_pct", "topics.input-composition-fat-pct"),
            percent("salt_pct", "reckoning.salt-of-cheese"),
            Input("ph", "topics.input-cheese-ph", ("ph",)),
            Input("cheese", "topics.input-composition-cheese", kind=WORD, example="cheddar"),
            MILK,
            DENSITY,
            percent("protein_pct", "reckoning.protein-of-milk"),
            percent("casein_pct", "reckoning.casein-of-milk"),
            mass("green_weight", "topics.input-green-weight"),
            mass("weight_now", "topics.input-weight-now"),
            spoonable_salt("salt", "topics.input-composition-salt"),
            percent("salt_kept_pct", "topics.input-salt-kept-pct"),
            percent("brine_pct", "topics.input-brine-pct"),
            Input("hours", "topics.input-hours-in-brine", ("duration",), default_unit="h"),
            length("diameter", "topics.input-composition-diameter"),
            length("height", "topics.input-composition-height"),
            percent("fat_pct_sd", "topics.input-fat-pct-sd"),
            percent("protein_pct_sd", "topics.input-protein-pct-sd"),
            Input("weight_sd_g", "topics.input-weight-sd-g", ("mass_g",)),
        ),
        (
            "mnfs_pct",
            "fdm_pct",
            "s_m_pct",
            "water_phase_salt_pct",
            "firmness",
            "limits",
            "ranges",
            "ranges_80",
        ),
        work_out_composition,
        tables=("standards_of_identity", "salt_diffusion"),
    ),
)
