"""Make variables on the screens of findings, of the next make and of a series, in °F, lb, US gal
and inches. A °F is 5/9 °C, an inch 25.4 mm, exactly (NIST SP 811, 2008, appendix B)."""

from __future__ import annotations

import numpy as np
import pytest
from pyqtgraph import ScatterPlotItem
from PySide6.QtWidgets import QLabel

from journal.desk.preferences import choose as prefer
from journal.findings.different import facts_of
from journal.findings.readers import MAKE_VARIABLES
from journal.wording import text_of, written_in
from journal.wording.effects import prediction_text
from journal.wording.letters import capital
from journal.wording.style import Style
from tests.desk.hands import key_for
from tests.desk.test_series import CTRL, Person, Qt, choose

WAIT_MS = 60_000
US = {"temperature": "F", "mass": "lb", "volume": "gal", "length": "in"}


@pytest.fixture
def person(qtbot, window_on, sample, saved) -> Person:
    for key, value in US.items():
        prefer(saved, key, value)
    made = Person(qtbot, window_on(sample, place="findings"))
    qtbot.waitUntil(made.place.shows_results, timeout=WAIT_MS)
    return made


def pick(person: Person, key: str):
    place = person.place
    finding = next(f for f in place.study.answer.study.findings if f.key == key)
    place.results.table.select_variable(finding.variable)
    shown = place.beside.picture
    person.bot.waitUntil(lambda: shown.shown.seen.variable == finding.variable)
    return finding, shown


def test_the_table_says_typical_changes_without_the_offset(person):
    model = person.place.results.table.rows_model
    says = {row.key: str(model.columns[1].text(row)) for row in model.rows}
    assert says["cook_temperature"] == "+1.8 °F"
    assert says["cook_rate"] == "+0.09 °F/min"
    assert says["curd_size"] == f"+{2 / 25.4:.3g} in"
    assert says["salt_in_curd"] == "+0.3 %"
    assert "+1.8 °F gives" in _words_of(person, "cook_temperature")


def _words_of(person: Person, key: str) -> str:
    pick(person, key)
    person.place.beside.turn_to(1)
    return "\n".join(one.text() for one in person.place.beside.numbers.findChildren(QLabel))


def test_the_chart_its_axis_and_its_values_are_in_fahrenheit(person):
    finding, picture = pick(person, "cook_temperature")
    stored = person.place.study.answer.picture(finding.variable)
    wanted = stored.x * 9 / 5 + 32
    np.testing.assert_allclose(picture.shown.seen.x, wanted, rtol=1e-12)
    drawn = [item.getData()[0] for item in picture.plot.items if isinstance(item, ScatterPlotItem)]
    assert any(len(x) == len(wanted) and np.allclose(x, wanted) for x in drawn)
    low, high = picture.plot.viewRange()[0]
    assert low < wanted.min() < wanted.max() < high
    assert "cook temperature, °F" in picture.bottom.labelString()
    table = picture.table()
    assert "cook temperature, °F" in str(table)
    rows = [row.cells[1] for row in table.rows]
    assert rows == [f"{x:.1f}".removesuffix(".0") for x in wanted]


def test_what_if_and_before_and_after_are_typed_in_fahrenheit(person):
    finding, picture = pick(person, "cook_temperature")
    beside, answer = person.place.beside, person.place.study.answer
    newest = answer.value_at_newest(finding.variable)
    assert picture.handle.value == pytest.approx(newest * 1.8 + 32, abs=picture.handle.step())
    beside.turn_to(2)
    assert beside.what_if.title.text() == "What if cook temperature were, °F"
    beside.what_if.line.setText("101.3")
    assert beside.what_if.message.text() == prediction_text(answer, finding, 38.5)[0]
    assert picture.handle.value == pytest.approx(101.3)
    beside.what_if.line.setText("38.5")
    assert "between 9" in beside.what_if.message.text()  # nobody cooks at 3.6 °C
    assert "38.5 is too far outside" in beside.what_if.message.text()
    beside.before_after.line.setText("100.4")
    column = answer.table.x[:, answer.table.position(finding.variable)]
    after = {make for make, x in zip(answer.table.make, column, strict=True) if x > 38.0}
    assert f"{len(after)} make" in beside.before_after.message.text()


