"""A sum filled from the record it is opened from, taken over by a key, taken back a week later."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest

from journal.desk.window import Window
from journal.keeping import Journal
from journal.records.makes import Ingredient
from journal.records.plan_text import builtin_plan
from journal.records.timers import FLOCCULATION
from journal.topics.registry import topics
from tests import present
from tests.desk.conftest import cheddar_like
from tests.desk.hands import Hands
from tests.desk.test_calculate import CTRL_SHIFT, dialog_of

CTRL = Qt.KeyboardModifier.ControlModifier


def opened_from(window):
    """Calculate over what one stands on, opened by its key."""
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window)
    Hands(window).press(Qt.Key.Key_C, CTRL_SHIFT)
    return dialog_of(window)


def fill(dialog, name: str, typed: dict[str, str]) -> dict[str, str]:
    """Show a sum as it is filled from the record, type the rest, and give what its fields say."""
    dialog.topics.show_topic(name)
    for key, text in typed.items():
        dialog.form.fields[key].line.setFocus()
        dialog.form.fields[key].line.selectAll()
        Hands(dialog).type(text)
    return dialog.form.texts()


def take(dialog) -> str:
    Hands(dialog).press(Qt.Key.Key_Return, CTRL)
    return dialog.message.text()


def back_a_week_later(journal: Journal) -> None:
    """The window and its journal are closed; a week on another opening takes the act back."""
    path = journal.path
    journal.close()
    with Journal.open(path) as again:
        (newest,) = again.history.all(1)
        assert newest.act.undone_ms is None
        again.take_back(newest.act.id)


def after(window, dialog, journal: Journal) -> Journal:
    """What the file says once everything was closed and the act was taken back."""
    dialog.close()
    window.close()
    back_a_week_later(journal)
    return Journal.open(journal.path)


def test_a_dose_from_the_running_make_into_it(kitchen, window_on):
    kitchen.to_stage(2)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    dialog = opened_from(window)
    output = fill(dialog, "rennet", {"strength": "250"})
    assert output == {"milk": "12 L", "temp": "31.0 °C", "strength": "250"}
    assert dialog.form.fields["milk"].message.text() == "from HL-0001"
    assert dialog.form.fields["strength"].message.text() == ""
    assert take(dialog).startswith("rennet 2.47 ml is noted in HL-0001.")
    (one,) = [a for a in kitchen.journal.additions.all() if a.kind == "rennet"]
    assert (one.make_id, one.position, one.unit) == (kitchen.make.id, 2, "ml")
    assert one.amount == pytest.approx(50 * 12 * 1.03 / 250)
    with after(window, dialog, kitchen.journal) as later:
        assert [a for a in later.additions.all() if a.kind == "rennet"] == []


def test_a_load_from_the_plan_into_its_next_version(journal, window_on):
    plan = journal.plans.save(replace(cheddar_like(), mould_mm=165.0))
    window = window_on(journal, place="plans")
    window.place("plans").show_plan(plan.name)
    dialog = opened_from(window)
    fill(dialog, "press", {"pressure": "12 kPa"})
    assert dialog.form.fields["mould"].text() == "165 mm"
    assert take(dialog).startswith(f"{plan.name} was saved as version 2.")
    assert journal.plans.by_name(plan.name).stages[-1].pressure_kpa == pytest.approx(12)
    assert take(dialog) == dialog.message.text()  # a second press does nothing more
    assert len(journal.plans.versions(plan.name)) == 2
    with after(window, dialog, journal) as later:
        assert later.plans.by_name(plan.name).stages[-1].pressure_kpa == 5.0


def test_a_wheel_gives_its_size_age_and_room_and_gets_a_note(kitchen, window_on):
    journal = kitchen.journal
    journal.makes.finish(kitchen.make.id, [1.2], kitchen.after(1000))
    kitchen.after(30 * 24 * 60)
    window = window_on(journal, clock=kitchen.clock, place="room")
    dialog = opened_from(window)
    dialog.topics.show_topic("loss")
    assert dialog.form.texts() == {"weight": "1.2 kg", "weeks": "4.3 weeks"}
    fill(dialog, "loss", {"room": "12 C"})
    assert take(dialog).startswith("Noted with HL-0001-A.")
    (note,) = journal.notes.where(wheel_id=journal.wheels.all()[0].id)
    assert note.text.startswith("Weight loss in the room: loss ")
    with after(window, dialog, journal) as later:
        assert later.notes.where(wheel_id=later.wheels.all()[0].id) == []


def test_a_lot_gives_its_strength(journal, window_on):
    journal.ingredients.save(Ingredient("rennet", "calf rennet", "200 IMCU/ml", unit="ml"))
    window = window_on(journal, place="plans")
    window.current.turn_stock()
    dialog = opened_from(window)
    dialog.topics.show_topic("rennet")
    assert dialog.form.texts() == {"strength": "200 IMCU/ml"}
    assert dialog.source.text() == "From calf rennet"
    assert not dialog.take.isVisible()


@pytest.mark.parametrize("name", sorted(topics()))
def test_every_sum_opens_from_a_make_of_the_sample(name, sample_dialog):
    """What a finished make of a year fills in is understood by every form."""
    sample_dialog.topics.show_topic(name)
    assert sample_dialog.form.read().refused == 0


@pytest.fixture(scope="module")
def sample_dialog(qapp, sample_file, tmp_path_factory):
    folder = tmp_path_factory.mktemp("filled")
    path = folder / "sample.vatside"
    shutil.copy(sample_file, path)
    settings = QSettings(str(folder / "s.ini"), QSettings.Format.IniFormat)
    journal = Journal.open(path)
    window = Window(journal, clock=present.now, settings=settings, daily_backup=False, place="room")
    window.show()
    window.run("calculate")
    dialog = dialog_of(window)
    yield dialog
    dialog.close()
    window.close()
    journal.close()


def test_milk_by_lot_is_typed_in_the_stock_and_prices_the_cheese(kitchen, window_on):
    """By keys: a lot, poured into the open make; Calculate has its price, undo takes it back."""
    journal = kitchen.journal
    window = window_on(journal, clock=kitchen.clock, place="plans")
    hands, place = Hands(window), window.current
    place.turn_stock()
    place.stock.made().show_section(
        [one.title for one in place.stock.made().sections].index("Milk")
    )
    place.stock.made().section.add()
    for text in ("Lower Mill", "", "3.8 %", "3.3 %", "6.66", "1.20", ""):
        hands.type(text).press(Qt.Key.Key_Return)
    (lot,) = journal.milk_lots.all()
    assert (lot.farm, lot.fat_pct, lot.protein_pct, lot.ph, lot.price) == (
        "Lower Mill", 3.8, 3.3, 6.66, 1.2,
    )  # fmt: skip
    place.stock.made().section.pour()
    hands.press(Qt.Key.Key_Return)
    make = journal.makes.get(kitchen.make.id)
    assert (make.milk.source, make.milk.fat_pct) == ("Lower Mill", 3.8)
    window.go("vat")
    dialog = opened_from(window)
    dialog.topics.show_topic("cost")
    assert dialog.form.texts()["milk_price"] == "1.2 /L"
    dialog.close()
    window.undo()
    assert journal.makes.get(kitchen.make.id).milk.source == ""


@pytest.mark.parametrize(("stage", "name"), [(2, "rennet"), (4, "ramp"), (6, "press")])
def test_at_the_vat_it_opens_with_the_sum_of_the_stage(stage, name, kitchen, window_on):
    kitchen.to_stage(stage)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    assert opened_from(window).form.topic.name == name


def test_once_the_flecks_were_seen_it_opens_with_the_cutting_time(kitchen, window_on):
    """The set's clock gives the minutes, the plan the factor: the answer stands there."""
    kitchen.to_stage(2)
    journal, make = kitchen.journal, kitchen.make
    began = next(run.began_ms for run in journal.runs.where(make_id=make.id, position=2))
    journal.day.start_timer(make.id, FLOCCULATION, began)
    timer = journal.timers.where(make_id=make.id)[0]
    journal.day.stop_timer(timer.id, began + 13 * 60_000)
    window = window_on(journal, clock=kitchen.clock, place="vat")
    dialog = opened_from(window)
    assert dialog.form.topic.name == "set"
    assert dialog.form.texts()["flocculation"] == "13 min"
    assert [line.key for line in dialog.answer.lines][:1] == ["cut_min"]


