"""A make as one page to send to a fellow maker: a file that needs nothing else, no script.

Everything that was typed is escaped; its own policy forbids scripts and requests all the same.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from journal.curves.acid_targets import day_acid_targets
from journal.curves.course import Course, course_of
from journal.curves.day import allowed_range, last_reading_min, stage_times
from journal.curves.deviation import deviation
from journal.curves.figures import MakeFigures, figures
from journal.curves.reduce import reduce
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.own_files import own_file
from journal.records.traces import Floats
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.dates import clock, day_words
from journal.wording.doses import amount_words
from journal.wording.durations import from_start
from journal.wording.makes import (
    heading,
    note_lines,
    state_words,
    strayed_words,
    wheel_scores,
    wheel_weight,
)
from journal.wording.numbers import number, signed
from journal.wording.outcomes import outcome_lines
from journal.wording.shown import DEGREE_MINUTES, figure, rate, shown_value, unit_shown

_WIDE, _LEFT, _RIGHT = 960, 56, 16  # units of the drawing
_TEMP, _RIBBON, _ACID, _FOOT = (8, 250), (262, 284), (296, 450), 478
_COLUMNS, _GAP_MIN = 700, 45.0


class PagePhoto(NamedTuple):
    """A photo on the page: a JPEG with its size in px, and what is seen on it."""

    jpeg: bytes
    wide: int
    high: int
    words: str


def write_make_page(whole: WholeMake, path: str | Path, photos: Sequence[PagePhoto] = ()) -> Path:
    """Write the page of a make; raises OSError."""
    where = Path(path)
    where.write_text(make_page(whole, photos), encoding="utf-8", newline="\n")
    return where


def make_page(whole: WholeMake, photos: Sequence[PagePhoto] = ()) -> str:
    """The page of a make as HTML; the photos are in it."""
    course = course_of(whole)
    found = figures(whole, course)
    now = last_reading_min(whole) if whole.make.running else None
    code, name = whole.make.code, whole.make.name or whole.plan.name
    state, strayed = (
        state_words(whole.make, whole.verdict),
        strayed_words(whole, deviation(whole, "day", now)),
    )
    parts = [
        f"<h1>{_e(code)}</h1>",
        f'<p class="quiet">{_e(heading(whole))}</p>',
        *([f'<p class="bad">▲ {_e(state)}</p>'] if state else []),
        *(f'<p class="bad">{_e(line)}</p>' for line in outcome_lines(whole)),
        *([f'<p class="bad">{_e(whole.plan.caution)}</p>'] if whole.plan.caution else []),
        f"<p>{_e(strayed)}</p>",
        f'<div class="wide">{_drawing(whole, course, now, strayed)}</div>',
        f'<p class="quiet">{_said("exchange.page-legend", unit=unit_shown("°C"))}</p>',
        _photos(photos),
        _section("exchange.page-stages", _stages(whole, course, found)),
        _section("exchange.page-ingredients", _additions(whole)),
        _section("exchange.page-figures", _figures(found)),
        _section("exchange.page-wheels", _wheels(whole)),
        _notes(whole),
    ]
    body = "\n".join(part for part in parts if part)
    day = day_words(whole.make.started_ms, whole.make.zone)
    style = own_file("pages", "make.css").read_text(encoding="utf-8")
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'; img-src data:\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_e(code)}, {_e(name)}</title>\n<style>{style}</style></head>\n<body>\n{body}\n"
        f"<footer>{_said('exchange.page-foot', code=code, day=day)}</footer>\n</body></html>\n"
    )


def _e(text: object) -> str:
    return escape(str(text), quote=True)


def _said(which: str, **values: Any) -> str:
    return _e(worded(which, **values))


def _section(title: str, table: str) -> str:
    return f'<h2>{_said(title)}</h2><div class="wide">{table}</div>' if table else ""


def _table(
    titles: Sequence[str], rows: Iterable[Sequence[str]], right: int = 1, unit: str = ""
) -> str:
    """A table whose columns from `right` on are numbers; "" without rows."""
    lines = [
        "".join(f"<td{_right(index, right)}>{_e(cell)}</td>" for index, cell in enumerate(row))
        for row in rows
    ]
    if not lines:
        return ""
    head = "".join(
        f'<th scope="col"{_right(index, right)}>{_said(title, unit=unit)}</th>'
        for index, title in enumerate(titles)
    )
    return f"<table><tr>{head}</tr>{''.join(f'<tr>{line}</tr>' for line in lines)}</table>"


def _right(index: int, right: int) -> str:
    return ' class="n"' if index >= right else ""


def _stages(whole: WholeMake, course: Course, found: MakeFigures) -> str:
    gains = {stage.key: stage for stage in found.stages}
    unit = "" if found.acid_kind is None else READING_KINDS[found.acid_kind].unit
    rows = []
    for stage in course.stages:
        at_ms = whole.make.started_ms + round(stage.begin * MINUTE_MS)
        one = gains[stage.key]
        gain = "" if one.acid_gain is None else number(one.acid_gain, 2)
        rows.append([
            stage.label, clock(at_ms, whole.make.zone), number(stage.minutes - stage.delay, 0),
            number(stage.minutes, 0), signed(stage.delay, 0), number(one.culture_min, 0), gain,
        ])  # fmt: skip
    titles = ["exchange.head-stage", "exchange.head-began", "exchange.head-planned",
              "exchange.head-took", "exchange.head-longer", "exchange.head-culture-time",
              "exchange.head-acid-gained-in" if unit else "exchange.head-acid-gained"]  # fmt: skip
    return _table(titles, rows, unit=unit)


def _additions(whole: WholeMake) -> str:
    added = sorted(whole.additions, key=lambda one: one.at_ms)
    rows = [[one.name or one.kind, one.kind, amount_words(one.amount, one.unit),
             clock(one.at_ms, whole.make.zone)] for one in added]  # fmt: skip
    titles = [
        "exchange.head-what",
        "exchange.head-kind",
        "exchange.head-amount",
        "exchange.head-at",
    ]
    return _table(titles, rows, 2)


def _figures(found: MakeFigures) -> str:
    rows: list[list[str]] = []
    if found.degree_minutes is not None and found.minutes_read is not None:
        inside = found.minutes_inside or 0.0
        rows += [
            ["exchange.off-the-plan", figure(found.degree_minutes, DEGREE_MINUTES, 0).whole],
            ["exchange.inside-range",
             worded("exchange.minutes-read", inside=inside, read=found.minutes_read)],
        ]  # fmt: skip
    if found.steepest_c_per_min is not None:
        rows.append(["exchange.steepest-rise", rate(found.steepest_c_per_min)])
    if found.culture is not None:
        part = found.culture
        rows += [
            [which, f"{minutes:.0f} min"]
            for which, minutes in (
                ("exchange.culture-cold", part.cold), ("exchange.culture-slow", part.slow),
                ("exchange.culture-well", part.well),
                ("exchange.culture-warm", part.warm), ("exchange.culture-hot", part.hot),
            )
            if minutes >= 1
        ]  # fmt: skip
    titles = ["exchange.head-figure", "exchange.head-value"]
    return _table(titles, [(worded(which), value) for which, value in rows])


def _wheels(whole: WholeMake) -> str:
    rows = [[wheel.code, wheel_weight(whole, wheel), wheel_scores(whole, wheel)]
            for wheel in whole.wheels]  # fmt: skip
    titles = ["exchange.head-wheel", "exchange.head-weight", "exchange.head-score"]
    return _table(titles, rows)


def _photos(photos: Sequence[PagePhoto]) -> str:
    """The photos beside each other, each with what is seen on it."""
    figures = [
        f'<figure><img alt="{_e(one.words)}" width="{one.wide}" height="{one.high}" '
        f'src="data:image/jpeg;base64,{b64encode(one.jpeg).decode("ascii")}">'
        f"<figcaption>{_e(one.words)}</figcaption></figure>"
        for one in photos
    ]
    head = _said("exchange.page-photos")
    return f'<h2>{head}</h2><div class="photos">{"".join(figures)}</div>' if figures else ""


def _notes(whole: WholeMake) -> str:
    lines = "".join(f"<p>{_e(line)}</p>" for line in note_lines(whole))
    return f"<h2>{_said('exchange.page-notes')}</h2>{lines}" if lines else ""


class _Scale:
    """Where values of a panel stand in the drawing."""

    def __init__(self, ends: tuple[float, float], top: float, bottom: float, last: float) -> None:
        self.low, self.high = ends
        self.top, self.bottom, self.last = top, bottom, last

    def x(self, minutes: Floats) -> Floats:
        return _LEFT + np.asarray(minutes, float) / self.last * (_WIDE - _LEFT - _RIGHT)

    def y(self, value: Floats) -> Floats:
        share = (np.asarray(value, float) - self.low) / (self.high - self.low)
        return self.bottom - share * (self.bottom - self.top)

    def path(self, minutes: Floats, value: Floats, look: str) -> str:
        """A line through points; NaN breaks it."""
        words, pen = [], "M"
        for x, y in zip(self.x(minutes), self.y(value), strict=True):
            if np.isfinite(x) and np.isfinite(y):
                words.append(f"{pen}{x:.1f} {y:.1f}")
                pen = "L"
            else:
                pen = "M"
        return f'<path class="{look}" d="{"".join(words)}"/>' if words else ""

    def rules(self, step: float, digits: int) -> str:
        """Hairlines with their values at the left."""
        first, last = int(np.ceil(self.low / step)), int(np.floor(self.high / step))
        out = []
        for index in range(first, last + 1):
            y = float(self.y(np.array(index * step)))
            out.append(
                f'<path class="rule" d="M{_LEFT} {y:.1f}H{_WIDE - _RIGHT}"/>'
                f'<text x="{_LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">'
                f"{index * step:.{digits}f}</text>"
            )
        return "".join(out)


def _drawing(whole: WholeMake, course: Course, now: float | None, sentence: str) -> str:
    """The day as a drawing: temperature, stages, acidity."""
    last = max(course.shown_min, 30.0)
    lines = allowed_range(whole, "day", now)
    seen = lines.minutes <= last
    milk = reduce(course.temp.minutes, course.temp.value, _COLUMNS, gap=_GAP_MIN)
    there = milk.at <= last
    low, mid, high = (_warmth(line[seen]) for line in (lines.low, lines.mid, lines.high))
    read = _warmth(milk.value[there])
    temp = _Scale(_ends([low, high, read], 2.0), *_TEMP, last)
    parts = [
        temp.rules(10.0 if temp.high - temp.low > 25 else 5.0, 0),
        f'<text x="{_LEFT - 8}" y="{_TEMP[0] + 8}" text-anchor="end">{unit_shown("°C")}</text>',
        *(temp.path(lines.minutes[seen], edge, "edge") for edge in (low, high)),
        temp.path(lines.minutes[seen], mid, "plan"),
        temp.path(milk.at[there], read, "temp"),
        _bars(course, temp),
        _acid(whole, course, last),
        _hours(temp),
    ]
    return (
        f'<svg viewBox="0 0 {_WIDE} {_FOOT}" role="img" xmlns="http://www.w3.org/2000/svg">'
        f"<title>{_said('exchange.page-drawing', code=whole.make.code)}</title>"
        f"<desc>{_e(sentence)}</desc>{''.join(parts)}</svg>"
    )


def _warmth(celsius: Floats) -> Floats:
    """Temperatures in the unit they are shown in."""
    zero, one = (shown_value(value, "temperature") for value in (0.0, 1.0))
    return zero + (one - zero) * celsius


def _ends(parts: Sequence[Floats], room: float) -> tuple[float, float]:
    every = np.concatenate([np.empty(0), *parts])
    every = every[np.isfinite(every)]
    if not len(every):
        return 0.0, 40.0
    return float(every.min()) - room, float(every.max()) + room


def _bars(course: Course, scale: _Scale) -> str:
    """The stages side by side, named where there is room."""
    top, bottom = _RIBBON
    out = []
    for stage in course.stages:
        first, last = (float(x) for x in scale.x(np.array([stage.begin, stage.end])))
        last = min(last, _WIDE - _RIGHT)
        if last - first < 1:
            continue
        out.append(
            f'<rect class="bar" x="{first + 0.5:.1f}" y="{top}" width="{last - first - 1:.1f}" '
            f'height="{bottom - top}" rx="3"><title>{_e(stage.label)}, '
            f"{stage.minutes:.0f} min</title></rect>"
        )
        if 7.2 * len(stage.label) + 6 < last - first:
            out.append(
                f'<text class="on" x="{(first + last) / 2:.1f}" y="{bottom - 7}" '
                f'text-anchor="middle">{_e(stage.label)}</text>'
            )
    return "".join(out)


def _acid(whole: WholeMake, course: Course, last: float) -> str:
    """The acidity that was read, with its targets where they are of its kind."""
    acid = course.acid
    there = acid.minutes <= last
    if not there.any():
        none = _said("exchange.page-no-acidity")
        return f'<text x="{_LEFT}" y="{_ACID[0] + 60}">{none}</text>'
    begins, end = stage_times(whole)
    ph = acid.kind.endswith("-ph")
    targets = [
        one for one in day_acid_targets(whole.plan, begins, [*begins[1:], end])
        if one.acid_target.kind.endswith("-ph") == ph and one.from_min < last
    ]  # fmt: skip
    bounds = [np.array([t.acid_target.low, t.acid_target.high]) for t in targets]
    scale = _Scale(_ends([acid.value[there], *bounds], 0.1 if ph else 0.02), *_ACID, last)
    out = [scale.rules(0.5 if ph else 0.1, 1)]
    out.append(f'<text x="{_LEFT - 8}" y="{_ACID[0] + 2}" text-anchor="end">'
               f"{_e(READING_KINDS[acid.kind].unit)}</text>")  # fmt: skip
    for one in targets:
        x = scale.x(np.array([one.from_min, min(one.to_min, last)]))
        y = scale.y(np.array([one.acid_target.high, one.acid_target.low]))
        out.append(
            f'<rect class="target" x="{x[0]:.1f}" y="{y[0]:.1f}" width="{x[1] - x[0]:.1f}" '
            f'height="{y[1] - y[0]:.1f}"><title>{_e(one.label)}</title></rect>'
        )
    drawn = reduce(acid.minutes[there], acid.value[there], _COLUMNS, gap=acid.gap_min)
    out.append(scale.path(drawn.at, drawn.value, "acid"))
    if there.sum() <= 60:
        spots = zip(scale.x(acid.minutes[there]), scale.y(acid.value[there]), strict=True)
        out += [f'<circle class="dot" cx="{x:.1f}" cy="{y:.1f}" r="3.5"/>' for x, y in spots]
    return "".join(out)


def _hours(scale: _Scale) -> str:
    step = next(s for s in (30, 60, 120, 240, 480, 10**6) if scale.last / s <= 12)
    minutes = np.arange(0, scale.last + 1, step)
    return "".join(
        f'<text x="{x:.1f}" y="{_FOOT - 8}" text-anchor="middle">{from_start(m)}</text>'
        for m, x in zip(minutes, scale.x(minutes), strict=True)
    )
