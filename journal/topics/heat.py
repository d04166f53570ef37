"""Topics of heat and acid: pasteurising, acidity, the pH meter."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from journal.reckoning import acidity, meter, pasteurise
from journal.reckoning.bounds import Floats
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import (
    CURVE,
    SEVERAL,
    WORD,
    YES_NO,
    Input,
    Topic,
    answer,
    percent,
    temperature,
)
from journal.wording import text_of
from journal.wording.heat import must_show, pair_words

PRODUCTS = ("milk", "rich or sweetened", "cream for butter", "dessert mix", "ultra-pasteurised")
_CAUTION = (
    "This warns but proves nothing: local law, a checked thermometer, stirring and a warm air "
    "space decide. Hot milk and vessels scald."
)


def work_out_pasteurise(asked: Inputs) -> SumAnswer:
    """Which whole published pair a curve, or one temperature held, has met; what to show for each.

    With nothing held yet it says what the thermometer must show, and for how long.
    """
    off = asked.or_assume(
        "error",
        pasteurise.THERMOMETER_C,
        f"the thermometer may read {pasteurise.THERMOMETER_C:g} °C too high, which is taken off; "
        "give error=0 for one checked in ice water and found right",
    )
    if not 0 <= off <= 10:
        raise TopicError("The thermometer's error must lie between 0 and 10 °C.")
    product = _product(asked)
    pairs = read_pairs(asked, product)
    asked.assume(f"pairs for {product}; the coldest milk was measured")
    values: dict[str, object] = {
        "pair_met": None,
        "log_reduction": None,
        "must_show": [must_show(pair, off) for pair in pairs],
    }
    if asked.has("temp") and not asked.has("minutes"):
        values["hold_min"] = _hold(asked, asked.need("temp") - off, pairs)
    elif asked.has("curve") or asked.has("temp") or not _asks_for_pairs(asked):
        minutes, shown = _curve(asked)
        temp = shown - off
        met = pasteurise.pairs_met(minutes, temp, pairs)
        asked.warn(pasteurise.pasteurise_warnings(temp, met))
        held = {pair_words(p): pasteurise.longest_at_s(minutes, temp, p.temp_c) / 60 for p in pairs}
        values |= {
            "pair_met": pair_words(met[0]) if met else None,
            "pairs_met": [pair_words(pair) for pair in met],
            "log_reduction": pasteurise.log_reduction(minutes, temp),
            "held_min": {words: minute for words, minute in held.items() if minute > 0},
        }
    formula = (
        "a pair is met when the milk, less the thermometer's error, stays at or above its "
        "temperature (the legal °F figure) for its whole time without a break; never interpolated. "
        "Milk of 10 % fat or 18 % solids or more, or with sugar added, has pairs 3 °C hotter. "
        "Log reduction, for information only: "
        "∫ dt / (0.9 s × 10^((71.7 − T) / 6.3)), Listeria monocytogenes in milk"
    )
    source = (
        "Grade A Pasteurized Milk Ordinance table (Michigan MCL 288.697, 21 CFR 131.3); Listeria: "
        "Bradshaw et al. 1985; 18 % solids: from memory"
    )
    return answer(asked, values, formula, source, cautions=(_CAUTION,))


def _asks_for_pairs(asked: Inputs) -> bool:
    """Whether only the milk is told, for the pairs that go with it."""
    names = ("product", "fat_pct", "solids_pct", "sugar_pct", "sweetened", "error")
    return any(asked.has(name) for name in names) and not asked.has("minutes")


def _hold(asked: Inputs, temp_c: float, pairs: Sequence[pasteurise.Pair]) -> float | None:
    """Minutes that a temperature must be held for the first pair it reaches, None for none."""
    found = pasteurise.hold_s(temp_c, pairs)
    if found is None:
        asked.warn(pasteurise.pasteurise_warnings([temp_c], ()))
        return None
    return found / 60


def _curve(asked: Inputs) -> tuple[Floats, Floats]:
    if asked.has("curve"):
        flat = asked.numbers("curve")
        if flat.size % 2:
            raise TopicError("A curve needs a minute and a temperature for each reading.")
        both = flat.reshape(2, -1)
        return both[0], both[1]
    temp = asked.need("temp", "and minutes, or curve=FILE.csv")
    minutes = asked.need("minutes", "beside temp")
    if minutes < 0:
        raise TopicError("The minutes held must be 0 or more.")
    return np.array([0.0, minutes]), np.array([temp, temp])


def _product(asked: Inputs) -> str:
    """Which pairs: the product named, but never those of plain milk for a rich or sweet one."""
    named = asked.word("product", "milk")
    fat, solids, sugar = (asked.number(name) for name in ("fat_pct", "solids_pct", "sugar_pct"))
    rich = (
        (fat or 0.0) >= pasteurise.RICH_FAT_PCT
        or (solids or 0.0) >= pasteurise.RICH_SOLIDS_PCT
        or (sugar or 0.0) > 0
        or asked.yes("sweetened")
    )
    if named == "milk" and rich:
        return "rich or sweetened"
    if named == "milk":
        _assume_plain(asked, fat, solids, sugar)
    return named


def _assume_plain(
    asked: Inputs, fat: float | None, solids: float | None, sugar: float | None
) -> None:
    """Say what was assumed where milk gets the pairs of plain milk."""
    unsaid = [
        words
        for words, value in (
            ("under 10 % fat", fat),
            ("under 18 % solids (ewe's and buffalo's milk may have more)", solids),
            ("no sugar added", sugar if not asked.has("sweetened") else 0.0),
        )
        if value is None
    ]
    if unsaid:
        asked.assume(f"milk with {', '.join(unsaid)}")
    if solids is None and (fat or 0.0) >= pasteurise.EWES_FAT_PCT:
        asked.warn_that(
            f"Milk of {fat:g} % fat is likely to hold 18 % solids: then its pairs are 3 °C hotter. "
            "Give solids_pct."
        )


def read_pairs(asked: Inputs, product: str) -> list[pasteurise.Pair]:
    """The published pairs of a product from the table passed in."""
    names = ("product", "temp_f", "hold_s")
    rows: Sequence[tuple[str, ...]] = list(
        zip(*(asked.cells("pasteurisation", name) for name in names), strict=True)
    )
    found = [pasteurise.Pair(p, float(f), float(s)) for p, f, s in rows if p == product]
    if not found:
        raise TopicError(f"There is no published pair for {product}.")
    return found


def work_out_acidity(asked: Inputs) -> SumAnswer:
    """Titratable acidity in the four units."""
    if asked.has("value"):
        lactic = asked.need("value")
    else:
        lactic = float(
            acidity.lactic_from_titration(
                asked.need("naoh_ml", "with normality and sample_ml, or value"),
                asked.need("normality", "of the lye, like 0.1111 for N/9"),
                asked.need("sample_ml"),
            )
        )
    asked.warn(acidity.acidity_warnings(lactic))
    asked.assume("% lactic is g in 100 ml; for % of the mass divide by the density")
    values: dict[str, object] = {
        "lactic_pct": lactic,
        "dornic": acidity.dornic(lactic),
        "soxhlet_henkel": acidity.soxhlet_henkel(lactic),
        "thorner": acidity.thorner(lactic),
    }
    formula = "1 °SH = 2.5 °Th = 2.25 °D = 0.0225 % lactic; titration: ml × N × 9 / ml of sample"
    source = "definitions of the dairy methods (N/4, N/10 and N/9 lye for 100 ml of milk)"
    cautions = ("Acidity and pH do not go one to one: casein and phosphate buffer the acid.",)
    return answer(asked, values, formula, source, cautions=cautions)


def work_out_meter(asked: Inputs) -> SumAnswer:
    """Slope and offset of an electrode against Nernst."""
    temp = asked.or_assume("temp", 25.0, "buffers at 25 °C")
    buffers, readings = asked.numbers("buffers"), asked.numbers("readings")
    if _shows_ph(asked, readings, buffers):
        readings = np.asarray(meter.reading_mv(readings, temp))
        asked.assume("the readings are pH of an unadjusted meter, turned into mV by Nernst")
    found = meter.electrode(buffers, readings, temp)
    asked.warn(meter.meter_warnings(buffers, temp))
    values: dict[str, object] = {
        "slope_mv_per_ph": found.slope_mv_per_ph,
        "slope_pct": found.slope_pct,
        "offset_mv": round(found.offset_mv, 3) + 0.0,  # to a microvolt; never −0
        "verdict": text_of(found.verdict),
        "nernst_mv_per_ph": meter.nernst_mv_per_ph(temp),
    }
    formula = (
        "mV = offset + slope × (7 − pH), a straight line through the buffers; Nernst slope = "
        "2.302585 R T / F"
    )
    source = "Nernst equation with the SI constants; bounds of the verdict: common practice"
    return answer(asked, values, formula, source)


def _shows_ph(asked: Inputs, readings: Floats, buffers: Floats) -> bool:
    """Whether the readings are pH: said so, or bare and each within 1 of its buffer."""
    tag = asked.given["readings"].tag
    if tag:
        return tag == "ph"
    return readings.size == buffers.size and bool(np.all(np.abs(readings - buffers) < 1))


TOPICS = (
    Topic(
        "pasteurise",
        "which published pair of temperature and time the milk met or must meet",
        (
            Input("curve", "a CSV file of minutes and degC", kind=CURVE),
            temperature("temp", "one temperature held"),
            Input("minutes", "how long it was held", ("duration",)),
            Input("error", "how far too high the thermometer reads", ("temperature_difference",)),
            percent("fat_pct", "fat of the milk; from 10 % on the pairs are hotter"),
            Input("solids_pct", "all its solids; from 18 % on the pairs are hotter", ("percent",),
                also=("solids", "total_solids_pct")),
            Input("sugar_pct", "sugar added; with any the pairs are hotter", ("percent",),
                also=("sugar",)),
            Input("sweetened", "whether it is sweetened", kind=WORD, choices=YES_NO),
            Input("product", "which pairs", kind=WORD, choices=PRODUCTS),
        ),
        ("pair_met", "log_reduction", "must_show"),
        work_out_pasteurise,
        tables=("pasteurisation",),
    ),
    Topic(
        "acidity",
        "titratable acidity in four units",
        (
            Input("value", "with its unit: 0.16 pct, 18 D, 7 SH or 17 Th", ("acidity",)),
            Input("naoh_ml", "lye used in a titration", ("volume_ml",)),
            Input("normality", "of the lye, like 0.1"),
            Input("sample_ml", "milk titrated", ("volume_ml",)),
        ),
        ("lactic_pct", "dornic", "soxhlet_henkel", "thorner"),
        work_out_acidity,
        lead="value",
    ),
    Topic(
        "meter",
        "slope and offset of a pH meter",
        (
            Input("buffers", "pH of the buffers, like 4.01, 7.00", ("ph",), kind=SEVERAL),
            Input("readings", "what it read in each, mV or pH", kind=SEVERAL, tags=("mv", "ph")),
            temperature("temp", "temperature of the buffers"),
        ),
        ("slope_mv_per_ph", "slope_pct", "offset_mv", "verdict"),
        work_out_meter,
    ),
)  # fmt: skip
