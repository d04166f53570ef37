"""What falls due from now on, day by day, as if each thing were done on its day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from journal.records.due import Due, WheelLife, next_care, tastings_after, tastings_due

_MOST = 1000  # of one kind of care of one wheel: more than daily for two years


def ahead(lives: Iterable[WheelLife], now_ms: int, until: date) -> list[Due]:
    """All care and tastings from today to a day, by day; what is late already is due today.

    What is wanted more often than daily is there once a day.
    """
    lives = list(lives)
    found = [due for life in lives for due in _cares(life, now_ms, until)]
    for first in tastings_due(lives, now_ms):
        age = first.life.age_days(now_ms)
        found += [_not_before_today(due, age) for due in tastings_after(first, age)]
    return sorted((due for due in found if due.on <= until), key=_by_day)


def _cares(life: WheelLife, now_ms: int, until: date) -> Iterator[Due]:
    if life.verdict:
        return
    today = life.age_days(now_ms)
    for kind in dict.fromkeys(rule.kind for rule in life.rules):
        age, due = today, next_care(life, kind, today)
        for _ in range(_MOST):
            if due is None or due.on > until:
                break
            due = _not_before_today(due, age)
            yield due
            age = (due.on - life.begun).days
            following = next_care(life, kind, age, float(age))
            if following is not None and following.on <= due.on:  # several times a day
                following = next_care(life, kind, age + 1, age + 0.99)
            due = following


def _not_before_today(due: Due, age: int) -> Due:
    return replace(due, on=max(due.on, due.life.begun + timedelta(days=age)))


def _by_day(due: Due) -> tuple[date, str, str]:
    return due.on, due.kind, due.life.wheel.code