def test_the_next_make_is_proposed_in_the_units_and_by_the_names_of_findings(person):
    card, answer = person.place.beside.card, person.place.study.answer
    known = {finding.key: finding.variable for finding in answer.study.findings}
    names = {one.variable.key: one.variable.name for one in MAKE_VARIABLES}
    seen = set()
    for kind in ("careful", "bold", "one", "best"):
        card.turn_to(kind)
        proposal = card.proposal
        for one in proposal.kept if kind == "best" else proposal.changes:
            seen.add(one.unit)
            said = text_of(one.title)
            assert said.startswith(f"{known[one.key]} ")
            assert capital(said) in card.reason.toolTip()
            if one.unit == "°C":
                assert round(one.value * 1.8 + 32, 1) == float(said.split(" °F")[0].split()[-1])
            if one.unit == "mm":
                assert f" {one.value / 25.4:.2f} in instead of {one.was / 25.4:.2f}" in said
            with written_in(Style()):
                assert one.unit == "pH" or f" {one.unit} instead of " in text_of(one.title)
    assert {"°C", "mm", "g/L"} <= seen
    whole = person.place.journal.whole(person.place.journal.makes.newest(1)[0].id)
    for key, fact in facts_of(whole).items():
        assert key not in names or text_of(fact.what) == names[key]


def test_a_series_is_set_up_and_read_in_fahrenheit(person):
    person.press(*key_for("new_here"))
    setup = person.place.series.setting_up.made()
    row = setup.form.rows[0]
    choose(person, row, "cook_temperature")
    offer, low, _ = row.asked()
    assert row.low.line.accessibleName() == "Low value of cook temperature, °F"
    assert float(row.low.line.text()) == pytest.approx(low * 1.8 + 32, abs=0.051)
    assert f"Planned: {offer.own * 1.8 + 32:.1f} °F.".replace(".0 ", " ") in row.bounds.text()
    person.types(row.low.line, "96.8")
    person.types(row.high.line, "101.3")
    assert row.asked()[1:] == (36.0, 38.5)
    person.types(row.high.line, "38.5")
    assert "°F in this plan" in setup.form.message.text()
    person.types(row.high.line, "101.3")
    table = setup.set_page.table.rows_model
    assert "cook temperature, °F" in [column.title for column in table.columns]
    assert {one.values[0] for one in table.rows} == {"96.8", "101.3"}
    person.press(Qt.Key.Key_Return, CTRL)
    full_series = person.place.journal.designs.all()[0]
    assert (full_series.series.low[0], full_series.series.high[0]) == (36.0, 38.5)
    assert {one.one.wanted[0] for one in full_series.makes} == {36.0, 38.5}
    page = person.place.series.saved_page.made()
    assert {one.values[0] for one in page.table.rows_model.rows} == {"96.8", "101.3"}
    assert "cook temperature 96.8 °F" in page.state.text() or "101.3 °F" in page.state.text()


def test_units_chosen_while_findings_are_open_are_followed_at_once(qtbot, window_on, sample, saved):
    person = Person(qtbot, window_on(sample, place="findings"))
    qtbot.waitUntil(person.place.shows_results, timeout=WAIT_MS)
    _, picture = pick(person, "cook_temperature")
    assert "cook temperature, °C" in picture.bottom.labelString()
    prefer(saved, "temperature", "F")
    person.window.looks.apply()
    person.window.looks.changed.emit()
    person.settle()
    qtbot.waitUntil(person.place.shows_results, timeout=WAIT_MS)
    _, picture = pick(person, "cook_temperature")
    assert "cook temperature, °F" in picture.bottom.labelString()
