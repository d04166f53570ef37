"""What falls due in a running make: the end of its stage, its next turn, its timers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from journal.message import Message
from journal.records import id_of
from journal.records.instants import MINUTE_MS
from journal.records.makes import Make, StageRun, running_run
from journal.records.plan_expected import press_load_kg
from journal.records.plans import Plan, Stage
from journal.records.timers import Timer

STAGE, TURN, TIMER = "stage", "turn", "timer"


@dataclass(frozen=True)
class DueItem:
    """One thing that falls due at `at_ms`: a stage's end, a turn, a timer's end."""

    make_id: int
    code: str
    kind: str
    words: str | Message  # the stage's label, the timer's name, which turn it is
    at_ms: int
    key: int  # the run's or the timer's id


def coming(
    make: Make, plan: Plan, runs: Sequence[StageRun], timers: Iterable[Timer]
) -> list[DueItem]:
    """What falls due in a make, soonest first; nothing once it is finished."""
    if not make.running:
        return []
    found = [*_of_stage(make, plan, runs), *_of_timers(make, timers)]
    return sorted(found, key=_instant)


def stage_ends_ms(run: StageRun, stage: Stage) -> int | None:
    """When a stage that runs is to end, None when it has not begun."""
    if run.began_ms is None:
        return None
    return run.began_ms + round(run.minutes(stage.minutes) * MINUTE_MS)


def next_turn_ms(run: StageRun, stage: Stage) -> int | None:
    """When the next turn within a stage that runs is due, None when there is none left.

    Turns part the stage as its plan says, into equal parts where it says no other; none falls on
    its end.
    """
    done = len(run.turned_ms)
    if run.began_ms is None or done >= stage.turns:
        return None
    since = run.again_ms[-1] if run.again_ms else run.began_ms
    lasts = run.minutes(stage.minutes) * MINUTE_MS - (since - run.began_ms)
    parts = stage.parts_min
    return since + round(lasts * sum(parts[: done + 1]) / sum(parts))


def turn_of(plan: Plan, stage: Stage, done: int) -> Message:
    """The next turn, and the load after it where that is another: "turn 2 of 3, then 12 kg"."""
    parts = stage.pressures_kpa
    if done + 1 < len(parts) and parts[done + 1] != parts[done]:
        kpa = parts[done + 1]
        load_kg = press_load_kg(plan, kpa)
        return Message(
            "records.turn-then-load", turn=done + 1, turns=stage.turns, kpa=kpa, load_kg=load_kg
        )
    return Message("records.turn", turn=done + 1, turns=stage.turns)


def _of_stage(make: Make, plan: Plan, runs: Sequence[StageRun]) -> Iterator[DueItem]:
    run = running_run(make, runs)
    if run is None or run.position >= len(plan.stages):
        return
    stage = plan.stages[run.position]
    ends = stage_ends_ms(run, stage)
    if ends is not None:
        yield DueItem(id_of(make), make.code, STAGE, stage.label, ends, id_of(run))
    turn = next_turn_ms(run, stage)
    if turn is not None and turn != ends:
        words = turn_of(plan, stage, len(run.turned_ms))
        yield DueItem(id_of(make), make.code, TURN, words, turn, id_of(run))


def _of_timers(make: Make, timers: Iterable[Timer]) -> Iterator[DueItem]:
    for timer in timers:
        if timer.running and timer.ends_ms is not None:
            yield DueItem(id_of(make), make.code, TIMER, timer.name, timer.ends_ms, id_of(timer))


def _instant(one: DueItem) -> tuple[int, int, str]:
    return one.at_ms, one.key, one.kind
