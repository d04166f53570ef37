"""Whether a make may still be eaten: the sentence that stands once its acid failed, and the acid
targets it missed."""

from __future__ import annotations

from journal.curves.acid_targets import missed_targets
from journal.curves.culture_time import culture_in_min
from journal.curves.leaning import AcidFit
from journal.curves.slow_acid import SURE, in_hundred, missed
from journal.records.instants import clock
from journal.records.verdicts import Verdict
from journal.records.whole import WholeMake

_ACIDITY = ("milk-ph", "curd-ph", "whey-ph", "milk-acidity", "whey-acidity")


def verdict_of(whole: WholeMake, fitted: AcidFit) -> Verdict | None:
    """What is to be said of eating a make, dated to its last acidity; None while nothing is.

    It is said from the moment on at which its culture is called slow or stalled, or at which a
    limit published for its family was missed: not only expected to be, but its hour is over. An
    acid target of the plan that is missed is no verdict: see `missed_targets`.
    """
    last = [int(t.at_ms[-1]) for k in _ACIDITY if len(t := whole.trace(k).sound())]
    at_ms = max(last, default=whole.make.started_ms)
    why = _why(whole, fitted, at_ms)
    if not why:
        return None
    return Verdict(
        at_ms,
        "Do not eat this cheese, do not age it: throw it out untasted. "
        f"{why}; toxin that lasts may be in it.",
    )


def _why(whole: WholeMake, fitted: AcidFit, at_ms: int) -> str:
    at = clock(at_ms, whole.make.zone)
    if fitted.called:
        stalled = in_hundred(fitted.stalled)
        return f"By the acidity read at {at} its culture was slow or had stalled ({stalled})"
    found = missed(whole, fitted)
    if found is None or not found.limit.published or found.chance < SURE:
        return ""
    since_culture = (at_ms - whole.make.started_ms) / 60_000 - culture_in_min(whole)
    if since_culture < 60 * found.limit.hours:
        return ""
    return f"By the acidity read at {at} the acid was too slow: {found.limit.words}"


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
