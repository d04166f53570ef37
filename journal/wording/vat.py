"""What is said at the vat: how far the milk is on its ramp, when it arrives, what strays."""

from __future__ import annotations

from journal.curves.acidity import Forecast
from journal.curves.vessel import Advice
from journal.wording.shown import apart, rate

EARLY = "perhaps too early: this vessel's lag is not known yet"


def advice_text(advice: Advice) -> str:
    """The advice in a sentence: "0.6 °C behind the plan; let it run 4 min longer."."""
    head, rest = advice_head(advice), advice_rest(advice)
    between = ": " if advice.too_quick else "; "
    return f"{head}{between}{rest}." if rest else f"{head}."


def advice_head(advice: Advice) -> str:
    """Where the milk is against its plan: "0.6 °C behind the plan"."""
    if advice.on_plan:
        return "On the plan"
    return f"{apart(abs(advice.behind_c))} {_way(advice)} the plan"


def _way(advice: Advice) -> str:
    if advice.limit is None:
        return "below" if advice.behind_c > 0 else "above"
    return "behind" if advice.behind_c > 0 else "ahead of"


def advice_rest(advice: Advice) -> str:
    """What to do: "let it run 4 min longer"; "" for nothing."""
    if advice.on_plan or advice.limit is None:
        return ""
    if advice.too_quick:
        return f"turn the {'heat' if advice.rising else 'cooling'} down a little"
    longer = f"{max(advice.longer_min or 0.0, 1.0):.0f} min longer"
    if advice.rate_needed is None:
        return f"let it run {longer}"
    if round(advice.rate_needed, 2) <= round(advice.limit, 2):
        return f"{rate(advice.rate_needed)} to arrive on time"
    return f"at {rate(advice.limit)}, the most the plan allows, {longer}"


def doubt_text(found: Forecast, by: str, what: str = "it") -> str:
    """What is said of a pH that is more likely missed than reached, `by` that
    instant in words: "3 in 10 that it is reached by 14:00"."""
    if not found.tenths:
        return "will not be reached at this rate"
    return f"{found.tenths} in 10 that {what} is reached by {by}"
