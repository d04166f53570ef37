"""The words of how makes are compared: the rules that choose them, their order, their time."""

from __future__ import annotations

import math

from journal.curves.likeness import CourseDistance
from journal.curves.registration import AS_IT_WAS, BY_CULTURE, BY_STAGE
from journal.wording.counts import counted
from journal.wording.shown import apart

RULE_WORDS = (
    ("plan", "same plan"),
    ("culture", "same culture"),
    ("milk", "same milk"),
    ("season", "plan and season"),
    ("best", "my five best"),
    ("text", "found by text"),
    ("hand", "chosen by hand"),
)
ORDER_WORDS = (("date", "newest first"), ("score", "best first"), ("likeness", "most alike first"))
TIME_WORDS = ((AS_IT_WAS, "as it was"), (BY_CULTURE, "culture time"), (BY_STAGE, "stage by stage"))


def likeness_text(code: str, found: CourseDistance) -> str:
    """What likeness is, and how far the most alike make lies: the parts that could be told."""
    parts = (("temperature", found.temp), ("acidity", found.acid), ("lengths", found.lengths))
    words = ", ".join(f"{name} {part:.1f}" for name, part in parts if math.isfinite(part))
    return (
        f"Most alike: {code}, {found.steps:.1f} steps away ({words}). A step is {apart(1.0)} off "
        "the plan, 0.1 pH (0.02 % acidity) or 10 min of a stage, each as its root mean square over "
        "the day."
    )


def which_text(shown: int, found: int, failed: int) -> str:
    """Which makes are shown: "12 makes, one of them failed"."""
    if not found:
        return "No other make with readings fits. Choose another rule."
    first = counted(shown, "make") if shown == found else f"The newest {shown} of {found} makes"
    bad = "" if not failed else f"; {counted(failed, 'failed make')} shown, not counted as usual"
    return f"{first}{bad}."
