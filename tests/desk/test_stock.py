"""The shelf through the real window, by keys: stock, brine, cultures, whey, what went in."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk.plans.place import PlansPlace
from journal.keeping import Journal
from journal.records import RecordError
from journal.records.brines import Brine, BrineStay
from journal.records.cultures import Generation
from journal.records.dates import read_date
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso, local
from journal.records.makes import Ingredient, Milk
from journal.records.plans import Dose, Plan, Stage
from journal.reports.agenda import agenda_of
from journal.wording import text_of
from journal.wording.makes import whey_lines
from tests.desk.hands import key_for

ZONE = "Europe/London"
NOW = from_iso("2026-03-14T09:25", ZONE)
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
PLAN = Plan(
    "kitchen hard",
    (
        Stage("ripen", 30, target_c=31.0, doses=(Dose("culture", "kitchen mix", 0.02, "g"),)),
        Stage("set", 40, target_c=31.0, doses=(Dose("rennet", "calf rennet", 0.2, "ml"),)),
        Stage("brine", 600, brine_pct=20.0),
    ),
    milk_l=10,
)
SECTIONS = ("Ingredients", "Brine", "Cultures", "Whey", "Used")


def _clock() -> int:
    return NOW


def keys(widget, text: str) -> None:
    QTest.keyClicks(widget, text)


def press(widget, key, modifiers=Qt.KeyboardModifier.NoModifier) -> None:
    QTest.keyClick(widget, key, modifiers)


@pytest.fixture
def made(journal: Journal) -> Journal:
    """A journal with a running make of 10 L."""
    journal.makes.begin(PLAN, Milk(10.0), NOW - 20 * MINUTE_MS)
    return journal


@pytest.fixture
def shelf_on(window_on, qtbot):
    """Opens the window on Plans and turns to a section of the shelf, by keys."""

    def opened(journal: Journal, section: str = "Ingredients") -> PlansPlace:
        window = window_on(journal, place="plans", clock=_clock)
        place = window.current
        qtbot.waitUntil(place.page.list.hasFocus)
        press(place.page.list, *key_for("part_2"))
        assert place.stock_shown
        for _ in range(SECTIONS.index(section)):
            press(window.focusWidget(), *key_for("next"))
        assert place.stock.made().section.title == section
        return place

    return opened


def texts(place: PlansPlace) -> list[list[str]]:
    model = place.stock.made().section.table.rows_model
    return [[column.text(row) for column in model.columns] for row in model.rows]


def fill(place: PlansPlace, *values: str) -> None:
    """Type into the fields from the focused one on, Enter after each; Esc closes what hangs."""
    form = place.stock.made().form
    for value in values:
        line = place.window().focusWidget()
        line.selectAll()
        if value:
            keys(line, value)
        suggestions = getattr(line.parentWidget().parentWidget(), "suggestions", None)
        if suggestions is not None and suggestions.isVisible():
            press(line, Qt.Key.Key_Escape)
        assert form.open
        press(line, Qt.Key.Key_Return)


# Turning


def test_one_key_turns_to_the_shelf_and_back(shelf_on, journal: Journal) -> None:
    place = shelf_on(journal)
    assert [c.name for c in place.commands()] == ["shelf_act", "shelf_next", "shelf"]
    press(place.window().focusWidget(), Qt.Key.Key_Escape)
    assert not place.stock_shown
    assert place.page.list.hasFocus()
    assert "start" in [c.name for c in place.commands()]
    press(place.page.list, *key_for("part_2"))
    place.window().go("plans")
    assert not place.stock_shown


def test_no_make_starts_from_the_shelf(shelf_on, journal: Journal) -> None:
    place = shelf_on(journal)
    press(place.window().focusWidget(), Qt.Key.Key_Return, CONTROL)
    assert journal.makes.all() == []
    assert place.stock.made().form.open
    press(place.window().focusWidget(), Qt.Key.Key_Escape)
    press(place.window().focusWidget(), Qt.Key.Key_Escape)
    press(place.page.list, Qt.Key.Key_Return, CONTROL)
    assert len(journal.makes.all()) == 1


def test_every_section_says_how_to_begin_when_it_is_empty(shelf_on, journal: Journal) -> None:
    place = shelf_on(journal)
    for title in (*SECTIONS, "Milk"):
        section = place.stock.made().section
        assert section.title == title
        assert section.pages.currentIndex() == 1
        heading, sentence = section.empty_text()
        assert heading.endswith(".")
        assert len(sentence) > 60
        assert place.stock.made().right_page.caution.words.text() == section.caution
        press(place.window().focusWidget(), *key_for("next"))
    assert place.stock.made().section.title == "Ingredients"


# Ingredients


def test_a_lot_is_put_on_the_shelf_by_keys(shelf_on, made: Journal) -> None:
    place = shelf_on(made)
    assert [row[0] for row in texts(place)] == ["kitchen mix", "calf rennet"]  # missing
    press(place.stock.made().section.table, Qt.Key.Key_Down)
    press(place.stock.made().section.table, Qt.Key.Key_1)
    form = place.stock.made().form
    assert form.field("kind").line.text() == "rennet"
    assert form.field("name").line.text() == "calf rennet"
    fill(place, "single strength", "R-9", "07/2026", "21,5")
    assert not form.open
    (lot,) = made.ingredients.all()
    assert (lot.kind, lot.name, lot.strength, lot.lot) == (
        "rennet", "calf rennet", "single strength", "R-9",
    )  # fmt: skip
    assert (lot.amount_left, lot.unit) == (21.5, "ml")
    assert local(lot.expires_ms, ZONE).date() == date(2026, 7, 31)
    row = texts(place)[0]
    assert row[1:] == ["R-9", "31 Jul 2026", "21.5 ml", "10 × kitchen hard"]
    with Journal.open(made.path, read_only=True) as again:
        assert again.ingredients.all() == [lot]
    made.undo()
    assert [row[3] for row in texts(place)] == ["none", "none"]


def test_a_kind_is_picked_from_what_hangs_under_it_and_says_the_unit(shelf_on, made) -> None:
    place = shelf_on(made)
    table = place.stock.made().section.table
    press(table, Qt.Key.Key_1)
    form = place.stock.made().form
    line = form.field("kind").line
    line.setFocus()
    line.selectAll()
    keys(line, "calc")
    press(line, Qt.Key.Key_Return)
    assert line.text() == "calcium chloride"
    assert form.field("name").line.hasFocus()
    assert form.field("left").unit == "ml"
    line.setText("stone")
    press(form.field("name").line, Qt.Key.Key_Return, CONTROL)
    assert "not one of these" in form.field("kind").message.text()
    assert line.hasFocus()
    assert made.ingredients.all() == []


def test_what_cannot_be_stays_in_the_form(shelf_on, made: Journal) -> None:
    place = shelf_on(made)
    press(place.stock.made().section.table, Qt.Key.Key_1)
    form = place.stock.made().form
    form.field("expires").line.setText("31 Juno")
    press(form.field("lot").line, Qt.Key.Key_Return, CONTROL)
    assert "is not a date" in form.field("expires").message.text()
    form.field("expires").line.setText("")
    form.field("left").line.setText("20 degC")
    press(form.field("lot").line, Qt.Key.Key_Return, CONTROL)
    assert "not a unit" in form.field("left").message.text()
    assert form.open
    assert made.ingredients.all() == []


def test_past_and_low_are_told_as_on_today(shelf_on, made: Journal) -> None:
    made.ingredients.save_many(
        [
            Ingredient("culture", "kitchen mix", lot="M-1", expires_ms=NOW - DAY_MS, amount_left=4),
            Ingredient("rennet", "calf rennet", lot="R-1", amount_left=5.0, unit="ml"),
        ]
    )
    make = made.makes.all()[0]
    made.stock.put_in(make, 1, ("rennet", "calf rennet", "ml"), 2.0, NOW)
    rows = {row.name: row for row in shelf_on(made).stock.made().section.table.rows_model.rows}
    assert rows["kitchen mix"].past
    assert rows["calf rennet"].low
    today = [(i.group, i.title) for i in agenda_of(made, NOW).now if i.group == "stock"]
    assert today == [
        ("stock", "Kitchen mix is past its date"), ("stock", "Calf rennet is low"),
    ]  # fmt: skip


def test_the_right_page_says_for_how_many_makes_and_what_took_it(shelf_on, made) -> None:
    made.ingredients.save(Ingredient("rennet", "Calf rennet", amount_left=9.0, unit="ml"))
    made.makes.end_stage(made.makes.all()[0].id, NOW - 5 * MINUTE_MS)
    made.makes.end_stage(made.makes.all()[0].id, NOW)
    place = shelf_on(made)
    detail = place.stock.made().section.detail(place.stock.made().section.table.current())
    enough, lately = detail.tables
    assert enough.rows == (("kitchen hard", "2 ml", "3 makes"),)
    assert lately.rows == (("HL-0001", "2 ml", "", "14 Mar 2026"),)
    assert "clotting test" in detail.caution
    assert place.stock.made().right_page.head.text() == "Calf rennet"


def test_delete_takes_a_lot_off_and_undo_brings_it_back(shelf_on, made: Journal) -> None:
    made.ingredients.save(Ingredient("salt", "fine salt", amount_left=900.0))
    place = shelf_on(made)
    press(place.stock.made().section.table, Qt.Key.Key_Delete)
    assert made.ingredients.all() == []
    press(place.stock.made().section.table, Qt.Key.Key_Z, CONTROL)
    assert [i.name for i in made.ingredients.all()] == ["fine salt"]
    assert "fine salt" in [row[0] for row in texts(place)]


def test_days_as_they_stand_on_a_packet() -> None:
    for text, day in (
        ("14 March 2027", (2027, 3, 14)), ("14 apr", (2026, 4, 14)), ("1 mar", (2027, 3, 1)),
        ("03/2027", (2027, 3, 31)), ("2027-02", (2027, 2, 28)), ("March 2028", (2028, 3, 31)),
        ("2026-12-01", (2026, 12, 1)), ("today", (2026, 3, 14)), ("in 2 weeks", (2026, 3, 28)),
        ("10 days", (2026, 3, 24)), ("in 12 months", (2027, 3, 14)),
    ):  # fmt: skip
        assert local(read_date(text, ZONE, NOW), ZONE).date() == date(*day), text
    for text in ("", "soon", "31 feb 2027", "13/2027", "may", "ma 2027"):
        with pytest.raises(RecordError) as caught:
            read_date(text, ZONE, NOW)
        assert "is not a date" in text_of(caught.value)


# Brine


def test_a_bath_is_made_measured_and_brought_back_to_strength(shelf_on, made: Journal) -> None:
    place = shelf_on(made, "Brine")
    press(place.window().focusWidget(), Qt.Key.Key_Return, CONTROL)
    fill(place, "the brine", "10 l", "20", "1 mar 2026")
    (bath,) = made.brines.all()
    assert (bath.litres, bath.strength_pct) == (10.0, 20.0)
    table = place.stock.made().section.table
    assert table.hasFocus()
    press(table, Qt.Key.Key_2)
    fill(place, "15.5", "today", "by the float")
    assert texts(place)[0][2] == "15.5"
    assert place.stock.made().section.table.current().weak
    press(table, Qt.Key.Key_3)
    salt = place.stock.made().form.field("kg").line.text()
    assert salt.endswith(" kg")
    fill(place, salt, "today", "")
    assert texts(place)[0][2] == "20.0"
    assert [e.kind for e in made.brine_events.all()] == ["measured", "salt"]
    detail = place.stock.made().section.detail(table.current())
    assert [line[1] for line in detail.tables[0].rows][1:] == [
        "measured; by the float", "made: 10 L",
    ]  # fmt: skip
    assert "boil it" in detail.caution
    assert place.stock.made().right_page.chart is not None


def test_cheese_goes_in_and_out_by_keys(shelf_on, made: Journal) -> None:
    made.brines.save_many([Brine("light", 9.0, 18.0, NOW), Brine("strong", 9.0, 22.0, NOW)])
    place = shelf_on(made, "Brine")
    table = place.stock.made().section.table
    press(table, Qt.Key.Key_Down)
    press(table, Qt.Key.Key_8)
    assert "nothing in strong" in place.messages.text("stock")
    press(table, Qt.Key.Key_7)
    assert place.stock.made().form.field("code").line.text() == "HL-0001"
    press(place.stock.made().form.field("code").line, Qt.Key.Key_Return)
    assert texts(place)[1][4] == "HL-0001"
    (stay,) = made.brine_stays.all()
    assert made.brines.get(stay.brine_id).name == "strong"
    press(table, Qt.Key.Key_8)
    assert made.brine_stays.all()[0].out_ms == NOW
    press(table, Qt.Key.Key_9)
    assert [row[0] for row in texts(place)] == ["light", "strong"]
    assert texts(place)[1][3] == "poured away"
    made.undo()
    assert texts(place)[1][3] == "14 Mar 2026"


def test_a_code_that_is_not_there_is_refused_in_the_form(shelf_on, made: Journal) -> None:
    made.brines.save(Brine("the brine", 9.0, 18.0, NOW))
    place = shelf_on(made, "Brine")
    press(place.stock.made().section.table, Qt.Key.Key_7)
    fill(place, "HL-0099")
    assert "no make HL-0099" in place.stock.made().form.field("code").message.text()
    assert made.brine_stays.all() == []


def test_a_make_in_the_bin_leaves_its_stay(shelf_on, made: Journal) -> None:
    bath = made.brines.save(Brine("the brine", 9.0, 18.0, NOW))
    make = made.makes.all()[0]
    made.brine_stays.save(BrineStay(bath.id, make.id, NOW))
    made.makes.remove(make.id)
    place = shelf_on(made, "Brine")
    assert texts(place)[0][4] == "a deleted make"


# Cultures


def test_generations_follow_each_other_by_keys(shelf_on, made: Journal) -> None:
    place = shelf_on(made, "Cultures")
    press(place.window().focusWidget(), Qt.Key.Key_Return, CONTROL)
    fill(place, "kitchen mix", "mesophilic", "packet M-07", "12 mar 2026", "19 mar 2026", "4.5", "")
    (first,) = made.generations.all()
    assert (first.number, first.origin, first.ph) == (1, "packet M-07", 4.5)
    made.makes.end_stage(made.makes.all()[0].id, NOW)
    assert made.additions.all()[0].generation_id == first.id
    press(place.stock.made().section.table, Qt.Key.Key_2)
    fill(place, "HL-0001", "today", "in 6 days", "5,3", "slow")
    second = made.generations.all()[1]
    assert (second.number, second.parent_id, second.from_make_id) == (2, first.id, 1)
    assert second.made_ms == NOW
    assert [row[1:3] for row in texts(place)] == [
        ["2", "generation 1, HL-0001"], ["1", "packet M-07"],
    ]  # fmt: skip
    table = place.stock.made().section.table
    table.select(0)
    assert "not as sour" in place.stock.made().section.detail(table.current()).doubts[0]
    shelf = [i.title for i in agenda_of(made, NOW).now if i.group == "stock"]
    assert shelf == ["Kitchen mix, generation 2, is doubtful"]
    press(table, Qt.Key.Key_3)
    assert [g.gone_ms is not None for g in made.generations.all()] == [False, True]
    assert [i for i in agenda_of(made, NOW).now if i.group == "stock"] == []


def test_a_culture_is_never_carried_over_from_raw_milk(shelf_on, journal: Journal) -> None:
    journal.makes.begin(PLAN, Milk(10.0, treatment="raw"), NOW - MINUTE_MS)
    journal.generations.save(Generation("kitchen mix", NOW - DAY_MS))
    place = shelf_on(journal, "Cultures")
    press(place.stock.made().section.table, Qt.Key.Key_2)
    fill(place, "HL-0001", "", "", "", "")
    form = place.stock.made().form
    assert form.open
    assert "raw milk" in form.field("note").message.text()
    assert len(journal.generations.all()) == 1


# Whey


def test_a_whey_cheese_begins_from_a_make_and_both_say_so(shelf_on, made, qtbot) -> None:
    place = shelf_on(made, "Whey")
    assert texts(place) == [["HL-0001", "14 Mar 2026", "kitchen hard", "9.0", ""]]
    press(place.stock.made().section.table, Qt.Key.Key_1)
    fill(place, "12 l", "1", "kitchen hard")
    assert "cannot come from HL-0001" in place.stock.made().form.field("plan").message.text()
    place.stock.made().form.field("whey").line.setFocus()
    fill(place, "8 l", "1", "kitchen hard")
    qtbot.waitUntil(lambda: place.window().current.key == "vat")
    child = made.makes.by_code("HL-0002")
    assert (child.whey_l, child.milk.litres, child.whey_from_make_id) == (8.0, 9.0, 1)
    assert whey_lines(made.whole(child.id)) == ["A whey cheese from 8 L of the whey of HL-0001."]
    assert whey_lines(made.whole(1)) == [
        "8 L of its whey became HL-0002, kitchen hard from HL-0001."
    ]
    place.window().go("plans")
    place.open_stock()
    assert texts(place)[0][4] == "HL-0002"


# Went in


def test_what_went_in_is_changed_before_and_after(shelf_on, made: Journal) -> None:
    lots = made.ingredients.save_many(
        [
            Ingredient("culture", "kitchen mix", lot="M-1", expires_ms=NOW + DAY_MS, amount_left=2),
            Ingredient("culture", "kitchen mix", lot="M-2", amount_left=5),
        ]
    )
    place = shelf_on(made, "Used")
    assert texts(place)[0] == ["ripen", "kitchen mix", "0.2 g", "", "", ""]
    table = place.stock.made().section.table
    press(table, Qt.Key.Key_Return)
    fill(place, "0.25", "M-2")
    assert texts(place)[0][3:] == ["0.25 g", "M-2", "09:05"]
    assert [i.amount_left for i in made.ingredients.all()] == [2, 4.75]
    made.makes.end_stage(1, NOW)
    assert [a.amount for a in made.additions.all()] == [0.25]
    press(table, Qt.Key.Key_Return)
    fill(place, "300 mg", "M-1")
    assert [i.amount_left for i in made.ingredients.all()] == [1.7, 5]
    assert made.additions.all()[0].ingredient_id == lots[0].id
    press(table, Qt.Key.Key_Delete)
    assert made.additions.all() == []
    assert [i.amount_left for i in made.ingredients.all()] == [2, 5]
    press(table, Qt.Key.Key_Return)
    fill(place, "5 ml", "")
    assert "Type it in g" in place.stock.made().form.field("lot").message.text()


# Today, and all of it at once


def test_today_leads_to_the_shelf(window_on, journal: Journal, qtbot) -> None:
    journal.ingredients.save(
        Ingredient("salt", "fine salt", expires_ms=NOW - 9 * DAY_MS, amount_left=50)
    )
    window = window_on(journal, place="today", clock=_clock)
    place = window.current
    assert place.go_there.text() == "Go to the stock"
    qtbot.keyClick(place.list, Qt.Key.Key_Return)
    assert window.current.key == "plans"
    assert window.current.stock_shown
    assert window.current.stock.made().section.table.hasFocus()


def test_the_sample_fills_every_section(window_on, sample: Journal, qtbot) -> None:
    window = window_on(sample, place="plans")
    window.current.open_stock()
    for number, title in enumerate(SECTIONS):
        window.current.stock.made().show_section(number)
        section = window.current.stock.made().section
        assert section.table.rows_model.rows, title
        for row in range(len(section.table.rows_model.rows)):
            section.table.select(row)
            assert window.current.stock.made().right_page.head.text()
    qtbot.waitUntil(window.settled)
    assert window.current.messages.text("stock") == ""


def test_a_weak_rennet_says_what_to_take(journal: Journal, shelf_on) -> None:
    journal.plans.save(PLAN)
    journal.ingredients.save(
        Ingredient("rennet", "calf rennet", "200 IMCU/ml", amount_left=50.0, unit="ml")
    )
    section = shelf_on(journal).stock.made().section
    row = next(row for row in section.rows() if row.kind == "rennet")
    output = " ".join(section.detail(row).doubts)
    assert "where kitchen hard says 2 ml, use 2.5 ml" in output
