"""What became of a make, in sentences."""

from __future__ import annotations

from journal.curves.verdict import outcomes
from journal.records.whole import WholeMake
from journal.wording.sentences import text_of, worded


def outcome_lines(whole: WholeMake) -> list[str]:
    """What to know before a make is finished, tasted or given away: that it failed, that nobody
    should eat it, and the acid targets it missed; empty where there is nothing."""
    failed = [whole.why_failed or worded("wording.failed-no-reason")] if whole.make.failed else []
    return [*failed, *(text_of(text) for text in outcomes(whole))]
