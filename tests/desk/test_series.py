"""A designed series through the window: laid out by keys, made, joined, read, put away."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.findings.evidence import CLEAR
from journal.findings.plan_variables import plan_variable_of
from journal.findings.series import FULL, Design
from journal.findings.series_answer import answer_series
from journal.findings.series_plans import factors_of
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS
from journal.records.makes import Milk
from journal.records.plans import Plan
from journal.wording import text_of
from journal.wording.numbers import short
from journal.wording.series_answer import low_to_high, series_headline
from tests.desk.hands import key_for

WAIT_MS = 60_000  # a patience, no promise: other work may hold the machine
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
NONE = Qt.KeyboardModifier.NoModifier


class Person:
    """Keys go to what has the focus; nothing else is done to the window."""

    def __init__(self, qtbot, window) -> None:
        self.bot, self.window = qtbot, window
        self.settle()

    @property
    def place(self):
        return self.window.current

    def settle(self) -> None:
        self.bot.waitUntil(self.window.settled, timeout=WAIT_MS)

    def press(self, key, modifier=NONE) -> None:
        QTest.keyClick(QApplication.focusWidget() or self.window, key, modifier)
        self.settle()

    def types(self, line, text: str) -> None:
        self.window.activateWindow()  # a menu that closed leaves it behind here
        self.bot.waitUntil(self.window.isActiveWindow)
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(QApplication.focusWidget(), text)
        self.settle()


@pytest.fixture(scope="module")
def sample_file(sample_file, tmp_path_factory) -> Path:
    """The sample as a kitchen that did no series yet, the same bytes for each test: its findings
    are calculated once."""
    path = Path(shutil.copy(sample_file, tmp_path_factory.mktemp("without a series")))
    with Journal.open(path) as journal:
        for full_series in journal.designs.all():
            journal.designs.put_away(full_series.series.id)
    return path


@pytest.fixture
def at_findings(qtbot, window_on):
    def on(journal: Journal) -> Person:
        return Person(qtbot, window_on(journal, place="findings"))

    return on


@pytest.fixture
def set_up(at_findings, sample):
    """The sample with a series just laid out by keys."""
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    person.press(Qt.Key.Key_Return, CTRL)
    return person


def on_disk(journal: Journal):
    with Journal.open(journal.path, read_only=True) as other:
        found = other.designs.all()
        return [(one, [other.designs.plan_of(m.one) for m in one.makes]) for one in found]


def make_and_score(journal: Journal, count: int, season: float = 0.0) -> None:
    """Make the first makes of the newest series and taste them at sixty days: the first variable
    is worth 2 points from low to high, the second nothing, later seasons `season` each."""
    full_series = journal.designs.all()[0]
    draw, began = np.random.default_rng(3), journal.makes.newest(1)[0].started_ms
    for i, one in enumerate(full_series.makes[:count]):
        plan = journal.designs.plan_of(one.one)
        make = journal.makes.begin(plan, Milk(12.0), began + (i + 1) * 3 * DAY_MS)
        wheel = journal.makes.finish(make.id, [1.2], make.started_ms + DAY_MS)[0]
        coded = (one.one.wanted[0] - full_series.series.low[0]) / (
            full_series.series.high[0] - full_series.series.low[0]
        )
        score = 5 + 2 * coded + season * one.one.block + 0.2 * draw.normal()
        for name in ("Orla", "Tam"):
            card = ScoredSample({"overall": float(np.clip(round(2 * score) / 2, 0, 10))})
            journal.sessions.give(OpenServing(wheel.id, name, make.started_ms + 60 * DAY_MS), card)


def test_the_form_begins_with_what_would_teach_and_says_at_once_what_design_it_is(
    at_findings, sample
):
    person = at_findings(sample)
    place = person.place
    report = place.study.answers["overall"].next_make
    assert place.results.series.shown_label() == "New series  Ctrl+D"
    person.press(*key_for("show_series"))
    form, newest = place.series.setting_up.made().form, sample.makes.newest(1)[0]
    plan = sample.plans.by_name(sample.plans.get(newest.plan_id).name)
    assert form.plan == plan
    tried = [change.key for one in report.proposals for change in one.changes if change.trial]
    assert form.rows[0].offer.key == tried[0]
    assert form.rows[2].offer is None
    for row in form.rows[:2]:
        offer, low, high = row.asked()
        plan_variable = plan_variable_of(offer.key)
        own = round(plan_variable.planned(plan), offer.digits)
        assert offer.least <= low <= own <= high <= offer.most
        for value in (low, high):
            assert plan_variable.try_plan(plan, value) is not None
    assert place.series.setting_up.made().set_page.heading.text() == "Full factorial, 8 makes"
    assert "made twice" in place.series.setting_up.made().set_page.words.text()
    assert "efficiency 100 %" in place.series.setting_up.made().set_page.words.text()
    assert len(place.series.setting_up.made().set_page.table.rows_model.rows) == 8
    assert "8 times in 10" in place.series.setting_up.made().set_page.more.text()


def test_another_number_of_makes_is_another_design_as_it_is_typed(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    place = person.place
    person.types(place.series.setting_up.made().form.makes.line, "7")
    assert place.series.setting_up.made().set_page.heading.text() == "D-optimal, 7 makes"
    assert f"Efficiency {100 * place.series.setting_up.made().worked.design.efficiency:.0f} %" in (
        place.series.setting_up.made().set_page.words.text()
    )
    person.press(Qt.Key.Key_Down)  # the arrows step the number
    person.press(Qt.Key.Key_Down)
    person.press(Qt.Key.Key_Down)
    assert place.series.setting_up.made().set_page.heading.text() == "Full factorial, 4 makes"
    assert "ranges need at least 5" in place.series.setting_up.made().set_page.more.text()
    person.types(place.series.setting_up.made().form.makes.line, "99")
    assert "4 to 32 makes" in place.series.setting_up.made().form.message.text()
    assert not place.series.setting_up.made().form.set_up_button.isEnabled()
    person.press(Qt.Key.Key_Return, CTRL)
    assert on_disk(sample) == []


def test_seasons_of_milk_are_blocks_and_a_season_needs_two_makes(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    place = person.place
    person.types(place.series.setting_up.made().form.seasons.line, "2")
    rows = place.series.setting_up.made().set_page.table.rows_model.rows
    assert [row.season for row in rows] == ["1"] * 4 + ["2"] * 4
    assert "cannot be mistaken for an effect" in place.series.setting_up.made().set_page.more.text()
    for part in ("1", "2"):
        values = [row.values for row in rows if row.season == part]
        assert len(set(values)) == 4
    person.types(place.series.setting_up.made().form.seasons.line, "6")
    assert "needs at least two makes" in place.series.setting_up.made().form.message.text()


def test_a_third_variable_is_chosen_from_the_list_by_keys(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    place, row = person.place, person.place.series.setting_up.made().form.rows[2]
    row.choose.setFocus()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Space)
    menu = QApplication.activePopupWidget()
    action = next(a for a in menu.actions() if a.data() == "salt_in_curd")
    menu.setActiveAction(action)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    person.settle()
    assert row.offer.name == "salt in curd"
    assert row.low.line.accessibleName() == "Low value of salt in curd, %"
    assert place.series.setting_up.made().set_page.heading.text() == "Full factorial, 8 makes"
    assert (
        len({r.values for r in place.series.setting_up.made().set_page.table.rows_model.rows}) == 8
    )
    person.types(place.series.setting_up.made().form.makes.line, "4")
    assert place.series.setting_up.made().set_page.heading.text() == "Half of a factorial, 4 makes"
    assert "look like another one alone" in place.series.setting_up.made().set_page.more.text()


def choose(person: Person, row, key: str) -> None:
    """Choose a row's variable from its list by keys."""
    person.window.activateWindow()  # a menu that closed leaves it behind here
    person.bot.waitUntil(person.window.isActiveWindow)
    row.choose.setFocus()
    QTest.keyClick(row.choose, Qt.Key.Key_Space)
    person.bot.waitUntil(lambda: QApplication.activePopupWidget() is not None)
    menu = QApplication.activePopupWidget()
    [action] = [one for one in menu.actions() if one.data() == key]
    menu.setActiveAction(action)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    person.settle()


