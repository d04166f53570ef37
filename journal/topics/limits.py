"""Topics of safety: limits of acid by the hour, and limits of growth."""

from __future__ import annotations

from journal.reckoning import acid_limits, composition, growth, water_activity
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import WORD, Input, Topic, answer, percent, temperature
from journal.topics.vat import slow_acid
from journal.wording import text_of
from journal.wording.trade_words import growth_words, limit_words

_FAMILIES = ("uncooked pressed", "lactic", "any other", "all")
_KINDS = {"ph": "curd-ph", "acidity": "whey-acidity"}


def work_out_acid_limits(asked: Inputs) -> SumAnswer:
    """The limits of a family, and how a reading stands to the one that is due."""
    if not asked.has("family"):
        raise TopicError(f"“acid-limits” needs family, as one of {', '.join(_FAMILIES)}.")
    family = asked.word("family", "all")
    names = ("family", "hours", "kind", "good", "slow", "note", "source")
    table = zip(*(asked.cells("acid_limits", name) for name in names), strict=True)
    rows = [row for row in table if family in ("all", row[0])]
    values: dict[str, object] = {
        "limits": [limit_words(of, hours, note, source) for of, hours, *_, note, source in rows],
        "verdict": None,
    }
    given = [name for name in _KINDS if asked.has(name)]
    if len(given) > 1:
        raise TopicError("Give ph of the curd or acidity of the whey, not both.")
    if given:
        if family in ("all", "any other"):
            raise TopicError(
                "A reading is held to a published limit of its own family only: give family as "
                "uncooked pressed or lactic. Any other cheese goes by its plan's acid target."
            )
        limits = [
            acid_limits.HourLimit(float(hours), kind, float(good), float(slow))
            for _, hours, kind, good, slow, *_ in rows
        ]
        values["verdict"] = _verdict(asked, given[0], limits)
    caution, source = slow_acid(asked, limits_stand=True)
    formula = "a reading against the last limit of its family that is due at its hour"
    return answer(asked, values, formula, source, cautions=(caution,))


def _verdict(asked: Inputs, name: str, limits: list[acid_limits.HourLimit]) -> str | None:
    hours, value = asked.need("hours", "since the culture went in") / 60, asked.need(name)
    kind = _KINDS[name]
    if kind not in {one.kind for one in limits}:
        raise TopicError(
            f"Nothing is published of {name} for this family: it goes by "
            f"{'acidity' if name == 'ph' else 'ph'}."
        )
    limit = acid_limits.limit_at(hours, kind, limits)
    asked.warn(acid_limits.verdict_warnings(hours, limit))
    asked.assume("curd reads 0.1 to 0.2 pH below its whey (University of Guelph): measure the curd")
    return None if limit is None else text_of(acid_limits.acid_verdict(value, limit))


def read_ranges(asked: Inputs) -> list[growth.GrowthRange]:
    """The widest published range of each germ from the table passed in."""
    names = ("low_c", "high_c", "low_ph", "high_ph", "low_aw")
    numbers = [
        [float(cell) if cell else float("nan") for cell in asked.cells("growth_limits", name)]
        for name in names
    ]
    words = (asked.cells("growth_limits", name) for name in ("germ", "does"))
    rows = zip(*words, *numbers, strict=True)
    return growth.widest(
        growth.GrowthRange(germ, does, low_c, high_c, low_ph, high_ph, low_aw)
        for germ, does, low_c, high_c, low_ph, high_ph, low_aw in rows
    )


def work_out_growth_limits(asked: Inputs) -> SumAnswer:
    """Which germs may grow at a temperature, pH and water activity, and what holds others back."""
    temp, ph, aw = asked.number("temp"), asked.number("ph"), _activity(asked)
    if (temp, ph, aw) == (None, None, None):
        raise TopicError(
            "“growth-limits” needs at least one of temp, ph and aw (or salt_pct with moisture_pct)."
        )
    may: list[str] = []
    held: list[str] = []
    for one in read_ranges(asked):
        reasons = growth.held_back_by(one, temp, ph, aw)
        name = f"{one.germ} ({one.does})"
        if reasons:
            held.append(f"{name}: {', '.join(text_of(reason) for reason in reasons)}")
        else:
            may.append(f"{name}: {growth_words(one)}")
    asked.assume(
        f"each figure may be off on the germ's side: pH by {growth.PH_OFF:g}, °C by "
        f"{growth.TEMP_OFF_C:g} (common practice), water activity by {growth.AW_OFF:g}"
    )
    asked.assume("the widest limits of several sources, as they differ")
    rule = growth.listeria_rule(ph, aw, asked.number("moisture_pct"))
    values: dict[str, object] = {
        "may_grow": may,
        "held_back": held,
        "listeria_rule": [text_of(one) for one in rule],
        "aw": aw,
    }
    formula = (
        "a germ is held back where one condition alone lies outside its widest published range, "
        "the error of the measurement on the germ's side"
    )
    return answer(asked, values, formula, _growth_sources(asked), cautions=_GROWTH_CAUTIONS)


_GROWTH_CAUTIONS = (
    "What cannot grow may live on for months, and toxin that is there already stays: no cold, "
    "acid, salt or age makes such a cheese safe.",
    "A mould or washed rind rises to pH 6 to 7.5 as it ripens (from memory), and Listeria grows "
    "in a refrigerator: soft cheese is no food for those who are pregnant, very young, old or ill.",
    "Cheese, herbs or garlic under oil have no air: botulism. Measure the least sour and the "
    "moistest place. This certifies nothing; local codes and licensed practice decide.",
)


def _activity(asked: Inputs) -> float | None:
    given = asked.number("aw")
    if given is not None or not asked.has("salt_pct", "moisture_pct"):
        return given
    salt, moisture = asked.need("salt_pct"), asked.need("moisture_pct")
    asked.warn(composition.water_phase_warnings(salt, moisture))
    asked.warn(water_activity.marcos_warnings(moisture))
    asked.assume("water activity by salt alone, 1 − 0.033 × mol in a kg of water (Marcos 1981)")
    return float(water_activity.marcos_aw(salt, moisture))


def _growth_sources(asked: Inputs) -> str:
    return "; ".join(dict.fromkeys(asked.cells("growth_limits", "source")))


TOPICS = (
    Topic(
        "acid-limits",
        "how far the acid must have come by which hour",
        (
            Input("family", "which cheese", kind=WORD, choices=_FAMILIES),
            Input("hours", "since the culture went in", ("duration",), default_unit="h"),
            Input("ph", "pH of the curd at that hour", ("ph",)),
            Input("acidity", "acidity of the whey at that hour", ("acidity",)),
        ),
        ("verdict", "limits"),
        work_out_acid_limits,
        tables=("acid_limits",),
    ),
    Topic(
        "growth-limits",
        "which dangerous germs may grow at a pH, water activity and temperature",
        (
            temperature("temp", "where the cheese or the milk is"),
            Input("ph", "pH of its least sour place", ("ph",)),
            Input("aw", "its water activity"),
            percent("salt_pct", "its salt, instead of the water activity"),
            percent("moisture_pct", "its moisture"),
        ),
        ("may_grow", "held_back", "listeria_rule"),
        work_out_growth_limits,
        tables=("growth_limits",),
    ),
)
