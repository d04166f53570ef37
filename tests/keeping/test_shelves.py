"""Wheels on their shelves: each act is kept, comes to the right weight, and can be taken back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.keeping import Journal, KeepingError
from journal.records.due import TASTE, cares_due, tastings_due
from journal.records.instants import DAY_MS, local
from journal.records.makes import Make
from journal.records.wheels import Absence, AirCheck, AirReading, Removal, Room, Wheel
from tests.keeping.conftest import START


@pytest.fixture
def wheels(saved: Journal, make: Make) -> list[Wheel]:
    saved.makes.finish(make.id or 0, [0.8, 0.6], START + DAY_MS)
    return saved.wheels.all()


def later(days: float) -> int:
    return START + round(days * DAY_MS)


def part(wheel: Wheel, days: float, **more: float) -> Removal:
    return Removal(wheel.id or 0, "given", later(days), whom="Bo", why="a birthday", **more)


def test_parts_leave_until_the_wheel_is_gone(saved: Journal, wheels: list[Wheel]) -> None:
    one = wheels[0]
    saved.shelves.weigh(one, 0.72, later(30))
    saved.shelves.take(part(one, 31, share=0.25))
    saved.shelves.take(part(one, 32, weight_kg=0.18))
    now = saved.shelves.course(one).now
    assert (now.kg, now.left, now.lost_pct) == (pytest.approx(0.36), 0.5, pytest.approx(10.0))
    with pytest.raises(KeepingError) as refused:
        saved.shelves.take(part(one, 33, weight_kg=0.5))
    assert refused.value.id == "keeping.more-than-is-left"
    saved.shelves.take_all(one, "sold", later(40), "the market", "too many")
    gone = saved.wheels.get(one.id or 0)
    assert (gone.gone_ms, gone.gone_why) == (later(40), "sold: the market, too many")
    assert [life.wheel.code for life in saved.care_tasks.lives()] == [wheels[1].code]
    with pytest.raises(KeepingError) as refused:
        saved.shelves.weigh(gone, 0.3, later(41))
    assert refused.value.id == "keeping.wheel-gone"


def test_what_was_wrong_is_corrected_a_week_later(saved: Journal, wheels: list[Wheel]) -> None:
    one = wheels[0]
    last = saved.shelves.take_all(one, "eaten", later(40))
    half = saved.shelves.correct(Removal(one.id or 0, "eaten", later(40), 0.5, id=last.id,
                                       uuid=last.uuid))  # fmt: skip
    assert saved.wheels.get(one.id or 0).gone_ms is None
    assert saved.shelves.course(one).now.kg == pytest.approx(0.4)
    saved.shelves.put_back(half)
    assert saved.shelves.course(one).now.kg == pytest.approx(0.8)


def test_a_second_program_takes_back_any_of_it_days_later(
    saved: Journal, wheels: list[Wheel]
) -> None:
    one, other = wheels
    room = saved.shelves.room_named("Cellar", new=True)
    before = (saved.wheels.all(), saved.cares.all(), saved.removals.all(), saved.weighings.all())
    saved.shelves.move([one, other], room, later(2), "top", 3)
    saved.shelves.care([one, other], "turn", later(3), "by hand")
    saved.shelves.weigh(one, 0.7, later(4))
    saved.shelves.take_all(other, "thrown", later(5), why="mould")
    saved.shelves.cut(one, (0.35, 0.34), later(6), by_weight=True)
    with Journal.open(saved.path) as second:
        for past in second.history.all(5):
            second.take_back(past.act.id)
    saved.look_for_others()
    assert (
        saved.wheels.all(), saved.cares.all(), saved.removals.all(), saved.weighings.all()
    ) == before  # fmt: skip


def test_a_cut_wheel_lives_on_in_its_pieces(saved: Journal, wheels: list[Wheel]) -> None:
    one = wheels[0]
    saved.shelves.care([one], "turn", later(2))
    saved.shelves.weigh(one, 0.72, later(30))
    saved.shelves.take(part(one, 31, share=0.5))
    pieces = saved.shelves.cut(saved.wheels.get(one.id or 0), (2, 1), later(32))
    assert [piece.code for piece in pieces] == [f"{one.code}1", f"{one.code}2"]
    assert saved.wheels.get(one.id or 0).gone_why == "cut"
    weights = [saved.shelves.course(piece).now for piece in pieces]
    assert [w.kg for w in weights] == [pytest.approx(0.24), pytest.approx(0.12)]
    assert [w.lost_pct for w in weights] == [pytest.approx(10.0)] * 2
    assert saved.shelves.weights()[pieces[0].id or 0] == weights[0]
    lives = {life.wheel.code: life for life in saved.care_tasks.lives()}
    assert set(lives) == {wheels[1].code, *(piece.code for piece in pieces)}
    assert lives[pieces[0].code].done["turn"] == later(2)
    with pytest.raises(KeepingError):
        saved.shelves.cut(wheels[1], (0.5, 0.5), later(40), by_weight=True)


def test_wheels_that_say_they_are_cut_from_each_other_are_read(
    saved: Journal, wheels: list[Wheel]
) -> None:
    """No act of the program makes such; a file that others wrote may have them."""
    for one, other in (wheels, wheels[::-1]):
        saved.wheels.save(replace(one, cut_from_id=other.id))
    saved.shelves.care([wheels[0]], "turn", later(2))
    assert [life.done["turn"] for life in saved.care_tasks.lives()] == [later(2)] * 2


def test_wheels_are_found_by_code_make_room_and_shelf(
    saved: Journal, make: Make, wheels: list[Wheel]
) -> None:
    one, other = wheels
    cellar, larder = (saved.shelves.room_named(name, new=True) for name in ("Cellar", "Larder"))
    saved.shelves.move([one], cellar, later(2), "top", 1)
    saved.shelves.move([other], larder, later(2), "top", 1)

    def codes(text: str) -> list[str]:
        return [wheel.code for wheel in saved.shelves.named(text)]

    assert codes(one.code.lower()) == [one.code]
    assert codes(make.code) == [one.code, other.code]
    assert codes(" cellar ") == codes("Cellar/Top") == [one.code]
    for wrong, why in (("top", "keeping.shelf-in-two-rooms"), ("attic", "keeping.nothing-called")):
        with pytest.raises(KeepingError) as refused:
            saved.shelves.named(wrong)
        assert refused.value.id == why


def test_care_is_moved_off_the_days_away(saved: Journal, wheels: list[Wheel]) -> None:
    """Turned daily from day 1, oiled from day 14: nobody is there from day 13 to 20."""
    begun = local(START, "Europe/London").date().toordinal()

    def days(at: float) -> dict[str, int]:
        life = saved.care_tasks.lives()[0]
        return {due.kind: due.on.toordinal() - begun for due in cares_due(life, later(at))}

    saved.shelves.care(wheels, "turn", later(11))
    assert days(11) == {"turn": 12, "oil": 14}
    day = local(START, "Europe/London").date()
    first, last = (day.fromordinal(begun + n).isoformat() for n in (13, 20))
    saved.shelves.be_away(Absence(first, last, "by the sea"))
    assert days(11) == {"turn": 12, "oil": 12}
    assert days(14) == {"turn": 12, "oil": 21}  # the day before is past
    saved.shelves.care(wheels, "turn", later(12))
    saved.shelves.care(wheels, "oil", later(12))
    assert days(12) == {"turn": 21, "oil": 42}  # oiled early counts, it goes on at its pace
    assert {due.kind for due in tastings_due(saved.care_tasks.lives(), later(14))} == {TASTE}


def test_the_air_is_kept_as_shown_and_given_as_it_is(saved: Journal) -> None:
    room = saved.rooms.save(Room("Cellar", 12.0, 85.0, None, 4.0))
    assert (room.range_c, room.range_pct) == ((10.0, 14.0), (81.0, 89.0))
    key = room.id or 0
    saved.air.note(AirReading(key, later(1), 11.5, 80.0, "logger"))
    saved.air.check(AirCheck(key, later(2), (79.0,), (75.5,), "logger"))
    many = [AirReading(key, later(3 + n), 12.0, 80.0 + n, "logger") for n in range(3)]
    assert (saved.air.bring(room, many), saved.air.bring(room, many)) == (3, 0)
    saved.air.note(AirReading(key, later(9), 12.4, 88.0))  # by another instrument, at noon
    trace = saved.air.trace(key)
    assert trace.humidity_pct.tolist() == [80.0, 76.5, 77.5, 78.5, 88.0]
    assert [one.humidity_pct for one in saved.airs.all()] == [80.0, 80.0, 81.0, 82.0, 88.0]
    assert saved.care_tasks.air(key, later(4)).humidity_pct.tolist() == [77.5, 78.5, 88.0]
    last = saved.air.last(room, later(5))
    assert (last.at_ms, last.temp_c, last.humidity_pct) == (later(5), 12.0, 78.5)


def test_moves_say_from_where_and_correcting_one_puts_the_wheel_there(
    saved: Journal, wheels: list[Wheel]
) -> None:
    one, shelves = wheels[0], saved.shelves
    cellar, larder = shelves.set_room(Room("Cellar")), shelves.set_room(Room("Larder"))
    shelves.move([one], cellar, later(2), "top")
    shelves.move([one], larder, later(40))
    shelves.move([one], cellar, later(60))

    def chain() -> list[tuple[int | None, int | None]]:
        moves = sorted(saved.cares.where(wheel_id=one.id), key=lambda care: care.at_ms)
        return [(care.from_room_id, care.room_id) for care in moves]

    assert chain() == [(None, cellar.id), (cellar.id, larder.id), (larder.id, cellar.id)]
    last = saved.cares.where(wheel_id=one.id)[-1]
    before = (saved.wheels.all(), saved.cares.all())
    shelves.correct_care(last, "Attic")
    attic = shelves.room_named("Attic")
    assert saved.wheels.get(one.id or 0).room_id == attic.id
    shelves.remove_care(saved.cares.where(wheel_id=one.id)[-1])
    assert saved.wheels.get(one.id or 0).room_id == larder.id
    shelves.remove_care(saved.cares.where(wheel_id=one.id)[0])
    assert chain() == [(None, larder.id)]
    assert saved.wheels.get(one.id or 0).room_id == larder.id
    for _ in range(3):
        saved.undo()
    assert (saved.wheels.all(), saved.cares.all()) == before


def test_a_move_that_is_noted_late_leaves_the_wheel_where_it_is_now(
    saved: Journal, wheels: list[Wheel]
) -> None:
    one, shelves = wheels[0], saved.shelves
    cellar, larder = shelves.set_room(Room("Cellar")), shelves.set_room(Room("Larder"))
    shelves.move([one], cellar, later(40), "top", 2)
    shelves.move([one], larder, later(10))
    now = saved.wheels.get(one.id or 0)
    assert (now.room_id, now.shelf, now.place) == (cellar.id, "top", 2)
    moves = sorted(saved.cares.where(wheel_id=one.id), key=lambda care: care.at_ms)
    assert [(m.from_room_id, m.room_id) for m in moves] == [
        (None, larder.id), (larder.id, cellar.id)
    ]  # fmt: skip
    with pytest.raises(KeepingError) as refused:
        shelves.correct_care(replace(moves[0], kind="turn"))
    assert refused.value.id == "keeping.move-has-a-room"


def test_care_that_is_corrected_leaves_a_wheel_on_its_shelf(
    saved: Journal, wheels: list[Wheel]
) -> None:
    one, shelves = wheels[0], saved.shelves
    cellar, larder = shelves.set_room(Room("Cellar")), shelves.set_room(Room("Larder"))
    shelves.move([one], cellar, later(2), "top", 2)
    turned = shelves.care([one], "turn", later(3))[0]
    assert shelves.correct_care(replace(turned, at_ms=later(4))) == replace(turned, at_ms=later(4))
    now = saved.wheels.get(one.id or 0)
    assert (now.room_id, now.shelf, now.place) == (cellar.id, "top", 2)
    put = saved.wheels.save(replace(now, room_id=larder.id))  # by hand, as no move says
    shelves.remove_care(turned)
    assert saved.wheels.get(one.id or 0) == put


def test_a_room_that_is_deleted_for_good_leaves_its_moves(
    saved: Journal, wheels: list[Wheel]
) -> None:
    one, shelves = wheels[0], saved.shelves
    cellar, larder = shelves.set_room(Room("Cellar")), shelves.set_room(Room("Larder"))
    shelves.move([one], cellar, later(2))
    shelves.move([one], larder, later(40))
    saved.rooms.remove(cellar.id or 0)
    assert saved.whole(one.make_id).rooms[cellar.id or 0].name == "Cellar"  # still known
    saved.bin.empty()
    moves = saved.cares.where(wheel_id=one.id)
    assert [(m.note, m.room_id, m.from_room_id) for m in moves] == [
        ("Cellar", None, None), ("Larder", larder.id, None)
    ]  # fmt: skip
    assert saved.check() == []
