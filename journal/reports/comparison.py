"""A make beside other makes: read and calculated in the background, ready to be drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from journal.background import State
from journal.curves.course import Course, CourseReadings, acidity_read, course_of
from journal.curves.leaving import Departure, departure
from journal.curves.likeness import CourseDistance, distance
from journal.curves.registration import AxisMap, by_culture, by_stage, standard
from journal.findings.different import Different, FactsByKey, facts_of, what_was_different
from journal.keeping import Journal, MakeRow
from journal.records.kinds import READING_KINDS
from journal.records.traces import Floats
from journal.reports.rinds import cuts_of

_GRID_MIN = 1.0
_TEMP_RESOLVED, _PH_RESOLVED, _ACIDITY_RESOLVED = 0.1, 0.03, 0.01


@dataclass(frozen=True, eq=False)
class MakeRibbon:
    """A make as it is laid beside others: its row of the list, its course, its facts, the photo of
    its cut ("" without one)."""

    row: MakeRow
    course: Course
    facts: FactsByKey
    photo: str = ""


@dataclass(frozen=True)
class ComparisonRequest:
    """What to show: a make and the others. `known` are ribbons read before that still hold."""

    mine: MakeRow
    others: tuple[MakeRow, ...]
    known: Mapping[int, MakeRibbon] = field(default_factory=dict, compare=False)


@dataclass(frozen=True)
class CurveDeparture:
    """Where a curve of a make left the others: minutes of the make itself, and the stage."""

    kind: str
    departure: Departure
    stage: str


@dataclass(frozen=True)
class Compared:
    """Everything the place shows: the make, the others, what was different of it beside those that
    did not fail, where its curves left them, and how alike each is (by the make's id)."""

    asked: ComparisonRequest
    mine: MakeRibbon
    others: tuple[MakeRibbon, ...] = ()
    rows: tuple[Different, ...] = ()
    left: tuple[CurveDeparture, ...] = ()
    likeness: Mapping[int, CourseDistance] = field(default_factory=dict)

    @property
    def usual(self) -> tuple[MakeRibbon, ...]:
        """The others that did not fail: they show what is usual."""
        return tuple(one for one in self.others if not one.row.failed)

    def left_of(self, kind: str) -> CurveDeparture | None:
        """Where the curve of that kind left the others, None where nothing can be said."""
        return next((one for one in self.left if one.kind == kind), None)


def compare(journal: Journal, asked: ComparisonRequest, state: State) -> Compared | None:
    """Read the makes and lay them beside each other; runs in the background. None when the result
    is no longer wanted."""
    cuts = cuts_of(journal, [asked.mine.id, *(row.id for row in asked.others)])
    mine = _ribbon(journal, asked.mine, None, asked.known, cuts)
    kind = mine.course.acid.kind if len(mine.course.acid.minutes) else None
    others = []
    for done, row in enumerate(asked.others, start=1):
        if state.stopped():
            return None
        others.append(_ribbon(journal, row, kind, asked.known, cuts))
        state.progress(done / len(asked.others))
    usual = [one for one in others if not one.row.failed]
    rows = what_was_different(mine.facts, [one.facts for one in usual])
    likeness = {one.row.id: distance(mine.course, one.course) for one in others}
    left = _left(mine.course, [one.course for one in usual])
    return Compared(asked, mine, tuple(others), tuple(rows), tuple(left), likeness)


def _ribbon(
    journal: Journal,
    row: MakeRow,
    kind: str | None,
    known: Mapping[int, MakeRibbon],
    cuts: Mapping[int, str],
) -> MakeRibbon:
    """A make's ribbon: the one known, where its acidity is of the kind wanted."""
    before = known.get(row.id)
    if before is not None and kind in (None, before.course.acid.kind):
        return replace(before, row=row, photo=cuts.get(row.id, ""))
    whole = journal.whole(row.id)
    course = course_of(whole, kind or acidity_read(whole))
    return MakeRibbon(row, course, facts_of(whole, course), cuts.get(row.id, ""))


def _left(mine: Course, others: Sequence[Course]) -> list[CurveDeparture]:
    """Where the temperature off the plan left the others, equal stages laid over each other, and
    the acidity, by culture time: a pitch that waits for its pH is no usual course."""
    stages = standard([mine, *others])
    if not stages or not others:
        return []
    courses = [mine, *others]
    acid = mine.acid.kind
    step = _PH_RESOLVED if READING_KINDS[acid].quantity == "ph" else _ACIDITY_RESOLVED
    by_kind = (
        ("milk-temp", _TEMP_RESOLVED, [course.off for course in courses],
         [by_stage(course, stages) for course in courses]),
        (acid, step, [course.acid for course in courses],
         [by_culture(course) for course in courses]),
    )  # fmt: skip
    out = []
    for kind, resolved, reads, axes in by_kind:
        end = float(axes[0].to_position(mine.shown_min))
        grid = np.arange(0.0, end + _GRID_MIN / 2, _GRID_MIN)
        table = table_of(reads, axes, grid, kind)
        found = departure(grid, table[1:], table[0], resolved)
        if found is not None:
            out.append(_in_minutes(found, kind, axes[0], mine))
    return out


def table_of(
    reads: Sequence[CourseReadings], axes: Sequence[AxisMap], grid: Floats, kind: str
) -> Floats:
    """Readings of a kind at the same places, (makes, places); NaN where nothing was read."""
    rows = [
        read.at(axis.to_minutes(grid)) if read.kind == kind else np.full(len(grid), np.nan)
        for read, axis in zip(reads, axes, strict=True)
    ]
    return np.array(rows).reshape(len(rows), len(grid))


def _in_minutes(found: Departure, kind: str, axis: AxisMap, mine: Course) -> CurveDeparture:
    """The same in minutes of the make, with the stage its peak lies in."""
    positions = [found.from_position, found.to_position, found.peak_position, found.first_position]
    minutes = [float(m) for m in axis.to_minutes(positions)]
    stage = mine.stage_at(minutes[2]) or mine.stages[-1]
    moved = replace(
        found, from_position=minutes[0], to_position=minutes[1], peak_position=minutes[2],
        first_position=minutes[3],
    )  # fmt: skip
    return CurveDeparture(kind, moved, stage.key)
