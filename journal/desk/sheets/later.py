"""What became of a make's wheels, month by month: care, weights, scores."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from journal.desk.sheets.happened import NONE
from journal.desk.sheets.table import Cell, Words
from journal.records.instants import DAY_MS
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import DefectMark
from journal.records.wheels import Weighing, Wheel
from journal.records.whole import ScoreGiven, WholeMake
from journal.wording.dates import short_day
from journal.wording.shown import shown_figure, write

MONTH_DAYS = 30.4375
MOST_ROWS = 12
_SPANS = (1, 2, 3, 6, 12, 24)  # months a row


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
        named.append(f"{term} ({', '.join(sorted(strengths))}{f', {count} times' * (count > 1)})")
    return ", ".join(named)


def _wheel(whole: WholeMake, wheel: Wheel) -> list[Cell]:
    mine = sorted((w for w in whole.weighings if w.wheel_id == wheel.id), key=_instant)
    green, last = wheel.green_weight_kg, mine[-1] if mine else None
    lost = NONE
    if green is not None and last is not None and abs(green - last.weight_kg) > 5e-4:
        lost = _lost(100 * (1 - last.weight_kg / green))
    gone = ""
    if wheel.gone_ms is not None:
        gone = f"{wheel.gone_why or 'gone'} on {_day(whole, wheel.gone_ms)}"
    return [
        [Words(lead=wheel.code)],
        NONE if green is None else _kg(green),
        NONE if last is None else f"{_kg(last.weight_kg)} on {_day(whole, last.at_ms)}",
        lost,
        "; ".join(text for text in (gone, wheel.remark) if text),
    ]


def _lost(percent: float) -> str:
    return f"{percent:.1f} %" if percent > 0 else f"gained {-percent:.1f} %"


def _row(whole: WholeMake, first: int, span: int) -> list[Cell]:
    last = first + span - 1
    inside = range(first, last + 1)
    care = Counter(c.kind for c in whole.care if _month(whole, c.at_ms) in inside)
    weighed = [w for w in whole.weighings if _month(whole, w.at_ms) in inside]
    given = [g for g in whole.scores if _month(whole, g.at_ms) in inside]
    label = f"month {first + 1}" if span == 1 else f"months {first + 1} to {last + 1}"
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
    order = sorted(by, key=_place_of)
    means = [f"{name} {sum(by[name]) / len(by[name]):.1f}" for name in order]
    people = len({one.assessor for one in given})
    wheels = len({one.wheel_code for one in given})
    who = f"{people} assessor{'s' * (people > 1)}, {wheels} wheel{'s' * (wheels > 1)}"
    if order[0] == "overall":
        return [Words(f"{', '.join([*means[1:], ''])}{who}", lead=f"{means[0]},")]
    return [Words(f"{', '.join(means)}, {who}")]


def _place_of(attribute: str) -> int:
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
