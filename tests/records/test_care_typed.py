"""Care as people say it: a whole schedule, a line, a cell; and all of it reads back the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.care_typed import (
    Ending,
    ending,
    names_care,
    read_care_cell,
    read_schedule,
)
from journal.records.care_written import (
    AgeLine,
    CareLine,
    care_cell_text,
    care_fields,
    care_lines,
)
from journal.records.kinds import CARE_KINDS, ONCE_CARE, STAGE_KINDS
from journal.records.plan_text import builtin_plans, read_plan, write_plan
from journal.records.plans import UNTIL_GONE, CareRule, Plan, Stage
from journal.wording import text_of
from tests.refusals import refused

OUT = Ending(1, 1)  # a wheel out of the press on the day after the make
WHOLE = (
    "air dry 2 to 3 days at 16 °C, turn twice a day; cloth and fat; then turn weekly; "
    "taste at 3 and 6 months; eat from 6"
)
COLUMNS = ("stage", "temp", "minutes", "what")


def one(text: str, before: Ending = OUT) -> CareLine:
    read = read_schedule(text, before)
    assert read.loose == ""
    assert len(read.lines) == 1
    return read.lines[0]


def span(text: str) -> tuple[float, float, float]:
    rule = one(text)
    assert isinstance(rule, CareRule)
    return rule.from_day, rule.to_day, rule.every_days


def test_a_whole_schedule_in_one_line() -> None:
    read = read_schedule(WHOLE, OUT)
    assert read.lines == (
        CareRule("dry", 1, 4, 2, room_c=16),
        CareRule("turn", 1, 4, 0.5),
        CareRule("bandage", 3, 4, 2, "cloth and fat"),
        CareRule("turn", 4, UNTIL_GONE, 7),
        AgeLine("taste", (91, 183)),
        AgeLine("eat", (183,)),
    )
    assert " · ".join(text_of(output) for output in read.message) == (
        "air dry from day 1, 2 to 3 days, at 16.0 °C · turn from day 1 to 4, twice a day · "
        "bandage once, from day 3 to 4: cloth and fat · turn from day 4 on, weekly · "
        "taste on day 91 and 183 · eat from day 183"
    )
    assert (read.loose, read.why) == ("", None)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("turn daily for 2 weeks", (1, 15, 1)),
        ("turn it once a day for a week", (1, 8, 1)),
        ("turn every other day until 4 weeks", (1, 28, 2)),
        ("turn every 3 days from day 4 to day 28", (4, 28, 3)),
        ("brush weekly from 2 weeks", (14, UNTIL_GONE, 7)),
        ("rub twice a week from week 2 to 8", (14, 56, 3.5)),
        ("turn from 2 weeks to 9 months, fortnightly", (14, 274, 14)),
        ("turn twice a day for two days", (1, 3, 0.5)),
        ("weigh monthly from 1 month", (30, UNTIL_GONE, 30)),
        ("weigh at 30 days", (30, 30, 1)),
        ("wax at 10 days", (10, 10, 1)),
        ("wrap day 12 to 13", (12, 13, 2)),
        ("pierce on day 8", (8, 8, 1)),
        ("weigh once", (1, 1, 1)),
        ("turn", (1, UNTIL_GONE, 1)),
        ("air dry 36 h", (1, 2.5, 1.5)),
    ],
)
def test_days_and_paces_as_people_say_them(text: str, days: tuple[float, ...]) -> None:
    assert span(text) == days


def test_months_are_whole_days_and_a_bare_number_is_in_the_unit_said_before() -> None:
    assert one("taste at 3, 6 and 9 months") == AgeLine("taste", (91, 183, 274))
    assert one("taste at 28 days and 2 months") == AgeLine("taste", (28, 61))
    assert one("ready to eat from 1 year") == AgeLine("eat", (365,))
    assert read_schedule("taste at 4 weeks; eat from 6", OUT).lines[1] == AgeLine("eat", (42,))
    read = read_schedule("eat from 6", OUT)
    assert read.why is not None
    assert (read.loose, read.why.id) == ("eat from 6", "records.age-without-unit")


def test_then_begins_where_the_line_before_ends() -> None:
    read = read_schedule("turn daily for 2 weeks, then weekly; weigh monthly from 30 days", OUT)
    assert read.lines == (
        CareRule("turn", 1, 15, 1),
        CareRule("turn", 15, UNTIL_GONE, 7),
        CareRule("weigh", 30, UNTIL_GONE, 30),
    )
    drying = read_schedule("air dry 2 to 3 days, turn twice a day", OUT).lines
    assert ending(drying, OUT) == Ending(3, 4)


def test_air_and_words_of_a_line() -> None:
    rule = one("rub with 3 % brine every other day until 4 weeks at 54 F and 90 %")
    assert isinstance(rule, CareRule)
    assert (rule.room_humidity_pct, rule.note) == (90, "3 % brine")
    assert rule.room_c == pytest.approx((54 - 32) / 1.8)
    assert one("move to 6 °C at day 13") == CareRule("move", 13, 13, 1, room_c=6)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("hello", "records.no-care-named"),
        ("wax weekly", "records.care-given-once"),
        ("turn 45", "records.when-not-understood"),
        ("pierce at 10 days and 30 days", "records.when-not-understood"),
        ("taste often", "records.ages-not-understood"),
        ("turn every 0 days", "records.when-not-understood"),
        ("turn from day 14 to 3", "records.care-never-due"),
    ],
)
def test_what_is_not_understood_stays_as_typed_and_costs_the_rest_nothing(text, why) -> None:
    read = read_schedule(f"turn weekly; {text}; weigh monthly", OUT)
    assert [line.kind for line in read.lines] == ["turn", "weigh"]
    assert read.loose == text
    assert read.why is not None
    assert read.why.id == why
    assert text_of(read.why)


def test_a_cell_alone() -> None:
    turn = CareRule("turn", 1, 14, 1, "look at the underside")
    weekly = read_care_cell("minutes", "from 2 weeks, weekly", turn, OUT).lines
    assert weekly == (CareRule("turn", 14, UNTIL_GONE, 7, "look at the underside"),)
    assert read_care_cell("minutes", "then weekly", turn, Ending(5, 5)).lines[0] == CareRule(
        "turn", 5, UNTIL_GONE, 7, "look at the underside"
    )
    assert read_care_cell("stage", "brush", turn, OUT).lines == (
        CareRule("brush", 1, 14, 1, "look at the underside"),
    )
    assert read_care_cell("temp", "52 F", turn, OUT).lines[0].room_c == pytest.approx(20 / 1.8)
    airy = read_care_cell("what", "85 %; on a rack", turn, OUT).lines
    assert airy == (CareRule("turn", 1, 14, 1, "on a rack", None, 85),)
    # Care in the words makes a line of its own, for the same days.
    dry = CareRule("dry", 1, 4, 2, room_c=16)
    assert read_care_cell("what", "turn twice a day", dry, OUT).lines == (
        dry,
        CareRule("turn", 1, 4, 0.5),
    )
    with refused(RecordError, "records.when-not-understood"):
        read_care_cell("minutes", "soon", turn, OUT)
    with refused(RecordError, "records.age-line-has-days-alone"):
        read_care_cell("temp", "12", AgeLine("taste", (91,)), OUT)
    with refused(RecordError, "records.care-without-name"):
        read_care_cell("minutes", "weekly", None, OUT)


@pytest.mark.parametrize("kind", STAGE_KINDS)
def test_a_stage_is_no_care(kind: str) -> None:
    assert not names_care(kind)
    assert not names_care(f"{kind}: 2 of them")


def test_a_word_of_care_is_no_stage() -> None:
    for text in ("turn weekly", "bandage", "cloth and fat", "air dry 2 days", WHOLE, "taste at 3"):
        assert names_care(text), text


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
def test_every_cell_of_the_plans_that_come_along_reads_back_the_same(plan: Plan) -> None:
    lines = care_lines(plan)
    assert care_fields(lines) == (
        plan.care, plan.taste_at_days, plan.eat_from_days, plan.taste_notes
    )  # fmt: skip
    for line in lines:
        for column in COLUMNS:
            assert read_care_cell(column, care_cell_text(line, column), line, OUT).lines == (line,)


half_days = st.integers(0, 1600).map(lambda n: n / 2)
notes = st.sampled_from(("", "cloth and fat", "light brine", "on a rack", "look at the underside"))
air = st.none() | st.integers(60, 200).map(lambda n: n / 2)


@st.composite
def rules(draw: st.DrawFn) -> CareRule:
    kind = draw(st.sampled_from(CARE_KINDS))
    first, long = draw(half_days), draw(half_days)
    room, damp = draw(st.none() | st.integers(-40, 100).map(lambda n: n / 4)), draw(air)
    if kind == "dry":
        least = draw(st.integers(1, 30)) / 2
        return CareRule(kind, first, first + least + long, least, draw(notes), room, damp)
    once = kind in ONCE_CARE or draw(st.booleans())
    every = long + 1 if once else draw(st.sampled_from((0.5, 1, 2, 3, 3.5, 7, 14, 10, 30, 45)))
    last = UNTIL_GONE if not once and draw(st.booleans()) else first + max(long, every * (not once))
    return CareRule(kind, first, last, max(1.0, every) if once else every, draw(notes), room, damp)


ages = st.lists(half_days, min_size=1, max_size=4, unique=True).map(lambda d: tuple(sorted(d)))
tastings = st.builds(AgeLine, st.just("taste"), ages, notes)
age_lines = tastings | half_days.map(lambda d: AgeLine("eat", (d,)))


@given(st.lists(rules() | age_lines, min_size=1, max_size=5))
def test_what_is_written_is_read_back_typed_to_lines_to_typed(lines: list[CareLine]) -> None:
    """Each line from its cells alone, and all of them from one text."""
    for line in lines:
        name, when = (care_cell_text(line, column) for column in ("stage", "minutes"))
        fresh = one(f"{name} {when}")
        for column in ("temp", "what"):
            if care_cell_text(line, column):
                (fresh,) = read_care_cell(column, care_cell_text(line, column), fresh, OUT).lines
        assert fresh == line
    text = "; ".join(
        f"{care_cell_text(line, 'stage')} {care_cell_text(line, 'minutes')}" for line in lines
    )
    read = read_schedule(text, OUT)
    again = "; ".join(
        f"{care_cell_text(line, 'stage')} {care_cell_text(line, 'minutes')}" for line in read.lines
    )
    assert (read.loose, again) == ("", text)


scraps = st.lists(st.sampled_from([*WHOLE.split(), "½", "%", "1,500", "-3"])).map(" ".join)


@given(st.text(max_size=80) | scraps)
def test_anything_typed_is_read_or_stays_with_a_reason(text: str) -> None:
    read = read_schedule(text, OUT)
    reasons = [] if read.why is None else [text_of(read.why)]
    assert bool(read.loose) == bool(reasons)
    for column in COLUMNS:
        try:
            read_care_cell(column, text, CareRule("turn", 1, 14, 1), OUT)
        except RecordError as error:
            reasons.append(text_of(error))
    assert all(reasons)


def test_the_least_age_to_eat_stands_in_the_file_of_a_plan() -> None:
    plan = Plan("p", (Stage("set", 40),), eat_from_days=183)
    assert 'eat_from = "183 days"' in write_plan(plan)
    assert read_plan(write_plan(plan)) == plan
    with refused(RecordError, "records.days-of-age"):
        Plan("p", (Stage("set", 40),), eat_from_days=-1)


def test_a_wheel_comes_out_on_the_day_after_the_make_at_the_earliest() -> None:
    assert Plan("p", (Stage("set", 40),)).care_from_day == 1
    assert Plan("p", (Stage("press", 20 * 60),)).care_from_day == 1
    assert Plan("p", (Stage("brine", 60 * 60),)).care_from_day == 2