def test_six_variables_in_sixteen_makes_with_makes_in_the_middle_are_kept_and_read(
    at_findings, sample
):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    form, page = (
        getattr(person.place.series.setting_up.made(), name) for name in ("form", "set_page")
    )
    taken = {row.offer.key for row in form.rows if row.offer is not None}
    more = [o.key for o in form.rows[0]._offers if o.key not in taken and o.key in GENTLE]
    for row, key in zip(form.rows[2:], more, strict=False):
        assert row.isVisible()
        choose(person, row, key)
    assert [row.offer is not None for row in form.rows] == [True] * 6
    assert "Eighth of a factorial, 8 makes" in page.heading.text()
    assert "With 16 makes each stands alone." in page.more.text()
    person.types(form.makes.line, "16")
    person.types(form.middle.line, "3")
    assert (
        page.heading.text() == "Quarter of a factorial, folded over, 16 makes and 3 in the middle"
    )
    assert "No variable alone looks like two that act together." in page.more.text()
    person.press(Qt.Key.Key_Return, CTRL)
    [(full_series, _)] = on_disk(sample)
    assert len(full_series.series.variables) == 6
    assert len(full_series.makes) == 19
    make_and_score(sample, 19)
    person.settle()
    beside = person.place.series.beside.made()
    person.bot.waitUntil(lambda: "made alike differ" in beside.notes.text(), timeout=WAIT_MS)
    assert len(beside.table.rows_model.rows) == 6
    assert "clear difference" in beside.headline.text()
    assert "Over all makes of the journal, those of the series among them" in beside.notes.text()


