"""Topics of ageing: equal ages, salts that check a hygrometer, eyes and late blowing."""

from __future__ import annotations

import numpy as np

from journal.reckoning import composition, eyes, humidity_salts, ripening
from journal.records.tables import table
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import SEVERAL, WORD, Input, Topic, answer, percent, temperature
from journal.wording import text_of, worded

SALTS = (
    "magnesium chloride",
    "potassium carbonate",
    "sodium bromide",
    "sodium chloride",
    "potassium chloride",
    "potassium sulphate",
)
_DAY_MIN = 1440.0


def work_out_ripening_days(asked: Inputs) -> SumAnswer:
    """Degree-days over the rooms a cheese has been in, and the days that are equal elsewhere."""
    days, rooms = asked.numbers("days") / _DAY_MIN, asked.numbers("rooms")
    values: dict[str, object] = {
        "degree_days": ripening.degree_days(days, rooms),
        "equal_days": None,
    }
    temps = [*rooms.tolist()]
    if asked.has("to_temp"):
        to = asked.need("to_temp")
        temps.append(to)
        equal = ripening.equal_days(days, rooms, to)
        others = [
            ripening.equal_days_by_rate(days, rooms, to, rate)
            for rate in (ripening.RULE_TIMES_PER_10_C, ripening.TRIAL_TIMES_PER_10_C)
        ]
        ends = [equal, *others]
        values |= {"equal_days": equal, "ranges": {"equal_days": (min(ends), max(ends))}}
        asked.assume("topics.assumed-quicker-when-warm")
    asked.warn(ripening.ripening_warnings(temps))
    asked.assume("topics.assumed-still-at-zero")
    formula = "topics.ripening-days-formula"
    source = "topics.ripening-days-source"
    cautions = ("topics.ripening-days-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


def work_out_humidity_salts(asked: Inputs) -> SumAnswer:
    """The humidity over salts at a temperature; a hygrometer checked against one or two."""
    temp = asked.need("temp", "topics.needed-humidity-salts-temp")
    known = {salt: _rh(asked, salt, temp) for salt in SALTS}
    values: dict[str, object] = {
        "salts": [f"{salt} {rh:.1f} %" for salt, rh in known.items()],
        "rh_pct": None,
        "error_pct": None,
        "corrected_pct": None,
    }
    if asked.has("salt"):
        values["rh_pct"] = known[asked.word("salt", "")]
    elif asked.has("want_pct"):
        want = asked.need("want_pct")
        nearest = min(known, key=lambda salt: abs(known[salt] - want))
        values |= {"nearest": nearest, "rh_pct": known[nearest]}
    if asked.has("shown"):
        _check(asked, known, values)
    asked.assume("topics.assumed-closed-box", off_pct=humidity_salts.OFF_PCT)
    formula = "topics.humidity-salts-formula"
    source = "topics.humidity-salts-source"
    cautions = ("topics.humidity-salts-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


def salt_humidity_pct(salt: str, temp_c: float) -> float:
    """The humidity over a saturated salt, %, by the published table."""
    rows = table("humidity_salts")
    known = [i for i, name in enumerate(rows["salt"]) if name == salt]
    temps, pct = ([float(rows[name][i]) for i in known] for name in ("temp_c", "rh_pct"))
    return humidity_salts.salt_rh_pct(temp_c, temps, pct)


def _rh(asked: Inputs, salt: str, temp: float) -> float:
    rows = np.asarray([name == salt for name in asked.cells("humidity_salts", "salt")])
    temps, pct = (asked.column("humidity_salts", name)[rows] for name in ("temp_c", "rh_pct"))
    return humidity_salts.salt_rh_pct(temp, temps, pct)


def _check(asked: Inputs, known: dict[str, float], values: dict[str, object]) -> None:
    if not asked.has("salt"):
        raise TopicError("topics.salt-beside-shown")
    shown, true = [asked.need("shown")], [known[asked.word("salt", "")]]
    if asked.has("shown_2") or asked.has("salt_2"):
        if not asked.has("shown_2", "salt_2"):
            raise TopicError("topics.second-check-needs")
        shown.append(asked.need("shown_2"))
        true.append(known[asked.word("salt_2", "")])
    slope, offset = humidity_salts.hygrometer_line(shown, true)
    errors = [s - t for s, t in zip(shown, true, strict=True)]
    reading = asked.number("reading")
    values["error_pct"] = errors[0]
    if len(errors) == 2:
        values["error_2_pct"] = errors[1]
    if reading is not None:
        values["corrected_pct"] = humidity_salts.corrected_rh_pct(reading, slope, offset)
    asked.warn(humidity_salts.hygrometer_warnings(errors, reading, true))


def work_out_eyes(asked: Inputs) -> SumAnswer:
    """What speaks against eyes and for late blowing, and the gas of so much lactic acid."""
    ph, temp, salt = (asked.number(name) for name in ("ph", "temp", "salt_pct"))
    spores, lactic = asked.number("spores"), asked.number("lactic_pct")
    if (ph, temp, salt, spores, lactic) == (None,) * 5:
        raise TopicError("topics.eyes-needs")
    values: dict[str, object] = dict.fromkeys(("eyes", "late_blowing", "co2_l", "butyric_l"))
    if (ph, temp, salt) != (None, None, None):
        against = [text_of(one) for one in eyes.against_eyes(ph, temp, salt)]
        values["eyes"] = against or [worded("topics.nothing-against-eyes")]
        asked.assume("topics.assumed-propionic")
    late = [] if spores is None else [text_of(eyes.spores_verdict(spores))]
    in_water = None
    if salt is not None and asked.has("moisture_pct"):
        in_water = float(composition.salt_in_water_phase(salt, asked.need("moisture_pct")))
    late += [text_of(one) for one in eyes.for_late_blowing(temp, in_water)]
    values["late_blowing"] = late or None
    if lactic is not None:
        at = asked.or_assume("temp", 22.0, "topics.assumed-eyes-temp")
        values["co2_l"] = float(eyes.gas_l_per_kg(lactic, at, eyes.PROPIONIC_MOL))
        values["butyric_l"] = float(eyes.gas_l_per_kg(lactic, at, eyes.BUTYRIC_MOL))
        asked.assume("topics.assumed-all-fermented")
    formula = "topics.eyes-formula"
    source = "topics.eyes-source"
    cautions = ("topics.eyes-caution",)
    return answer(asked, values, formula, source, cautions=cautions)


TOPICS = (
    Topic(
        "ripening-days",
        "topics.ripening-days-is-for",
        (
            Input("days", "topics.input-days", ("duration",), kind=SEVERAL,
                default_unit="d"),
            Input("rooms", "topics.input-rooms", ("temperature",),
                kind=SEVERAL),
            temperature("to_temp", "topics.input-to-temp"),
        ),
        ("degree_days", "equal_days"),
        work_out_ripening_days,
    ),
    Topic(
        "humidity-salts",
        "topics.humidity-salts-is-for",
        (
            temperature("temp", "topics.input-humidity-salts-temp"),
            Input("salt", "topics.input-humidity-salts-salt", kind=WORD, choices=SALTS),
            Input("want_pct", "topics.input-humidity-salts-want-pct", ("humidity",)),
            Input("shown", "topics.input-shown", ("humidity",)),
            Input("salt_2", "topics.input-salt-2", kind=WORD, choices=SALTS),
            Input("shown_2", "topics.input-shown-2", ("humidity",)),
            Input("reading", "topics.input-reading", ("humidity",)),
        ),
        ("rh_pct", "error_pct", "corrected_pct", "salts"),
        work_out_humidity_salts,
        tables=("humidity_salts",),
    ),
    Topic(
        "eyes",
        "topics.eyes-is-for",
        (
            Input("ph", "topics.input-eyes-ph", ("ph",)),
            temperature("temp", "reckoning.temperature-of-room"),
            percent("salt_pct", "reckoning.salt-of-cheese"),
            percent("moisture_pct", "topics.input-eyes-moisture-pct"),
            Input("spores", "topics.input-spores"),
            percent("lactic_pct", "topics.input-lactic-pct"),
        ),
        ("eyes", "late_blowing", "co2_l", "butyric_l"),
        work_out_eyes,
    ),
)  # fmt: skip
