"""A make as it stood at an instant: what came later is left out."""

from __future__ import annotations

from dataclasses import replace

from journal.records.makes import StageRun
from journal.records.whole import WholeMake


def whole_until(whole: WholeMake, now_ms: int) -> WholeMake:
    """The make as the journal held it at `now_ms`: readings, additions, begins and ends."""
    traces = {
        kind: trace.between(int(trace.at_ms[0]), now_ms)
        for kind, trace in whole.traces.items()
        if len(trace) and trace.at_ms[0] <= now_ms
    }
    make = whole.make
    if make.finished_ms is not None and make.finished_ms > now_ms:
        make = replace(make, finished_ms=None, failed=False)
    return replace(
        whole,
        make=make,
        runs=tuple(_run_until(run, now_ms) for run in whole.runs),
        additions=tuple(a for a in whole.additions if a.at_ms <= now_ms),
        traces=traces,
    )


def _run_until(run: StageRun, now_ms: int) -> StageRun:
    return replace(run, began_ms=_past(run.began_ms, now_ms), ended_ms=_past(run.ended_ms, now_ms))


def _past(at_ms: int | None, now_ms: int) -> int | None:
    return None if at_ms is None or at_ms > now_ms else at_ms
