"""The first sentences about a compared make, in the window and by the command."""

from __future__ import annotations

from dataclasses import dataclass

from journal.curves.course import Course
from journal.reports.comparison import Compared, CurveDeparture
from journal.wording.compare import (
    compare_heading,
    departures_text,
    how_many_text,
    left_where_text,
    plan_and_day,
)


@dataclass(frozen=True)
class CompareHead:
    """What stands at the top of the page: the plan and day, the sentence, what it is said by."""

    about: str
    title: str
    how_many: str
    left: tuple[str, ...] = ()
    failed: str = ""


def head_of(compared: Compared) -> CompareHead:
    """The first sentence about a make."""
    mine, others = compared.mine, len(compared.usual)
    row, course = mine.row, mine.course
    temp, acid = compared.left_of("milk-temp"), compared.left_of(course.acid.kind)
    labelled = [(left.departure, _label(course, left), left.kind) for left in (temp, acid) if left]
    title = compare_heading(
        row.code, row.failed, compared.rows,
        (temp.departure, _label(course, temp)) if temp else None,
        (acid.departure, _label(course, acid)) if acid else None,
    )  # fmt: skip
    failed = left_where_text(row.code, row.why_failed, labelled) if row.failed else ""
    departures = tuple(departures_text(labelled))
    return CompareHead(
        plan_and_day(row), title, how_many_text(compared.rows, others), departures, failed
    )


def _label(course: Course, left: CurveDeparture) -> str:
    stage = course.stage(left.stage)
    return stage.label if stage is not None else left.stage
