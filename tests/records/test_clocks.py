"""The instant the day goes by, through sleep, a set clock, drift and a closed program."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import given
from hypothesis import strategies as st

from journal.records.clocks import SET, SLEPT, Clocks, Timekeeper, machine_clocks

START = 1_760_000_000_000
HOUR = 3_600_000


@dataclass
class Machine:
    """A machine whose three clocks a test moves by hand."""

    wall: int = START
    awake: int = 5_000
    steady: int = 9_000
    true: int = START

    def run(self, ms: int, drift: int = 0) -> None:
        self.wall += ms + drift
        self.awake += ms
        self.steady += ms
        self.true += ms

    def sleep(self, ms: int) -> None:
        self.wall += ms
        self.steady += ms
        self.true += ms

    def set_clock(self, ms: int) -> None:
        self.wall += ms

    def clocks(self, boot: str = "one") -> Clocks:
        return Clocks(lambda: self.wall, lambda: self.awake, lambda: self.steady, boot)


def test_a_clock_that_is_set_shifts_nothing() -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    machine.run(10_000)
    machine.set_clock(HOUR)
    machine.run(1_000)
    assert keeper.now() == machine.true
    machine.set_clock(-2 * HOUR)
    assert keeper.now() == machine.true
    assert [(s.kind, s.ms) for s in keeper.steps()] == [(SET, HOUR), (SET, -2 * HOUR)]
    assert keeper.steps() == []


def test_sleep_is_time_that_passed() -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    machine.sleep(20 * 60_000)
    machine.run(400)
    assert keeper.now() == machine.true
    (step,) = keeper.steps()
    assert (step.kind, step.ms, step.at_ms) == (SLEPT, 20 * 60_000, machine.true)


def test_sleep_and_a_set_clock_at_once_are_told_apart() -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    machine.sleep(HOUR)
    machine.set_clock(-HOUR)
    assert keeper.now() == machine.true
    assert {(s.kind, s.ms) for s in keeper.steps()} == {(SET, -HOUR), (SLEPT, HOUR)}


def test_without_a_steady_clock_a_leap_ahead_is_sleep_and_one_back_a_set_clock() -> None:
    machine = Machine()
    keeper = Timekeeper(Clocks(lambda: machine.wall, lambda: machine.awake))
    machine.sleep(HOUR)
    assert keeper.now() == machine.true
    machine.set_clock(-HOUR)
    assert keeper.now() == machine.true
    assert [s.kind for s in keeper.steps()] == [SLEPT, SET]


def test_one_clock_alone_is_believed() -> None:
    machine = Machine()
    keeper = Timekeeper(Clocks(lambda: machine.wall))
    machine.set_clock(HOUR)
    assert keeper.now() == START + HOUR
    assert keeper.steps() == []


def test_a_clock_set_while_the_program_is_closed_is_noticed() -> None:
    machine = Machine()
    before = Timekeeper(machine.clocks())
    machine.set_clock(600_000)
    before.now()
    kept = before.kept()
    machine.sleep(HOUR)
    machine.set_clock(-HOUR)
    after = Timekeeper(machine.clocks(), kept)
    assert after.now() == machine.true
    assert [(s.kind, s.ms) for s in after.steps()] == [(SET, -HOUR)]


def test_a_clock_set_just_before_it_is_kept_is_noticed_at_the_next_opening() -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    machine.run(10_000)
    assert keeper.now() == machine.true
    machine.set_clock(2 * HOUR)
    later = Timekeeper(machine.clocks(), keeper.kept())
    assert later.doubt is None
    assert later.now() == machine.true


def test_a_machine_that_sleeps_between_two_of_its_clocks_is_looked_at_again() -> None:
    machine = Machine()
    naps: list[int] = []

    def awake() -> int:
        machine.sleep(naps.pop() if naps else 0)
        return machine.awake

    keeper = Timekeeper(Clocks(lambda: machine.wall, awake, lambda: machine.steady, "one"))
    naps.append(8 * HOUR)
    later = Timekeeper(machine.clocks(), keeper.kept())
    assert [(step.kind, step.ms) for step in keeper.steps()] == [(SLEPT, 8 * HOUR)]
    assert keeper.now() == later.now() == machine.true


def test_after_a_new_start_of_the_machine_what_was_held_back_stays_so() -> None:
    machine = Machine()
    before = Timekeeper(machine.clocks())
    machine.set_clock(HOUR)
    before.now()
    kept = before.kept()
    machine.steady = machine.awake = 0
    machine.sleep(5_000)
    after = Timekeeper(machine.clocks(boot="two"), kept)
    assert after.now() == machine.true


def test_what_cannot_be_read_is_passed_over() -> None:
    machine = Machine()
    for kept in ("", "nothing", "{}", '{"wall": "x", "steady": 1, "offset": 2}', "[]"):
        assert Timekeeper(machine.clocks(), kept).now() == machine.true


_HAPPENS = st.one_of(
    st.tuples(st.just("run"), st.integers(0, 5_000), st.integers(-400, 400)),
    st.tuples(st.just("sleep"), st.integers(0, 10 * HOUR), st.just(0)),
    st.tuples(
        st.just("set_clock"),
        st.one_of(st.integers(2_000, 50 * HOUR), st.integers(-50 * HOUR, -2_000)),
        st.just(0),
    ),
)


@given(st.lists(_HAPPENS, max_size=40))
def test_whatever_happens_only_drift_moves_it(story: list[tuple[str, int, int]]) -> None:
    machine = Machine()
    keeper = Timekeeper(machine.clocks())
    drifted = 0
    for what, ms, drift in story:
        if what == "run":
            machine.run(ms, drift)
            drifted += drift
        else:
            getattr(machine, what)(ms)
        assert keeper.now() == machine.true + drifted


def test_this_machine_has_clocks_that_go_on() -> None:
    clocks = machine_clocks()
    keeper = Timekeeper(clocks)
    first = keeper.now()
    assert keeper.now() >= first
    assert keeper.steps() == []
    assert abs(first - clocks.wall()) < 60_000
