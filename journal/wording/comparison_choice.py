"""The words of how makes are compared: the rules that choose them, their order, their time."""

from __future__ import annotations

import math

from journal.curves.likeness import CourseDistance
from journal.curves.registration import AS_IT_WAS, BY_CULTURE, BY_STAGE
from journal.message import Message
from journal.wording.sentences import word_of, worded
from journal.wording.shown import apart


def rules_offered() -> tuple[tuple[str, str], ...]:
    """The rules by which makes are chosen, each with its words."""
    rules = ("plan", "culture", "milk", "season", "best", "text", "hand")
    return tuple((rule, word_of("wording.rule-", rule)) for rule in rules)


def orders_offered() -> tuple[tuple[str, str], ...]:
    """How makes may be sorted."""
    orders = ("date", "score", "likeness")
    return tuple((order, word_of("wording.sorted-", order)) for order in orders)


def times_offered() -> tuple[tuple[str, str], ...]:
    """By which time makes may be laid."""
    times = (AS_IT_WAS, BY_CULTURE, BY_STAGE)
    return tuple((time, word_of("wording.laid-", time)) for time in times)


def likeness_text(code: str, found: CourseDistance) -> str:
    """What likeness is, and how far the most alike make lies: the parts that are known."""
    parts = (
        ("wording.likeness-temperature", found.temp),
        ("wording.likeness-acidity", found.acid),
        ("wording.likeness-lengths", found.lengths),
    )
    shown = [Message(which, steps=part) for which, part in parts if math.isfinite(part)]
    return worded("wording.likeness", code=code, steps=found.steps, parts=shown, step=apart(1.0))


def which_text(shown: int, found: int, failed: int) -> str:
    """Which makes are shown: "12 makes, one of them failed"."""
    if not found:
        return worded("wording.choice-nothing")
    if shown == found:
        which = "wording.choice-all-with-failed" if failed else "wording.choice-all"
    else:
        which = "wording.choice-some-with-failed" if failed else "wording.choice-some"
    return worded(which, shown=shown, found=found, failed=failed)
