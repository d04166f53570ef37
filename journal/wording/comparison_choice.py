"""The words of how makes are compared: the rules that choose them, their order, their time."""

from __future__ import annotations

import math
from collections.abc import Mapping

from journal.curves.likeness import CourseDistance
from journal.curves.registration import AS_IT_WAS, BY_CULTURE, BY_STAGE
from journal.message import Message
from journal.wording.sentences import worded
from journal.wording.shown import apart

_RULES = {
    "plan": "wording.choice-plan",
    "culture": "wording.choice-culture",
    "milk": "wording.choice-milk",
    "season": "wording.choice-season",
    "best": "wording.choice-best",
    "text": "wording.choice-text",
    "hand": "wording.choice-hand",
}
_ORDERS = {
    "date": "wording.choice-newest", "score": "wording.choice-highest",
    "likeness": "wording.choice-likeness",
}  # fmt: skip
_TIMES = {
    AS_IT_WAS: "wording.choice-as-it-was", BY_CULTURE: "wording.choice-culture-time",
    BY_STAGE: "wording.choice-by-stage",
}  # fmt: skip


def rules_offered() -> tuple[tuple[str, str], ...]:
    """The rules by which makes are chosen, each with its words."""
    return _offered(_RULES)


def orders_offered() -> tuple[tuple[str, str], ...]:
    """How makes may be sorted."""
    return _offered(_ORDERS)


def times_offered() -> tuple[tuple[str, str], ...]:
    """By which time makes may be laid."""
    return _offered(_TIMES)


def _offered(ids: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple((key, worded(said)) for key, said in ids.items())


def likeness_text(code: str, found: CourseDistance) -> str:
    """What likeness is, and how far the most alike make lies: the parts that could be told."""
    parts = (
        ("wording.likeness-temperature", found.temp),
        ("wording.likeness-acidity", found.acid),
        ("wording.likeness-lengths", found.lengths),
    )
    told = [Message(said, steps=part) for said, part in parts if math.isfinite(part)]
    return worded("wording.likeness", code=code, steps=found.steps, parts=told, step=apart(1.0))


def which_text(shown: int, found: int, failed: int) -> str:
    """Which makes are shown: "12 makes, one of them failed"."""
    if not found:
        return worded("wording.choice-nothing")
    if shown == found:
        said = "wording.choice-all-with-failed" if failed else "wording.choice-all"
    else:
        said = "wording.choice-some-with-failed" if failed else "wording.choice-some"
    return worded(said, shown=shown, found=found, failed=failed)
