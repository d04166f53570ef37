"""The days of its age on which care falls due where all of it is given on time."""

from __future__ import annotations

from collections.abc import Sequence

from journal.records.care_written import AgeLine, CareLine
from journal.records.plans import CareRule

_LEAST_DAYS, _OPEN_DAYS, _ROOM = 14.0, 120.0, 1.06


def due_days(rule: CareRule, until: float) -> list[float]:
    """The days up to `until` on which a rule asks for its care."""
    if rule.once:
        return [rule.from_day] if rule.from_day <= until else []
    end = min(rule.to_day, until)
    count = int((end - rule.from_day) / rule.every_days + 1e-9) + 1
    return [rule.from_day + i * rule.every_days for i in range(max(count, 0))]


def horizon_days(lines: Sequence[CareLine], begin: float) -> float:
    """How many days of a wheel's life a schedule is worth showing: to the last day it names, with a
    little room; care that goes on is shown for a while."""
    ages = [day for line in lines if isinstance(line, AgeLine) for day in line.days]
    rules = [line for line in lines if isinstance(line, CareRule)]
    ends = [begin + _LEAST_DAYS, *ages, *(rule.to_day for rule in rules if not rule.goes_on)]
    if not ages:
        ends += [rule.from_day + _OPEN_DAYS for rule in rules if rule.goes_on]
    return max(ends) * _ROOM
