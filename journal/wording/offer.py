"""More minutes offered where the milk is behind and cannot arrive in time."""

from __future__ import annotations

from dataclasses import dataclass

from journal.curves.vessel import Advice
from journal.wording.vat import advice_head

LEAST_LONGER_MIN = 1


@dataclass(frozen=True)
class MoreMinutes:
    """How many minutes longer would bring the stage to its plan, and the reason."""

    minutes: int
    reason: str


def offer_of(advice: Advice | None, allowed_c: float) -> MoreMinutes | None:
    """More minutes where the milk is behind and cannot arrive on time within the plan's limit."""
    if advice is None or advice.limit is None or not advice.behind_c > allowed_c:
        return None
    needed = advice.rate_needed
    if needed is not None and round(needed, 2) <= round(advice.limit, 2):
        return None
    longer = max(round(advice.longer_min or 0.0), LEAST_LONGER_MIN)
    return MoreMinutes(longer, advice_head(advice))
