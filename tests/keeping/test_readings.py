"""Readings: durable at once, packed without loss, kept once, struck out and back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.keeping import Journal, KeepingError
from journal.keeping.blocks import BLOCK, pack, read_outline, split, unpack
from journal.message import Message
from journal.records import RecordError
from journal.records.makes import Make
from journal.records.traces import CORRECTED, STRUCK
from tests.refusals import refused

MINUTE = 60_000

instants = st.lists(
    st.integers(min_value=0, max_value=2**41), min_size=1, max_size=60, unique=True
).map(sorted)


@given(instants, st.data())
def test_packing_gives_back_the_very_same_numbers(at: list[int], data: st.DataObject) -> None:
    either = st.floats(-1e6, 1e6) | st.integers(-40_000, 110_000).map(lambda i: i / 1000)
    value = data.draw(st.lists(either, min_size=len(at), max_size=len(at)))
    flags = data.draw(st.lists(st.integers(0, 7), min_size=len(at), max_size=len(at)))
    at_ms, values = np.array(at, np.int64), np.array(value, float)
    marks = np.array(flags, np.uint8)
    back = [np.concatenate(part) for part in zip(*_round_trip(at_ms, values, marks), strict=True)]
    np.testing.assert_array_equal(back[0], at_ms)
    np.testing.assert_array_equal(back[1], values)
    np.testing.assert_array_equal(back[2], marks)


def _round_trip(at: np.ndarray, value: np.ndarray, flags: np.ndarray) -> list[tuple]:
    out = []
    for part in split(at):
        block = pack(at[part], value[part], flags[part])
        out.append(
            unpack(block.first_ms, block.count, block.coding, block.at, block.value, block.flags)
        )
    return out


def test_a_probe_packs_into_two_bytes_a_reading() -> None:
    rng = np.random.default_rng(3)
    at = np.arange(BLOCK) * 1000
    value = np.round(31 + np.cumsum(rng.normal(0, 0.02, BLOCK)), 2)
    block = pack(at, value, np.zeros(BLOCK, np.uint8))
    assert block.coding == "milli"
    assert len(block.at) + len(block.value) < 2 * BLOCK


def test_an_outline_holds_every_peak() -> None:
    value = np.zeros(1000)
    value[617] = 9.0
    outline = read_outline(pack(np.arange(1000), value, np.zeros(1000, np.uint8)).outline)
    assert outline[:, 2].max() == 9.0
    assert len(outline) == 4


def test_a_logged_reading_survives_a_killed_process(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.vatside"
    say = (
        "import os, signal, sys\n"
        "from journal.keeping import Journal\n"
        "from journal.records.makes import Milk\n"
        "from journal.records.plans import Plan, Stage\n"
        f"j = Journal.create({str(path)!r})\n"
        "m = j.makes.begin(Plan('p', (Stage('warm', 30, target_c=31.0),)), Milk(10.0), 1000)\n"
        "for i in range(25): j.readings.log(m.id, 'milk-temp', 20.0 + i / 10, 1000 + i)\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    done = subprocess.run([sys.executable, "-c", say], check=False, env={**os.environ})
    assert done.returncode == -signal.SIGKILL
    with Journal.open(path) as journal:
        trace = journal.readings.trace(journal.makes.by_code("latest").id or 0, "milk-temp")
        np.testing.assert_array_equal(trace.value, 20.0 + np.arange(25) / 10)
        assert journal.check() == []


def test_a_late_reading_takes_its_place_in_time(saved: Journal, make: Make) -> None:
    zero = make.started_ms
    saved.readings.log(make.id or 0, "milk-temp", 31.0, zero + 10 * MINUTE)
    saved.readings.log(make.id or 0, "milk-temp", 29.0, zero + 5 * MINUTE, CORRECTED)
    trace = saved.readings.trace(make.id or 0, "milk-temp")
    assert trace.value.tolist() == [29.0, 31.0]
    assert [r.value for r in saved.readings.last(make.id or 0)] == [31.0, 29.0]


def test_nothing_is_kept_twice(saved: Journal, make: Make) -> None:
    key = make.id or 0
    at = make.started_ms + np.arange(3000) * 1000
    value = np.round(np.linspace(5, 31, 3000), 2)
    assert saved.readings.add_many(key, "milk-temp", at, value) == 3000
    assert saved.readings.add_many(key, "milk-temp", at, value) == 0
    longer = make.started_ms + np.arange(3500) * 1000
    again = np.concatenate([value, np.full(500, 31.0)])
    assert saved.readings.add_many(key, "milk-temp", longer, again, "other probe") == 500
    assert saved.readings.count(key) == 3500
    trace = saved.readings.trace(key, "milk-temp")
    assert np.all(np.diff(trace.at_ms) > 0)


def test_another_value_at_the_same_instant_is_no_double(saved: Journal, make: Make) -> None:
    at = np.array([make.started_ms, make.started_ms])
    assert saved.readings.add_many(make.id or 0, "milk-temp", at, np.array([30.0, 30.1])) == 2


@pytest.mark.parametrize("in_block", [True, False])
def test_strike_and_let_stand(saved: Journal, make: Make, in_block: bool) -> None:
    key, at = make.id or 0, make.started_ms + np.arange(50) * MINUTE
    value = 30 + np.arange(50) / 10
    if in_block:
        saved.readings.add_many(key, "milk-temp", at, value)
    else:
        for t, v in zip(at.tolist(), value.tolist(), strict=True):
            saved.readings.log(key, "milk-temp", v, t)
    saved.readings.strike(key, "milk-temp", int(at[7]), float(value[7]))
    trace = saved.readings.trace(key, "milk-temp")
    assert np.flatnonzero(trace.flags & STRUCK).tolist() == [7]
    assert len(trace) == 50
    assert len(trace.sound()) == 49
    with refused(KeepingError, "keeping.no-such-reading"):
        saved.readings.strike(key, "milk-temp", int(at[7]), float(value[7]))
    saved.readings.strike(key, "milk-temp", int(at[7]), float(value[7]), struck=False)
    assert len(saved.readings.trace(key, "milk-temp").sound()) == 50


def test_a_long_log_of_a_sensor_folds_into_blocks_and_reads_the_same(
    tmp_path: Path, plan, monkeypatch
) -> None:
    """All but what was struck out, which may be taken back."""
    from journal.records.makes import Milk

    path = tmp_path / "long.vatside"
    rng = np.random.default_rng(1)
    with Journal.create(path) as journal:
        key = journal.makes.begin(plan, Milk(10.0), 0).id or 0
        with monkeypatch.context() as patch:
            patch.setattr("journal.keeping.readings.FOLD_AT", 10_000)
            order = rng.permutation(2500)
            journal.readings.append_many(key, "milk-temp", order * 1000, 20 + order / 1000, "probe")
        for i in range(0, 2500, 97):
            journal.readings.strike(key, "milk-temp", i * 1000, 20 + i / 1000)
        before = journal.readings.trace(key, "milk-temp")
    with Journal.open(path) as journal:
        after = journal.readings.trace(key, "milk-temp")
        rows = journal._db.execute("select count(*) from reading_log").fetchone()[0]
        assert rows == 26
        assert journal.undo() == Message("keeping.act-strike"), "folding is no act"
        again = journal.readings.trace(key, "milk-temp")
        assert np.flatnonzero(again.flags != before.flags).tolist() == [25 * 97]
        assert journal.check() == []
    for name in ("at_ms", "value", "flags"):
        np.testing.assert_array_equal(getattr(before, name), getattr(after, name))


def test_a_long_log_that_was_typed_stays_and_is_taken_back(tmp_path: Path, plan) -> None:
    from journal.records.makes import Milk

    path = tmp_path / "long.vatside"
    with Journal.create(path) as journal:
        key = journal.makes.begin(plan, Milk(10.0), 0).id or 0
        with journal.unit("many"):
            for i in range(2500):
                journal.readings.log(key, "milk-temp", 20 + i / 1000, i * 1000, int(i % 97 == 0))
    with Journal.open(path) as journal:
        assert journal._db.execute("select count(*) from reading_log").fetchone()[0] == 2500
        assert journal.undo() == Message("many")
        assert len(journal.readings.trace(key, "milk-temp")) == 0
        assert journal.redo() == Message("many")
        assert len(journal.readings.trace(key, "milk-temp")) == 2500
        assert journal.check() == []


def test_impossible_readings_are_refused(saved: Journal, make: Make) -> None:
    key = make.id or 0
    with refused(RecordError, "keeping.reading-impossible", kind="curd-ph", value=31.4):
        saved.readings.log(key, "curd-ph", 31.4, make.started_ms)
    with refused(RecordError, "records.no-such-reading", word="moonlight"):
        saved.readings.log(key, "moonlight", 1.0, make.started_ms)
    with refused(RecordError, "keeping.readings-impossible", kind="milk-temp", high=110.0):
        saved.readings.add_many(key, "milk-temp", np.array([1, 2]), np.array([20.0, float("nan")]))
    assert saved.readings.count(key) == 0


def test_a_small_picture_of_a_long_trace(saved: Journal, make: Make) -> None:
    key, n = make.id or 0, 40_000
    at = make.started_ms + np.arange(n) * 1000
    value = np.full(n, 31.0)
    value[23_456] = 55.0
    saved.readings.add_many(key, "milk-temp", at, value)
    when, low, high = saved.readings.outline(key, "milk-temp", 40)
    assert len(when) <= 40
    assert high.max() == 55.0
    assert low.min() == 31.0
