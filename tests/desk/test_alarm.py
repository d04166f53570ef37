"""The alarm of the window: what falls due, once, through a new start and a clock that is set."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from journal.desk.alarm import Alarm, timekeeper_on
from journal.desk.sound import Bell
from journal.records.clocks import SET, SLEPT, ClockJump, Clocks
from journal.wording.alarms import jump_words
from tests.records.test_clocks import Machine

HOUR = 3_600_000


@pytest.fixture
def machine(kitchen) -> Machine:
    made = Machine()
    made.wall = made.true = kitchen.start_ms
    return made


@pytest.fixture
def alarm_of(qtbot, kitchen, machine):
    """An alarm on the kitchen's journal that ticks only when told."""
    made = []

    def opened() -> Alarm:
        clocks = machine.clocks()
        one = Alarm(kitchen.journal, timekeeper_on(clocks, kitchen.journal), 86_400_000)
        kitchen.journal.listen(one.on_change)
        made.append(one)
        return one

    yield opened
    for one in made:
        kitchen.journal.unlisten(one.on_change)
        one.stop()


def test_a_stage_falls_due_once(alarm_of, machine, qtbot):
    alarm, output = alarm_of(), []
    alarm.rang.connect(output.append)
    machine.run(30 * 60_000 - 1000)
    alarm.tick()
    assert output == []
    machine.run(1000)
    alarm.tick()
    machine.run(5000)
    alarm.tick()
    assert [(one.kind, one.words) for one in output] == [("stage", "warm")]


def test_a_timer_that_ended_while_nobody_looked_rings_at_the_next_start(alarm_of, machine, kitchen):
    kitchen.journal.day.start_timer(kitchen.make.id, "kettle", machine.wall, 5)
    machine.run(20 * 60_000)
    alarm, output = alarm_of(), []
    alarm.rang.connect(output.append)
    alarm.tick()
    assert [one.words for one in output] == ["kettle"]


def test_a_set_clock_rings_nothing_early_and_is_told(alarm_of, machine):
    alarm, output, report = alarm_of(), [], []
    alarm.rang.connect(output.append)
    alarm.noticed.connect(report.append)
    machine.run(60_000)
    alarm.tick()
    machine.set_clock(3 * HOUR)
    machine.run(1000)
    alarm.tick()
    assert output == []
    assert [(step.kind, step.ms) for step in report] == [(SET, 3 * HOUR)]


def test_a_clock_set_in_one_run_is_still_held_off_in_the_next(alarm_of, machine):
    alarm = alarm_of()
    machine.set_clock(-2 * HOUR)
    alarm.tick()
    machine.run(10 * 60_000)
    again = alarm_of()
    assert again.now() == machine.true


def test_without_a_running_make_the_wall_is_followed(alarm_of, machine, kitchen):
    alarm = alarm_of()
    machine.set_clock(HOUR)
    alarm.tick()
    kitchen.journal.makes.finish(kitchen.make.id, [], alarm.now())
    assert alarm_of().now() == machine.wall


def test_sleep_rings_for_what_ended_in_it(alarm_of, machine):
    alarm, output = alarm_of(), []
    alarm.rang.connect(output.append)
    machine.run(25 * 60_000)
    alarm.tick()
    machine.sleep(20 * 60_000)
    alarm.tick()
    assert [one.words for one in output] == ["warm"]


def test_what_is_told_of_the_clocks():
    assert jump_words(ClockJump(SLEPT, 95_000, 0)).startswith("The computer slept for 95 s.")
    assert "for 1 h 20 min" in jump_words(ClockJump(SLEPT, 80 * 60_000, 0))
    assert "back by 5 min" in jump_words(ClockJump(SET, -300_000, 0))


def test_the_bell_is_silent_without_a_word_where_nothing_can_sound(qapp):
    bell = Bell()
    bell.ring()
    assert not bell.heard


def test_the_part_of_qt_that_sounds_is_not_loaded_before_it_rings():
    output = subprocess.run(
        [sys.executable, "-c",
         "import sys, journal.desk.window\nprint('PySide6.QtMultimedia' in sys.modules)"],
        capture_output=True, text=True, check=True, env={**os.environ},
    )  # fmt: skip
    assert output.stdout.split() == ["False"]


def test_one_clock_alone_will_do(kitchen):
    keeper = timekeeper_on(Clocks(kitchen.clock), kitchen.journal)
    assert keeper.now() == kitchen.now_ms


def test_the_bell_sounds_eight_times_half_a_minute_apart_and_then_no_more(
    alarm_of, machine, monkeypatch
):
    rung_at = []
    monkeypatch.setattr(Bell, "ring", lambda _bell: rung_at.append(machine.wall))
    alarm = alarm_of()
    machine.run(30 * 60_000)
    for _ in range(600):
        alarm.tick()
        machine.run(1000)
    begun = rung_at[0]
    assert [at - begun for at in rung_at] == [30_000 * i for i in range(8)]