def test_a_plan_fills_its_doses_wheel_room_and_limits(journal, window_on):
    """The rennet stands there by its activity, so that another lot's strength changes the ml."""
    journal.plans.save(replace(builtin_plan("caerphilly type"), builtin=False, name="own young"))
    window = window_on(journal, place="plans")
    window.place("plans").show_plan("own young")
    dialog = opened_from(window)
    output = {}
    for name in ("culture", "rennet", "salt", "brining-time", "brine-recipe", "loss", "acid-limits",
                 "growth-limits", "bandage", "moulds"):  # fmt: skip
        dialog.topics.show_topic(name)
        output[name] = dialog.form.texts()
    # 0.25 ml for a litre of single strength: × 250 IMCU/ml / 1.030 kg/l (University of Guelph).
    assert output["rennet"] == {"milk": "10 L", "temp": "30.0 °C", "dose": "60.68 IMCU/kg"}
    assert output["culture"] == {"milk": "10 L", "dose": "15 ml/L"}
    # 11 kg from 100 kg of milk: 1.133 kg; 1.1 g of salt a litre is 1 % of that curd.
    assert output["salt"] == {"curd": "1.133 kg", "target": "0.971 %"}
    # 1.133 kg at 1.08 kg/l on 176.7 cm² stand 59.4 mm high.
    assert output["brining-time"] == {"diameter": "150 mm", "height": "59.4 mm", "pct_w_w": "20 %"}
    assert output["brine-recipe"] == {"pct_w_w": "20 %", "ph": "pH 5.15"}
    assert output["loss"] == {"weight": "1.133 kg", "room": "12.0 °C", "weeks": "4 weeks"}
    assert output["acid-limits"] == {"family": "any other"}
    assert output["growth-limits"] == {"temp": "12.0 °C", "ph": "pH 5.40"}
    assert output["bandage"] == {"diameter": "150 mm", "height": "59.4 mm"}
    assert output["moulds"] == {"milk": "10 L", "yield": "11 %", "mould": "150 mm"}
    for name in ("rennet", "culture", "salt"):  # as the plan says already: nothing to take
        dialog.topics.show_topic(name)
        assert dialog.answer.lines
        assert not dialog.take.isVisible()
    dialog.topics.show_topic("rennet")
    dialog.form.fields["strength"].set_text("180")
    assert dialog.take.isVisible()
    (ml,) = [one.text for one in dialog.answer.lines if one.key == "ml"]
    assert float(ml.split()[0]) == pytest.approx(10 * 0.25 * 250 / 180, rel=1e-3)


