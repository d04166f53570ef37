"""What a topic draws: its answer along one of its keys, or the published limits it goes by."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from journal.background import State
from journal.message import Message
from journal.quantities.units import quantity_named
from journal.reckoning import ReckoningError
from journal.reckoning.pasteurise import THERMOMETER_C
from journal.topics import TopicError
from journal.topics.answer import unit_of
from journal.topics.asked import Grid, Inputs, InputValue
from journal.topics.heat import PRODUCTS, read_pairs
from journal.topics.limits import read_ranges, work_out_growth_limits
from journal.topics.topic import DrawnCurve, Input, SumLine, SumPicture, Topic
from journal.topics.written import four_figures, title_of
from journal.wording import worded

_POINTS = 25
_WEEK, _HOUR = 7 * 1440.0, 60.0

# °C, mm, kg, minutes and % as they are kept.
DRAWN: dict[str, DrawnCurve] = {
    "air": DrawnCurve("wet", "rh_pct", 2.0, 25.0),
    "brine": DrawnCurve("temp", "density_kg_m3", 0.0, 25.0),
    "brining-time": DrawnCurve("target", "brining_h", 0.4, 3.6),
    "composition": DrawnCurve("moisture_pct", "mnfs_pct", 25.0, 70.0),
    "cost": DrawnCurve("milk_price", "cost_per_kg", 0.2, 3.0),
    "density": DrawnCurve("temp", "density_kg_per_l", 2.0, 40.0),
    "humidity-salts": DrawnCurve("temp", "rh_pct", 5.0, 25.0),
    "loss": DrawnCurve("weeks", "loss_pct", _WEEK, 26 * _WEEK),
    "mould": DrawnCurve("milk", "height_mm", 2.0, 40.0),
    "press": DrawnCurve("load", "pressure_kpa", 1.0, 120.0),
    "ripening-days": DrawnCurve("to_temp", "equal_days", 4.0, 16.0),
    "set": DrawnCurve("flocculation", "cut_min", 6.0, 25.0),
    "spring": DrawnCurve("squeeze", "load_kg", 1.0, 60.0),
    "standardise": DrawnCurve("want_pct", "add_kg", 0.5, 12.0),
    "water-activity": DrawnCurve("salt_pct", "aw", 0.5, 8.0),
    "yield": DrawnCurve("fat_pct", "yield_pct", 2.5, 7.0),
}


def picture_of(
    topic: Topic, given: Mapping[str, InputValue], tables: Mapping[str, Grid], state: State
) -> SumPicture | None:
    """The picture beside an answer; None where none would say more, or once `state` is stopped."""
    if topic.picture is not None:
        try:
            return topic.picture(Inputs(topic.name, given, tables))
        except (TopicError, ReckoningError):
            return None
    key = topic.drawn and next(key for key in topic.keys if key.name == topic.drawn.x)
    if key is None or topic.drawn is None or key.name not in given:
        return None
    now = given[key.name]
    if not isinstance(now.kept, float) or now.tag:
        return None
    return _curve(topic, topic.drawn, key, now, given, tables, state)


def _curve(
    topic: Topic, drawn: DrawnCurve, key: Input, now: InputValue,
    given: Mapping[str, InputValue], tables: Mapping[str, Grid], state: State,
) -> SumPicture | None:  # fmt: skip
    kept = float(now.kept)  # type: ignore[arg-type] # the caller looked
    low, high = min(drawn.low, 0.8 * kept), max(drawn.high, 1.2 * kept)
    xs = np.unique(np.append(np.linspace(low, high, _POINTS), kept))
    found = []
    for x in xs:
        if state.stopped():
            return None
        found.append(_at(topic, drawn.y, replace(now, kept=float(x)), given, tables))
    y, least, most = (np.array(column) for column in zip(*found, strict=True))
    here = float(y[np.searchsorted(xs, kept)])
    if not np.isfinite(here) or np.isfinite(y).sum() < 3:
        return None
    scale, unit = _shown_in(key, now)
    lines = [SumLine(_floats(xs * scale), _floats(y))]
    if np.nanmax(most - least, initial=0.0) > 0:
        lines.append(
            SumLine(
                _floats(xs * scale), _floats(least), worded("topics.picture-range"), _floats(most)
            )
        )
    x_title = ", ".join(part for part in (title_of(key.name), unit) if part)
    y_unit = unit_of(drawn.y) or ""
    y_title = ", ".join(part for part in (title_of(drawn.y), y_unit) if part)
    mark = f"{four_figures(here)} {y_unit}".rstrip()
    at = four_figures(kept * scale)
    says = worded("topics.picture-says", y=y_title, x=x_title, mark=mark, at=at)
    return SumPicture(
        x_title, y_title, says, tuple(lines), ((kept * scale, here, mark),), log=drawn.log
    )


def _at(
    topic: Topic, answer: str, x: InputValue,
    given: Mapping[str, InputValue], tables: Mapping[str, Grid],
) -> tuple[float, float, float]:  # fmt: skip
    """The answer and its range with another value of the key; NaN where there is none."""
    name = topic.drawn.x if topic.drawn is not None else ""
    try:
        values = topic.work_out(Inputs(topic.name, {**given, name: x}, tables)).values
    except (TopicError, ReckoningError):
        return (np.nan,) * 3
    value, span = values.get(answer), (values.get("ranges") or {}).get(answer)
    low, high = span or (np.nan, np.nan)
    return (float(value) if isinstance(value, int | float) else np.nan, low, high)


def _shown_in(key: Input, now: InputValue) -> tuple[float, str]:
    """What a kept value is multiplied by to be shown, and the unit's name."""
    if now.quantity == "duration":
        return {"h": (1 / 60, "h")}.get(key.default_unit or "", _minutes(key))
    units = quantity_named(now.quantity)
    return 1.0, next(one.label for one in units.units if one.key == units.stored)


