"""Whether a make may still be eaten: the sentence that stands once its acid failed, and the acid
targets it missed."""

from __future__ import annotations

from journal.curves.acid_targets import missed_targets
from journal.curves.culture_time import culture_in_min
from journal.curves.leaning import AcidFit
from journal.curves.slow_acid import SURE, in_hundred, missed
from journal.records.dates import format_day
from journal.records.instants import clock, local
from journal.records.kinds import reading_kind
from journal.records.traces import STRUCK, Trace
from journal.records.verdicts import Verdict
from journal.records.whole import WholeMake

STRUCK_TOLD = 3
_ACIDITY = ("milk-ph", "curd-ph", "whey-ph", "milk-acidity", "whey-acidity")


def verdict_of(whole: WholeMake, fitted: AcidFit) -> Verdict | None:
    """What is to be said of eating a make, dated to its last acidity; None while nothing is.

    It is said from the moment on at which its culture is called slow or stalled, or at which a
    limit published for its family was missed: not only expected to be, but its hour is over. An
    acid target of the plan that is missed is no verdict: see `missed_targets`.
    """
    last = [(int(t.at_ms[-1]), _words(whole, t)[-1]) for k in _ACIDITY
            if len(t := whole.trace(k).sound())]  # fmt: skip
    if not last:
        return None
    at_ms, read = max(last)
    why = _why(whole, fitted, at_ms, read)
    if not why:
        return None
    return Verdict(
        at_ms,
        "Do not eat this cheese, do not age it: throw it out untasted. "
        f"{why}; toxin that lasts may be in it.",
    )


def _why(whole: WholeMake, fitted: AcidFit, at_ms: int, read: str) -> str:
    if fitted.called:
        stalled = in_hundred(fitted.stalled)
        return f"By {read} its culture was slow or had stalled ({stalled})"
    found = missed(whole, fitted)
    if found is None or not found.limit.published or found.chance < SURE:
        return ""
    since_culture = (at_ms - whole.make.started_ms) / 60_000 - culture_in_min(whole)
    if since_culture < 60 * found.limit.hours:
        return ""
    return f"By {read} the acid was too slow: {found.limit.words}"


def verdict_words(whole: WholeMake) -> str:
    """The verdict with what became of the readings it rests on; "" without one."""
    said = whole.verdict
    if said is None:
        return ""
    by_then = [whole.trace(kind).between(0, said.at_ms) for kind in _ACIDITY]
    struck = [
        words
        for trace in by_then
        for words, flags in zip(_words(whole, trace), trace.flags, strict=True)
        if flags & STRUCK
    ]
    since = ""
    if struck:
        since = f" Of the readings up to then, struck out: {'; '.join(struck[-STRUCK_TOLD:])}."
    elif not any(said.at_ms in trace.at_ms for trace in by_then):
        since = f" The reading of {_when(whole, said.at_ms)} is no longer there."
    return said.sentence + since


def _words(whole: WholeMake, trace: Trace) -> list[str]:
    """Each reading of an acidity: "curd pH 6.58 at 11:40", with its day where that is another
    than the make's."""
    kind = reading_kind(trace.kind)
    unit = "" if kind.quantity == "ph" else f" {kind.unit}"
    return [
        f"{kind.label} {value:.{kind.digits}f}{unit} at {_when(whole, int(at))}"
        for at, value in zip(trace.at_ms, trace.value, strict=True)
    ]


def _when(whole: WholeMake, at_ms: int) -> str:
    zone = whole.make.zone
    day = local(at_ms, zone).date()
    other = day != local(whole.make.started_ms, zone).date()
    return clock(at_ms, zone) + (f" on {format_day(day, year=False)}" if other else "")


def outcome_lines(whole: WholeMake) -> list[str]:
    """What is to be known before a make is finished, tasted or given away: that it failed, that
    it is not to be eaten, and the acid targets it missed; empty where nothing is."""
    lines = [whole.why_failed] if whole.make.failed else []
    if whole.verdict is not None:
        lines.append(verdict_words(whole))
    missed = missed_targets(whole)
    if missed:
        lines.append(f"Acid target missed: {'; '.join(missed)}.")
    return lines
