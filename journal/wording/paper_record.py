"""What a make's record says, as cells: its stages, its readings, its wheels month by month."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

import numpy as np

from journal.records.instants import DAY_MS, MINUTE_MS, local
from journal.records.kinds import ACIDITY_KINDS, ATTRIBUTES, READING_KINDS, ReadingKind
from journal.records.makes import Make, StageRun
from journal.records.tastings import DefectMark
from journal.records.traces import Trace
from journal.records.wheels import Weighing, Wheel
from journal.records.whole import ScoreGiven, WholeMake
from journal.wording import worded
from journal.wording.dates import clock, format_day, short_day, weekday_clock
from journal.wording.doses import amount_words
from journal.wording.durations import minutes_text
from journal.wording.numbers import NOTHING, signed
from journal.wording.paper_stage import Cell, Words
from journal.wording.readings import figure_text, unit_text
from journal.wording.shown import shown_figure, write
from journal.wording.ties import NO_BREAK

MONTH_DAYS = 30.4375
MOST_ROWS = 12
_SPANS = (1, 2, 3, 6, 12, 24)  # months a row

_COUNTS = ("wording.readings", "wording.readings-struck")
NONE = NOTHING


def clock_on(whole: WholeMake, at_ms: int | None) -> str:
    """The time of day in the make's zone, with the weekday when it is not the make's first day."""
    if at_ms is None:
        return NONE
    return weekday_clock(at_ms, whole.make.started_ms, whole.make.zone)


def stage_cells(whole: WholeMake, index: int) -> list[Cell]:
    """A stage's row: planned and real begin, delay, planned and real length, °C, what was read
    and what went in."""
    stage = whole.plan.stages[index]
    run = next((r for r in whole.runs if r.position == index), None)
    planned = None if run is None else run.planned_begin_ms
    began = None if run is None else run.began_ms
    delay = None if run is None else run.delay_min
    target = NONE if stage.target_c is None else shown_figure(stage.target_c, "temperature", 1)
    return [
        [Words(lead=f"{index + 1}  {stage.label}")],
        clock_on(whole, planned),
        [Words(lead=clock_on(whole, began))],
        NONE if delay is None else signed(delay, 0),
        _length(stage.minutes),
        _real_length(whole, run),
        target,
        _read_in(whole, run),
        [*_acid_in(whole, run), *(Words(text) for text in _used(whole, index))],
    ]


def reading_rows(whole: WholeMake) -> list[list[Cell]]:
    """Each kind that was read: how many, first, last, lowest and highest with their times."""
    rows: list[list[Cell]] = []
    for key, kind in READING_KINDS.items():
        trace = whole.trace(key).sound()
        if not len(trace):
            continue
        struck = len(whole.trace(key)) - len(trace)
        low, high = int(np.argmin(trace.value)), int(np.argmax(trace.value))
        rows.append([
            [Words(lead=_kind_words(kind))],
            worded(_COUNTS[struck > 0], readings=len(trace), struck=struck),
            *(_at(whole, trace, i, kind) for i in (0, len(trace) - 1, low, high)),
        ])  # fmt: skip
    return rows


def _kind_words(kind: ReadingKind) -> str:
    """What was read and its unit: "milk, °C", "curd pH"."""
    unit = unit_text(kind.key)
    return kind.label if kind.label.endswith(unit) else f"{kind.label}, {unit}"


def _length(minutes: float) -> str:
    """A length on one line."""
    return minutes_text(minutes).replace(" ", NO_BREAK)


def _ended(whole: WholeMake, run: StageRun) -> int | None:
    return whole.make.finished_ms if run.ended_ms is None else run.ended_ms


def _real_length(whole: WholeMake, run: StageRun | None) -> str:
    ended = None if run is None else _ended(whole, run)
    if run is None or run.began_ms is None or ended is None:
        return NONE
    return _length(round((ended - run.began_ms) / MINUTE_MS))


def _part(whole: WholeMake, run: StageRun | None, kind: str) -> Trace:
    """What was read of a kind while a stage ran."""
    if run is None or run.began_ms is None:
        return Trace(kind)
    trace = whole.trace(kind).sound()
    ended = _ended(whole, run)
    last = int(trace.at_ms[-1]) if ended is None and len(trace) else ended
    return Trace(kind) if last is None else trace.between(run.began_ms, last)


def _read_in(whole: WholeMake, run: StageRun | None) -> str:
    part = _part(whole, run, "milk-temp")
    return _from_to(part, 1, "temperature") if len(part) else NONE


def _acid_in(whole: WholeMake, run: StageRun | None) -> Iterator[Words]:
    for key in ACIDITY_KINDS:
        part = _part(whole, run, key)
        if len(part):
            kind = READING_KINDS[key]
            unit = "" if kind.unit == "pH" else " %"
            yield Words(f"{kind.label} {_from_to(part, kind.digits, kind.quantity)}{unit}")


def _from_to(part: Trace, digits: int, quantity: str) -> str:
    first, last = (shown_figure(float(part.value[i]), quantity, digits) for i in (0, -1))
    alike = len(part) == 1 or first == last
    return first if alike else worded("wording.from-to", first=first, last=last)


def _used(whole: WholeMake, index: int) -> Iterator[str]:
    for item in whole.additions:
        if item.position == index:
            amount = amount_words(item.amount, item.unit)
            used = f"{item.name} {amount}"
            yield worded("wording.at-time", what=used, at=clock_on(whole, item.at_ms))


def _at(whole: WholeMake, trace: Trace, index: int, kind: ReadingKind) -> str:
    at_ms = int(trace.at_ms[index])
    figure = figure_text(kind.key, float(trace.value[index]))
    return worded("wording.at-time", what=figure, at=clock_on(whole, at_ms))


def record_facts(whole: WholeMake) -> list[str]:
    """When a make began and ended, by which plan, and of what milk."""
    make, plan = whole.make, whole.plan
    day = local(make.started_ms, make.zone)
    begun = f"{format_day(day, weekday=True)}, {clock(make.started_ms, make.zone)}"
    which, ended = "wording.make-still-runs", ""
    if make.finished_ms is not None:
        which, last = "wording.make-ended", local(make.finished_ms, make.zone)
        last_day = format_day(last, short=True, year=False, weekday=True)
        ended = f"{last_day}, {clock(make.finished_ms, make.zone)}"
    version = plan.version
    facts = worded(which, begun=begun, ended=ended, plan=plan.name, version=version)
    return [facts, _milk(make)]


def _milk(make: Make) -> str:
    milk = make.milk
    treated = "wording.homogenised" if milk.homogenised else "wording.not-homogenised"
    rows = (
        ("wording.mixed-milk" if milk.animal == "mixed" else "wording.milk-of", milk.litres),
        (treated, milk.treatment),
        ("wording.milk-from", milk.source or None),
        ("wording.milk-fat", milk.fat_pct),
        ("wording.milk-protein", milk.protein_pct),
        ("wording.culture-lot", make.culture_lot or None),
        ("wording.carried-over", make.backslop or None),
        ("wording.whey-drawn", make.whey_drawn_l or None),
        ("wording.water-added", make.water_added_l or None),
    )
    return " · ".join(
        worded(which, animal=milk.animal, value=value) for which, value in rows if value is not None
    )


def wheel_rows(whole: WholeMake) -> list[list[Cell]]:
    """Each wheel: green weight, last weight with its day, what was lost, where it went."""
    return [_wheel(whole, wheel) for wheel in whole.wheels]


def month_rows(whole: WholeMake) -> list[list[Cell]]:
    """Months of age in which anything was done: care, weights, scores. Where there would be too
    many rows, each stands for several months."""
    months = {_month(whole, at) for at in _instants(whole)}
    if not months:
        return []
    span = next((s for s in _SPANS if len({m // s for m in months}) <= MOST_ROWS), _SPANS[-1])
    return [_row(whole, first, span) for first in sorted({m // span * span for m in months})]


def defect_words(marks: Iterable[DefectMark]) -> str:
    """The defects that were named, most often first: "bitter (2), mealy (slight)"."""
    found = list(marks)
    counts = Counter(mark.term for mark in found)
    named = []
    for term, count in counts.most_common():
        strengths = {mark.strength for mark in found if mark.term == term}
        which = "wording.defect-times" if count > 1 else "wording.defect"
        named.append(worded(which, term=term, strengths=sorted(strengths), count=count))
    return ", ".join(named)


def _wheel(whole: WholeMake, wheel: Wheel) -> list[Cell]:
    mine = sorted((w for w in whole.weighings if w.wheel_id == wheel.id), key=_instant)
    green, last = wheel.green_weight_kg, mine[-1] if mine else None
    lost = NONE
    if green is not None and last is not None and abs(green - last.weight_kg) > 5e-4:
        lost = _lost(100 * (1 - last.weight_kg / green))
    weight = gone = ""
    if last is not None:
        day = _day(whole, last.at_ms)
        weight = worded("wording.on-day", what=_kg(last.weight_kg), day=day)
    if wheel.gone_ms is not None:
        what = wheel.gone_why or worded("wording.gone")
        gone = worded("wording.on-day", what=what, day=_day(whole, wheel.gone_ms))
    return [
        [Words(lead=wheel.code)],
        NONE if green is None else _kg(green),
        NONE if last is None else weight,
        lost,
        "; ".join(text for text in (gone, wheel.remark) if text),
    ]


def _lost(percent: float) -> str:
    return f"{percent:.1f} %" if percent > 0 else worded("wording.gained", pct=-percent)


def _row(whole: WholeMake, first: int, span: int) -> list[Cell]:
    last = first + span - 1
    inside = range(first, last + 1)
    care = Counter(c.kind for c in whole.care if _month(whole, c.at_ms) in inside)
    weighed = [w for w in whole.weighings if _month(whole, w.at_ms) in inside]
    given = [g for g in whole.scores if _month(whole, g.at_ms) in inside]
    which = "wording.month" if span == 1 else "wording.months"
    label = worded(which, first=first + 1, last=last + 1)
    return [
        [Words(lead=label)],
        ", ".join(f"{kind} {count}" for kind, count in care.most_common()),
        _weights(whole, weighed),
        _scores(given),
    ]


def _weights(whole: WholeMake, weighed: list[Weighing]) -> str:
    """The last weight of each wheel in that time."""
    newest = {w.wheel_id: w for w in sorted(weighed, key=_instant)}
    weights = [
        f"{wheel.code.rsplit('-', 1)[-1]} {shown_figure(newest[wheel.id].weight_kg, 'mass', 3)}"
        for wheel in whole.wheels
        if wheel.id in newest
    ]
    return ", ".join(weights)


def _scores(given: list[ScoreGiven]) -> list[Words]:
    """The mean of each attribute, overall first, with how many assessors gave it."""
    if not given:
        return []
    by: dict[str, list[float]] = {}
    for one in given:
        by.setdefault(one.attribute, []).append(one.value)
    order = sorted(by, key=_index_of)
    means = [f"{name} {sum(by[name]) / len(by[name]):.1f}" for name in order]
    people = len({one.assessor for one in given})
    wheels = len({one.wheel_code for one in given})
    who = worded("wording.assessors-wheels", people=people, wheels=wheels)
    if order[0] == "overall":
        return [Words(f"{', '.join([*means[1:], ''])}{who}", lead=f"{means[0]},")]
    return [Words(f"{', '.join(means)}, {who}")]


def _index_of(attribute: str) -> int:
    return ATTRIBUTES.index(attribute) if attribute in ATTRIBUTES else len(ATTRIBUTES)


def _instants(whole: WholeMake) -> list[int]:
    return [one.at_ms for some in (whole.care, whole.weighings, whole.scores) for one in some]


def _month(whole: WholeMake, at_ms: int) -> int:
    """Which month of its age a moment lies in, counted from 0."""
    return max(0, int((at_ms - whole.make.started_ms) / DAY_MS / MONTH_DAYS))


def _day(whole: WholeMake, at_ms: int) -> str:
    return short_day(at_ms, whole.make.zone)


def _kg(value: float) -> str:
    return write(value, "mass", digits=3)


def _instant(weighing: Weighing) -> int:
    return weighing.at_ms
