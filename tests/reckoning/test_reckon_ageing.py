"""Sums of ageing: units, monotony, what they refuse."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import ReckoningError, air, eyes, humidity_salts, ripening
from tests.refusals import refused


@given(st.floats(1, 400), st.floats(2, 20), st.floats(2, 20), st.floats(1, 6))
def test_equal_days_there_and_back(days, room, other, rate):
    there = ripening.equal_days(days, room, other)
    assert ripening.equal_days(there, other, room) == pytest.approx(days)
    by_rate = ripening.equal_days_by_rate(days, room, other, rate + 0.01)
    assert ripening.equal_days_by_rate(by_rate, other, room, rate + 0.01) == pytest.approx(days)
    # A warmer room never takes longer, by either way.
    assert (there <= days) is (other >= room) or there == pytest.approx(days)
    assert (by_rate <= days) is (other >= room) or by_rate == pytest.approx(days)


@given(st.lists(st.tuples(st.floats(1, 90), st.floats(2, 18)), min_size=1, max_size=5))
def test_degree_days_of_rooms_add_up(rooms):
    days, temps = zip(*rooms, strict=True)
    whole = ripening.degree_days(days, temps)
    assert whole == pytest.approx(sum(ripening.degree_days(d, t) for d, t in rooms))


def test_what_no_room_can_be():
    with refused(ReckoningError, "reckoning.room-for-each-age"):
        ripening.degree_days([1, 2], [10])
    with refused(ReckoningError, "reckoning.not-above"):
        ripening.degree_days([1], [0])
    assert ripening.ripening_warnings([8]) == ()
    assert [one.id for one in ripening.ripening_warnings([2, 12])] == [
        "reckoning.room-outside-trials",
        "reckoning.room-of-late-gas",
    ]


@given(st.floats(10, 90), st.floats(-15, 15), st.floats(0.7, 1.3), st.floats(5, 95))
def test_a_hygrometer_that_is_off_in_a_line_is_put_right(true, off, slope, room):
    def shows(value: float) -> float:
        return min(max((value - off) / slope, 0), 100)

    points = [true, true + 9]
    shown = [shows(point) for point in points]
    read = shows(room)
    if any(not 0 < one < 100 for one in (*shown, read)):
        return
    found = humidity_salts.hygrometer_line(shown, points)
    assert found[0] == pytest.approx(slope)
    assert humidity_salts.corrected_rh_pct(read, *found) == pytest.approx(room)
    alone = humidity_salts.hygrometer_line(shown[:1], points[:1])
    assert alone == (1.0, pytest.approx(points[0] - shown[0]))


def test_a_hygrometer_that_does_not_follow():
    for shown, true in (([70, 70], [75, 85]), ([80, 70], [75, 85])):
        with refused(ReckoningError, "reckoning.hygrometer-stuck"):
            humidity_salts.hygrometer_line(shown, true)
    with refused(ReckoningError, "reckoning.reading-for-each-salt"):
        humidity_salts.hygrometer_line([70], [75, 85])
    with refused(ReckoningError, "reckoning.salt-not-published"):
        humidity_salts.salt_rh_pct(10, [], [])
    assert humidity_salts.hygrometer_warnings([3], 80, [75]) == ()
    assert len(humidity_salts.hygrometer_warnings([12], 96, [75])) == 2


@given(st.floats(0.01, 2), st.floats(0, 40), st.floats(0.1, 2))
def test_gas_goes_with_the_acid_and_the_warmth(acid, temp, times):
    gas = eyes.gas_l_per_kg(acid, temp, eyes.PROPIONIC_MOL)
    assert eyes.gas_l_per_kg(acid * times, temp, eyes.PROPIONIC_MOL) == pytest.approx(gas * times)
    assert eyes.gas_l_per_kg(acid, temp + 1, eyes.PROPIONIC_MOL) > gas


@given(st.floats(0, 5000), st.floats(0, 5000))
def test_more_spores_never_read_better(spores, more):
    order = ["few", "below-limit", "above-limit", "blew"]

    def place(count: float) -> int:
        return order.index(eyes.spores_verdict(count).id.removeprefix("reckoning.spores-"))

    assert place(spores + more) >= place(spores)
    assert eyes.against_eyes(5.2, 22, 1.0) == ()
    assert eyes.for_late_blowing(5, None) == (Message("reckoning.spores-rest"),)


@pytest.mark.parametrize(("rh", "unsure", "named"), [
    (89.9, 2.0, []), (90.0, 2.0, ["reckoning.damp-air"]), (84.0, 5.0, []),
    (84.0, 5.1, ["reckoning.humidity-unsure"]),
    (95.0, 6.0, ["reckoning.damp-air", "reckoning.humidity-unsure"]),
])  # fmt: skip
def test_two_thermometers_say_where_they_tell_little(rh, unsure, named):
    assert [one.id for one in air.air_warnings(rh, unsure)] == named
