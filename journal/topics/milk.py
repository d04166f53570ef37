"""Topics of the milk: yield, density, standardising."""

from __future__ import annotations

from journal.reckoning import density as milk_density
from journal.reckoning import milk_yield, standardise
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import DENSITY, MILK, Input, Topic, answer, percent, temperature

CHEDDAR_MOISTURE_PCT = 37.0


def work_out_yield(asked: Inputs) -> SumAnswer:
    """Predicted yield, efficiency, and the yield at a standard moisture and salt."""
    values: dict[str, object] = {}
    casein = casein_pct(asked) if asked.has("fat_pct") else 0.0
    predicted = _predicted(asked, casein, values)
    actual = _actual_pct(asked)
    if actual is not None and predicted is not None:
        efficiency = float(milk_yield.yield_efficiency(actual, predicted))
        values["efficiency_pct"] = efficiency
        asked.warn(milk_yield.efficiency_warnings(efficiency))
        _short(asked, actual, casein, values)
    _adjusted(asked, predicted if actual is None else actual, actual is None, values)
    if not values:
        raise TopicError("topics.yield-needs")
    formula = "topics.yield-formula"
    source = "topics.yield-source"
    return answer(asked, values, formula, source)


def _predicted(asked: Inputs, casein: float, values: dict[str, object]) -> float | None:
    if not asked.has("fat_pct"):
        return None
    fat = asked.need("fat_pct")
    moisture = asked.or_assume("moisture_pct", CHEDDAR_MOISTURE_PCT, "topics.assumed-moisture-pct")
    found = float(milk_yield.van_slyke_price(fat, casein, moisture))
    asked.warn(milk_yield.yield_warnings(fat, casein, moisture))
    values["yield_pct"] = found
    if asked.has("milk"):
        values["cheese_kg"] = asked.kg() * found / 100
    return found


def _short(asked: Inputs, actual: float, casein: float, values: dict[str, object]) -> None:
    """What the yield falls short by, and of that by moisture, by fat in the whey, and otherwise."""
    moisture = asked.number("moisture_pct")
    expected = asked.number("moisture_std_pct")
    own = CHEDDAR_MOISTURE_PCT if moisture is None else moisture
    whey = asked.number("whey_fat_pct")
    found = milk_yield.shortfall(
        actual,
        asked.need("fat_pct"),
        casein,
        own,
        CHEDDAR_MOISTURE_PCT if expected is None else expected,
        whey,
    )
    values |= {
        "short_pct": found.whole,
        "short_by_moisture_pct": found.moisture,
        "short_otherwise_pct": found.rest,
    }
    if expected is None:
        asked.assume("topics.assumed-short-against")
    if whey is None:
        asked.assume("topics.assumed-fat-in-whey")
    else:
        values["short_by_fat_pct"] = found.fat
        lost = milk_yield.fat_lost_pct(actual, asked.need("fat_pct"), whey)
        values["fat_lost_pct"] = lost
        asked.warn(milk_yield.fat_lost_warnings(float(lost)))


def casein_pct(asked: Inputs) -> float:
    """Casein as given, from the protein, or as a guess from the fat."""
    given = asked.number("casein_pct")
    if given is not None:
        return given
    protein = asked.number("protein_pct")
    if protein is None:
        protein = float(milk_yield.guessed_protein_pct(asked.need("fat_pct")))
        asked.assume("topics.assumed-protein-of-fat", protein=protein)
        asked.warn_that("topics.protein-guessed")
    asked.assume("topics.assumed-casein-of-protein")
    return float(milk_yield.casein_from_protein(protein))


def _actual_pct(asked: Inputs) -> float | None:
    actual = asked.number("actual")
    if actual is None:
        return None
    if asked.given["actual"].quantity == "mass":
        actual = 100 * actual / asked.kg()
    if actual > milk_yield.MOST_YIELD_PCT:
        raise TopicError("topics.yield-impossible", actual=actual)
    return actual


def _adjusted(
    asked: Inputs, found: float | None, predicted: bool, values: dict[str, object]
) -> None:
    if found is None or not asked.has("moisture_std_pct"):
        return
    moisture = asked.need("moisture_pct", "topics.needed-yield-moisture-pct")
    standard = asked.need("moisture_std_pct")
    if predicted:
        asked.assume("topics.assumed-predicted-yield")
    values["moisture_adjusted_pct"] = milk_yield.moisture_adjusted_yield(found, moisture, standard)
    if not asked.has("salt_pct"):
        return
    salt = asked.need("salt_pct")
    salt_std = asked.or_assume("salt_std_pct", salt, "topics.assumed-salt-std-pct", salt=salt)
    one = (found, moisture, salt, standard, salt_std)
    values["moisture_salt_adjusted_pct"] = milk_yield.moisture_salt_adjusted_yield(*one)
    values["moisture_salt_as_one_pct"] = milk_yield.moisture_and_salt_as_one(*one)


