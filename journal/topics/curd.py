"""Topics of the curd: press, mould, salt."""

from __future__ import annotations

from journal.reckoning import composition, mould, press, salt
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import (
    DENSITY,
    MILK,
    SIZE,
    WORD,
    YES_NO,
    Input,
    Topic,
    answer,
    length,
    mass,
    percent,
)

SHAPES = ("round", "square")


def area_cm2(asked: Inputs, name: str = "mould") -> float:
    """Area of a mould given by one width (round, or square if said so) or by two (oblong)."""
    sizes = asked.numbers(name)
    if sizes.size == 2:
        return float(press.rectangle_area_cm2(float(sizes[0]), float(sizes[1])))
    if sizes.size != 1:
        raise TopicError("topics.width-unread", name=name)
    width = float(sizes[0])
    if asked.word("shape", "round") == "square":
        return float(press.rectangle_area_cm2(width, width))
    if not asked.has("shape"):
        asked.assume("topics.assumed-round-mould")
    return float(press.round_area_cm2(width))


def work_out_press(asked: Inputs) -> SumAnswer:
    """Load and pressure on a mould, and what follows from them."""
    if asked.has("load") == asked.has("pressure"):
        raise TopicError("topics.load-or-pressure")
    area = area_cm2(asked)
    advantage = asked.or_assume("advantage", 1.0, "topics.assumed-advantage")
    if asked.has("load"):
        load = asked.need("load")
        kpa = float(press.pressure_kpa(load, area, advantage))
    else:
        kpa = asked.need("pressure")
        load = float(press.load_kg(kpa, area, advantage))
    values: dict[str, object] = {
        "pressure_kpa": kpa,
        "pressure_psi": press.psi(kpa),
        "load_kg": load,
        "on_cheese_kg": load * advantage,
        "area_cm2": area,
    }
    multiple = _multiple(asked, load * advantage, values)
    _other_mould(asked, load, area, values)
    _spring(asked, load, values)
    asked.warn(press.press_warnings(kpa, multiple))
    formula = "topics.press-formula"
    source = "topics.press-source"
    return answer(asked, values, formula, source, cautions=("topics.press-caution",))


def _multiple(asked: Inputs, on_cheese: float, values: dict[str, object]) -> float | None:
    wheel = asked.number("wheel_weight")
    count = asked.number("stack")
    if wheel is not None:
        values["multiple_of_weight"] = press.multiple_of_weight(on_cheese, wheel)
    if count is not None:
        if count != int(count):
            raise TopicError("topics.moulds-whole")
        if wheel is None:
            asked.assume("topics.assumed-weightless-wheels")
        borne = press.stack_loads_kg(on_cheese, wheel or 0.0, int(count))
        values["stack_kg"] = borne
    return float(on_cheese / wheel) if wheel else None


def _other_mould(asked: Inputs, load: float, area: float, values: dict[str, object]) -> None:
    if asked.has("to_mould"):
        other = area_cm2(asked, "to_mould")
        values["to_mould_load_kg"] = press.load_on_other_mould_kg(load, area, other)


def _spring(asked: Inputs, load: float, values: dict[str, object]) -> None:
    if not asked.yes("spring"):
        return
    hours = asked.or_assume("time", 360.0, "topics.assumed-time") / 60
    values["tighten_after_h"] = press.tighten_after_h()
    values["spring_load_kg"] = press.spring_load_kg(load, hours)
    asked.assume("topics.assumed-slackening")


