"""Topics of safety: limits of acid by the hour, and limits of growth."""

from __future__ import annotations

from journal.reckoning import acid_limits, composition, growth, water_activity
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import WORD, Input, Topic, answer, percent, temperature
from journal.topics.vat import slow_acid
from journal.wording import text_of, worded
from journal.wording.trade_words import growth_words, limit_words

_FAMILIES = ("uncooked pressed", "lactic", "any other", "all")
_KINDS = {"ph": "curd-ph", "acidity": "whey-acidity"}


def work_out_acid_limits(asked: Inputs) -> SumAnswer:
    """The limits of a family, and how a reading stands to the one that is due."""
    if not asked.has("family"):
        raise TopicError("topics.family-needed", families=_FAMILIES)
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
        raise TopicError("topics.curd-or-whey")
    if given:
        if family in ("all", "any other"):
            raise TopicError("topics.family-of-reading")
        limits = [
            acid_limits.HourLimit(float(hours), kind, float(good), float(slow))
            for _, hours, kind, good, slow, *_ in rows
        ]
        values["verdict"] = _verdict(asked, given[0], limits)
    caution, source = slow_acid(asked, limits_stand=True)
    formula = "topics.acid-limits-formula"
    return answer(asked, values, formula, source, cautions=(caution,))


def _verdict(asked: Inputs, name: str, limits: list[acid_limits.HourLimit]) -> str | None:
    hours, value = asked.need("hours", "topics.since-culture") / 60, asked.need(name)
    kind = _KINDS[name]
    if kind not in {one.kind for one in limits}:
        other = "acidity" if name == "ph" else "ph"
        raise TopicError("topics.not-of-this-family", name=name, other=other)
    limit = acid_limits.limit_at(hours, kind, limits)
    asked.warn(acid_limits.verdict_warnings(hours, limit))
    asked.assume("topics.assumed-curd-below-whey")
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
        raise TopicError("topics.growth-limits-needs")
    may: list[str] = []
    held: list[str] = []
    for one in read_ranges(asked):
        reasons = growth.held_back_by(one, temp, ph, aw)
        name = f"{one.germ} ({one.does})"
        if reasons:
            held.append(worded("topics.held-back-by", germ=name, reasons=reasons))
        else:
            may.append(f"{name}: {growth_words(one)}")
    asked.assume(
        "topics.assumed-figures-off",
        ph_off=growth.PH_OFF,
        temp_off_c=growth.TEMP_OFF_C,
        aw_off=growth.AW_OFF,
    )
    asked.assume("topics.assumed-widest-limits")
    rule = growth.listeria_rule(ph, aw, asked.number("moisture_pct"))
    values: dict[str, object] = {
        "may_grow": may,
        "held_back": held,
        "listeria_rule": [text_of(one) for one in rule],
        "aw": aw,
    }
    formula = "topics.growth-limits-formula"
    return answer(asked, values, formula, _growth_sources(asked), cautions=_GROWTH_CAUTIONS)


_GROWTH_CAUTIONS = (
    "topics.growth-limits-caution",
    "topics.growth-limits-caution-2",
    "topics.growth-limits-caution-3",
)


def _activity(asked: Inputs) -> float | None:
    given = asked.number("aw")
    if given is not None or not asked.has("salt_pct", "moisture_pct"):
        return given
    salt, moisture = asked.need("salt_pct"), asked.need("moisture_pct")
    asked.warn(composition.water_phase_warnings(salt, moisture))
    asked.warn(water_activity.marcos_warnings(moisture))
    asked.assume("topics.assumed-activity-by-salt")
    return float(water_activity.marcos_aw(salt, moisture))


def _growth_sources(asked: Inputs) -> str:
    return "; ".join(dict.fromkeys(asked.cells("growth_limits", "source")))


TOPICS = (
    Topic(
        "acid-limits",
        "topics.acid-limits-is-for",
        (
            Input("family", "topics.input-family", kind=WORD, choices=_FAMILIES),
            Input("hours", "topics.since-culture", ("duration",), default_unit="h"),
            Input("ph", "topics.input-acid-limits-ph", ("ph",)),
            Input("acidity", "topics.input-acidity", ("acidity",)),
        ),
        ("verdict", "limits"),
        work_out_acid_limits,
        tables=("acid_limits",),
    ),
    Topic(
        "growth-limits",
        "topics.growth-limits-is-for",
        (
            temperature("temp", "topics.input-growth-limits-temp"),
            Input("ph", "topics.input-growth-limits-ph", ("ph",)),
            Input("aw", "topics.input-aw"),
            percent("salt_pct", "topics.input-growth-limits-salt-pct"),
            percent("moisture_pct", "topics.input-growth-limits-moisture-pct"),
        ),
        ("may_grow", "held_back", "listeria_rule"),
        work_out_growth_limits,
        tables=("growth_limits",),
    ),
)
