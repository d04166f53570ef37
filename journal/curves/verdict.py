"""Whether a make may still be eaten: the sentence that stands once its acid failed, and the acid
targets it missed."""

from __future__ import annotations

from journal.curves.acid_targets import missed_targets
from journal.curves.leaning import AcidFit
from journal.curves.slow_acid import in_hundred
from journal.records.instants import clock
from journal.records.verdicts import Verdict
from journal.records.whole import WholeMake

_PH = ("milk-ph", "curd-ph", "whey-ph")


def verdict_of(whole: WholeMake, fitted: AcidFit) -> Verdict | None:
    """What is to be said of eating a make, dated to its last pH; None while nothing is.

    It is said from the moment on at which its culture is called slow or stalled. An acid target
    that is only late is no verdict: see `missed_targets`.
    """
    if not fitted.called:
        return None
    last = [int(t.at_ms[-1]) for k in _PH if len(t := whole.trace(k).sound())]
    at_ms = max(last, default=whole.make.started_ms)
    at = clock(at_ms, whole.make.zone)
    return Verdict(
        at_ms,
        "Do not eat this cheese, do not age it: throw it out untasted. By the pH read at "
        f"{at} its culture was slow or had stalled ({in_hundred(fitted.stalled)}); toxin that "
        "lasts may be in it.",
    )


def outcome_lines(whole: WholeMake) -> list[str]:
    """What is to be known before a make is finished, tasted or given away: that it failed, that
    it is not to be eaten, and the acid targets it missed; empty where nothing is."""
    lines = [whole.why_failed] if whole.make.failed else []
    if whole.verdict is not None:
        lines.append(whole.verdict.sentence)
    missed = missed_targets(whole)
    if missed:
        lines.append(f"Acid target missed: {'; '.join(missed)}.")
    return lines