def work_out_mould(asked: Inputs) -> SumAnswer:
    """How high the wheel will be and whether the curd fits."""
    pct = asked.or_assume("yield", 10.0, "topics.assumed-yield")
    count = asked.number("wheels") or 1.0
    if count != int(count) or count < 1:
        raise TopicError("topics.wheels-whole")
    area = area_cm2(asked)
    wheel = float(mould.wheel_kg(asked.kg(), pct)) / count
    height = float(mould.wheel_height_mm(wheel, area))
    asked.assume("topics.assumed-pressed-density")
    width = float(min(asked.numbers("mould")))
    tall = asked.or_assume("mould_height", width, "topics.assumed-mould-height")
    asked.assume("topics.assumed-loose-curd")
    asked.warn(mould.mould_warnings(height, width))
    values: dict[str, object] = {
        "height_mm": height,
        "fits": mould.fits(height, tall),
        "wheel_kg": wheel,
        "loose_height_mm": mould.loose_height_mm(height),
    }
    formula = "topics.mould-formula"
    source = "topics.mould-source"
    return answer(asked, values, formula, source)


def work_out_salt(asked: Inputs) -> SumAnswer:
    """Dry salt for a target."""
    curd = asked.need("curd")
    kept = asked.or_assume("retention", 100.0, "topics.assumed-retention")
    target = asked.need("target", "topics.needed-salt-target")
    if asked.given["target"].tag == "s/m":
        moisture = asked.need("moisture_pct", "topics.needed-salt-moisture-pct")
        g = float(salt.salt_for_s_m_g(curd, target, moisture, kept))
        asked.assume("topics.assumed-moisture-after-press")
    else:
        g = float(salt.salt_for_curd_g(curd, target, kept))
    added = g / (10 * curd)
    asked.warn(salt.salt_warnings(added, kept))
    values: dict[str, object] = {"salt_g": g, "added_pct": added, "kept_g": g * kept / 100}
    if asked.has("moisture_pct"):
        moisture, stays = asked.need("moisture_pct"), added * kept / 100
        values["s_m_pct"] = composition.salt_in_moisture(stays, moisture)
        asked.warn(composition.water_phase_warnings(stays, moisture))
    asked.assume("topics.fine-salt-weighs", g_per_ml=salt.SALT_G_PER_ML)
    formula = "topics.salt-formula"
    source = "topics.salt-source"
    return answer(asked, values, formula, source, kitchen_ml=g / salt.SALT_G_PER_ML)


SHAPE = Input("shape", "topics.input-shape", kind=WORD, choices=SHAPES)
MOULD = Input("mould", "topics.input-mould", ("length",), kind=SIZE)
TOPICS = (
    Topic(
        "press",
        "topics.press-is-for",
        (
            mass("load", "topics.input-press-load"),
            Input("pressure", "topics.input-press-pressure", ("pressure",)),
            MOULD,
            SHAPE,
            Input("advantage", "topics.input-advantage", tags=("x", "×")),
            mass("wheel_weight", "topics.input-wheel-weight"),
            Input("to_mould", "topics.input-to-mould", ("length",), kind=SIZE),
            Input("stack", "topics.input-stack"),
            Input("spring", "topics.input-spring", kind=WORD, choices=YES_NO),
            Input("time", "topics.input-time", ("duration",), default_unit="h"),
        ),
        ("pressure_kpa", "pressure_psi", "load_kg", "multiple_of_weight"),
        work_out_press,
    ),
    Topic(
        "mould",
        "topics.mould-is-for",
        (
            MILK,
            DENSITY,
            MOULD,
            SHAPE,
            Input("yield", "topics.input-yield", ("percent",), also=("yield_pct",)),
            length("mould_height", "topics.input-mould-mould-height"),
            Input("wheels", "topics.input-wheels"),
        ),
        ("height_mm", "fits"),
        work_out_mould,
    ),
    Topic(
        "salt",
        "topics.salt-is-for",
        (
            mass("curd", "topics.input-salt-curd"),
            Input("target", "topics.input-salt-target", ("percent",),
                tags=("% s/m", "s/m")),
            percent("moisture_pct", "topics.input-salt-moisture-pct"),
            percent("retention", "topics.input-retention"),
        ),
        ("salt_g", "kitchen"),
        work_out_salt,
    ),
)  # fmt: skip
