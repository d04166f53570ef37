"""The shelf in the file: doses come from its lots, cheese lies in the brine, whey makes cheese."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.keeping import Journal, KeepingError
from journal.message import Message
from journal.records.brines import Brine, BrineEvent
from journal.records.cultures import Generation, next_generation
from journal.records.instants import DAY_MS
from journal.records.makes import Ingredient, Make, Milk
from journal.records.plans import Dose, Plan, Stage
from tests.refusals import refused

START = 1_760_000_000_000
MINUTE = 60_000
PLAN = Plan(
    "brined",
    (
        Stage("ripen", 30, target_c=31.0, doses=(Dose("culture", "mix", 0.02, "g"),)),
        Stage("set", 40, target_c=31.0, doses=(Dose("rennet", "calf", 0.2, "ml"),)),
        Stage("brine", 600, brine_pct=20.0),
        Stage("dry", 600),
    ),
    milk_l=10,
)


@pytest.fixture
def shelf(saved: Journal) -> list[Ingredient]:
    day = START + DAY_MS
    return saved.ingredients.save_many(
        [
            Ingredient("culture", "mix", lot="M-2", expires_ms=day * 2, amount_left=5.0),
            Ingredient("culture", "Mix", lot="M-1", expires_ms=day, amount_left=0.15),
            Ingredient("rennet", "calf", lot="R-9", expires_ms=day, amount_left=0.05, unit="L"),
        ]
    )


def begun(saved: Journal, litres: float = 10.0) -> Make:
    return saved.makes.begin(PLAN, Milk(litres), START)


def left(saved: Journal) -> list[float | None]:
    return [item.amount_left for item in saved.ingredients.all()]


def used(saved: Journal) -> list[tuple[str, float, int | None]]:
    return [(a.name, a.amount, a.ingredient_id) for a in saved.additions.all()]


def test_the_end_of_a_stage_takes_its_doses_and_undo_gives_them_back(saved, shelf):
    make = begun(saved)
    saved.makes.end_stage(make.id, START + 35 * MINUTE)
    # 0.2 g: what the nearer lot had, the rest from the next.
    assert used(saved) == [("mix", 0.15, shelf[1].id), ("mix", 0.05, shelf[0].id)]
    assert left(saved) == [4.95, 0.0, 0.05]
    assert {a.at_ms for a in saved.additions.all()} == {START}  # it went in as the stage began
    assert saved.makes.get(make.id).culture_lot == "M-1"
    saved.makes.end_stage(make.id, START + 80 * MINUTE)
    assert left(saved) == [4.95, 0.0, 0.048]
    saved.undo()
    saved.undo()
    assert left(saved) == [5.0, 0.15, 0.05]
    assert saved.additions.all() == []
    assert saved.makes.get(make.id).culture_lot == ""
    saved.redo()
    assert left(saved) == [4.95, 0.0, 0.05]
    assert saved.check() == []


def test_what_was_said_before_the_end_stays_as_it_was_said(saved, shelf):
    make = begun(saved)
    saved.stock.put_in(make, 0, ("culture", "mix", "g"), 0.3, START, shelf[0].id)
    saved.stock.put_in(make, 1, ("rennet", "calf", "ml"), 0.0, START)  # left out
    for minutes in (35, 80):
        saved.makes.end_stage(make.id, START + minutes * MINUTE)
    assert used(saved) == [("mix", 0.3, shelf[0].id), ("calf", 0.0, None)]
    assert left(saved) == [4.7, 0.15, 0.05]


def test_an_empty_shelf_still_says_what_went_in(saved):
    make = begun(saved, litres=7.5)
    saved.makes.end_stage(make.id, START + 35 * MINUTE)
    assert used(saved) == [("mix", 0.15, None)]
    assert saved.makes.get(make.id).culture_lot == ""


def test_finishing_puts_in_what_the_running_stage_still_wants(saved, shelf):
    make = begun(saved)
    saved.makes.finish(make.id, [1.1], START + 90 * MINUTE)
    assert left(saved) == [4.95, 0.0, 0.05]
    assert saved.makes.get(make.id).culture_lot == "M-1"
    assert saved.makes.get(make.id).finished_ms == START + 90 * MINUTE


def test_an_amount_and_a_lot_can_be_changed_and_the_lots_follow(saved, shelf):
    make = begun(saved)
    saved.stock.put_in(make, 0, ("culture", "mix", "g"), 0.1, START)
    added = saved.additions.all()[0]
    assert added.ingredient_id == shelf[1].id
    changed = saved.stock.change(make, added, 0.12)
    assert left(saved)[:2] == [5.0, 0.03]
    moved = saved.stock.change(make, changed[0], 0.12, shelf[0].id)
    assert left(saved)[:2] == [4.88, 0.15]
    saved.stock.take_back(moved[0])
    assert left(saved)[:2] == [5.0, 0.15]
    assert saved.additions.all() == []
    for _ in range(4):
        saved.undo()
    assert left(saved)[:2] == [5.0, 0.15]
    assert saved.check() == []


def test_more_than_the_lot_has_is_told_apart(saved, shelf):
    make = begun(saved)
    parts = saved.stock.put_in(make, 0, ("culture", "mix", "g"), 0.5, START, shelf[1].id)
    assert [(a.amount, a.ingredient_id) for a in parts] == [(0.15, shelf[1].id), (0.35, None)]
    for part in parts:
        saved.stock.take_back(part)
    assert left(saved)[:2] == [5.0, 0.15]


def test_a_living_culture_goes_before_a_packet(saved, shelf):
    first = saved.generations.save(Generation("mix", START - 9 * DAY_MS, origin="packet"))
    second = saved.generations.save(next_generation(first, START - 2 * DAY_MS))
    make = begun(saved)
    saved.makes.end_stage(make.id, START + 35 * MINUTE)
    (added,) = saved.additions.all()
    assert (added.generation_id, added.ingredient_id, added.amount) == (second.id, None, 0.2)
    [added] = saved.stock.change(make, added, 0.25)
    assert (added.generation_id, added.ingredient_id, added.amount) == (second.id, None, 0.25)
    assert saved.additions.get(added.id) == added
    saved.stock.change(make, added, 0.2)
    assert saved.makes.get(make.id).backslop
    assert left(saved)[:2] == [5.0, 0.15]
    (packet,) = saved.stock.change(make, added, 0.2, shelf[0].id)
    assert (packet.ingredient_id, packet.generation_id) == (shelf[0].id, None)
    saved.generations.save(replace(second, gone_ms=START))
    saved.generations.save(replace(first, gone_ms=START))
    other = begun(saved)
    saved.makes.end_stage(other.id, START + 35 * MINUTE)
    assert saved.additions.where(make_id=other.id)[0].ingredient_id == shelf[1].id


# Brine


def to_the_brine(saved: Journal) -> Make:
    make = begun(saved)
    for minutes in (35, 80):
        saved.makes.end_stage(make.id, START + minutes * MINUTE)
    return make


def test_a_make_lies_in_the_one_bath_while_it_brines(saved):
    bath = saved.brines.save(Brine("the brine", 12.0, 20.0, START - DAY_MS))
    make = to_the_brine(saved)
    (stay,) = saved.brine_stays.all()
    assert (stay.brine_id, stay.make_id, stay.out_ms) == (bath.id, make.id, None)
    with refused(KeepingError, "keeping.in-brine-already", brine="the brine"):
        saved.baths.put_in(bath.id, make.id, START + 90 * MINUTE)
    saved.makes.end_stage(make.id, START + 700 * MINUTE)
    assert saved.brine_stays.all()[0].hours == pytest.approx(620 / 60)
    saved.undo()
    assert saved.brine_stays.all()[0].out_ms is None
    saved.undo()
    assert saved.brine_stays.all() == []
    assert saved.check() == []


def test_of_two_baths_the_person_says_which(saved):
    baths = saved.brines.save_many(
        [Brine("light", 10.0, 18.0, START), Brine("strong", 10.0, 24.0, START)]
    )
    make = to_the_brine(saved)
    assert saved.brine_stays.all() == []
    saved.baths.put_in(baths[1].id, make.id, START + 81 * MINUTE)
    (wheel,) = saved.makes.finish(make.id, [1.0], START + 700 * MINUTE)
    assert saved.brine_stays.all()[0].out_ms == START + 700 * MINUTE
    stay = saved.baths.put_in(baths[1].id, make.id, START + 800 * MINUTE, wheel.id)
    assert saved.baths.take_out(stay, START + 900 * MINUTE).hours == pytest.approx(100 / 60)
    saved.brines.save(replace(baths[0], gone_ms=START + 900 * MINUTE))
    assert [b.name for b in saved.baths.in_use()] == ["strong"]
    with refused(KeepingError, "keeping.brine-gone", brine="light"):
        saved.baths.put_in(baths[0].id, make.id, START + 901 * MINUTE)
    saved.brine_events.save(BrineEvent(baths[1].id, START, "measured", strength_pct=23.0))
    with Journal.open(saved.path, read_only=True) as again:
        assert again.brine_events.all() == saved.brine_events.all()
        assert again.brine_stays.all() == saved.brine_stays.all()
        assert again.check() == []


# Whey


def test_a_whey_cheese_is_a_make_of_its_own_told_on_both(saved):
    parent = begun(saved)
    plan = Plan("whey cheese", PLAN.stages[:1])
    child = saved.makes.begin_whey(parent.id, plan, 8.0, START + 200 * MINUTE, milk_l=1.0)
    assert (child.code, child.whey_l, child.milk.litres) == ("HL-0002", 8.0, 9.0)
    assert child.name == "whey cheese from HL-0001"
    assert saved.whole(child.id).whey_from.code == "HL-0001"
    assert [m.code for m in saved.whole(parent.id).whey_cheeses] == ["HL-0002"]
    assert saved.whole(parent.id).whey_from is None
    with refused(KeepingError, "keeping.whey-went-elsewhere", make="HL-0001", used=8.0):
        saved.makes.begin_whey(parent.id, plan, 3.0, START + 200 * MINUTE)
    with refused(KeepingError, "keeping.no-whey-yet", make="HL-0001"):
        saved.makes.begin_whey(parent.id, plan, 1.0, START - 1)
    saved.makes.remove(child.id)
    assert saved.whole(parent.id).whey_cheeses == ()
    saved.undo()
    saved.undo()
    assert [m.code for m in saved.makes.all()] == ["HL-0001"]
    assert saved.check() == []


# Whatever is done


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(("put", "change", "back", "undo", "redo")),
            st.floats(0, 3),
            st.integers(0, 3),
        ),
        max_size=14,
    )
)
def test_what_left_the_shelf_is_what_went_in(steps):
    with tempfile.TemporaryDirectory() as folder:
        saved = Journal.create(Path(folder) / "k.vatside", zone="UTC")
        saved.ingredients.save_many(
            [Ingredient("culture", "mix", lot=str(i), amount_left=2.0) for i in range(2)]
        )
        make = saved.makes.begin(PLAN, Milk(10.0), START)
        for act, amount, lot in steps:
            additions = saved.additions.all()
            lot_id = lot if lot in (1, 2) else None
            if act == "put":
                saved.stock.put_in(make, 0, ("culture", "mix", "g"), amount, START, lot_id)
            elif act == "change" and additions:
                saved.stock.change(make, additions[lot % len(additions)], amount, lot_id)
            elif act == "back" and additions:
                saved.stock.take_back(additions[lot % len(additions)])
            elif act == "undo" and saved.undo_name not in (None, Message("keeping.act-begin-make")):
                saved.undo()
            elif act == "redo":
                saved.redo()
            for item in saved.ingredients.all():
                took = sum(a.amount for a in saved.additions.where(ingredient_id=item.id))
                assert item.amount_left == pytest.approx(2.0 - took, abs=1e-4)
        assert saved.check() == []
        saved.close()