def test_a_packet_in_the_stock_gives_its_sum_and_a_plan_takes_its_grams(journal, window_on):
    """What the packet says is filled; in a plan it stands for the bulk starter, by its own name."""
    packet = Ingredient("culture", "yoghurt mix", "50 u, for 500 l, 8 g")
    journal.ingredients.save(packet)
    journal.plans.save(replace(builtin_plan("mozzarella type"), builtin=False, name="own balls"))
    window = window_on(journal, place="plans")
    window.current.turn_stock()
    dialog = opened_from(window)
    assert dialog.form.topic.name == "culture-units"
    assert dialog.form.texts() == {"packet_units": "50", "packet_milk": "500 l", "packet_g": "8 g"}
    dialog.close()
    window.current.turn_stock()
    window.place("plans").show_plan("own balls")
    dialog = opened_from(window)
    fill(dialog, "culture-units", {"packet_milk": "500 l", "packet_g": "8 g"})
    assert take(dialog).startswith("own balls was saved as version 2.")
    (dose,) = [
        one for stage in journal.plans.by_name("own balls").stages for one in stage.doses
        if one.kind == "culture"
    ]  # fmt: skip
    assert (dose.name, dose.unit) == ("thermophilic culture, direct-set", "g")
    assert dose.per_litre == pytest.approx(8 / 500)  # 8 g for 500 l


