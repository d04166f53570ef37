"""A plan on the clock: starts, ends, the night, stages that stretch, the clocks changed."""

from __future__ import annotations

import pytest

from journal.message import Instant
from journal.records import RecordError
from journal.records.day_typed import day_typed
from journal.records.instants import MINUTE_MS, from_iso, iso
from journal.records.plan_day import (
    day_of,
    is_night,
    night_minutes,
    night_moments,
    vat_minutes,
)
from journal.records.plan_text import builtin_plan
from journal.records.plans import Plan, Stage
from journal.wording import text_of
from journal.wording.dates import clock
from journal.wording.nights import moment_words, night_words
from tests.refusals import refused

ZONE = "Europe/London"
# 5 h 16 at the vat and 14 h 40 in the press: begun at 08:00 it is out at 03:56.
PLAN = Plan(
    "hard",
    (
        Stage("warm", 30, target_c=31.0),
        Stage("ripen", 60, target_c=31.0),
        Stage("set", 45, target_c=31.0),
        Stage("cook", 181, target_c=38.0),
        Stage("press", 880, pressure_kpa=5.0),
    ),
)


def _at(text: str) -> int:
    return from_iso(text, ZONE)


def test_from_a_start_and_to_an_end() -> None:
    day = day_of(PLAN, ZONE, start_ms=_at("2026-03-14T08:00"))
    assert iso(day.end_ms, ZONE) == "2026-03-15T03:56:00+00:00"
    back = day_of(PLAN, ZONE, end_ms=_at("2026-03-15T06:30"))
    assert iso(back.start_ms, ZONE) == "2026-03-14T10:34:00+00:00"
    assert vat_minutes(PLAN) == 316
    to_the_press = day_of(PLAN, ZONE, end_ms=_at("2026-03-14T22:00"), end_min=vat_minutes(PLAN))
    assert clock(to_the_press.start_ms, ZONE) == "16:44"
    with refused(RecordError, "records.day-without-ends"):
        day_of(PLAN, ZONE)


def test_the_night_and_how_to_have_it_by_day() -> None:
    now = _at("2026-03-14T08:00")
    day = day_of(PLAN, ZONE, start_ms=now)
    assert [(moment_words(day, m), clock(m.at_ms, ZONE)) for m in night_moments(day)] == [
        ("the cheese leaves the press", "03:56")
    ]
    # half an hour steps: 10:30 is the nearest from which the press is over after 06:00
    assert night_words(day, now) == (
        "Started now, the cheese leaves the press at 03:56. Leave it until 06:00, or start at "
        "10:30 instead (then 06:26)?"
    )
    assert night_words(day_of(PLAN, ZONE, start_ms=_at("2026-03-14T10:30")), now) == ""


def test_hands_in_the_night_are_said_and_the_past_is_no_way_out() -> None:
    late = _at("2026-03-14T20:00")
    words = night_words(day_of(PLAN, ZONE, start_ms=late), late)
    assert words.startswith("Started now, cooking falls at 22:15. ")
    assert words == (
        "Started now, cooking falls at 22:15. Start Sunday at 10:30 instead (then 12:45)?"
    )
    drained = Plan("late", (Stage("drain", 60), Stage("salt", 20)))
    day = day_of(drained, ZONE, start_ms=_at("2026-03-14T23:00"))
    assert [m.hands for m in night_moments(day)] == [True, True]


def test_stages_that_may_stretch_fill_what_lies_between() -> None:
    start = _at("2026-03-14T08:00")
    day = day_of(PLAN, ZONE, start_ms=start, end_ms=_at("2026-03-15T06:30"))
    assert day.longer_min == 154
    assert [s.minutes for s in day.plan.stages] == [30, 60, 45, 181, 880 + 154]
    assert day.end_ms == _at("2026-03-15T06:30")
    with refused(
        RecordError, "records.day-too-short", start=Instant(start, ZONE), minutes=116
    ) as caught:
        day_of(PLAN, ZONE, start_ms=start, end_ms=_at("2026-03-15T02:00"))
    assert "From 08:00 it takes 1 h 56 min longer than that" in text_of(caught.value)
    with refused(RecordError, "records.day-too-long") as caught:
        day_of(PLAN, ZONE, start_ms=start, end_ms=_at("2026-03-16T22:00"))
    assert "more than the press and the drying may take" in text_of(caught.value)


