"""What is typed in an odd way, half, or wrong: it is understood, asked for again, or waits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.records import RecordError, id_of
from journal.records.air_range import day_cells, days_outside
from journal.records.care_drafted import why_care_loose, with_care_cell, with_schedule
from journal.records.care_typed import read_care_cell
from journal.records.care_written import EAT, TASTE, AgeLine
from journal.records.coming import STAGE, TIMER, coming, stage_ends_ms
from journal.records.dates import read_date, read_day
from journal.records.drafts import CareRow, DraftRow, PlanDraft, draft_of, new_draft
from journal.records.instants import MINUTE_MS, at_clock, from_iso, iso
from journal.records.kinds import UNCULTURED
from journal.records.lot_strength import kept_by_sets
from journal.records.makes import Make, Milk, StageRun
from journal.records.paper_day import PaperRow, read_rows, runs_as_typed
from journal.records.part_typed import StageContext, read_part
from journal.records.plan_day import day_of, left_until_ms, night_moments
from journal.records.plan_text import builtin_plan
from journal.records.plans import AcidTarget, CareRule, Plan, Stage
from journal.records.stage_typed import (
    read_again,
    read_cell,
    read_cell_so_far,
    read_milk,
    why_loose,
)
from journal.records.timers import Timer
from journal.records.traces import AirTrace
from journal.records.verdicts import read_verdict
from journal.records.wheel_weight import weight_course
from journal.records.wheels import Removal, Room, Weighing, weight_doubt
from tests.records.test_paper_day import day, rows
from tests.refusals import refused

ZONE = "Europe/London"
NOW = from_iso("2026-01-31T15:00", ZONE)
PLAN = Plan("plain", (Stage("warm", 30), Stage("press", 60)), mould_mm=150.0, yield_pct=10.0)


@pytest.mark.parametrize(
    ("typed", "date"),
    [
        ("today", "2026-01-31"), ("tomorrow", "2026-02-01"), ("in 3 days", "2026-02-03"),
        ("in 2 weeks", "2026-02-14"), ("in 1 month", "2026-02-28"), ("in 13 months", "2027-02-28"),
        ("03/2027", "2027-03-31"), ("2027-02", "2027-02-28"), ("February 2028", "2028-02-29"),
        ("30 jan", "2027-01-30"), ("2026-05-06", "2026-05-06"),
    ],
)  # fmt: skip
def test_a_day_on_a_packet(typed: str, date: str) -> None:
    assert iso(read_date(typed, ZONE, NOW), ZONE)[:13] == f"{date}T12"


@pytest.mark.parametrize(
    ("typed", "refusal"),
    [
        ("13/2027", "no-date"), ("Brumaire 2027", "no-date"), ("in a while", "no-date"),
        ("May 1830", "date-far-away"), ("31 feb", "day-not-in-month"),
    ],
)  # fmt: skip
def test_what_is_no_day_on_a_packet(typed: str, refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        read_date(typed, ZONE, NOW)


def test_a_past_day_says_what_was_wrong_with_it() -> None:
    with refused(RecordError, "records.no-past-day", typed="someday"):
        read_day("someday", ZONE, NOW)
    with refused(RecordError, "records.time-skipped"):
        read_day("2025-03-30T01:30", ZONE, NOW)  # the clocks went forward over it


def test_a_time_of_day_with_its_half_and_its_date() -> None:
    first, last = from_iso("2026-01-30T15:00", ZONE), NOW
    for typed, meant in (("1:40 pm", "31T13:40"), ("12:10 am", "31T00:10"), ("5:20 pm", "30T17:20"),
                         ("2026-01-31 1:40 pm", "31T13:40"), ("2026-01-31T02:40Z", "31T02:40"),
                         ("13:40", "31T13:40"), ("14:40 pm", "31T14:40")):  # fmt: skip
        assert iso(at_clock(typed, ZONE, first, last), ZONE)[8:16] == meant
    with refused(RecordError, "records.time-outside", typed="2026-01-29 1:40 pm"):
        at_clock("2026-01-29 1:40 pm", ZONE, first, last)


def test_rows_of_paper_say_how_the_stages_went() -> None:
    typed = rows("0850|ripen", "|||", "0910|||x", "24:10", "0930|cut", "40|stir", "45|||y")
    lines, faults = read_rows(typed, day())
    assert [(one.row, one.cell) for one in faults] == [(2, "acid"), (3, "time"), (6, "acid")]
    assert faults[1].message.id == "records.no-time"
    assert PaperRow().put("time", "0850").time == "0850"
    start = day().started_ms
    runs = [StageRun(1, n, "warm", start - 7 + n, start - 6 + n) for n in range(5)]
    found = runs_as_typed(runs, start, lines)
    minutes = [[None if at is None else (at - start) // MINUTE_MS
                for at in (run.began_ms, run.ended_ms)] for run in found]  # fmt: skip
    assert minutes == [[0, 20], [20, 60], [None, None], [60, 70], [70, None]]
    assert [run.skipped for run in found] == [False, False, True, False, False]
    assert found[0].planned_begin_ms == start
    assert runs_as_typed([], start, lines) == ()


def test_what_falls_due_in_a_make_that_runs() -> None:
    make = Make("HL-1", 1, Milk(10.0), NOW, id=1)
    run = StageRun(1, 0, "warm", NOW, NOW, NOW, id=4)
    rings = Timer(1, "salt", NOW, NOW + 60_000, id=5)
    timers = [rings, replace(rings, ends_ms=None), replace(rings, ended_ms=NOW + 1)]
    assert [(one.kind, one.at_ms, one.key) for one in coming(make, PLAN, [run], timers)] == [
        (TIMER, NOW + 60_000, 5), (STAGE, NOW + 30 * MINUTE_MS, 4),
    ]  # fmt: skip
    assert coming(make, PLAN, [replace(run, position=7)], []) == []
    assert coming(make, PLAN, [], []) == []
    assert coming(replace(make, finished_ms=NOW), PLAN, [run], timers) == []
    assert stage_ends_ms(replace(run, began_ms=None), PLAN.stages[0]) is None


@pytest.mark.parametrize(
    ("typed", "fields"),
    [
        ("turn twice", {"turns": 2}), ("turned", {"turns": 1}), ("turns 3 times", {"turns": 3}),
        ("until it squeaks", {"until": "it squeaks"}), ("do: salt it", {"instruction": "salt it"}),
        ("add 2 l water", {"water_added_per_l": 0.2, "water_c": None}),
        ("pH 6.4 to 6.2", {"acid_target": AcidTarget("curd-ph", 6.2, 6.4)}),
    ],
)  # fmt: skip
def test_a_part_of_a_cell(typed: str, fields: dict[str, object]) -> None:
    assert read_part(typed, StageContext(PLAN, PLAN.stages[1], 10.0)).fields == fields


def test_a_load_is_so_many_times_what_the_wheel_weighs() -> None:
    within = StageContext(PLAN, PLAN.stages[1], 10.0)
    own, four = (read_part(f"{n} × its own weight", within).fields["pressure_kpa"] for n in (1, 4))
    # 10 L of milk weigh 10.3 kg, a tenth of it × 9.80665 over the area of 150 mm, 176.71 cm²
    assert own == pytest.approx(0.5716, abs=1e-3)
    assert four == pytest.approx(4 * own)
    stage = replace(PLAN.stages[1], acid_target=AcidTarget("whey-ph", 6.0, 6.2))
    kept = read_part("pH 5.9", StageContext(PLAN, stage, 10.0)).fields["acid_target"]
    assert kept.kind == "whey-ph"  # which is not said again


@pytest.mark.parametrize(
    ("typed", "refusal"),
    [
        ("limit 1 °C per 0 min", "slope-of-no-time"), ("turn every 2 h", "turn-beyond-stage"),
        ("first 2 °C", "first-slope-without-length"), ("pH 6.2 SH", "unit-after-ph"),
        ("curd acidity 0.5", "acidity-of-curd"), ("flour 3 %", "percent-of-what"),
        ("turn somehow", "turn-not-understood"),
    ],
)  # fmt: skip
def test_a_part_that_says_too_little(typed: str, refusal: str) -> None:
    with refused(RecordError, f"records.{refusal}"):
        read_part(typed, StageContext(PLAN, PLAN.stages[1], 10.0))
    with refused(RecordError, "records.line-without-stage"):
        read_cell("minutes", "30", None, PLAN, 10.0)
    with refused(RecordError, "records.too-many-parts", most=60):
        read_cell_so_far("what", "turn; " * 61, PLAN.stages[1], PLAN, 10.0)


def test_a_cell_that_waited_for_the_mould_is_read_once_that_is_known() -> None:
    bare = replace(PLAN, mould_mm=None, stages=(Stage("press", 60),))
    draft = draft_of(bare)
    draft = draft.with_row(0, draft.rows[0].with_loose("what", "9 kg; wobble").with_loose(
        "minutes", "long"))  # fmt: skip
    draft = draft.insert(1, DraftRow(None, {"stage": "?"}))
    assert read_again(draft, 10.0) == draft.with_row(0, replace(draft.rows[0]))
    why = why_loose(draft, 10.0)
    assert (why.id, why.values["line"]) == ("records.line-loose", 1)
    read = read_again(draft.with_head(mould_mm=150.0), 10.0)
    assert read.rows[0].stage.pressure_kpa == pytest.approx(4.994, abs=1e-3)
    assert read.rows[0].loose == {"minutes": "long", "what": "wobble"}
    with refused(RecordError, "records.draft-line", line=1):
        read.finished()
    milk = replace(read, head_loose={"what": "camel"})
    assert why_loose(milk, 10.0).id == "records.milk-line-loose"
    with refused(RecordError, "records.draft-milk-line", text="camel"):
        milk.finished()
    assert why_loose(replace(milk, head_loose={"temp": "x"}, rows=()), 10.0) is not None
    assert why_loose(draft_of(PLAN), 10.0) is None
    with refused(RecordError, "records.draft-without-stage"):
        replace(new_draft("care"), name="empty").finished()


def test_lines_of_care_are_moved_and_doubled_among_themselves() -> None:
    turn, oil = CareRow(CareRule("turn", 1, 30, 1)), CareRow(CareRule("oil", 14, 180, 30))
    draft = replace(draft_of(PLAN), care=(turn, oil))
    at = len(draft.rows)

    def cares(one: PlanDraft) -> list[str]:
        return ["" if row.line is None else row.line.kind for row in one.care]

    assert cares(draft.move(at, 1)) == ["oil", "turn"]
    assert cares(draft.duplicate(at)) == ["turn", "turn", "oil"]
    assert cares(draft.duplicate(at + 2)) == ["turn", "oil"]
    assert cares(draft.insert(at + 1)) == ["turn", "", "oil"]
    assert cares(draft.remove(at)) == ["oil"]
    assert draft.insert(at + 1).without_blanks() == draft
    assert draft.insert(0).without_blanks() == draft
    assert (draft.stage_index(at), draft.row_of(5), draft.row_of(1)) == (-1, -1, 1)


def test_the_ages_of_a_line_are_typed_anew() -> None:
    before = draft_of(PLAN).care_before(2)
    taste = AgeLine(TASTE, (30.0,))
    assert read_care_cell("minutes", "month 2 and 3 months", taste, before).lines[0].days == (
        61,
        91,
    )
    assert read_care_cell("what", " with  bread ", taste, before).lines[0].note == "with bread"
    eat = AgeLine(EAT, (60.0,))
    assert read_care_cell("minutes", "at 3 or 2 months", eat, before).lines[0].days == (61.0,)
    assert read_care_cell("temp", " ", eat, before).lines == (eat,)
    with refused(RecordError, "records.age-line-has-days-alone", kind=EAT):
        read_care_cell("temp", "12 C", eat, before)
    for days in ((), (1.0, 2.0)):
        with refused(RecordError, "records.ages-of-line", kind=EAT):
            AgeLine(EAT, days)
    with refused(RecordError, "records.days-of-age", value=-1):
        AgeLine(TASTE, (-1,))


def test_a_press_is_left_on_till_morning_only_where_that_is_a_way() -> None:
    def seen(*stages: Stage, begins: str = "2026-03-14T18:00") -> tuple[int, list[int | None]]:
        one = day_of(Plan("p", stages), ZONE, start_ms=from_iso(begins, ZONE))
        found = night_moments(one)
        return len(found), [left_until_ms(one, moment) for moment in found]

    six = from_iso("2026-03-15T06:00", ZONE)
    cook = Stage("cook", 60)
    assert seen(cook, Stage("press", 480)) == (1, [six])
    assert seen(cook, Stage("press", 300)) == (1, [None])  # longer by more than its own length
    assert seen(cook, Stage("brine", 480)) == (1, [None])
    assert seen(cook, Stage("press", 480), Stage("brine", 960)) == (1, [None])  # then that ends so


def test_what_a_wheel_weighs_where_little_is_known() -> None:
    part = Removal(1, "eaten", NOW, weight_kg=0.2)
    assert weight_course(None, [], [part]).parts == ((part, 0.0, None),)
    gone = Removal(1, "eaten", NOW + 1, 1.0)
    late = Weighing(1, NOW + 9, 0.5)
    assert weight_course(1.0, [late], [gone]).now.is_gone
    same = weight_course(None, [Weighing(1, NOW, 0.8)], [part])
    assert same.now.kg == pytest.approx(0.6)  # weighed first: else nothing is known of that part
    assert weight_doubt(1.0, 0.9) is None
    assert weight_doubt(1.0, 1.2).id == "records.wheel-heavier"
    assert weight_doubt(1.0, 0.2).id == "records.wheel-lighter"


def test_air_of_two_probes_is_put_together_where_both_were_read_nearby() -> None:
    hour = 3_600_000
    at, nan = np.array([0, 1, 2, 20]) * hour, np.nan
    trace = AirTrace(at, np.array([10.0, nan, 12.0, nan]), np.array([80.0, 82.0, nan, 84.0]))
    both = trace.both()
    assert (both.at_ms // hour).tolist() == [0, 1, 2]
    assert both.temp_c.tolist() == [10.0, 11.0, 12.0]


@pytest.mark.parametrize("kept", ["", "nothing", "[1]", '["x", 2]'])
def test_a_verdict_that_cannot_be_read_was_said_all_the_same(kept: str) -> None:
    assert read_verdict(kept).message.id == "records.verdict-unreadable"
    assert read_verdict(None) is None


def test_a_plan_of_ours_is_a_draft_that_is_ready() -> None:
    assert draft_of(builtin_plan("tomme")).finished().says_as(builtin_plan("tomme"))


def test_care_in_a_draft_is_typed_by_the_cell_or_as_a_whole() -> None:
    draft = draft_of(PLAN)
    at = len(draft.rows)
    with refused(RecordError, "records.no-care-named"):
        with_schedule(draft, "hope")
    written, read = with_schedule(draft, "turn every day for 2 weeks; sing to it")
    assert [row.line and row.line.kind for row in written.care] == ["turn", None]
    assert read.loose == written.care[1].loose["stage"]
    why = why_care_loose(written)
    assert (why.id, why.values["line"]) == ("records.line-loose", at + 2)
    blank = written.insert(at + 1)
    same, nothing = with_care_cell(blank, at + 1, "stage", "  ", )  # fmt: skip
    assert (same, nothing.lines) == (blank, ())
    changed, _ = with_care_cell(written, at, "minutes", "day 3 to 9")
    assert (changed.care[0].line.from_day, changed.care[0].line.to_day) == (3, 9)
    wrong = replace(
        written, care=(CareRow(None, {"minutes": "day 1"}), CareRow(None, {"temp": ""}))
    )
    assert why_care_loose(wrong).values["line"] == at + 1
    assert why_care_loose(draft) is None


def test_the_milk_goes_without_a_culture_only_where_no_stage_has_one() -> None:
    fields, _ = read_milk("what", "no culture; yield 11", replace(PLAN, stages=PLAN.stages[:1]))
    assert (fields["culture_type"], fields["yield_pct"]) == (UNCULTURED, 11)
    assert "culture_type" not in read_milk("what", "no culture", PLAN)[0]  # as it says itself
    with refused(RecordError, "records.culture-is-at-a-stage"):
        read_milk("what", "no culture", builtin_plan("tomme"))


def test_what_is_too_long_is_read_nowhere() -> None:
    long = "x" * 20_000
    for column in ("stage", "what"):
        with refused(RecordError, "records.too-long-to-read"):
            read_cell(column, long, PLAN.stages[0], PLAN, 10.0)
    with refused(RecordError, "records.too-long-to-read", most=400):
        read_cell("what", "x" * 401, PLAN.stages[0], PLAN, 10.0)
    with refused(RecordError, "records.too-long-to-read", most=400):
        read_milk("what", "y" * 401, PLAN)


def test_what_is_not_kept_yet_has_no_key_and_what_is_not_known_no_answer() -> None:
    with refused(RecordError, "records.not-kept"):
        id_of(Weighing(1, NOW, 1.0))
    assert kept_by_sets([], NOW) is None
    assert day_cells(AirTrace(*(np.empty(0),) * 3), Room("cellar"), ZONE) == []
    assert days_outside(AirTrace(*(np.empty(0),) * 3), Room("cellar"), ZONE) == (0, 0)
