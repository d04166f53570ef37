"""Sentences about milk on its ramp, and a pH that may not be reached."""

from __future__ import annotations

from journal.curves.acidity import Forecast
from journal.curves.vessel import Advice
from journal.wording.sentences import worded


def advice_head(advice: Advice) -> str:
    """Where the milk is against its plan: "0.6 °C behind the plan"."""
    if advice.on_plan:
        return worded("wording.on-the-plan")
    which = "wording.off-the-held" if advice.limit is None else "wording.off-the-plan"
    return worded(which, off=abs(advice.behind_c), behind=advice.behind_c > 0)


def advice_rest(advice: Advice) -> str:
    """What to do: "Let it run 4 min longer."; "" for nothing."""
    if advice.on_plan or advice.limit is None:
        return ""
    if advice.too_quick:
        return worded("wording.turn-down-a-little", rising=advice.rising)
    minutes = max(advice.longer_min or 0.0, 1.0)
    if advice.rate_needed is None:
        return worded("wording.let-it-run", minutes=minutes)
    if round(advice.rate_needed, 2) <= round(advice.limit, 2):
        return worded("wording.rate-to-arrive", rate=advice.rate_needed)
    return worded("wording.most-rate-longer", rate=advice.limit, minutes=minutes)


def doubt_text(found: Forecast, by: str, what: str = "it") -> str:
    """The sentence about a pH that is more likely missed than reached, `by` that
    instant in words: "3 in 10 that it is reached by 14:00"."""
    if not found.tenths:
        return worded("wording.not-reached")
    return worded("wording.perhaps-reached", tenths=found.tenths, what=what, by=by)
