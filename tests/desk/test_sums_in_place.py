"""A sum in one line where it is needed, filled from there, by keys and clicks on a real file."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from journal.desk.calculate.dialog import CalculateDialog
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Addition, Ingredient, Milk
from journal.records.plan_text import builtin_plan
from journal.records.plans import Dose
from journal.records.timers import FLOCCULATION, Timer
from tests.desk.conftest import START, cheddar_like
from tests.desk.hands import Hands

ENTER, CTRL = Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier
SET = 2


class AtTheVat:
    """The window at the vat, in the set of a plan with rennet, and a clock."""

    def __init__(self, qtbot, window_on, journal, factor: float | None) -> None:
        self.bot, self.journal = qtbot, journal
        self.begun_ms = self.now_ms = from_iso(START, journal.zone)
        stages = list(cheddar_like().stages)
        stages[SET] = replace(stages[SET], doses=(Dose("rennet", "calf rennet", 0.2, "ml"),))
        plan = replace(cheddar_like(), stages=tuple(stages), floc_multiplier=factor)
        self.make = journal.makes.begin(plan, Milk(12.0, fat_pct=3.5), self.now_ms)
        for position in range(SET):
            self.at(plan.starts()[position + 1])
            journal.makes.end_stage(self.make.id, self.now_ms)
        self.plan, self.open = plan, window_on

    def at(self, minutes: float) -> None:
        self.now_ms = self.begun_ms + round(60_000 * minutes)

    def show(self, *lots: Ingredient):
        for lot in lots:
            self.journal.ingredients.save(lot)
        self.window = self.open(self.journal, clock=lambda: self.now_ms, place="vat")
        self.window.resize(1440, 900)
        self.bot.waitUntil(self.window.settled)
        return self.window.current.page.sum

    def opened_by_click(self) -> CalculateDialog:
        """Click its keys; Calculate opens."""
        self.bot.mouseClick(self.window.current.page.sum.button, Qt.MouseButton.LeftButton)
        (dialog,) = [d for d in self.window.findChildren(CalculateDialog) if d.isVisible()]
        return dialog


@pytest.fixture
def vat_of(qtbot, window_on, journal):
    return lambda factor=3.0: AtTheVat(qtbot, window_on, journal, factor)


def test_in_the_set_the_rennet_is_said_by_the_strength_of_its_lot(vat_of) -> None:
    vat = vat_of()
    line = vat.show(Ingredient("rennet", "calf rennet", "200 IMCU/ml", unit="ml"))
    assert line.isVisible()
    assert line.text() == "Rennet of 200 IMCU/ml: 3 ml for the plan's 2.4 ml of 250 IMCU/ml"
    dialog = vat.opened_by_click()
    assert dialog.form.topic.name == "rennet"
    assert dialog.form.texts()["strength"] == "200 IMCU/ml"
    assert dialog.form.fields["strength"].message.text() == f"from {vat.make.code}"
    dialog.close()


def test_a_lot_past_its_date_is_said_to_be_perhaps_weaker_by_no_number(vat_of) -> None:
    vat = vat_of()
    past = from_iso("2026-01-31T00:00", vat.journal.zone)
    line = vat.show(Ingredient("rennet", "calf rennet", expires_ms=past, unit="ml"))
    assert line.text().startswith("Rennet past its date may be weaker than 2.4 ml says: test it")


def earlier_sets(vat: AtTheVat, lot: Ingredient, minutes: list[float]) -> None:
    """Makes of the same plan, a month apart, that the lot set; the last of them a month ago."""
    for back, took in zip(range(len(minutes), 0, -1), minutes, strict=True):
        begun = vat.begun_ms - back * 30 * DAY_MS
        make = vat.journal.makes.begin(vat.plan, Milk(12.0), begun)
        dose = Addition(make.id, SET, "rennet", "calf rennet", 2.4, "ml", begun, lot.id)
        vat.journal.additions.save(dose)
        ended = begun + round(MINUTE_MS * took)
        vat.journal.timers.save(Timer(make.id, FLOCCULATION, begun, None, ended))
        vat.journal.makes.finish(make.id, [], ended)


def test_a_rennet_that_its_own_sets_say_is_weaker_is_taken_more_of(vat_of) -> None:
    """Each month the first flakes came 4 % later: seven months on, 12 × 1.04⁷ min for 12."""
    vat = vat_of()
    lot = vat.journal.ingredients.save(Ingredient("rennet", "calf rennet", unit="ml"))
    earlier_sets(vat, lot, [12 * 1.04**month for month in range(6)])
    line = vat.show()
    kept = 1.04**-6
    assert line.text() == (
        f"Rennet: {2.4 / kept:.2g} ml, since 6 sets show {100 * kept:.0f} % "
        f"of its strength left ({100 * kept:.0f} to {100 * kept:.0f} %)"
    )
    dialog = vat.opened_by_click()
    assert dialog.form.topic.name == "rennet"
    fresh, now = (dialog.form.texts()[name] for name in ("fresh_clotting", "clotting"))
    assert (fresh, now) == ("12 min", f"{12 / kept:.2f} min")
    left = next(x for x in dialog.answer.lines if x.key == "strength_left_pct")
    assert float(left.text.split()[0]) == pytest.approx(100 * kept, abs=0.05)  # of 15.18 min
    dialog.close()


def test_sets_that_come_and_go_say_nothing_of_the_lot(vat_of) -> None:
    vat = vat_of()
    lot = vat.journal.ingredients.save(Ingredient("rennet", "calf rennet", unit="ml"))
    earlier_sets(vat, lot, [12, 14, 11.5, 13, 12.5, 12])
    assert not vat.show().isVisible()


@pytest.mark.parametrize(
    "lots",
    [
        [],
        [Ingredient("rennet", "calf rennet", unit="ml")],
        [Ingredient("rennet", "calf rennet", "250 IMCU/ml", unit="ml")],
    ],
)
def test_where_the_plan_says_all_there_is_no_line(vat_of, lots) -> None:
    assert not vat_of().show(*lots).isVisible()


@pytest.mark.parametrize(("factor", "words"), [
    (None, "Flecks × 2.5: cut 35 min after the rennet"), (3.0, ""),
])  # fmt: skip
def test_the_cut_is_said_once(vat_of, factor, words) -> None:
    """By the clock where the plan has a factor; else by the line, which opens the cutting time."""
    vat = vat_of(factor)
    line = vat.show()
    hands = Hands(vat.window)
    hands.press(Qt.Key.Key_F5)
    vat.at(60 + 14)
    hands.press(Qt.Key.Key_F5)
    vat.bot.waitUntil(vat.window.settled)
    assert line.text() == words
    assert line.isVisible() == bool(words)
    if words:
        dialog = vat.opened_by_click()
        assert dialog.form.topic.name == "set"
        assert dialog.form.texts()["flocculation"] == "14 min"
        assert dialog.answer.lines[0].text.startswith("35")
        dialog.close()


def test_a_finished_make_says_how_its_cheese_lies_to_the_expected(vat_of) -> None:
    vat = vat_of()
    for position in range(SET, len(vat.plan.stages)):
        vat.at(vat.plan.starts()[position] + vat.plan.stages[position].minutes)
        vat.journal.makes.end_stage(vat.make.id, vat.now_ms)
    line = vat.show()
    assert not line.isVisible()
    hands = Hands(vat.window)
    hands.press(ENTER, CTRL).type("1.05 kg").press(ENTER)
    vat.bot.waitUntil(vat.window.settled)
    should = 12 * 1.03 * vat.plan.yield_pct / 100
    short = round(100 - 105 / should)
    assert line.text().startswith(f"1.05 kg of cheese, {short} % less than the ")
    dialog = vat.opened_by_click()
    assert dialog.form.topic.name == "yield"
    assert dialog.form.texts()["actual"] == "1.05 kg"
    dialog.close()


@pytest.mark.parametrize(("fat", "words"), [
    ("4.4 %", "Protein to fat is about 0.80; the plan wants 1.07: stir in about 4.4 kg of skim"),
    ("2.5 %", "Protein to fat is about 1.32; the plan wants 1.07: stir in about 0.2 kg of cream"),
    ("3.1 %", ""), ("", ""),
])  # fmt: skip
def test_beside_the_fat_of_a_plan_stands_how_to_standardise(
    qtbot, journal, window_on, fat, words
) -> None:
    """Typed at its field by keys; the sum opens with the plan's ratio."""
    journal.plans.save(builtin_plan("washed-curd type"))
    window = window_on(journal, place="plans")
    window.resize(1440, 900)
    window.place("plans").show_plan("washed-curd type")
    qtbot.waitUntil(window.settled)
    hands, page = Hands(window), window.current.page
    page.fat.line.setFocus()
    hands.type(fat)
    output = [one for one in page.outcome.sentences if one.startswith("Protein to fat")]
    assert [one.startswith(words) for one in output] == ([True] if words else [])
    hands.press(Qt.Key.Key_C, CTRL | Qt.KeyboardModifier.ShiftModifier)
    (dialog,) = [d for d in window.findChildren(CalculateDialog) if d.isVisible()]
    dialog.topics.show_topic("standardise")
    assert dialog.form.texts()["want_protein_fat"] == "1.07"
    dialog.close()
