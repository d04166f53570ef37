"""What a wheel weighs: weighings and parts taken always come to what left the press."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records.instants import DAY_MS
from journal.records.wheel_weight import WheelWeight, weight_course
from journal.records.wheels import Removal, Weighing

GREEN = 1.2
EVENTS = st.lists(
    st.tuples(st.sampled_from(("dry", "share", "weight")), st.floats(0.01, 0.3), st.integers(0, 1)),
    max_size=12,
)


@given(EVENTS)
def test_what_is_there_what_was_taken_and_what_dried_away_come_to_the_green_weight(events) -> None:
    """A wheel is lived with known truths: solids are taken, never dried away; water is both."""
    solids, water, taken_solids, taken_water, dried = 0.6 * GREEN, 0.4 * GREEN, 0.0, 0.0, 0.0
    weighings, removals = [Weighing(1, 0, GREEN, id=1)], []
    for number, (kind, part, weighed) in enumerate(events, 1):
        at, kg = number * DAY_MS, solids + water
        if kind == "dry":
            dried, water = dried + part * water / 2, water * (1 - part / 2)
            weighings.append(Weighing(1, at, solids + water, id=number + 1))
            continue
        left = solids / (0.6 * GREEN)
        taken = min(part, left * 0.9)  # of the whole wheel
        if left - taken < 0.001:  # a wheel of which hardly a gram is left is gone
            continue
        share = taken / left  # of what was there
        by = {"share": taken} if kind == "share" else {"weight_kg": share * kg}
        removals.append(Removal(1, "eaten", at, **by, id=number))
        taken_solids, taken_water = taken_solids + share * solids, taken_water + share * water
        solids, water = solids * (1 - share), water * (1 - share)
        if weighed:
            weighings.append(Weighing(1, at + 1, solids + water, id=number + 1))
    course = weight_course(GREEN, weighings, removals)
    assert course.now.kg == pytest.approx(solids + water)
    assert course.now.left == pytest.approx(solids / (0.6 * GREEN))
    parts = sum(kg or 0.0 for _, _, kg in course.parts)
    assert parts == pytest.approx(taken_solids + taken_water)
    assert course.now.kg + parts + dried == pytest.approx(GREEN)
    assert sum(share for _, share, _ in course.parts) + course.now.left == pytest.approx(1.0)
    # What dried is told of the whole, and composition follows: the solids are those of the press.
    whole_solids = course.now.whole_kg * (1 - water / (solids + water))
    assert whole_solids == pytest.approx(0.6 * GREEN)


def test_a_part_and_a_weight_at_one_instant_are_put_in_the_order_that_fits() -> None:
    part = Removal(1, "given", DAY_MS, 0.25)
    first = weight_course(1.2, [Weighing(1, 0, 1.2), Weighing(1, DAY_MS, 1.19)], [part]).now
    then = weight_course(1.2, [Weighing(1, 0, 1.2), Weighing(1, DAY_MS, 0.89)], [part]).now
    assert (first.kg, then.kg) == (pytest.approx(0.8925), pytest.approx(0.89))
    assert first.lost_pct == pytest.approx(100 * (1 - 1.19 / 1.2))
    assert then.lost_pct == pytest.approx(100 * (1 - 0.89 / 0.9))


def test_a_wheel_that_was_never_weighed_has_no_weight() -> None:
    unknown = weight_course(None, [], [Removal(1, "eaten", 1, 0.5)]).now
    assert (unknown.kg, unknown.lost_pct, unknown.left) == (None, None, 0.5)
    assert weight_course(1.0, [], [Removal(1, "eaten", 1, 1.0)]).now.is_gone
    assert not WheelWeight().is_gone
