"""Readings that arrive by themselves: appended cheaply, nothing twice, beside undo and redo."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.keeping import Change, Journal, KeepingError
from journal.keeping.readings import FOLD_AT
from journal.keeping.streaming import only_new
from journal.message import Message
from journal.records import RecordError
from journal.records.makes import Make, Milk
from journal.records.plans import Plan
from journal.records.sources import Source
from journal.records.traces import STRUCK
from journal.wording import text_of
from tests.refusals import refused

START = 1_760_000_000_000


def append(saved: Journal, make: Make, first: int, count: int, source: str = "vat probe") -> int:
    """One reading a second from the second `first` on, each with a value of its own."""
    seconds = np.arange(first, first + count)
    return saved.readings.append_many(
        make.id or 0, "milk-temp", START + 1000 * seconds, 20 + seconds / 1000, source
    )


def seconds(saved: Journal, make: Make) -> list[int]:
    trace = saved.readings.trace(make.id or 0, "milk-temp")
    assert trace.value.tolist() == [20 + s / 1000 for s in ((trace.at_ms - START) // 1000).tolist()]
    return ((trace.at_ms - START) // 1000).tolist()


def test_what_is_appended_is_no_step_to_undo(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id or 0, "curd-ph", 6.5, START)
    assert append(saved, make, 0, 5) == 5
    assert saved.undo_name == Message("keeping.act-reading", kind="curd-ph")
    saved.undo()
    assert saved.redo_name == Message("keeping.act-reading", kind="curd-ph")
    assert append(saved, make, 5, 5) == 5
    assert saved.redo() == Message("keeping.act-reading", kind="curd-ph")
    assert seconds(saved, make) == list(range(10))
    assert len(saved.readings.trace(make.id or 0, "curd-ph")) == 1
    assert saved.check() == []


def test_nothing_is_kept_twice_whoever_brought_it(saved: Journal, make: Make) -> None:
    append(saved, make, 0, 10)
    assert append(saved, make, 5, 10) == 5
    at = START + 1000 * np.arange(20)
    assert saved.readings.add_many(make.id or 0, "milk-temp", at, 20 + np.arange(20) / 1000) == 5
    assert append(saved, make, 0, 21, source="another") == 1
    assert seconds(saved, make) == list(range(21))


def test_several_are_one_transaction_and_one_notice(saved: Journal, make: Make) -> None:
    heard: list[Change] = []
    saved.listen(heard.append)
    with saved.appending("readings of probes", initiator=heard):
        append(saved, make, 0, 3)
        saved.readings.append_many(
            make.id or 0, "curd-ph", np.array([START]), np.array([6.5]), "other"
        )
        saved.set_setting("probe:x", "mark")
    assert [(c.kinds, c.makes, c.initiator) for c in heard] == [
        (frozenset({"reading"}), frozenset({make.id}), heard)
    ]
    with refused(RecordError, "keeping.readings-impossible"):
        _append_with_an_impossible_one(saved, make)
    assert (seconds(saved, make), saved.setting("probe:x")) == ([0, 1, 2], "mark")


def _append_with_an_impossible_one(saved: Journal, make: Make) -> None:
    with saved.appending("readings of probes"):
        saved.set_setting("probe:x", "a later mark")
        append(saved, make, 3, 3)
        saved.readings.append_many(
            make.id or 0, "curd-ph", np.array([START]), np.array([65.0]), "other"
        )


def test_a_long_stream_is_folded_on_the_way(saved: Journal, make: Make) -> None:
    total = 2 * FOLD_AT + 10
    for first in range(0, total, 37):
        append(saved, make, first, min(37, total - first))
    assert seconds(saved, make) == list(range(total))
    rows = saved._db.execute("select count(*) from reading_log").fetchone()[0]
    assert rows < FOLD_AT
    assert append(saved, make, 0, total) == 0
    assert saved.check() == []


def test_the_reading_that_makes_a_stream_long_has_it_folded(saved: Journal, make: Make) -> None:
    count = "select count(*) from reading_log"
    append(saved, make, 0, FOLD_AT - 1)
    assert saved._db.execute(count).fetchone() == (FOLD_AT - 1,)
    append(saved, make, FOLD_AT - 1, 1)
    assert saved._db.execute(count).fetchone() == (0,)
    assert seconds(saved, make) == list(range(FOLD_AT))


def test_a_long_piece_goes_straight_into_blocks(saved: Journal, make: Make) -> None:
    assert append(saved, make, 0, FOLD_AT + 1) == FOLD_AT + 1
    assert saved._db.execute("select count(*) from reading_log").fetchone()[0] == 0
    assert append(saved, make, FOLD_AT - 5, 10) == 4
    assert seconds(saved, make) == list(range(FOLD_AT + 5))


def test_a_struck_reading_stays_struck_and_can_stand_again(saved: Journal, make: Make) -> None:
    append(saved, make, 0, 10)
    saved.readings.strike(make.id or 0, "milk-temp", START + 3000, 20.003)
    append(saved, make, 10, FOLD_AT)
    trace = saved.readings.trace(make.id or 0, "milk-temp")
    assert np.flatnonzero(trace.flags & STRUCK).tolist() == [3]
    assert saved.undo() == Message("keeping.act-strike")
    trace = saved.readings.trace(make.id or 0, "milk-temp")
    assert not (trace.flags & STRUCK).any()
    assert seconds(saved, make) == list(range(FOLD_AT + 10))


def test_the_last_typed_readings_are_not_pushed_away(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id or 0, "milk-temp", 31.0, START)
    append(saved, make, 1, 20)
    assert [r.value for r in saved.readings.last(make.id or 0)] == [31.0]


def test_a_make_with_a_probes_readings_is_not_undone_away(saved: Journal, plan: Plan) -> None:
    make = saved.makes.begin(plan, Milk(12.0), START)
    append(saved, make, 0, 3)
    assert saved.undo_name == Message("keeping.act-begin-make")
    with refused(KeepingError, "keeping.something-hangs-on-it"):
        saved.undo()
    assert seconds(saved, make) == [0, 1, 2]
    assert saved.check() == []


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 3)), max_size=40), st.integers(0, 40))
def test_only_new_is_what_a_set_says(pairs: list[tuple[int, int]], cut: int) -> None:
    old, new = pairs[:cut], pairs[cut:]
    columns = [
        (np.array([p[0] for p in part], np.int64), np.array([p[1] for p in part], np.float64))
        for part in (old, new)
    ]
    at, value = (part[only_new(columns[0], *columns[1])] for part in columns[1])
    assert list(zip(at.tolist(), value.tolist(), strict=True)) == sorted(set(new) - set(old))


def test_a_source_is_kept_changed_undone_and_binned(saved: Journal, make: Make) -> None:
    source = saved.sources.save(
        Source("vat probe", "line", "milk-temp", "degF", json.dumps({"device": "COM3"}), make.id)
    )
    assert saved.sources.get(source.id or 0) == source
    saved.sources.remove(source.id or 0)
    assert saved.sources.all() == []
    saved.undo()
    assert saved.sources.where(make_id=make.id) == [source]


@pytest.mark.parametrize(
    ("kind", "settings", "fault"),
    [
        ("line", {}, "The device of probe is not given yet."),
        ("topic", {"host": "h"}, "The topic of probe is not given yet."),
        (
            "topic",
            {"host": "h", "topic": "t", "password": "secret"},
            "an MQTT topic has no password.",
        ),
        ("wire", {"device": "x"}, "“wire” is not a kind of source. There are: file, topic, line."),
    ],
)
def test_what_cannot_be_a_source_is_refused(kind: str, settings: dict, fault: str) -> None:
    with pytest.raises(RecordError) as caught:
        Source("probe", kind, "milk-temp", "", json.dumps(settings))
    assert text_of(caught.value) == fault


def test_what_was_typed_or_struck_is_taken_back_however_many_there_are(
    saved: Journal, make: Make
) -> None:
    """Also after the journal was opened again, when long logs of sensors become blocks."""
    key = make.id or 0
    with saved.unit("by-hand"):
        for n in range(FOLD_AT + 3):
            saved.readings.log(key, "curd-ph", 6.0, START + 1000 * n)
    saved.readings.log(key, "curd-ph", 5.5, START + 1000 * FOLD_AT)
    append(saved, make, 0, FOLD_AT - 1)
    saved.readings.strike(key, "milk-temp", START + 3000, 20.003)
    saved.readings.strike(key, "milk-temp", START + 3000, 20.003, struck=False)
    append(saved, make, FOLD_AT - 1, 5)
    saved.close()
    with Journal.open(saved.path) as later:
        kept = later._db.execute("select trace_id, count(*) from reading_log group by trace_id")
        assert sorted(count for _, count in kept) == [1, FOLD_AT + 4]
        assert len(later.readings.trace(key, "milk-temp")) == FOLD_AT + 4
        typed = later.readings.last(key, 1)[0]
        later.readings.strike(key, "curd-ph", typed.at_ms, typed.value)
        for _ in range(3):  # the striking, and letting stand and striking of the day before
            later.undo()
        assert not (later.readings.trace(key, "milk-temp").flags & STRUCK).any()
        later.undo()
        assert len(later.readings.trace(key, "curd-ph")) == FOLD_AT + 3
        later.undo()
        assert len(later.readings.trace(key, "curd-ph")) == 0
        assert later.check() == []
