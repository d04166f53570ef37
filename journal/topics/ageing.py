"""Topics of ageing: equal ages, salts that check a hygrometer, eyes and late blowing."""

from __future__ import annotations

import numpy as np

from journal.reckoning import composition, eyes, humidity_salts, ripening
from journal.records.tables import table
from journal.topics import TopicError
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.topics.topic import SEVERAL, WORD, Input, Topic, answer, percent, temperature
from journal.wording import text_of

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
        asked.assume("ranges: 10 °C more ripens 2 times (a rule of thumb) to 4.3 times as fast")
    asked.warn(ripening.ripening_warnings(temps))
    asked.assume("ripening stands still at 0 °C and goes with the °C above it (common practice)")
    formula = "degree-days = Σ °C × days; equal days = degree-days / °C of the other room"
    source = (
        "Thom & Fisk 1918, par. 241: soluble nitrogen in proportion to the temperature; J. Food "
        "Sci. 85, 268 (2020): 8 months at 10 °C liked as 12 at 7.2 (abstract)"
    )
    cautions = (
        "For hard cheese of one kind; mould and washed rinds ripen otherwise. Warmth changes "
        "flavour and texture, not the pace alone. Ages that a law asks for, as 60 days, are plain "
        "days and no proof of safety; local codes decide.",
    )
    return answer(asked, values, formula, source, cautions=cautions)


def work_out_humidity_salts(asked: Inputs) -> SumAnswer:
    """The humidity over salts at a temperature; a hygrometer checked against one or two."""
    temp = asked.need("temp", "of the box, the same for hours")
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
    asked.assume(
        f"a closed box at one temperature, good to about {humidity_salts.OFF_PCT:g} points"
    )
    formula = (
        "published humidity over the saturated salt, in straight lines between 5, 10, 15, 20 and "
        "25 °C; true = shown + error of one salt, or the line through two"
    )
    source = (
        "Greenspan, J. Res. Natl. Bur. Stand. 81A (1977), restated; within 2 points of the CRC "
        "Handbook's fit"
    )
    cautions = (
        "Wet the salt to a slush with grains left, not to a clear brine; wait until the reading "
        "stands (a day: common practice). Keep every salt but table salt away from food.",
    )
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
        raise TopicError("“humidity-salts” needs salt beside shown.")
    shown, true = [asked.need("shown")], [known[asked.word("salt", "")]]
    if asked.has("shown_2") or asked.has("salt_2"):
        if not asked.has("shown_2", "salt_2"):
            raise TopicError("A second check needs both salt_2 and shown_2.")
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
        raise TopicError("“eyes” needs at least one of ph, temp, salt_pct, spores and lactic_pct.")
    values: dict[str, object] = dict.fromkeys(("eyes", "late_blowing", "co2_l", "butyric_l"))
    if (ph, temp, salt) != (None, None, None):
        against = [text_of(one) for one in eyes.against_eyes(ph, temp, salt)]
        values["eyes"] = against or ["nothing given speaks against eyes"]
        asked.assume("milk with a propionic culture; a swiss kind in its warm room")
    late = [] if spores is None else [text_of(eyes.spores_verdict(spores))]
    in_water = None
    if salt is not None and asked.has("moisture_pct"):
        in_water = float(composition.salt_in_water_phase(salt, asked.need("moisture_pct")))
    late += [text_of(one) for one in eyes.for_late_blowing(temp, in_water)]
    values["late_blowing"] = late or None
    if lactic is not None:
        at = asked.or_assume("temp", 22.0, "gas at 22 °C")
        values["co2_l"] = float(eyes.gas_l_per_kg(lactic, at, eyes.PROPIONIC_MOL))
        values["butyric_l"] = float(eyes.gas_l_per_kg(lactic, at, eyes.BUTYRIC_MOL))
        asked.assume("all of that lactic acid is fermented, for a kg of cheese at 101.325 kPa")
    formula = (
        "3 lactic → 2 propionic + acetic + CO₂; 2 lactic → butyric + 2 CO₂ + 2 H₂; litres = mol × "
        "R T / p; lactic acid 90.08 g/mol"
    )
    source = (
        "swiss kinds: a textbook of fermented foods (restated), Thom & Fisk 1918; spores: Foods "
        "12, 1880 (2023); room and salt: Int. J. Food Microbiol. 54, 147 (2000) (abstracts)"
    )
    cautions = (
        "A cheese that swells early, or smells foul, is thrown away: gas-forming germs of dirt are "
        "no fault of eyes. Nitrate and lysozyme against spores are for local law to allow (EU: "
        "at most 150 mg of nitrate in a kg of cheese milk, Regulation 1129/2011).",
    )
    return answer(asked, values, formula, source, cautions=cautions)


TOPICS = (
    Topic(
        "ripening-days",
        "ages made equal: degree-days, and the days that count as much in another room",
        (
            Input("days", "how long in each room, like 14 d, 60 d", ("duration",), kind=SEVERAL,
                default_unit="d"),
            Input("rooms", "temperature of each room, like 12, 8 °C", ("temperature",),
                kind=SEVERAL),
            temperature("to_temp", "the room to compare with"),
        ),
        ("degree_days", "equal_days"),
        work_out_ripening_days,
    ),
    Topic(
        "humidity-salts",
        "the humidity over wet salts, and a hygrometer checked against them",
        (
            temperature("temp", "of the box"),
            Input("salt", "the salt in it", kind=WORD, choices=SALTS),
            Input("want_pct", "a humidity wanted, for the nearest salt", ("humidity",)),
            Input("shown", "what the hygrometer shows over the salt", ("humidity",)),
            Input("salt_2", "a second salt", kind=WORD, choices=SALTS),
            Input("shown_2", "what it shows over that", ("humidity",)),
            Input("reading", "a reading in the room, to be corrected", ("humidity",)),
        ),
        ("rh_pct", "error_pct", "corrected_pct", "salts"),
        work_out_humidity_salts,
        tables=("humidity_salts",),
    ),
    Topic(
        "eyes",
        "what speaks against eyes and for late blowing, and how much gas there is",
        (
            Input("ph", "pH of the cheese after a day", ("ph",)),
            temperature("temp", "temperature of the room"),
            percent("salt_pct", "salt of the cheese"),
            percent("moisture_pct", "its moisture, for the salt of its water"),
            Input("spores", "butyric spores in a litre of the milk"),
            percent("lactic_pct", "lactic acid that is fermented, % of the cheese"),
        ),
        ("eyes", "late_blowing", "co2_l", "butyric_l"),
        work_out_eyes,
    ),
)  # fmt: skip
