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
def shelf(kept: Journal) -> list[Ingredient]:
    day = START + DAY_MS
    return kept.ingredients.keep_many(
        [
            Ingredient("culture", "mix", lot="M-2", expires_ms=day * 2, amount_left=5.0),
            Ingredient("culture", "Mix", lot="M-1", expires_ms=day, amount_left=0.15),
            Ingredient("rennet", "calf", lot="R-9", expires_ms=day, amount_left=0.05, unit="L"),
        ]
    )


def begun(kept: Journal, litres: float = 10.0) -> Make:
    return kept.makes.begin(PLAN, Milk(litres), START)


def left(kept: Journal) -> list[float | None]:
    return [item.amount_left for item in kept.ingredients.all()]


def used(kept: Journal) -> list[tuple[str, float, int | None]]:
    return [(a.name, a.amount, a.ingredient_id) for a in kept.additions.all()]


def test_the_end_of_a_stage_takes_its_doses_and_undo_gives_them_back(kept, shelf):
    make = begun(kept)
    kept.makes.end_stage(make.id, START + 35 * MINUTE)
    # 0.2 g: what the nearer lot had, the rest from the next.
    assert used(kept) == [("mix", 0.15, shelf[1].id), ("mix", 0.05, shelf[0].id)]
    assert left(kept) == [4.95, 0.0, 0.05]
    assert {a.at_ms for a in kept.additions.all()} == {START}  # it went in as the stage began
    assert kept.makes.get(make.id).culture_lot == "M-1"
    kept.makes.end_stage(make.id, START + 80 * MINUTE)
    assert left(kept) == [4.95, 0.0, 0.048]
    kept.undo()
    kept.undo()
    assert left(kept) == [5.0, 0.15, 0.05]
    assert kept.additions.all() == []
    assert kept.makes.get(make.id).culture_lot == ""
    kept.redo()
    assert left(kept) == [4.95, 0.0, 0.05]
    assert kept.check() == []


def test_what_was_said_before_the_end_stays_as_it_was_said(kept, shelf):
    make = begun(kept)
    kept.stock.put_in(make, 0, ("culture", "mix", "g"), 0.3, START, shelf[0].id)
    kept.stock.put_in(make, 1, ("rennet", "calf", "ml"), 0.0, START)  # left out
    for minutes in (35, 80):
        kept.makes.end_stage(make.id, START + minutes * MINUTE)
    assert used(kept) == [("mix", 0.3, shelf[0].id), ("calf", 0.0, None)]
    assert left(kept) == [4.7, 0.15, 0.05]


def test_an_empty_shelf_still_says_what_went_in(kept):
    make = begun(kept, litres=7.5)
    kept.makes.end_stage(make.id, START + 35 * MINUTE)
    assert used(kept) == [("mix", 0.15, None)]
    assert kept.makes.get(make.id).culture_lot == ""


def test_finishing_puts_in_what_the_running_stage_still_wants(kept, shelf):
    make = begun(kept)
    kept.makes.finish(make.id, [1.1], START + 90 * MINUTE)
    assert left(kept) == [4.95, 0.0, 0.05]
    assert kept.makes.get(make.id).culture_lot == "M-1"
    assert kept.makes.get(make.id).finished_ms == START + 90 * MINUTE


def test_an_amount_and_a_lot_can_be_changed_and_the_lots_follow(kept, shelf):
    make = begun(kept)
    kept.stock.put_in(make, 0, ("culture", "mix", "g"), 0.1, START)
    added = kept.additions.all()[0]
    assert added.ingredient_id == shelf[1].id
    changed = kept.stock.change(make, added, 0.12)
    assert left(kept)[:2] == [5.0, 0.03]
    moved = kept.stock.change(make, changed[0], 0.12, shelf[0].id)
    assert left(kept)[:2] == [4.88, 0.15]
    kept.stock.take_back(moved[0])
    assert left(kept)[:2] == [5.0, 0.15]
    assert kept.additions.all() == []
    for _ in range(4):
        kept.undo()
    assert left(kept)[:2] == [5.0, 0.15]
    assert kept.check() == []


def test_more_than_the_lot_has_is_told_apart(kept, shelf):
    make = begun(kept)
    parts = kept.stock.put_in(make, 0, ("culture", "mix", "g"), 0.5, START, shelf[1].id)
    assert [(a.amount, a.ingredient_id) for a in parts] == [(0.15, shelf[1].id), (0.35, None)]
    for part in parts:
        kept.stock.take_back(part)
    assert left(kept)[:2] == [5.0, 0.15]


def test_a_living_culture_goes_before_a_packet(kept, shelf):
    first = kept.generations.keep(Generation("mix", START - 9 * DAY_MS, origin="packet"))
    second = kept.generations.keep(next_generation(first, START - 2 * DAY_MS))
    make = begun(kept)
    kept.makes.end_stage(make.id, START + 35 * MINUTE)
    (added,) = kept.additions.all()
    assert (added.generation_id, added.ingredient_id, added.amount) == (second.id, None, 0.2)
    assert kept.makes.get(make.id).backslop
    assert left(kept)[:2] == [5.0, 0.15]
    (packet,) = kept.stock.change(make, added, 0.2, shelf[0].id)
    assert (packet.ingredient_id, packet.generation_id) == (shelf[0].id, None)
    kept.generations.keep(replace(second, gone_ms=START))
    kept.generations.keep(replace(first, gone_ms=START))
    other = begun(kept)
    kept.makes.end_stage(other.id, START + 35 * MINUTE)
    assert kept.additions.where(make_id=other.id)[0].ingredient_id == shelf[1].id


