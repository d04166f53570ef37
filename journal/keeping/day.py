"""The keeper of a running day: stages made longer, skipped, restarted; turns and timers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from journal.keeping.changes import Changes
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.keeping.plans import PlanKeeper
from journal.records.instants import MINUTE_MS
from journal.records.makes import StageRun, running_run
from journal.records.timers import CUT, FLOCCULATION, Timer

# Why a run goes otherwise than planned is kept in the file as words, behind those a person typed;
# every program shows them as they stand, so what is written here is part of the format.
KEPT_LONGER = "{:g} min longer"
KEPT_SHORTER = "{:g} min shorter"
KEPT_AGAIN = "again"
KEPT_SKIPPED = "skipped"
KEPT_FLECKS = "flecks after {:.1f} min, × {:g}"


class DayKeeper:
    """Moves the stage that runs and those about it. Each act is one unit with a name."""

    def __init__(
        self,
        changes: Changes,
        plans: PlanKeeper,
        makes: MakeKeeper,
        runs: Keeper[StageRun],
        timers: Keeper[Timer],
    ) -> None:
        self._changes = changes
        self._plans = plans
        self._makes = makes
        self._runs = runs
        self._timers = timers

    def running(self, make_id: int) -> StageRun:
        """The stage that runs; KeepingError when none does."""
        found = running_run(self._makes.get(make_id), runs_of(self._runs, make_id))
        if found is None:
            raise KeepingError("keeping.no-stage-runs")
        return found

    def lengthen(self, make_id: int, minutes: float, reason: str = "") -> StageRun:
        """Give the stage that runs more minutes (below zero: fewer); those after it move."""
        run = self.running(make_id)
        act, saved = "keeping.act-shorter", KEPT_SHORTER
        if minutes > 0:
            act, saved = "keeping.act-longer", KEPT_LONGER
        with self._changes.unit(act, stage=run.kind, minutes=abs(minutes)):
            longer = replace(run, extra_min=run.extra_min + minutes)
            return self._runs.save(_with_reason(longer, saved.format(abs(minutes)), reason))

    def again(self, make_id: int, at_ms: int, reason: str = "") -> StageRun:
        """Begin the stage that runs once more from its start, at its whole planned length."""
        run = self.running(make_id)
        _check_after(run, at_ms)
        rounds = (*run.again_ms, at_ms)
        with self._changes.unit("keeping.act-again", stage=run.kind):
            return self._runs.save(
                _with_reason(replace(run, again_ms=rounds, extra_min=0.0), KEPT_AGAIN, reason)
            )

    def turn(self, make_id: int, at_ms: int) -> StageRun:
        """Note one turn within the stage that runs."""
        run = self.running(make_id)
        _check_after(run, at_ms)
        with self._changes.unit("keeping.act-turn", stage=run.kind):
            return self._runs.save(replace(run, turned_ms=(*run.turned_ms, at_ms)))

    def skip_next(self, make_id: int, reason: str = "") -> StageRun:
        """Leave out the stage that would come next."""
        run = self.running(make_id)
        coming = self._next_of(run)
        if coming is None:
            raise KeepingError("keeping.nothing-to-skip", stage=run.kind)
        with self._changes.unit("keeping.act-skip", stage=coming.kind):
            return self._runs.save(
                _with_reason(replace(coming, skipped=True), KEPT_SKIPPED, reason)
            )

    def skip(self, make_id: int, at_ms: int, reason: str = "") -> StageRun:
        """Leave out the stage that runs, as if it had not begun, and begin the next one."""
        run = self.running(make_id)
        coming = self._next_of(run)
        if coming is None:
            raise KeepingError("keeping.last-stage", stage=run.kind)
        _check_after(run, at_ms)
        with self._changes.unit("keeping.act-skip", stage=run.kind):
            left_out = replace(run, skipped=True, began_ms=None, again_ms=(), turned_ms=())
            self._runs.save(_with_reason(left_out, KEPT_SKIPPED, reason))
            return self._makes.begin_run(coming, at_ms)

    def begin_at(self, make_id: int, at_ms: int, reason: str = "") -> StageRun:
        """Say when the stage that runs really began; the one before it ended then.

        Raises
        ------
        KeepingError
            For an instant before the stage before it began.
        """
        run = self.running(make_id)
        self.set_times(make_id, {run.position: at_ms}, reason=reason)
        return self.running(make_id)

    def set_times(
        self,
        make_id: int,
        began_ms: Mapping[int, int],
        ended_ms: int | None = None,
        reason: str = "",
    ) -> None:
        """Say when stages really began, by their position; each one before ended then, and with
        the first the make began. `ended_ms` is when the last one ended, where it has.

        Raises
        ------
        KeepingError
            For a stage that has not begun, and for an instant before the stage before it began, or
            after it was begun again.
        """
        begun = [run for run in runs_of(self._runs, make_id) if run.began_ms is not None]
        for run in runs_of(self._runs, make_id):
            if run.position in began_ms and run.began_ms is None:
                raise KeepingError("keeping.not-begun", stage=run.kind)
        moved = [replace(r, began_ms=began_ms.get(r.position, r.began_ms)) for r in begun]
        for last, run in pairwise(moved):
            if (run.began_ms or 0) < (last.began_ms or 0):
                raise KeepingError("keeping.before-it-began-later", stage=last.kind)
        for run in moved:
            if run.again_ms and (run.began_ms or 0) > run.again_ms[0]:
                raise KeepingError("keeping.begun-again-before", stage=run.kind)
        self._save_times(begun, moved, ended_ms, reason)

    def _save_times(
        self, begun: list[StageRun], moved: list[StageRun], ended_ms: int | None, reason: str
    ) -> None:
        """Save what changed, as one act: each stage that moved, and the end of the one before."""
        out, first = [], ""
        for index, (was, run) in enumerate(zip(begun, moved, strict=True)):
            ended, last = run.ended_ms, index + 1 == len(moved)
            if not last and moved[index + 1].began_ms != begun[index + 1].began_ms:
                ended = moved[index + 1].began_ms
            elif last and ended_ms is not None and ended is not None:
                ended = ended_ms
            if ended is not None and ended < (run.began_ms or 0):
                raise KeepingError("keeping.stage-ends-early", stage=run.kind)
            began = run.began_ms != was.began_ms
            if began or ended != was.ended_ms:
                here = replace(run, ended_ms=ended)
                out.append(_with_reason(here, "", reason) if began else here)
                first = first or (run.kind if began else "")
        if not out:
            return
        act = "keeping.act-begin-stage" if first and len(out) <= 2 else "keeping.act-stage-times"
        with self._changes.unit(act, stage=first):
            self._runs.save_many(out)
            if out[0].position == 0:
                self.set_start(out[0].make_id, out[0].began_ms or 0)

    def set_start(self, make_id: int, at_ms: int) -> None:
        """Say when a make began: its first stage began then, and its plan goes by that clock.

        Raises
        ------
        KeepingError
            When the first stage ended, or the next one began, before that.
        """
        make, runs = self._makes.get(make_id), runs_of(self._runs, make_id)
        if make.started_ms == at_ms:
            return
        begun = [run for run in runs if run.began_ms is not None]
        for later in (*(run.began_ms for run in begun[1:]), *(run.ended_ms for run in begun)):
            if later is not None and later < at_ms:
                raise KeepingError("keeping.stage-ends-early", stage=runs[0].kind)
        by = at_ms - make.started_ms
        with self._changes.unit("keeping.act-start"):
            self._makes.save(replace(make, started_ms=at_ms))
            self._runs.save_many([
                replace(run, planned_begin_ms=run.planned_begin_ms + by,
                        planned_end_ms=run.planned_end_ms + by,
                        began_ms=at_ms if run.began_ms == make.started_ms else run.began_ms)
                for run in runs
            ])  # fmt: skip

    def start_timer(
        self, make_id: int, name: str, at_ms: int, minutes: float | None = None
    ) -> Timer:
        """Start a timer; without `minutes` it counts up."""
        ends = None if minutes is None else at_ms + round(minutes * MINUTE_MS)
        with self._changes.unit("keeping.act-timer", timer=name):
            return self._timers.save(Timer(make_id, name, at_ms, ends))

    def stop_timer(self, timer_id: int, at_ms: int) -> Timer:
        """Stop a timer, whether it rang or not."""
        timer = self._timers.get(timer_id)
        with self._changes.unit("keeping.act-stop-timer", timer=timer.name):
            return self._timers.save(replace(timer, ended_ms=max(at_ms, timer.started_ms)))

    def first_flecks(self, make_id: int, at_ms: int) -> tuple[Timer, int | None]:
        """The first flecks show: the flocculation test ends, and the plan's multiplier says when
        to cut.

        While the milk sets, the stage ends then; else a timer of its own does.

        Returns
        -------
        tuple
            The test, and the instant of the cut (None where the plan has no multiplier).
        """
        test = next((t for t in self._running_timers(make_id) if t.name == FLOCCULATION), None)
        if test is None:
            raise KeepingError("keeping.no-flocculation")
        with self._changes.unit("keeping.act-first-flecks"):
            ended = self._timers.save(replace(test, ended_ms=max(at_ms, test.started_ms)))
            plan = self._plans.get(self._makes.get(make_id).plan_id)
            if plan.floc_multiplier is None:
                return ended, None
            took = ended.took_min or 0.0
            cut_ms = test.started_ms + round(took * plan.floc_multiplier * MINUTE_MS)
            why = KEPT_FLECKS.format(took, plan.floc_multiplier)
            self._cut_at(make_id, cut_ms, at_ms, why)
        return ended, cut_ms

    def _cut_at(self, make_id: int, cut_ms: int, at_ms: int, why: str) -> None:
        make = self._makes.get(make_id)
        run = running_run(make, runs_of(self._runs, make_id))
        if run is not None and run.kind == "set":
            plan = self._plans.get(make.plan_id)
            bare = replace(run, extra_min=0.0).minutes(plan.stages[run.position].minutes)
            wanted = (cut_ms - (run.began_ms or 0)) / MINUTE_MS
            self._runs.save(_with_reason(replace(run, extra_min=wanted - bare), "", why))
        elif cut_ms > at_ms:
            self._timers.save(Timer(make_id, CUT, at_ms, cut_ms))

    def _next_of(self, run: StageRun) -> StageRun | None:
        runs = runs_of(self._runs, run.make_id)
        return next((r for r in runs if r.position > run.position and not r.skipped), None)

    def _running_timers(self, make_id: int) -> list[Timer]:
        return [timer for timer in self._timers.where(make_id=make_id) if timer.running]


def _with_reason(run: StageRun, what: str, reason: str) -> StageRun:
    """The run with why it is so, behind what was said before."""
    reason = reason.strip().rstrip(".")
    words = f"{what}: {reason}" if what and reason else reason
    if not words:
        return run
    return replace(run, reason=f"{run.reason}; {words}" if run.reason else words)


def _check_after(run: StageRun, at_ms: int) -> None:
    last = max(run.began_ms or 0, *run.again_ms, *run.turned_ms, 0)
    if at_ms < last:
        raise KeepingError("keeping.had-begun-later", stage=run.kind)


def runs_of(runs: Keeper[StageRun], make_id: int) -> list[StageRun]:
    """The stages of a make as they ran, in order."""
    return sorted(runs.where(make_id=make_id), key=lambda run: run.position)