@pytest.mark.parametrize(
    ("name", "typed", "of"),
    [
        ("salt", {"target": "2 %"}, lambda plan: plan.stages[7].doses[0].per_litre),
        ("moulds", {"mould": "120 mm", "weight": "250 g"}, lambda plan: plan.mould_mm),
        ("brine-recipe", {"brine": "5 L", "pct_w_w": "18 %"}, lambda p: p.stages[-2].brine_pct),
        ("standardise", {"have_pct": "4 %", "with_pct": "0.1 %", "have_protein_pct": "3.3 %",
                         "with_protein_pct": "3.4 %", "want_protein_fat": "0.95"},
         lambda plan: plan.protein_fat),
    ],
)  # fmt: skip
def test_further_answers_go_into_a_plan(name, typed, of, journal, window_on):
    plan = replace(builtin_plan("caerphilly type"), builtin=False, name="own young")
    journal.plans.save(plan)
    window = window_on(journal, place="plans")
    window.place("plans").show_plan("own young")
    dialog = opened_from(window)
    fill(dialog, name, typed)
    assert take(dialog).startswith("own young was saved as version 2.")
    # 2 % of the curd that 11 % of 1.030 kg a litre gives.
    wanted = {"salt": 2.266, "moulds": 120, "brine-recipe": 18, "standardise": 0.95}
    assert of(journal.plans.by_name("own young")) == pytest.approx(wanted[name])
    dialog.close()
    window.undo()
    assert of(journal.plans.by_name("own young")) == of(plan)


def test_what_the_record_learns_later_is_newer_than_what_was_typed(kitchen, window_on):
    """A guess typed before the flecks gives way to the clock; what was typed beside it stays, and
    a field that was emptied stays empty."""
    kitchen.to_stage(2)
    journal, make = kitchen.journal, kitchen.make
    window = window_on(journal, clock=kitchen.clock, place="vat")
    dialog = opened_from(window)
    fill(dialog, "set", {"flocculation": "11 min", "multiplier": "2.5"})
    fill(dialog, "press", {"load": "9 kg"})
    dialog.form.fields["pressure"].set_text("")
    dialog.close()
    began = next(run.began_ms for run in journal.runs.where(make_id=make.id, position=2))
    journal.day.start_timer(make.id, FLOCCULATION, began)
    journal.day.stop_timer(journal.timers.where(make_id=make.id)[0].id, began + 13 * 60_000)
    dialog = opened_from(window)
    dialog.topics.show_topic("set")
    assert dialog.form.texts() == {"flocculation": "13 min", "multiplier": "2.5"}
    dialog.topics.show_topic("press")
    assert dialog.form.texts()["load"] == "9 kg"
    assert "pressure" not in dialog.form.texts()


def test_a_make_of_the_same_code_in_another_journal_has_nothing_typed(kitchen, window_on, tmp_path):
    """What was typed is by its record and its journal, though the settings are the same."""
    kitchen.to_stage(2)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    dialog = opened_from(window)
    fill(dialog, "set", {"flocculation": "11 min"})
    dialog.close()
    window.close()
    other = Journal.create(tmp_path / "other.vatside", letters="HL", zone="Europe/London")
    make = other.makes.begin(cheddar_like(), kitchen.make.milk, kitchen.start_ms)
    assert make.code == kitchen.make.code
    window = window_on(other, clock=kitchen.clock, place="vat")
    dialog = opened_from(window)
    dialog.topics.show_topic("set")
    assert dialog.form.texts() == {}
