"""The keeper of what a make was begun with and was noted wrong: its milk, and its plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from journal.keeping.changes import Changes
from journal.keeping.day import runs_of
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.keeping.milk import MilkKeeper
from journal.keeping.plans import PlanKeeper
from journal.records import id_of
from journal.records.instants import MINUTE_MS
from journal.records.makes import Addition, Make, StageRun
from journal.records.plan_scaled import for_milk
from journal.records.plans import Plan


class MakeCorrections:
    """Puts a make's milk and plan right. Its readings, notes and wheels stay as they are, and so
    does what really went in."""

    def __init__(
        self,
        changes: Changes,
        makes: MakeKeeper,
        plans: PlanKeeper,
        runs: Keeper[StageRun],
        additions: Keeper[Addition],
        milk: MilkKeeper,
    ) -> None:
        self._changes, self._makes, self._plans = changes, makes, plans
        self._runs, self._additions, self._milk = runs, additions, milk

    def correct(self, make_id: int, litres: float, plan: Plan | None = None) -> Make:
        """Both at once, as one act; without a plan it stays as it is."""
        make = self._makes.get(make_id)
        with self._changes.unit("keeping.act-correct-make", make=make.code):
            make = self.set_milk(make_id, litres)
            return make if plan is None else self.set_plan(make_id, plan)

    def set_milk(self, make_id: int, litres: float) -> Make:
        """The make had so much milk: what the plan still adds, and how long it warms and brines,
        follows.

        Raises
        ------
        KeepingError
            When more of its milk lots or of a make's whey is said to be in it.
        RecordError
            When no milk can be so much, or its wheels weigh too much for it.
        """
        make = self._makes.get(make_id)
        if make.milk.litres == litres:
            return make
        poured = sum(part for _, part in self._milk.of(make_id))
        if litres < poured - 1e-6:
            raise KeepingError("keeping.milk-lots-are-more", code=make.code, litres=poured)
        changed = replace(make, milk=replace(make.milk, litres=litres))
        with self._changes.unit("keeping.act-milk-amount", make=make.code):
            saved = self._makes.save(changed)
            plan = for_milk(self._plans.get(make.plan_id), litres)
            self._runs.save_many(_planned(runs_of(self._runs, make_id), plan, make.started_ms))
        return saved

    def set_plan(self, make_id: int, plan: Plan) -> Make:
        """The make was run by another plan than was picked: its stages count as those of the same
        kind, in their order; those that the other plan has not are gone, and those of it that were
        passed over count as skipped.

        Raises
        ------
        KeepingError
            When no stage that has begun is one of the other plan's.
        """
        make = self._makes.get(make_id)
        before = self._plans.get(make.plan_id)
        if before.says_as(plan) and before.name == plan.name:
            return make
        runs = runs_of(self._runs, make_id)
        there = matched([run.kind for run in runs if run.began_ms is not None],
                        [stage.kind for stage in plan.stages])  # fmt: skip
        if not there:
            raise KeepingError("keeping.plan-has-no-stage", plan=plan.name, code=make.code)
        with self._changes.unit("keeping.act-other-plan", make=make.code, plan=plan.name):
            saved = self._plans.save(plan)
            name = plan.name if make.name == before.name else make.name
            changed = self._makes.save(replace(make, plan_id=id_of(saved), name=name))
            fresh = _laid_over(changed, for_milk(saved, make.milk.litres), runs, there)
            for run in runs:
                self._runs.remove(id_of(run))
            self._runs.save_many(fresh)
            self._move_additions(make_id, runs, there)
        return changed

    def _move_additions(
        self, make_id: int, runs: Sequence[StageRun], there: dict[int, int]
    ) -> None:
        """What went in stands at the stage that its own has become, else at the one before."""
        begun = [run.position for run in runs if run.began_ms is not None]
        new = {begun[old]: index for old, index in there.items()}
        for one in self._additions.where(make_id=make_id):
            earlier = [index for old, index in new.items() if old <= one.position]
            position = max(earlier, default=0)
            if position != one.position:
                self._additions.save(replace(one, position=position))


def matched(had: Sequence[str], plan: Sequence[str]) -> dict[int, int]:
    """Which stage of a plan each kind that was had is, most of them in order: the longest common
    part of both."""
    best = [[0] * (len(plan) + 1) for _ in range(len(had) + 1)]
    for i in reversed(range(len(had))):
        for j in reversed(range(len(plan))):
            best[i][j] = max(best[i + 1][j], best[i][j + 1],
                             best[i + 1][j + 1] + 1 if had[i] == plan[j] else 0)  # fmt: skip
    found, i, j = {}, 0, 0
    while i < len(had) and j < len(plan):
        if had[i] == plan[j] and best[i][j] == best[i + 1][j + 1] + 1:
            found[i] = j
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    return found


def _planned(runs: Sequence[StageRun], plan: Plan, at_ms: int) -> list[StageRun]:
    """The runs on the plan's own clock from an instant."""
    out = []
    for run, stage in zip(runs, plan.stages, strict=True):
        end = at_ms + round(stage.minutes * MINUTE_MS)
        out.append(replace(run, planned_begin_ms=at_ms, planned_end_ms=end))
        at_ms = end
    return out


def _laid_over(
    make: Make, plan: Plan, runs: Sequence[StageRun], there: dict[int, int]
) -> list[StageRun]:
    """The stages of another plan as the runs had them: whole and without a gap from the make's
    start, the last one running where the make runs."""
    begun = [run for run in runs if run.began_ms is not None]
    blank = [StageRun(id_of(make), index, stage.kind, 0, 0)
             for index, stage in enumerate(plan.stages)]  # fmt: skip
    for old, index in there.items():
        was = begun[old]
        blank[index] = replace(
            was, id=None, uuid=blank[index].uuid, position=index,
            extra_min=was.extra_min, ended_ms=was.ended_ms,
        )  # fmt: skip
    positions = sorted(there.values())
    first, last = positions[0], positions[-1]
    blank[first] = replace(blank[first], began_ms=make.started_ms)
    for one, after in pairwise(positions):
        blank[one] = replace(blank[one], ended_ms=blank[after].began_ms)
    ended = begun[-1].ended_ms
    blank[last] = replace(blank[last], ended_ms=ended)
    for index in range(last):
        if index not in positions:
            blank[index] = replace(blank[index], skipped=True)
    return _planned(blank, plan, make.started_ms)


def _position(run: StageRun) -> int:
    return run.position
