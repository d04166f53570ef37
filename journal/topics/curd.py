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
_CAUTION = (
    "Published factory pressures (14 to 28 psi) are about ten times what the old rule of 10 to 20 "
    "times the cheese's own weight gives: check which a plan means, and for what size of wheel. "
    "Press in steps; full pressure from the start forces out fat. Keep clear of loaded levers and "
    "weights."
)


def area_cm2(asked: Inputs, name: str = "mould") -> float:
    """Area of a mould given by one width (round, or square if said so) or by two (oblong)."""
    sizes = asked.numbers(name)
    if sizes.size == 2:
        return float(press.rectangle_area_cm2(float(sizes[0]), float(sizes[1])))
    if sizes.size != 1:
        raise TopicError(f"Give {name} as one width or as width x length, like 150 x 200 mm.")
    width = float(sizes[0])
    if asked.word("shape", "round") == "square":
        return float(press.rectangle_area_cm2(width, width))
    if not asked.has("shape"):
        words = "the mould is round"
        if words not in asked.assumed:
            asked.assume(words)
    return float(press.round_area_cm2(width))


def work_out_press(asked: Inputs) -> SumAnswer:
    """Load and pressure on a mould, and what follows from them."""
    if asked.has("load") == asked.has("pressure"):
        raise TopicError("“press” needs either load or pressure, not both.")
    area = area_cm2(asked)
    advantage = asked.or_assume("advantage", 1.0, "the load is on the cheese, without a lever")
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
    formula = (
        "kPa = load × advantage × 9.80665 / area; another mould at the same pressure takes load × "
        "other area / area; a spring: load × (0.5 + 0.5 e^(−h/12)), assumed"
    )
    source = (
        "exact; 14 and 28 psi: University of Guelph (gouda); 10 to 20 times its weight: Thom & "
        "Fisk 1918"
    )
    return answer(asked, values, formula, source, cautions=(_CAUTION,))


def _multiple(asked: Inputs, on_cheese: float, values: dict[str, object]) -> float | None:
    wheel = asked.number("wheel_weight")
    count = asked.number("stack")
    if wheel is not None:
        values["multiple_of_weight"] = press.multiple_of_weight(on_cheese, wheel)
    if count is not None:
        if count != int(count):
            raise TopicError("The number of moulds in a stack must be whole.")
        if wheel is None:
            asked.assume("the wheels of the stack count as weightless; give wheel_weight")
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
    hours = asked.or_assume("time", 360.0, "the load of the spring is after 6 h") / 60
    values["tighten_after_h"] = press.tighten_after_h()
    values["spring_load_kg"] = press.spring_load_kg(load, hours)
    asked.assume(
        "a spring keeps half its load in the end and loses the rest with a time of 12 h; tighten "
        "at four fifths (common practice: about every 6 h)"
    )


def work_out_mould(asked: Inputs) -> SumAnswer:
    """How high the wheel will be and whether the curd fits."""
    pct = asked.or_assume("yield", 10.0, "10 kg of cheese from 100 kg of milk (rule of thumb)")
    count = asked.number("wheels") or 1.0
    if count != int(count) or count < 1:
        raise TopicError("The number of wheels must be whole, like 2.")
    area = area_cm2(asked)
    wheel = float(mould.wheel_kg(asked.kg(), pct)) / count
    height = float(mould.wheel_height_mm(wheel, area))
    asked.assume("pressed cheese weighs 1.08 kg/L (from memory)")
    width = float(min(asked.numbers("mould")))
    tall = asked.or_assume("mould_height", width, "the mould is as high as it is wide")
    asked.assume(
        "loose curd is one and a half times as high as the pressed wheel (common practice)"
    )
    asked.warn(mould.mould_warnings(height, width))
    values: dict[str, object] = {
        "height_mm": height,
        "fits": mould.fits(height, tall),
        "wheel_kg": wheel,
        "loose_height_mm": mould.loose_height_mm(height),
    }
    formula = "height = milk × yield / density of cheese / area; it fits when the loose curd does"
    source = "exact geometry; hoops and weights: Thom & Fisk 1918, table XIII"
    return answer(asked, values, formula, source)


def work_out_salt(asked: Inputs) -> SumAnswer:
    """Dry salt for a target."""
    curd = asked.need("curd")
    kept = asked.or_assume(
        "retention", 100.0, "all of it stays: the target is taken as the salt to add"
    )
    target = asked.need("target", "in % of the curd, or as 5 S/M")
    if asked.given["target"].tag == "s/m":
        moisture = asked.need("moisture_pct", "of the pressed curd for a target in S/M")
        g = float(salt.salt_for_s_m_g(curd, target, moisture, kept))
        asked.assume("the moisture is what the curd holds after pressing")
    else:
        g = float(salt.salt_for_curd_g(curd, target, kept))
    added = g / (10 * curd)
    asked.warn(salt.salt_warnings(added, kept))
    values: dict[str, object] = {"salt_g": g, "added_pct": added, "kept_g": g * kept / 100}
    if asked.has("moisture_pct"):
        moisture, stays = asked.need("moisture_pct"), added * kept / 100
        values["s_m_pct"] = composition.salt_in_moisture(stays, moisture)
        asked.warn(composition.water_phase_warnings(stays, moisture))
    asked.assume(f"fine salt weighs {salt.SALT_G_PER_ML:g} g/ml in a spoon (common practice)")
    formula = "salt = curd × target / retention, or S/M × water of the curd / retention"
    source = "exact; usual targets: Thom & Fisk 1918, University of Guelph"
    return answer(asked, values, formula, source, kitchen_ml=g / salt.SALT_G_PER_ML)


SHAPE = Input("shape", "shape of a mould given by one width", kind=WORD, choices=SHAPES)
MOULD = Input("mould", "width, or width x length", ("length",), kind=SIZE)
TOPICS = (
    Topic(
        "press",
        "load and pressure on a mould",
        (
            mass("load", "weight on the lever or on the cheese"),
            Input("pressure", "pressure wanted", ("pressure",)),
            MOULD,
            SHAPE,
            Input("advantage", "how many times the lever multiplies the load", tags=("x", "×")),
            mass("wheel_weight", "the wheel, for the multiple of its own weight"),
            Input("to_mould", "another mould, for the same pressure", ("length",), kind=SIZE),
            Input("stack", "number of moulds on top of each other"),
            Input("spring", "whether a spring presses", kind=WORD, choices=YES_NO),
            Input("time", "since the spring was tightened", ("duration",), default_unit="h"),
        ),
        ("pressure_kpa", "pressure_psi", "load_kg", "multiple_of_weight"),
        work_out_press,
    ),
    Topic(
        "mould",
        "how high a wheel will be, and whether the curd fits",
        (
            MILK,
            DENSITY,
            MOULD,
            SHAPE,
            Input("yield", "kg of cheese from 100 kg of milk", ("percent",), also=("yield_pct",)),
            length("mould_height", "inner height of the mould"),
            Input("wheels", "how many wheels"),
        ),
        ("height_mm", "fits"),
        work_out_mould,
    ),
    Topic(
        "salt",
        "dry salt for a target",
        (
            mass("curd", "the curd to be salted"),
            Input("target", "% of the curd, or salt in moisture as 5 S/M", ("percent",),
                tags=("% s/m", "s/m")),
            percent("moisture_pct", "moisture of the pressed curd"),
            percent("retention", "how much of the salt stays"),
        ),
        ("salt_g", "kitchen"),
        work_out_salt,
    ),
)  # fmt: skip