GENTLE = ("salt_in_curd", "curd_size", "milk_ripened", "rennet_dose", "pressing_time",
          "press_pressure", "cook_time", "stirring_time", "culture_dose", "milling_ph",
          "hold_time", "cook_temperature")  # fmt: skip


def test_values_outside_the_bounds_or_the_wrong_way_round_are_refused(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    place, row = person.place, person.place.series.setting_up.made().form.rows[0]
    offer, _, high = row.asked()
    person.types(row.high.line, f"{10 * offer.most:g}")
    assert (
        f"may go from {short(offer.least, offer.digits)}"
        in place.series.setting_up.made().form.message.text()
    )
    assert "not safe or does not work" in place.series.setting_up.made().form.message.text()
    assert row.high.box.wrong
    assert not row.low.box.wrong
    assert (
        place.series.setting_up.made().set_page.heading.text() == "The series is not complete yet."
    )
    person.types(row.high.line, row.low.line.text())
    assert "low value below its high one" in place.series.setting_up.made().form.message.text()
    person.types(row.high.line, "salty")
    assert "Type a low and a high value" in place.series.setting_up.made().form.message.text()
    person.types(row.high.line, f"{high:g}")
    assert place.series.setting_up.made().form.message.text() == ""
    assert not row.high.box.wrong


def test_laying_it_out_keeps_it_with_a_plan_for_each_make_and_undo_takes_it_back(
    at_findings, sample
):
    person = at_findings(sample)
    latest = sample.plans.latest()
    person.press(*key_for("show_series"))
    worked = person.place.series.setting_up.made().worked
    person.press(Qt.Key.Key_Return, CTRL)
    place = person.place
    assert place.series.shown == "standing"
    [(full_series, plans)] = on_disk(sample)
    assert full_series.series.kind == FULL
    assert full_series.series.variables == worked.asked.keys
    assert [one.one.wanted for one in full_series.makes] == worked.wanted
    for plan, wanted in zip(plans, worked.wanted, strict=True):
        for key, value in zip(full_series.series.variables, wanted, strict=True):
            plan_variable = plan_variable_of(key)
            assert plan_variable.planned(plan) == pytest.approx(value, rel=0.03)
    assert sample.plans.latest() == latest  # what is listed in Plans is as it was
    assert "8 makes set up" in place.messages.text("series")
    assert place.series.saved_page.made().table.rows_model.rows[0].became == "next"
    assert place.results.series.text() == "Series: 0 of 8"
    person.press(Qt.Key.Key_Z, CTRL)
    assert on_disk(sample) == []
    assert place.series.shown == "form"
    person.press(Qt.Key.Key_Z, CTRL | SHIFT)
    assert len(on_disk(sample)) == 1
    person.press(*key_for("show_series"))
    assert place.series.shown == "standing"
    person.press(Qt.Key.Key_Escape)
    assert place.shows_results()
    assert QApplication.focusWidget() is place.results.table


def test_the_next_make_is_one_key_away_and_joins_as_it_begins(set_up, sample):
    person, series = set_up, sample.designs.all()[0]
    person.press(Qt.Key.Key_Return, CTRL)
    plans = person.place
    assert plans.key == "plans"
    wanted = sample.designs.plan_of(series.makes[0].one)
    assert plans.author.settled.plan().stages == wanted.stages
    assert "draft for make 1 of 8 of a series" in plans.page.about.text()
    assert "Make 1 of 8 of the series" in plans.messages.text("draft")
    base = sample.plans.get(series.series.plan_id)
    changed = [i for i, (a, b) in enumerate(zip(base.stages, wanted.stages, strict=True)) if a != b]
    assert plans.page.stages.current_stage == changed[0]
    person.press(Qt.Key.Key_Return, CTRL)
    assert person.place.key == "vat"
    make = sample.makes.by_code("latest")
    [(full_series, _)] = on_disk(sample)
    assert full_series.makes[0].make == make
    assert make.plan_id == wanted.id
    assert sample.plans.by_name(base.name) == base
    person.press(Qt.Key.Key_8, CTRL)
    place = person.place
    assert (
        place.series.saved_page.made().table.rows_model.rows[0].became == f"{make.code}, in the vat"
    )
    assert place.series.saved_page.made().plan_next.text() == "Plan make 2"
    assert "1 of the 8 makes is made" in place.series.saved_page.made().state.text()
    person.press(Qt.Key.Key_Z, CTRL)
    assert on_disk(sample)[0][0].made == 0
    assert place.series.saved_page.made().plan_next.text() == "Plan make 1"


def test_a_plan_of_the_series_changed_before_it_begins_still_joins(set_up, sample):
    person = set_up
    person.press(Qt.Key.Key_Return, CTRL)
    plans = person.place
    plans.author.words(0, "Slowly, with the long spoon.", "")
    person.press(Qt.Key.Key_Return, CTRL)
    make = sample.makes.by_code("latest")
    assert sample.plans.get(make.plan_id).stages[0].instruction == "Slowly, with the long spoon."
    assert on_disk(sample)[0][0].makes[0].make == make


def test_today_names_the_next_make_and_enter_opens_its_plan(set_up, sample):
    person = set_up
    person.press(Qt.Key.Key_1, CTRL)
    today = person.place
    line = today.coming.rows_model.rows[-1]
    series = sample.designs.all()[0].series
    assert (line.when, line.title) == ("next milk", f"Make 1 of 8, {series.name}")
    today.coming.setFocus()
    person.press(Qt.Key.Key_End, CTRL)
    person.press(Qt.Key.Key_Return)
    assert person.place.key == "plans"
    assert "make 1 of 8" in person.place.page.about.text()


def test_with_four_scores_there_is_a_picture_and_no_range(set_up, sample):
    person, place = set_up, set_up.place
    make_and_score(sample, 4)
    person.settle()
    person.press(Qt.Key.Key_Escape)
    person.press(*key_for("show_series"))
    beside = place.series.beside.made()
    assert beside.headline.text() == "4 makes of the series have a score: ranges need at least 5."
    assert not beside.table.isVisible()
    assert beside.chart.isVisible()
    assert "at the low value" in beside.notes.text()
    assert "4 makes are still to be made" in beside.notes.text()
    assert [bool(row.score) for row in place.series.saved_page.made().table.rows_model.rows] == [
        True
    ] * 4 + ([False] * 4)


def test_its_answer_is_that_of_the_findings_with_the_seasons_taken_out(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    person.types(person.place.series.setting_up.made().form.seasons.line, "2")
    person.press(Qt.Key.Key_Return, CTRL)
    make_and_score(sample, 8, season=-1.5)
    person.settle()
    place, full_series = person.place, sample.designs.all()[0]
    with Journal.open(sample.path, read_only=True) as again:
        table = score_table(again.wholes(), "overall")
    series = full_series.series
    planned = Design.of_makes(
        factors_of(series.variables, series.low, series.high),
        np.array([one.one.wanted for one in full_series.makes]),
        [one.one.block for one in full_series.makes],
        series.kind,
    )
    codes = [one.make.code for one in full_series.makes]
    report = answer_series(planned, series.variables, codes, table)
    assert report.effects[0].evidence == CLEAR
    assert report.effects[0].low95 < 2 < report.effects[0].high95
    assert report.effects[1].low95 < 0 < report.effects[1].high95
    assert report.seasons[1] == pytest.approx(-1.5, abs=0.5)
    beside = place.series.beside.made()
    assert beside.headline.text() == series_headline(report, "overall")
    shown = beside.table.rows_model.rows
    assert [f.effect for f in shown] == [e.effect for e in report.effects]
    assert [f.low80 for f in shown] == [e.low80 for e in report.effects]
    assert text_of(shown[0].step_label) == low_to_high(planned.factors[0])
    assert "points lower than the first: the seasons are taken out" in beside.notes.text()
    assert place.series.saved_page.made().state.text() == "All 8 makes are made."
    assert not place.series.saved_page.made().plan_next.isVisible()


def test_enter_on_a_make_of_the_series_opens_it_and_on_another_plans_it(set_up, sample):
    person = set_up
    make_and_score(sample, 1)
    person.settle()
    person.place.series.saved_page.made().table.setFocus()
    person.press(Qt.Key.Key_Return)
    assert person.place.key == "makes"
    person.press(Qt.Key.Key_8, CTRL)
    person.place.series.saved_page.made().table.setFocus()
    person.press(Qt.Key.Key_Down)
    person.press(Qt.Key.Key_Down)
    person.press(Qt.Key.Key_Return)
    assert person.place.key == "plans"
    assert "make 3 of 8" in person.place.page.about.text()


def test_a_series_is_put_away_and_comes_back(set_up, sample):
    person, place = set_up, set_up.place
    person.press(*key_for("new_here"))
    person.press(Qt.Key.Key_Return, CTRL)
    assert len(on_disk(sample)) == 2
    assert place.series.saved_page.made().other.isVisible()
    newest = place.series.current.series.id
    person.press(Qt.Key.Key_F6)
    assert place.series.current.series.id != newest
    person.press(Qt.Key.Key_Delete, CTRL)
    assert [one.series.id for one, _ in on_disk(sample)] == [newest]
    assert "was deleted" in place.messages.text("series")
    assert place.series.current.series.id == newest
    person.press(Qt.Key.Key_Delete, CTRL)
    assert on_disk(sample) == []
    assert place.series.shown == "form"
    person.press(Qt.Key.Key_Z, CTRL)
    assert [one.series.id for one, _ in on_disk(sample)] == [newest]


def test_a_journal_without_a_score_can_lay_a_series_out_from_a_plan_that_comes_along(
    at_findings, journal
):
    person = at_findings(journal)
    place = person.place
    assert place.pages.currentWidget() is place.empty
    person.press(*key_for("show_series"))
    assert place.series.setting_up.made().form.plan.builtin
    assert place.series.setting_up.made().set_page.heading.text() == "Full factorial, 8 makes"
    person.press(Qt.Key.Key_Return, CTRL)
    [(full_series, plans)] = on_disk(journal)
    assert journal.plans.names() == [place.series.setting_up.made().form.plan.name]
    assert not any(plan.builtin for plan in plans)
    assert place.series.beside.made().headline.text() == "No make of the series has a score yet."
    person.press(Qt.Key.Key_Return, CTRL)
    person.press(Qt.Key.Key_Return, CTRL)
    assert on_disk(journal)[0][0].makes[0].make == journal.makes.by_code("latest")
    assert journal.plans.by_name(
        full_series.series and place.series.setting_up.made().form.plan.name
    ).builtin


def test_less_culture_than_ever_used_is_not_offered(at_findings, sample):
    person = at_findings(sample)
    person.press(*key_for("show_series"))
    place = person.place
    table = place.study.answers["overall"].table
    used = np.nanmin(table.x[:, table.position("culture_dose")])
    offer = next(
        o for o in place.series.setting_up.made().form.rows[0]._offers if o.key == "culture_dose"
    )
    planned = plan_variable_of("culture_dose").planned(place.series.setting_up.made().form.plan)
    assert offer.least >= min(used, planned) - 1e-9


def test_a_make_done_otherwise_than_wanted_counts_as_it_was_made(set_up, sample):
    full_series = sample.designs.all()[0]
    plan: Plan = sample.designs.plan_of(full_series.makes[0].one)
    assert replace(plan, note="x").says_as(replace(plan, note="x", version=99, uuid="y"))
    series = full_series.series
    planned = Design.of_makes(
        factors_of(series.variables, series.low, series.high),
        np.array([one.one.wanted for one in full_series.makes]),
        [one.one.block for one in full_series.makes],
        series.kind,
    )
    table = set_up.place.study.answers["overall"].table
    codes = [table.make[0], *[""] * 7]
    report = answer_series(planned, series.variables, codes, table)
    j = table.position(series.variables[0])
    own = [i for i, m in enumerate(table.make) if m == table.make[0]]
    assert report.real[0, 0] == pytest.approx(float(np.nanmean(table.x[own, j])))
    assert report.scored == 1
