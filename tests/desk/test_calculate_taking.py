"""A sum filled from the record it is opened from, taken over by a key, taken back a week later."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest
from PySide6.QtCore import QSettings, Qt

from journal.desk.window import Window
from journal.keeping import Journal
from journal.records.makes import Ingredient
from journal.records.timers import FLOCCULATION
from journal.topics.registry import topics
from tests import present
from tests.desk.conftest import cheddar_like
from tests.desk.hands import Hands
from tests.desk.test_calculate import CTRL_SHIFT, dialog_of

CTRL = Qt.KeyboardModifier.ControlModifier


def opened_from(window):
    """Calculate over what one stands on, opened by its key."""
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
    return dialog.said.text()


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
    said = fill(dialog, "rennet", {"strength": "250"})
    assert said == {"milk": "12 L", "temp": "31.0 °C", "strength": "250"}
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
    assert take(dialog).startswith(f"Saved as version 2 of {plan.name}.")
    assert journal.plans.by_name(plan.name).stages[-1].pressure_kpa == pytest.approx(12)
    assert take(dialog) == dialog.said.text()  # a second press does nothing more
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
    window.current.turn_shelf()
    dialog = opened_from(window)
    dialog.topics.show_topic("rennet")
    assert dialog.form.texts() == {"strength": "200 IMCU/ml"}
    assert dialog.whence.text() == "From calf rennet"
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
    place.turn_shelf()
    place.stock.show_section([one.title for one in place.stock.sections].index("Milk"))
    place.stock.section.add()
    for text in ("Lower Mill", "", "3.8 %", "3.3 %", "6.66", "1.20", ""):
        hands.type(text).press(Qt.Key.Key_Return)
    (lot,) = journal.milk_lots.all()
    assert (lot.farm, lot.fat_pct, lot.protein_pct, lot.ph, lot.price) == (
        "Lower Mill", 3.8, 3.3, 6.66, 1.2,
    )  # fmt: skip
    place.stock.section.pour()
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