def _minutes(key: Input) -> tuple[float, str]:
    return (1 / _WEEK, worded("topics.title-weeks")) if key.name == "weeks" else (1.0, "min")


def _floats(values: np.ndarray) -> tuple[float, ...]:
    return tuple(float(one) for one in values)


def _pairs(asked: Inputs) -> SumPicture | None:
    """The published pairs as steps: a temperature and how long it must be held."""
    product = asked.word("product", PRODUCTS[0])
    known = (pair for pair in read_pairs(asked, product) if pair.hold_s >= 1)
    pairs = sorted(known, key=lambda pair: pair.temp_c)
    temps = [pair.temp_c for pair in pairs]
    least = [min(one.hold_s for one in pairs if one.temp_c <= temp) / 60 for temp in temps]
    at, hold = asked.number("temp"), asked.number("minutes")
    if at is not None:
        error = asked.number("error")
        at -= THERMOMETER_C if error is None else error
    x = np.repeat([*temps, max(temps) + 4], 2)[1:-1]
    marks = (
        ()
        if at is None or hold is None or hold <= 0
        else ((at, hold, worded("topics.picture-held")),)
    )
    held = [
        Message("topics.picture-pair", temp=temp, minutes=four_figures(minute))
        for temp, minute in zip(temps, least, strict=True)
    ]
    says = worded("topics.picture-pairs", product=product, pairs=held)
    line = SumLine(_floats(x), _floats(np.repeat(least, 2)), worded("topics.picture-least"))
    return SumPicture(
        worded("topics.picture-coldest"), worded("topics.picture-held-min"), says, (line,), marks,
        at=None if marks else at, least_x=min([*temps, at or 100.0]) - 3, log=True,
    )  # fmt: skip


def _growth(asked: Inputs) -> SumPicture | None:
    """Each germ's range of pH; of temperature where only that is known."""
    by_ph = asked.has("ph") or not asked.has("temp")
    values = work_out_growth_limits(asked).values if asked.given else {}
    may = [str(line).split(":", maxsplit=1)[0] for line in values.get("may_grow", ())]
    bars = []
    for one in read_ranges(asked):
        low, high = (one.low_ph, one.high_ph) if by_ph else (one.low_c, one.high_c)
        name = f"{one.germ} ({one.does})"
        if np.isfinite(low) and np.isfinite(high):
            bars.append((name, low, high, name in may))
    title = "pH" if by_ph else worded("topics.picture-temperature")
    at = asked.number("ph" if by_ph else "temp")
    spans = [
        Message("topics.picture-germ", germ=name, low=four_figures(low), high=four_figures(high))
        for name, low, high, _ in bars
    ]
    says = worded("topics.picture-germs", title=title, germs=spans)
    return SumPicture(title, "", says, bars=tuple(bars), at=at)


def _acid(asked: Inputs) -> SumPicture | None:
    """The limit due at each hour, for the kind of reading that is given, and the reading."""
    family, kind = asked.word("family", ""), "acidity" if asked.has("acidity") else "ph"
    table = {"ph": "curd-ph", "acidity": "whey-acidity"}
    names = ("family", "hours", "kind", "good", "slow")
    rows = sorted(
        (float(hours), float(good), float(slow))
        for of, hours, which, good, slow in zip(
            *(asked.cells("acid_limits", name) for name in names), strict=True
        )
        if of == family and which == table[kind]
    )
    value, hours = asked.number(kind), asked.number("hours")
    if not rows or value is None or hours is None:
        return None
    last = max(rows[-1][0], hours / _HOUR) * 1.25
    at = np.repeat([*(row[0] for row in rows), last], 2)[1:-1]
    lines = tuple(
        SumLine(_floats(at), _floats(np.repeat([row[i] for row in rows], 2)), worded(name))
        for i, name in ((1, "reckoning.electrode-good"), (2, "topics.picture-slow"))
        if i == 1 or any(row[1] != row[2] for row in rows)
    )
    title = worded("topics.picture-curd" if kind == "ph" else "topics.picture-whey")
    mark, hour = four_figures(value), four_figures(hours / _HOUR)
    says = worded("topics.picture-beside-limits", title=title, mark=mark, hours=hour)
    return SumPicture(
        worded("topics.picture-hours"),
        title,
        says,
        lines,
        ((hours / _HOUR, value, mark),),
        least_x=0.0,
    )


def _ramp(asked: Inputs) -> SumPicture | None:
    """The schedule of a ramp."""
    from journal.topics.vat import work_out_ramp

    schedule = work_out_ramp(asked).values["schedule"]
    points = [(line["minute"], line["temp_c"]) for line in schedule]
    x, y = zip(*points, strict=True)
    low, high, minutes = (four_figures(one) for one in (y[0], y[-1], x[-1]))
    says = worded("topics.picture-ramp", low=low, high=high, minutes=minutes)
    titles = worded("topics.picture-minutes"), worded("topics.picture-temperature")
    return SumPicture(*titles, says, (SumLine(x, y),))


PICTURES: dict[str, Callable[[Inputs], SumPicture | None]] = {
    "pasteurise": _pairs,
    "growth-limits": _growth,
    "acid-limits": _acid,
    "ramp": _ramp,
}