def work_out_density(asked: Inputs) -> SumAnswer:
    """Density of milk from fat, solids-not-fat and temperature."""
    fat = asked.need("fat_pct")
    snf = asked.or_assume(
        "snf_pct",
        milk_density.PRODUCER_SNF_PCT,
        "topics.assumed-snf-pct",
    )
    temp = asked.or_assume("temp", 20.0, "topics.assumed-density-temp")
    asked.warn(milk_density.density_warnings(fat, snf, temp))
    values: dict[str, object] = {"density_kg_per_l": milk_density.milk_density(fat, snf, temp)}
    formula = "topics.density-formula"
    source = "topics.density-source"
    return answer(asked, values, formula, source)


def work_out_standardise(asked: Inputs) -> SumAnswer:
    """What to add to milk for a wanted fat or a wanted ratio to fat."""
    have, have_pct, with_pct = asked.kg("have"), asked.need("have_pct"), asked.need("with_pct")
    wanted = [n for n in ("want_pct", "want_protein_fat", "want_casein_fat") if asked.has(n)]
    if len(wanted) != 1:
        raise TopicError("topics.standardise-needs")
    values: dict[str, object] = {}
    if wanted[0] == "want_pct":
        add = float(standardise.square_add_kg(have, have_pct, with_pct, asked.need("want_pct")))
        formula = "topics.standardise-formula"
    else:
        add = _for_ratio(asked, have, wanted[0], values)
        formula = "topics.standardise-formula-2"
    values = {"add_kg": add, "total_kg": have + add, **values}
    values["fat_pct"] = standardise.mixed_pct(have, have_pct, add, with_pct)
    if asked.has("have_snf_pct", "with_snf_pct"):
        snf = float(
            standardise.mixed_pct(have, asked.need("have_snf_pct"), add, asked.need("with_snf_pct"))
        )
        values["snf_pct"] = snf
        asked.warn(standardise.snf_warnings(snf))
    return answer(asked, values, formula, "topics.standardise-source")


def _for_ratio(asked: Inputs, have: float, wanted: str, values: dict[str, object]) -> float:
    part = "protein" if wanted == "want_protein_fat" else "casein"
    had, added = asked.need(f"have_{part}_pct"), asked.need(f"with_{part}_pct")
    fat, its_fat = asked.need("have_pct"), asked.need("with_pct")
    add = float(standardise.ratio_add_kg(have, fat, had, its_fat, added, asked.need(wanted)))
    values[f"{part}_pct"] = standardise.mixed_pct(have, had, add, added)
    values[f"{part}_fat"] = asked.need(wanted)
    return add


TOPICS = (
    Topic(
        "yield",
        "topics.yield-is-for",
        (
            MILK,
            DENSITY,
            percent("fat_pct", "reckoning.fat-of-milk"),
            percent("casein_pct", "reckoning.casein-of-milk"),
            percent("protein_pct", "topics.input-yield-protein-pct"),
            percent("moisture_pct", "topics.input-cheese-moisture-pct"),
            Input(
                "actual",
                "topics.input-actual",
                ("percent", "mass"),
            ),
            percent("moisture_std_pct", "topics.input-moisture-std-pct"),
            percent("whey_fat_pct", "topics.input-whey-fat-pct"),
            percent("salt_pct", "reckoning.salt-of-cheese"),
            percent("salt_std_pct", "topics.input-salt-std-pct"),
        ),
        (
            "yield_pct",
            "cheese_kg",
            "efficiency_pct",
            "short_pct",
            "moisture_adjusted_pct",
            "moisture_salt_adjusted_pct",
            "moisture_salt_as_one_pct",
        ),
        work_out_yield,
    ),
    Topic(
        "density",
        "topics.density-is-for",
        (
            percent("fat_pct", "reckoning.fat-of-milk"),
            percent("snf_pct", "topics.input-snf-pct"),
            temperature("temp", "reckoning.temperature-of-milk"),
        ),
        ("density_kg_per_l",),
        work_out_density,
    ),
    Topic(
        "standardise",
        "topics.standardise-is-for",
        (
            Input("have", "topics.input-standardise-have", ("mass", "volume")),
            DENSITY,
            percent("have_pct", "topics.input-standardise-have-pct"),
            percent("with_pct", "topics.input-with-pct"),
            percent("want_pct", "topics.input-standardise-want-pct"),
            Input("want_protein_fat", "topics.input-want-protein-fat"),
            Input("want_casein_fat", "topics.input-want-casein-fat"),
            percent("have_protein_pct", "reckoning.protein-of-milk"),
            percent("with_protein_pct", "topics.input-with-protein-pct"),
            percent("have_casein_pct", "reckoning.casein-of-milk"),
            percent("with_casein_pct", "topics.input-with-casein-pct"),
            percent("have_snf_pct", "topics.input-snf-pct"),
            percent("with_snf_pct", "topics.input-with-snf-pct"),
        ),
        ("add_kg", "total_kg", "fat_pct"),
        work_out_standardise,
    ),
)
