"""Topics of heat and acid: pasteurising, acidity, the pH meter."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from journal.message import Message
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


def work_out_pasteurise(asked: Inputs) -> SumAnswer:
    """Which whole published pair a curve, or one temperature held, has met; what to show for each.

    With nothing held yet it says what the thermometer must show, and for how long.
    """
    off = asked.or_assume(
        "error",
        pasteurise.THERMOMETER_C,
        "topics.assumed-error",
        thermometer_c=pasteurise.THERMOMETER_C,
    )
    if not 0 <= off <= 10:
        raise TopicError("topics.thermometer-range")
    product = _product(asked)
    pairs = read_pairs(asked, product)
    asked.assume("topics.assumed-coldest-milk", product=product)
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
    formula = "topics.pasteurise-formula"
    source = "topics.pasteurise-source"
    return answer(asked, values, formula, source, cautions=("topics.pasteurise-caution",))


def _asks_for_pairs(asked: Inputs) -> bool:
    """Whether only the milk is given, for the pairs that go with it."""
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
            raise TopicError("topics.curve-incomplete")
        both = flat.reshape(2, -1)
        return both[0], both[1]
    temp = asked.need("temp", "topics.needed-pasteurise-temp")
    minutes = asked.need("minutes", "topics.needed-minutes")
    if minutes < 0:
        raise TopicError("topics.minutes-range")
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
            (Message("topics.under-10-fat"), fat),
            (Message("topics.under-18-solids"), solids),
            (Message("topics.no-sugar-added"), sugar if not asked.has("sweetened") else 0.0),
        )
        if value is None
    ]
    if unsaid:
        asked.assume("topics.milk-with", unsaid=unsaid)
    if solids is None and (fat or 0.0) >= pasteurise.EWES_FAT_PCT:
        asked.warn_that("topics.solids-likely-high", fat=fat)


def read_pairs(asked: Inputs, product: str) -> list[pasteurise.Pair]:
    """The published pairs of a product from the table passed in."""
    names = ("product", "temp_f", "hold_s")
    rows: Sequence[tuple[str, ...]] = list(
        zip(*(asked.cells("pasteurisation", name) for name in names), strict=True)
    )
    found = [pasteurise.Pair(p, float(f), float(s)) for p, f, s in rows if p == product]
    if not found:
        raise TopicError("topics.no-pair", product=product)
    return found


def work_out_acidity(asked: Inputs) -> SumAnswer:
    """Titratable acidity in the four units."""
    if asked.has("value"):
        lactic = asked.need("value")
    else:
        lactic = float(
            acidity.lactic_from_titration(
                asked.need("naoh_ml", "topics.needed-naoh-ml"),
                asked.need("normality", "topics.needed-normality"),
                asked.need("sample_ml"),
            )
        )
    asked.warn(acidity.acidity_warnings(lactic))
    asked.assume("topics.assumed-lactic-by-volume")
    values: dict[str, object] = {
        "lactic_pct": lactic,
        "dornic": acidity.dornic(lactic),
        "soxhlet_henkel": acidity.soxhlet_henkel(lactic),
        "thorner": acidity.thorner(lactic),
    }
    formula = "topics.acidity-formula"
    source = "topics.acidity-source"
    cautions = ("topics.acidity-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


def work_out_meter(asked: Inputs) -> SumAnswer:
    """Slope and offset of an electrode against Nernst."""
    temp = asked.or_assume("temp", 25.0, "topics.assumed-meter-temp")
    buffers, readings = asked.numbers("buffers"), asked.numbers("readings")
    if _shows_ph(asked, readings, buffers):
        readings = np.asarray(meter.reading_mv(readings, temp))
        asked.assume("topics.assumed-unadjusted-meter")
    found = meter.electrode(buffers, readings, temp)
    asked.warn(meter.meter_warnings(buffers, temp))
    values: dict[str, object] = {
        "slope_mv_per_ph": found.slope_mv_per_ph,
        "slope_pct": found.slope_pct,
        "offset_mv": round(found.offset_mv, 3) + 0.0,  # to a microvolt; never −0
        "verdict": text_of(found.verdict),
        "nernst_mv_per_ph": meter.nernst_mv_per_ph(temp),
    }
    formula = "topics.meter-formula"
    source = "topics.meter-source"
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
        "topics.pasteurise-is-for",
        (
            Input("curve", "topics.input-curve", kind=CURVE),
            temperature("temp", "topics.input-pasteurise-temp"),
            Input("minutes", "topics.input-pasteurise-minutes", ("duration",)),
            Input("error", "topics.input-error", ("temperature_difference",)),
            percent("fat_pct", "topics.input-pasteurise-fat-pct"),
            Input("solids_pct", "topics.input-solids-pct", ("percent",),
                also=("solids", "total_solids_pct")),
            Input("sugar_pct", "topics.input-sugar-pct", ("percent",),
                also=("sugar",)),
            Input("sweetened", "topics.input-sweetened", kind=WORD, choices=YES_NO),
            Input("product", "topics.input-product", kind=WORD, choices=PRODUCTS),
        ),
        ("pair_met", "log_reduction", "must_show"),
        work_out_pasteurise,
        tables=("pasteurisation",),
    ),
    Topic(
        "acidity",
        "topics.acidity-is-for",
        (
            Input("value", "topics.input-value", ("acidity",)),
            Input("naoh_ml", "topics.input-naoh-ml", ("volume_ml",)),
            Input("normality", "topics.input-normality"),
            Input("sample_ml", "topics.input-sample-ml", ("volume_ml",)),
        ),
        ("lactic_pct", "dornic", "soxhlet_henkel", "thorner"),
        work_out_acidity,
        lead="value",
    ),
    Topic(
        "meter",
        "topics.meter-is-for",
        (
            Input("buffers", "topics.input-buffers", ("ph",), kind=SEVERAL),
            Input("readings", "topics.input-readings", kind=SEVERAL, tags=("mv", "ph")),
            temperature("temp", "reckoning.temperature-of-buffers"),
        ),
        ("slope_mv_per_ph", "slope_pct", "offset_mv", "verdict"),
        work_out_meter,
    ),
)  # fmt: skip
