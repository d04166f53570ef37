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


def append(kept: Journal, make: Make, first: int, count: int, source: str = "vat probe") -> int:
    """One reading a second from the second `first` on, each with a value of its own."""
    seconds = np.arange(first, first + count)
    return kept.readings.append_many(
        make.id or 0, "milk-temp", START + 1000 * seconds, 20 + seconds / 1000, source
    )


def seconds(kept: Journal, make: Make) -> list[int]:
    trace = kept.readings.trace(make.id or 0, "milk-temp")
    assert trace.value.tolist() == [20 + s / 1000 for s in ((trace.at_ms - START) // 1000).tolist()]
    return ((trace.at_ms - START) // 1000).tolist()


def test_what_is_appended_is_no_step_to_undo(kept: Journal, make: Make) -> None:
    kept.readings.log(make.id or 0, "curd-ph", 6.5, START)
    assert append(kept, make, 0, 5) == 5
    assert kept.undo_name == Message("keeping.act-reading", kind="curd-ph")
    kept.undo()
    assert kept.redo_name == Message("keeping.act-reading", kind="curd-ph")
    assert append(kept, make, 5, 5) == 5
    assert kept.redo() == Message("keeping.act-reading", kind="curd-ph")
    assert seconds(kept, make) == list(range(10))
    assert len(kept.readings.trace(make.id or 0, "curd-ph")) == 1
    assert kept.check() == []


def test_nothing_is_kept_twice_whoever_brought_it(kept: Journal, make: Make) -> None:
    append(kept, make, 0, 10)
    assert append(kept, make, 5, 10) == 5
    at = START + 1000 * np.arange(20)
    assert kept.readings.add_many(make.id or 0, "milk-temp", at, 20 + np.arange(20) / 1000) == 5
    assert append(kept, make, 0, 21, source="another") == 1
    assert seconds(kept, make) == list(range(21))


def test_several_are_one_transaction_and_one_notice(kept: Journal, make: Make) -> None:
    heard: list[Change] = []
    kept.listen(heard.append)
    with kept.appending("readings of probes", initiator=heard):
        append(kept, make, 0, 3)
        kept.readings.append_many(
            make.id or 0, "curd-ph", np.array([START]), np.array([6.5]), "other"
        )
        kept.set_setting("probe:x", "mark")
    assert [(c.kinds, c.makes, c.initiator) for c in heard] == [
        (frozenset({"reading"}), frozenset({make.id}), heard)
    ]
    with refused(RecordError, "keeping.readings-impossible"):
        _append_with_an_impossible_one(kept, make)
    assert (seconds(kept, make), kept.setting("probe:x")) == ([0, 1, 2], "mark")


def _append_with_an_impossible_one(kept: Journal, make: Make) -> None:
    with kept.appending("readings of probes"):
        kept.set_setting("probe:x", "a later mark")
        append(kept, make, 3, 3)
        kept.readings.append_many(
            make.id or 0, "curd-ph", np.array([START]), np.array([65.0]), "other"
        )


def test_a_long_stream_is_folded_on_the_way(kept: Journal, make: Make) -> None:
    total = 2 * FOLD_AT + 10
    for first in range(0, total, 37):
        append(kept, make, first, min(37, total - first))
    assert seconds(kept, make) == list(range(total))
    rows = kept._db.execute("select count(*) from reading_log").fetchone()[0]
    assert rows < FOLD_AT
    assert append(kept, make, 0, total) == 0
    assert kept.check() == []


def test_a_long_piece_goes_straight_into_blocks(kept: Journal, make: Make) -> None:
    assert append(kept, make, 0, FOLD_AT + 1) == FOLD_AT + 1
    assert kept._db.execute("select count(*) from reading_log").fetchone()[0] == 0
    assert append(kept, make, FOLD_AT - 5, 10) == 4
    assert seconds(kept, make) == list(range(FOLD_AT + 5))


def test_a_struck_reading_stays_struck_and_can_stand_again(kept: Journal, make: Make) -> None:
    append(kept, make, 0, 10)
    kept.readings.strike(make.id or 0, "milk-temp", START + 3000, 20.003)
    append(kept, make, 10, FOLD_AT)
    trace = kept.readings.trace(make.id or 0, "milk-temp")
    assert np.flatnonzero(trace.flags & STRUCK).tolist() == [3]
    assert kept.undo() == Message("keeping.act-strike")
    trace = kept.readings.trace(make.id or 0, "milk-temp")
    assert not (trace.flags & STRUCK).any()
    assert seconds(kept, make) == list(range(FOLD_AT + 10))


def test_the_last_typed_readings_are_not_pushed_away(kept: Journal, make: Make) -> None:
    kept.readings.log(make.id or 0, "milk-temp", 31.0, START)
    append(kept, make, 1, 20)
    assert [r.value for r in kept.readings.last(make.id or 0)] == [31.0]


def test_a_make_with_a_probes_readings_is_not_undone_away(kept: Journal, plan: Plan) -> None:
    make = kept.makes.begin(plan, Milk(12.0), START)
    append(kept, make, 0, 3)
    assert kept.undo_name == Message("keeping.act-begin-make")
    with refused(KeepingError, "keeping.something-hangs-on-it"):
        kept.undo()
    assert seconds(kept, make) == [0, 1, 2]
    assert kept.check() == []


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


def test_a_source_is_kept_changed_undone_and_binned(kept: Journal, make: Make) -> None:
    source = kept.sources.keep(
        Source("vat probe", "line", "milk-temp", "degF", json.dumps({"device": "COM3"}), make.id)
    )
    assert kept.sources.get(source.id or 0) == source
    kept.sources.remove(source.id or 0)
    assert kept.sources.all() == []
    kept.undo()
    assert kept.sources.where(make_id=make.id) == [source]


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