# Brine


def to_the_brine(kept: Journal) -> Make:
    make = begun(kept)
    for minutes in (35, 80):
        kept.makes.end_stage(make.id, START + minutes * MINUTE)
    return make


def test_a_make_lies_in_the_one_bath_while_it_brines(kept):
    bath = kept.brines.keep(Brine("the brine", 12.0, 20.0, START - DAY_MS))
    make = to_the_brine(kept)
    (stay,) = kept.brine_stays.all()
    assert (stay.brine_id, stay.make_id, stay.out_ms) == (bath.id, make.id, None)
    with refused(KeepingError, "keeping.in-brine-already", brine="the brine"):
        kept.baths.put_in(bath.id, make.id, START + 90 * MINUTE)
    kept.makes.end_stage(make.id, START + 700 * MINUTE)
    assert kept.brine_stays.all()[0].hours == pytest.approx(620 / 60)
    kept.undo()
    assert kept.brine_stays.all()[0].out_ms is None
    kept.undo()
    assert kept.brine_stays.all() == []
    assert kept.check() == []


def test_of_two_baths_the_person_says_which(kept):
    baths = kept.brines.keep_many(
        [Brine("light", 10.0, 18.0, START), Brine("strong", 10.0, 24.0, START)]
    )
    make = to_the_brine(kept)
    assert kept.brine_stays.all() == []
    kept.baths.put_in(baths[1].id, make.id, START + 81 * MINUTE)
    (wheel,) = kept.makes.finish(make.id, [1.0], START + 700 * MINUTE)
    assert kept.brine_stays.all()[0].out_ms == START + 700 * MINUTE
    stay = kept.baths.put_in(baths[1].id, make.id, START + 800 * MINUTE, wheel.id)
    assert kept.baths.take_out(stay, START + 900 * MINUTE).hours == pytest.approx(100 / 60)
    kept.brines.keep(replace(baths[0], gone_ms=START + 900 * MINUTE))
    assert [b.name for b in kept.baths.in_use()] == ["strong"]
    with refused(KeepingError, "keeping.brine-gone", brine="light"):
        kept.baths.put_in(baths[0].id, make.id, START + 901 * MINUTE)
    kept.brine_events.keep(BrineEvent(baths[1].id, START, "measured", strength_pct=23.0))
    with Journal.open(kept.path, read_only=True) as again:
        assert again.brine_events.all() == kept.brine_events.all()
        assert again.brine_stays.all() == kept.brine_stays.all()
        assert again.check() == []


# Whey


def test_a_whey_cheese_is_a_make_of_its_own_told_on_both(kept):
    parent = begun(kept)
    plan = Plan("whey cheese", PLAN.stages[:1])
    child = kept.makes.begin_whey(parent.id, plan, 8.0, START + 200 * MINUTE, milk_l=1.0)
    assert (child.code, child.whey_l, child.milk.litres) == ("HL-0002", 8.0, 9.0)
    assert child.name == "whey cheese from HL-0001"
    assert kept.whole(child.id).whey_from.code == "HL-0001"
    assert [m.code for m in kept.whole(parent.id).whey_cheeses] == ["HL-0002"]
    assert kept.whole(parent.id).whey_from is None
    with refused(KeepingError, "keeping.whey-went-elsewhere", make="HL-0001", used=8.0):
        kept.makes.begin_whey(parent.id, plan, 3.0, START + 200 * MINUTE)
    with refused(KeepingError, "keeping.no-whey-yet", make="HL-0001"):
        kept.makes.begin_whey(parent.id, plan, 1.0, START - 1)
    kept.makes.remove(child.id)
    assert kept.whole(parent.id).whey_cheeses == ()
    kept.undo()
    kept.undo()
    assert [m.code for m in kept.makes.all()] == ["HL-0001"]
    assert kept.check() == []


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
        kept = Journal.create(Path(folder) / "k.vatside", zone="UTC")
        kept.ingredients.keep_many(
            [Ingredient("culture", "mix", lot=str(i), amount_left=2.0) for i in range(2)]
        )
        make = kept.makes.begin(PLAN, Milk(10.0), START)
        for act, amount, lot in steps:
            additions = kept.additions.all()
            lot_id = lot if lot in (1, 2) else None
            if act == "put":
                kept.stock.put_in(make, 0, ("culture", "mix", "g"), amount, START, lot_id)
            elif act == "change" and additions:
                kept.stock.change(make, additions[lot % len(additions)], amount, lot_id)
            elif act == "back" and additions:
                kept.stock.take_back(additions[lot % len(additions)])
            elif act == "undo" and kept.undo_name not in (None, Message("keeping.act-begin-make")):
                kept.undo()
            elif act == "redo":
                kept.redo()
            for item in kept.ingredients.all():
                took = sum(a.amount for a in kept.additions.where(ingredient_id=item.id))
                assert item.amount_left == pytest.approx(2.0 - took, abs=1e-4)
        assert kept.check() == []
        kept.close()
