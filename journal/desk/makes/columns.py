"""The columns of Makes: which there are, which are shown at first, how rows are grouped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from journal.desk.natural import natural
from journal.desk.tables import Column, Marks
from journal.keeping import MakeRow
from journal.records.instants import local
from journal.records.makes import tags_of
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.makes import make_state_words
from journal.wording.shown import YIELD, figure, unit_label, unit_shown

NO_GROUP, BY_PLAN, BY_TAG, BY_YEAR = "", "plan", "tag", "year"
GROUPS = ((NO_GROUP, "No groups"), (BY_PLAN, "By plan"), (BY_TAG, "By tag"), (BY_YEAR, "By year"))
SHOWN = ("make", "plan", "began", "milk, °C", "best")  # until one chooses
FIXED = ("make",)  # always shown
CURVE_WIDTH = 56


@dataclass(frozen=True)
class ListLayout:
    """How the list stands: its columns by name, what it is sorted by (its name, "" as it began),
    whether downwards, and its groups."""

    columns: tuple[str, ...] = SHOWN
    sort: str = ""
    down: bool = False
    group: str = NO_GROUP


def make_columns(curve_marks: Marks[MakeRow]) -> tuple[Column[MakeRow], ...]:
    """All columns in their order."""
    return (
        Column("make", _code, bold=True),
        Column("plan", _plan, stretch=True, quiet=True),
        Column("version", _version, right=True, quiet=True),
        Column("began", _day, right=True, quiet=True, sort=_began),
        Column(worded("desk.milk-column", unit=unit_label("volume")), _litres, right=True,
               sort=_litres_key, name="milk, L"),
        Column("animal", _animal, quiet=True),
        Column("milk from", _source, quiet=True),
        Column("culture lot", _lot, quiet=True),
        Column("readings", _readings, right=True, quiet=True, sort=_readings_key),
        Column("wheels", _wheels, right=True, quiet=True),
        Column(worded("desk.yield-column", unit=unit_shown(YIELD)), _yield, right=True,
               sort=_yield_key, name="yield, kg/100 L"),
        Column("tags", _tags, quiet=True),
        Column(worded("desk.milk-column", unit=unit_label("temperature")), _nothing,
               width=CURVE_WIDTH, marks=curve_marks, spare=True, name="milk, °C"),
        Column("best", _best, right=True, sort=_best_key),
    )  # fmt: skip


def name_of(column: Column[MakeRow]) -> str:
    """What a column is remembered by."""
    return column.name or column.title


def group_of(row: MakeRow, group: str) -> str:
    """The group a make is in."""
    if group == BY_PLAN:
        return row.plan
    if group == BY_TAG:
        return next((f"#{tag}" for tag in tags_of(row.remark)), "no tag")
    if group == BY_YEAR:
        return str(local(row.started_ms, row.zone).year)
    return ""


def group_key(group: str) -> Callable[[MakeRow], object] | None:
    """What rows are put into their groups by; the newest year first, makes without a tag last."""
    if group == NO_GROUP:
        return None

    def key(row: MakeRow) -> object:
        name = group_of(row, group)
        if group == BY_YEAR:
            return -int(name)
        return (name == "no tag", natural(name))

    return key


def _code(row: MakeRow) -> str:
    return row.code


def _plan(row: MakeRow) -> str:
    return row.plan if row.name in ("", row.plan) else f"{row.name}, {row.plan}"


def _version(row: MakeRow) -> str:
    return str(row.plan_version)


def _day(row: MakeRow) -> str:
    return short_day(row.started_ms, row.zone)


def _began(row: MakeRow) -> int:
    return row.started_ms


def _litres(row: MakeRow) -> str:
    return figure(row.milk_l, "L", 1).text


def _litres_key(row: MakeRow) -> float:
    return row.milk_l


def _animal(row: MakeRow) -> str:
    return row.animal


def _source(row: MakeRow) -> str:
    return row.source


def _lot(row: MakeRow) -> str:
    return row.culture_lot


def _readings(row: MakeRow) -> str:
    return f"{row.readings:,}"


def _readings_key(row: MakeRow) -> int:
    return row.readings


def _wheels(row: MakeRow) -> str:
    return str(row.wheels)


def _yield(row: MakeRow) -> str:
    return "" if row.yield_pct is None else figure(row.yield_pct, YIELD, 1).text


def _yield_key(row: MakeRow) -> float | None:
    return row.yield_pct


def _tags(row: MakeRow) -> str:
    return " ".join(f"#{tag}" for tag in tags_of(row.remark))


def _best(row: MakeRow) -> str:
    if row.best_score is None or row.failed or row.verdict is not None:
        return make_state_words(row, row.verdict)
    return f"{row.best_score:.1f}"


def _best_key(row: MakeRow) -> float | None:
    return None if row.failed or row.verdict is not None else row.best_score


def _nothing(_row: MakeRow) -> str:
    return ""
