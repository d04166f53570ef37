"""Whether a make may still be eaten: what stands once its acid failed, and the acid targets it
missed."""

from __future__ import annotations

from journal.curves.acid_targets import missed_targets
from journal.curves.culture_time import culture_in_min
from journal.curves.leaning import AcidFit
from journal.curves.slow_acid import SURE, missed
from journal.message import Instant, Message
from journal.records.instants import local
from journal.records.kinds import ACIDITY_KINDS
from journal.records.traces import STRUCK
from journal.records.verdicts import Verdict
from journal.records.whole import WholeMake

STRUCK_LISTED = 3


def verdict_of(whole: WholeMake, fitted: AcidFit) -> Verdict | None:
    """What is to be said of eating a make, dated to its last acidity; None while nothing is.

    It is said from the moment on at which its culture is called slow or stalled, or at which a
    limit published for its family was missed: not only expected to be, but its hour is over. An
    acid target of the plan that is missed is no verdict: see `missed_targets`.
    """
    last = [(int(t.at_ms[-1]), kind, float(t.value[-1])) for kind in ACIDITY_KINDS
            if len(t := whole.trace(kind).sound())]  # fmt: skip
    if not last:
        return None
    at_ms, kind, value = max(last)
    why = _why(whole, fitted, at_ms, _read_at(whole, kind, at_ms, value))
    return None if why is None else Verdict(at_ms, Message("curves.not-to-eat", why=why))


def _why(whole: WholeMake, fitted: AcidFit, at_ms: int, read: Message) -> Message | None:
    if fitted.called:
        return Message("curves.why-stalled", read=read, chance=fitted.stalled)
    found = missed(whole, fitted)
    if found is None or not found.limit.published or found.chance < SURE:
        return None
    since_culture = (at_ms - whole.make.started_ms) / 60_000 - culture_in_min(whole)
    if since_culture < 60 * found.limit.hours:
        return None
    return Message("curves.why-too-slow", read=read, limit=found.limit.message)


def verdict_on(whole: WholeMake) -> Message | None:
    """The verdict with what became of the readings it rests on; None without one."""
    message = whole.verdict
    if message is None:
        return None
    by_then = [whole.trace(kind).between(0, message.at_ms) for kind in ACIDITY_KINDS]
    struck = [
        _read_at(whole, trace.kind, int(at_ms), float(value))
        for trace in by_then
        for at_ms, value, flags in zip(trace.at_ms, trace.value, trace.flags, strict=True)
        if flags & STRUCK
    ]
    if struck:
        since = Message("curves.readings-struck", readings=tuple(struck[-STRUCK_LISTED:]))
    elif not any(message.at_ms in trace.at_ms for trace in by_then):
        since = Message("curves.reading-gone", **_when(whole, message.at_ms))
    else:
        return message.message
    return Message("curves.verdict-since", verdict=message.message, since=since)


def outcomes(whole: WholeMake) -> list[Message]:
    """What is to be known before a make is finished, tasted or given away, beside that it failed:
    that it is not to be eaten, and the acid targets it missed; empty where nothing is."""
    verdict, missed = verdict_on(whole), missed_targets(whole)
    found = [] if verdict is None else [verdict]
    return [*found, Message("curves.targets-missed", targets=tuple(missed))] if missed else found


def _read_at(whole: WholeMake, kind: str, at_ms: int, value: float) -> Message:
    return Message("curves.read-at", kind=kind, value=value, **_when(whole, at_ms))


def _when(whole: WholeMake, at_ms: int) -> dict[str, Instant | bool]:
    zone = whole.make.zone
    other = local(at_ms, zone).date() != local(whole.make.started_ms, zone).date()
    return {"at": Instant(at_ms, zone), "other_day": other}