def test_the_clocks_go_forward_and_back() -> None:
    """In London the clocks go forward on 2026-03-29 and back on 2026-10-25, both at 01:00 UTC."""
    spring = day_of(PLAN, ZONE, start_ms=_at("2026-03-28T08:00"))
    assert iso(spring.end_ms, ZONE) == "2026-03-29T04:56:00+01:00"  # 03:56 and the hour skipped
    autumn = day_of(PLAN, ZONE, start_ms=_at("2026-10-24T08:00"))
    assert iso(autumn.end_ms, ZONE) == "2026-10-25T02:56:00+00:00"
    back = day_of(PLAN, ZONE, end_ms=_at("2026-03-29T06:30"))
    assert iso(back.start_ms, ZONE) == "2026-03-28T09:34:00+00:00"
    evening, noon = "T20:00", "T12:00"
    for night, hours in (("2026-03-28", 7), ("2026-10-24", 9), ("2026-06-01", 8)):
        after = {"2026-03-28": "2026-03-29", "2026-10-24": "2026-10-25"}.get(night, "2026-06-02")
        assert night_minutes(_at(night + evening), _at(after + noon), ZONE) == hours * 60


def test_every_minute_is_night_or_day() -> None:
    for zone in (ZONE, "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata"):
        first = from_iso("2026-03-28T12:00", zone)
        counted = sum(is_night(first + i * MINUTE_MS, zone) for i in range(2880))
        assert night_minutes(first, first + 2880 * MINUTE_MS, zone) == counted


def _typed(text: str, plan: Plan = PLAN, now: str = "2026-03-14T08:00"):
    return day_typed(text, plan, ZONE, _at(now))


def test_a_day_as_one_says_it() -> None:
    assert iso(_typed("10:30").start_ms, ZONE)[:16] == "2026-03-14T10:30"
    assert iso(_typed("start 7:00").start_ms, ZONE)[:16] == "2026-03-15T07:00"  # it is past
    assert iso(_typed("tomorrow 9").start_ms, ZONE)[:16] == "2026-03-15T09:00"
    assert iso(_typed("Mon 6:30 pm").start_ms, ZONE)[:16] == "2026-03-16T18:30"
    assert iso(_typed("2026-04-01 10:00").start_ms, ZONE)[:16] == "2026-04-01T10:00"
    assert iso(_typed("end 22:00").start_ms, ZONE)[:16] == "2026-03-14T16:44"
    assert iso(_typed("out of the press by 06:30").start_ms, ZONE)[:16] == "2026-03-14T10:34"
    assert iso(_typed("cook at 11").start_ms, ZONE)[:16] == "2026-03-14T08:45"
    both = _typed("start 8:00, out of the press by 6:30")
    assert (iso(both.start_ms, ZONE)[:16], both.longer_min) == ("2026-03-14T08:00", 154)


@pytest.mark.parametrize(
    ("text", "refusal", "output"),
    [
        ("soon", "no-day", "“soon” is not a time of day"),
        ("out of the oven by 3", "no-stage-called", "no stage called “oven”. It has: warm,"),
        ("10:30, 11:30", "day-not-said", "Say when it starts or ends"),
        ("today 7:00", "day-too-early", "today 7:00 is too early"),
        ("2026-02-30 10:00", "no-iso-date", "“2026-02-30” is not a date"),
    ],
)
def test_what_is_no_day_says_why(text: str, refusal: str, output: str) -> None:
    with refused(RecordError, f"records.{refusal}") as caught:
        _typed(text)
    assert output in text_of(caught.value)


def test_the_last_press_is_the_one_one_is_out_of() -> None:
    plan = builtin_plan("washed-curd type")
    day = _typed("out of the press by 22:00", plan)
    ends = [s.end_ms for s in day.stages if "press, full" in s.label]
    assert ends == [_at("2026-03-14T22:00")]
