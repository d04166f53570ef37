"""What is far from the trend: a delay of the hand is, a quick fire on its ramp is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.trend import doubtful_among, far_from, is_doubtful, just_woken, odd_alone
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.traces import DOUBTFUL, STRUCK, Trace
from journal.records.whole import WholeMake

MINUTE = 60_000
PLAN = Plan(
    "hard", (Stage("warm", 30, target_c=31.0), Stage("ripen", 60, target_c=31.0)), milk_c=5.0
)


def whole(*readings: tuple[float, float], kind: str = "milk-temp", flags: int = 0) -> WholeMake:
    """A make with readings of one kind: minute, value; `flags` mark the last."""
    at = np.array([round(m * MINUTE) for m, _ in readings], np.int64)
    marks = np.zeros(len(at), np.uint8)
    marks[-1:] = flags
    trace = Trace(kind, at, np.array([v for _, v in readings], float), marks)
    return WholeMake(Make("HL-0001", 1, Milk(12.0), 0), PLAN, traces={kind: trace})


@pytest.mark.parametrize(
    ("readings", "minute", "value", "far"),
    [
        (((40, 31.3),), 41, 42.1, True),  # a delay of the hand
        (((40, 31.3),), 41, 33.0, False),
        (((5, 9.0),), 25, 26.5, False),  # the plan itself warms as far
        (((30, 30.6), (40, 31.1)), 60, 42.1, True),  # a ramp that is over does not go on
        (((2, 8.0), (4, 14.0)), 8, 26.0, False),  # the fire is quicker than the plan
        (((40, 31.3),), 110, 4.0, False),  # too long ago to say anything
    ],
)
def test_temperature(readings, minute, value, far) -> None:
    found = far_from(whole(*readings), "milk-temp", value, minute * MINUTE)
    assert (found is not None) == far
    if far:
        assert found == readings[-1][1]


def test_the_first_reading_is_never_far() -> None:
    assert far_from(whole((0, 5.0)), "curd-ph", 4.0, MINUTE) is None


def test_acidity_has_its_own_room() -> None:
    make = whole((60, 6.5), kind="curd-ph")
    assert far_from(make, "curd-ph", 6.3, 62 * MINUTE) is None
    assert far_from(make, "curd-ph", 5.5, 62 * MINUTE) == 6.5


def test_a_doubtful_reading_is_passed_over_unless_the_next_agrees() -> None:
    make = whole((40, 31.3), (44, 20.0), flags=DOUBTFUL)
    assert far_from(make, "milk-temp", 31.0, 48 * MINUTE) is None
    assert far_from(make, "milk-temp", 20.3, 48 * MINUTE) is None
    assert far_from(make, "milk-temp", 44.0, 48 * MINUTE) == 31.3


@pytest.mark.parametrize(
    ("readings", "minute", "value", "asked"),
    [
        (((60, 6.30),), 75, 6.41, 6.30),
        (((60, 6.30),), 75, 6.40, None),  # not over 0.1
        (((60, 6.30),), 75, 6.20, None),
        (((60, 5.40),), 900, 5.60, 5.40),  # the next morning
        (((60, 6.60), (90, 6.30)), 100, 6.55, 6.30),  # back where it was
    ],
)
@pytest.mark.parametrize("kind", ["milk-ph", "curd-ph", "whey-ph"])
def test_a_ph_that_rises_is_asked_about(kind, readings, minute, value, asked) -> None:
    assert far_from(whole(*readings, kind=kind), kind, value, minute * MINUTE) == asked


def test_a_ph_that_rose_and_was_kept_with_a_mark_may_stay_there() -> None:
    make = whole((60, 6.30), (75, 6.50), kind="curd-ph", flags=DOUBTFUL)
    assert far_from(make, "curd-ph", 6.48, 90 * MINUTE) is None
    assert far_from(make, "curd-ph", 6.65, 90 * MINUTE) == 6.30


def test_a_struck_reading_counts_for_nothing() -> None:
    make = whole((40, 31.3), (44, 20.0), flags=STRUCK)
    assert far_from(make, "milk-temp", 20.3, 48 * MINUTE) == 31.3


def test_what_has_no_trend_is_never_far() -> None:
    make = replace(whole((40, 5.0), kind="load"))
    assert far_from(make, "load", 90.0, 41 * MINUTE) is None


@pytest.mark.parametrize(
    ("kind", "minute", "value", "odd"),
    [
        (
            "milk-ph",
            20,
            6.65,
            False,
        ),  # fresh milk (Guelph 6.62; J. Milk Sci. Biotechnol. 6.59)
        ("milk-ph", 20, 4.0, True),  # a delay of the hand
        ("milk-ph", 400, 4.5, False),  # a lactic set, the next morning
        ("curd-ph", 400, 4.4, False),  # the end of feta, University of Guelph
        ("curd-ph", 200, 7.8, True),
        ("milk-temp", 1, 5.0, False),
        ("milk-temp", 1, 88.5, True),  # °F typed without its letter
        ("load", 1, 88.5, False),
    ],
)
def test_a_reading_alone_is_held_to_what_is_usual(kind, minute, value, odd) -> None:
    assert odd_alone(whole((0, 0.0), kind="heat"), kind, value, minute * MINUTE) == odd


def test_a_reading_that_is_not_alone_is_held_to_its_trend() -> None:
    make = whole((60, 4.1), kind="curd-ph")
    assert not odd_alone(make, "curd-ph", 4.0, 70 * MINUTE)
    assert odd_alone(make, "curd-ph", 4.0, 200 * MINUTE)


def test_the_last_hour_is_what_a_reading_is_held_to() -> None:
    make = whole((60, 4.1), kind="curd-ph")
    assert not odd_alone(make, "curd-ph", 4.0, 120 * MINUTE)
    assert odd_alone(make, "curd-ph", 4.0, 121 * MINUTE - 1)


@pytest.mark.parametrize("kind", ["milk-temp", "curd-ph"])
def test_readings_of_a_file_are_asked_about_as_if_each_was_typed_at_the_vat(kind) -> None:
    rng, asked = np.random.default_rng(5), 0
    for _ in range(12):
        at = np.cumsum(rng.choice([1, 4, 15, 50, 80], 30, p=[0.3, 0.3, 0.2, 0.1, 0.1])) * MINUTE
        middle, sd = (31.0, 3.0) if kind == "milk-temp" else (5.8, 0.15)
        value = middle + rng.normal(0, sd, 30) * rng.choice([0.2, 1, 4], 30)
        flags = np.zeros(30, np.uint8)
        for i in range(30):
            before = Trace(kind, at[:i], value[:i], flags[:i])
            make = replace(whole((0, 31.0)), traces={kind: before})
            flags[i] = DOUBTFUL * is_doubtful(make, kind, float(value[i]), int(at[i]))
        found = doubtful_among(replace(whole((0, 31.0)), traces={}), kind, at, value)
        assert found.tolist() == (flags != 0).tolist()
        asked += int(found.sum())
    assert 50 < asked < 300


@pytest.mark.parametrize(
    ("value", "woken"),
    [
        ((31.0, 85.0, 31.2), (1,)),
        ((85.0, 85.0, 31.0), (0, 1)),
        ((72.0, 85.0, 84.0), ()),  # it came there by itself
        ((31.0, 84.9, 31.0), ()),  # not the number of the data sheet
        ((85.0, 85.0), ()),  # nothing beside it
    ],
)
def test_a_sensor_that_has_not_measured_yet_shows_85(value, woken) -> None:
    trace = whole(*enumerate(value)).trace("milk-temp")
    assert tuple(np.flatnonzero(just_woken(trace))) == woken
