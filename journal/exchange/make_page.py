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

from journal.curves.course import Course, course_of
from journal.curves.day import last_reading_min
from journal.curves.day_scene import is_ph, make_scene, readings_of, stage_name
from journal.curves.deviation import deviation
from journal.curves.figures import MakeFigures, figures
from journal.exchange.svg_plot import LEFT, WIDE, SvgPlot
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.own_files import own_file
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.dates import clock, day_words
from journal.wording.day_panels import draw_acid, draw_warmth
from journal.wording.doses import amount_words
from journal.wording.durations import from_start
from journal.wording.makes import (
    make_heading,
    make_state_words,
    note_lines,
    strayed_words,
    wheel_scores,
    wheel_weight,
)
from journal.wording.numbers import number, signed
from journal.wording.outcomes import outcome_lines
from journal.wording.shown import DEGREE_MINUTES, figure, rate, unit_shown
from journal.wording.style import style_in_use

_TEMP, _RIBBON, _ACID, _FOOT = (8, 250), (262, 284), (296, 450), 478  # heights in the drawing


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
        make_state_words(whole.make, whole.verdict),
        strayed_words(whole, deviation(whole, "day", now)),
    )
    parts = [
        f"<h1>{_e(code)}</h1>",
        f'<p class="quiet">{_e(make_heading(whole))}</p>',
        *([f'<p class="bad">▲ {_e(state)}</p>'] if state else []),
        *(f'<p class="bad">{_e(line)}</p>' for line in outcome_lines(whole)),
        *([f'<p class="bad">{_e(whole.plan.caution)}</p>'] if whole.plan.caution else []),
        f"<p>{_e(strayed)}</p>",
        f'<div class="wide">{_drawing(whole, course, now, strayed)}</div>',
        f'<p class="quiet">{_text("exchange.page-legend", unit=unit_shown("°C"))}</p>',
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
        f'<!DOCTYPE html>\n<html lang="{_e(style_in_use().language)}"><head>'
        '<meta charset="utf-8">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'; img-src data:\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_e(code)}, {_e(name)}</title>\n<style>{style}</style></head>\n<body>\n{body}\n"
        f"<footer>{_text('exchange.page-foot', code=code, day=day)}</footer>\n</body></html>\n"
    )


def _e(text: object) -> str:
    return escape(str(text), quote=True)


def _text(which: str, **values: Any) -> str:
    return _e(worded(which, **values))


def _section(title: str, table: str) -> str:
    return f'<h2>{_text(title)}</h2><div class="wide">{table}</div>' if table else ""


def _table(
    titles: Sequence[str], rows: Iterable[Sequence[str]], right: int = 1, unit: str = ""
) -> str:
    """A table whose columns from `right` on are numbers; "" without rows."""
    lines = [
        "".join(f"<td{_right(place, right)}>{_e(cell)}</td>" for place, cell in enumerate(row))
        for row in rows
    ]
    if not lines:
        return ""
    head = "".join(
        f'<th scope="col"{_right(place, right)}>{_text(title, unit=unit)}</th>'
        for place, title in enumerate(titles)
    )
    return f"<table><tr>{head}</tr>{''.join(f'<tr>{line}</tr>' for line in lines)}</table>"


def _right(place: int, right: int) -> str:
    return ' class="n"' if place >= right else ""


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
    titles = ["wording.title-stage", "exchange.head-began", "exchange.head-planned",
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
        rows.append(["findings.fact-steepest", rate(found.steepest_c_per_min)])
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
    head = _text("exchange.page-photos")
    return f'<h2>{head}</h2><div class="photos">{"".join(figures)}</div>' if figures else ""


def _notes(whole: WholeMake) -> str:
    lines = "".join(f"<p>{_e(line)}</p>" for line in note_lines(whole))
    return f"<h2>{_text('exchange.page-notes')}</h2>{lines}" if lines else ""


def _drawing(whole: WholeMake, course: Course, now: float | None, sentence: str) -> str:
    """The day as a drawing: temperature, stages, acidity."""
    last, scene = max(course.shown_min, 30.0), make_scene(whole, now)
    warmth, ribbon, acid = (SvgPlot(*ends, last) for ends in (_TEMP, _RIBBON, _ACID))
    draw_warmth(warmth, scene, last)
    ribbon.stages(scene.stages)
    titrated = readings_of(whole, course.acid.kind)
    read = [one for one in scene.acid or (titrated,) if len(one.until(last))]
    if read:
        ph = read[0].kind.endswith("-ph")
        targets = [t for t in scene.acid_targets if is_ph(t) == ph and t.from_min < last]
        draw_acid(acid, read, targets, last, stage_name)
    else:
        acid.write(LEFT, _ACID[0] + 60, worded("exchange.page-no-acidity"), "start")
    step = next(s for s in (30, 60, 120, 240, 480, 10**6) if last / s <= 12)
    hours = np.arange(0, last + 1, step)
    for minutes, x in zip(hours, acid.x(hours), strict=True):
        acid.write(x, _FOOT - 8, from_start(minutes), "middle")
    return (
        f'<svg viewBox="0 0 {WIDE} {_FOOT}" role="img" xmlns="http://www.w3.org/2000/svg">'
        f"<title>{_text('exchange.page-drawing', code=whole.make.code)}</title>"
        f"<desc>{_e(sentence)}</desc>{''.join([*warmth.parts, *ribbon.parts, *acid.parts])}</svg>"
    )
