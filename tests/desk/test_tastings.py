"""The place of tastings, by real keys on a real file: what was typed stands in the file."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.tastings.defects import fitting, split_strength, terms
from journal.desk.tastings.months import age_scores
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS, from_iso
from journal.records.kinds import ATTRIBUTES
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.tastings import NOBODY
from tests.desk.hands import key_for

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T08:00", ZONE)
NOW = from_iso("2026-07-01T19:30", ZONE)
PANEL = {
    "Orla": (7.5, 7.0, 6.5, 7.0, 5.5, 6.0, 1.5, 7.0),
    "Tam": (6.0, 6.0, 6.5, 5.5, 5.0, 5.5, 2.0, 6.0),
    "Wen": (8.0, 7.5, 7.0, 8.0, 5.0, 5.0, 0.5, 7.5),
}
KEEP = (Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)


def clock() -> int:
    return NOW


@pytest.fixture
def two_wheels(journal: Journal) -> Journal:
    plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),))
    make = journal.makes.begin(plan, Milk(12.0), MADE)
    journal.makes.finish(make.id, [0.6, 0.5], MADE + DAY_MS // 4)
    return journal


@pytest.fixture
def place(two_wheels, window_on):
    return window_on(two_wheels, clock=clock, place="tastings").current


def type_in(place, text: str) -> None:
    QTest.keyClicks(place.window().focusWidget(), text)


def press(place, *key) -> None:
    QTest.keyClick(place.window().focusWidget(), *key)


def enter(place, text: str) -> None:
    type_in(place, text)
    press(place, Qt.Key.Key_Return)


def begin(place, code: str, who: str) -> None:
    """Find a wheel and name who tastes it."""
    enter(place, code)
    enter(place, who)


def score(place, values) -> None:
    for value in values:
        enter(place, f"{value:g}".replace(".", ","))


def saved(journal: Journal, code: str) -> dict[str, dict[str, float]]:
    """The scores of a wheel by assessor and attribute, read by another door."""
    with Journal.open(journal.path, read_only=True) as again:
        wheel = again.wheel_by_code(code)
        names = {a.id: a.name for a in again.assessors.all()}
        out: dict[str, dict[str, float]] = {}
        for sample in again.samples.where(wheel_id=wheel.id):
            for one in again.scores.where(sample_id=sample.id):
                out.setdefault(names[one.assessor_id], {})[one.attribute] = one.value
        return out


def test_three_assessors_score_a_wheel_and_the_file_has_it(place, two_wheels):
    enter(place, "0001-b")
    for name, values in PANEL.items():
        enter(place, name)
        score(place, values)
        press(place, *KEEP)
    wanted = {n: dict(zip(ATTRIBUTES, v, strict=True)) for n, v in PANEL.items()}
    assert saved(two_wheels, "HL-0001-B") == wanted
    assert len(two_wheels.tastings.all()) == 1
    assert two_wheels.tastings.all()[0].at_ms == NOW
    assert two_wheels.check() == []


def test_the_page_beside_shows_the_bars_once_ones_own_are_kept(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, PANEL["Orla"])
    press(place, *KEEP)
    assert not place.open.beside.scores.months.made().isVisible()
    enter(place, "Tam")
    assert "Orla" not in place.open.beside.scores.months.made().accessibleDescription()
    score(place, PANEL["Tam"])
    press(place, *KEEP)
    place.open.beside.table.box_picked.emit((two_wheels.wheel_by_code("HL-0001-A").id, "Tam"))
    report = place.open.beside.scores.months.made().accessibleDescription()
    assert "overall at 4 months: 6.8 (Orla 7.5, Tam 6)" in report
    assert "Tam, HL-0001-A: 8 of 8" in place.open.beside.table.accessibleDescription()


def test_what_earlier_sittings_said_is_hidden_until_ones_own_is_kept(place, two_wheels):
    wheel = two_wheels.wheel_by_code("HL-0001-A")
    two_wheels.sessions.give(
        OpenServing(wheel.id, "Orla", NOW - 30 * DAY_MS), ScoredSample({"overall": 9.5})
    )
    enter(place, "0001-a")
    enter(place, "Orla")
    assert not place.open.beside.scores.months.made().isVisible()
    assert "after you save yours" in place.open.beside.message.text()
    assert "9.5" not in place.open.beside.scores.months.made().accessibleDescription()
    enter(place, "7")
    press(place, *KEEP)
    place.open.beside.table.box_picked.emit((wheel.id, "Orla"))
    assert "9.5" in place.open.beside.scores.months.made().accessibleDescription()
    press(place, *key_for("choose"))
    assert place.open.beside.scores.months.made().isVisible()


def test_who_has_not_scored_yet_is_next(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, PANEL["Orla"])
    press(place, *KEEP)
    assert place.open.sheet.who.text() == ""
    enter(place, "Tam")
    score(place, (6.0,))
    press(place, *KEEP)
    press(place, *key_for("choose"))
    enter(place, "0001-b")
    assert place.open.sheet.who.text() == "Orla"
    press(place, Qt.Key.Key_Return)
    score(place, (5.0,))
    press(place, *KEEP)
    assert place.open.sheet.who.text() == "Tam"
    assert "Tam is next" in place.open.sheet.message.text()
    assert len(two_wheels.assessors.all()) == 2


def test_scores_without_a_name_are_nobodys_turn(place, two_wheels):
    wheel = two_wheels.wheel_by_code("HL-0001-A")
    two_wheels.sessions.give(OpenServing(wheel.id, NOBODY, NOW), ScoredSample({"overall": 9.5}))
    enter(place, "0001-b")
    assert place.open.sheet.who.text() == ""
    enter(place, "Orla")
    score(place, (5.0,))
    press(place, *KEEP)
    assert place.open.sheet.who.text() == ""
    assert "Type who is next" in place.open.sheet.message.text()


def test_a_score_between_two_halves_is_refused_and_stays(place, two_wheels):
    begin(place, "0001-a", "Orla")
    enter(place, "7.3")
    row = place.open.sheet.rows[0]
    assert row.line.hasFocus()
    assert row.text() == "7.3"
    assert "halves" in row.line.accessibleDescription()
    press(place, *KEEP)
    assert "Not saved" in place.open.sheet.message.text()
    assert two_wheels.scores.all() == []
    row.line.selectAll()
    enter(place, "7.5")
    press(place, *KEEP)
    assert saved(two_wheels, "HL-0001-A") == {"Orla": {"overall": 7.5}}


def test_nothing_typed_is_lost_on_the_way(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, (7.5, 6.0))
    place.open.sheet.note.setFocus()
    type_in(place, "hazelnut")
    window = place.window()
    window.go("tastings")
    press(place, *key_for("choose"))
    begin(place, "0001-b", "Orla")
    assert place.open.sheet.draft().empty
    press(place, *key_for("choose"))
    begin(place, "0001-a", "Orla")
    assert place.open.sheet.draft().texts == {"overall": "7.5", "appearance": "6.0"}
    assert place.open.sheet.draft().note == "hazelnut"
    assert two_wheels.scores.all() == []


def test_a_new_name_takes_along_what_was_typed_without_one(place):
    enter(place, "0001-a")
    place.open.sheet.rows[0].setFocus()
    type_in(place, "7")
    place.open.sheet.who.setFocus()
    enter(place, "Orla")
    assert place.open.sheet.draft().texts == {"overall": "7.0"}


def test_without_a_name_nothing_is_kept(place, two_wheels):
    enter(place, "0001-a")
    place.open.sheet.rows[0].setFocus()
    type_in(place, "7")
    press(place, *KEEP)
    assert "who is tasting" in place.open.sheet.message.text()
    assert place.open.sheet.who.hasFocus()
    assert place.open.sheet.rows[0].text() == "7.0"
    assert two_wheels.tastings.all() == []


def test_a_late_sitting_has_its_own_day(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, (7.0,))
    place.open.sheet.day.setFocus()
    place.open.sheet.day.selectAll()
    enter(place, "2 June")
    assert place.open.sheet.day.text() == "2 June 2026"
    assert place.open.sheet.draft().texts == {"overall": "7.0"}
    press(place, *KEEP)
    assert [t.at_ms for t in two_wheels.tastings.all()] == [from_iso("2026-06-02T12:00", ZONE)]
    place.open.sheet.day.setFocus()
    place.open.sheet.day.selectAll()
    enter(place, "2 June 2027")
    assert "is in the future" in place.open.sheet.message.text()


def test_a_day_before_the_make_is_refused(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, (7.0,))
    place.open.sheet.day.setFocus()
    place.open.sheet.day.selectAll()
    enter(place, "1 February 2026")
    press(place, *KEEP)
    assert "before it was made" in place.open.sheet.message.text()
    assert place.open.sheet.rows[0].text() == "7.0"
    assert two_wheels.scores.all() == []


def test_defects_are_typed_with_their_strength(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, (7.0,))
    place.open.sheet.defects.setFocus()
    enter(place, "bitt")
    enter(place, "slight open")
    assert place.open.sheet.defects.marks() == (
        ("flavour", "bitter", "definite"),
        ("body_texture", "open", "slight"),
    )
    press(place, Qt.Key.Key_Backspace)
    press(place, Qt.Key.Key_Space)
    press(place, Qt.Key.Key_Backspace)
    press(place, Qt.Key.Key_Backspace)
    press(place, Qt.Key.Key_Space)
    press(place, *KEEP)
    marks = [(m.group, m.term, m.strength) for m in two_wheels.defects.all()]
    assert marks == [("flavour", "bitter", "pronounced")]


def test_what_was_kept_comes_back_to_be_mended(place, two_wheels):
    begin(place, "0001-a", "Orla")
    score(place, (7.0, 6.0))
    press(place, *KEEP)
    place.open.beside.table.box_picked.emit((two_wheels.wheel_by_code("HL-0001-A").id, "Orla"))
    assert place.open.sheet.draft().texts == {"overall": "7.0", "appearance": "6.0"}
    place.open.sheet.rows[0].line.setFocus()
    place.open.sheet.rows[0].line.selectAll()
    enter(place, "8")
    press(place, *KEEP)
    assert saved(two_wheels, "HL-0001-A") == {"Orla": {"overall": 8.0, "appearance": 6.0}}
    place.window().undo()
    assert saved(two_wheels, "HL-0001-A") == {"Orla": {"overall": 7.0, "appearance": 6.0}}


def test_tab_goes_down_the_sheet(place):
    begin(place, "0001-a", "Orla")
    place.open.sheet.who.setFocus()
    wanted = [
        place.open.sheet.day,
        *(row.line for row in place.open.sheet.rows),
        place.open.sheet.defects.line,
        place.open.sheet.note,
        place.open.sheet.photo.button,
        place.open.sheet.save,
        place.open.sheet.other,
    ]
    for widget in wanted:
        press(place, Qt.Key.Key_Tab)
        assert place.window().focusWidget() is widget


def test_a_click_on_the_line_gives_a_half_point(place):
    begin(place, "0001-a", "Orla")
    row = place.open.sheet.rows[0]
    left, right = row._ends()
    at = QPoint(round(left + 0.74 * (right - left)), row.height() // 2)
    QTest.mouseClick(row, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
    assert row.text() == "7.5"


def test_the_list_is_narrowed_by_typing(place):
    type_in(place, "march plain -b")
    assert [c.row.code for c in place.open.chooser.table.rows_model.rows] == ["HL-0001-B"]
    place.open.chooser.line.clear()
    type_in(place, "xyz")
    assert place.open.chooser.none.isVisible()
    press(place, Qt.Key.Key_Escape)
    assert len(place.open.chooser.table.rows_model.rows) == 2


def test_an_empty_journal_says_how_to_begin(journal, window_on):
    place = window_on(journal, clock=clock, place="tastings").current
    assert place.open.pages.currentWidget() is place.open.empty
    assert not place.open.beside.isVisible()
    assert QApplication.focusWidget() is place.open.begin


def test_the_sample_shows_every_sitting_and_month(sample, window_on):
    place = window_on(sample, place="tastings").current
    assert len(place.open.line.scene().marks[-1].points) >= len(sample.sessions.all())
    wheel = next(w for w in sample.sessions.wheels() if w.tasted == 4)
    bars = age_scores(sample.sessions.of_wheel(wheel.id), wheel.started_ms)
    assert len(bars) == 4 * len(ATTRIBUTES)
    overall = [b for b in bars if b.attribute == "overall"]
    assert [b.days for b in overall] == sorted(b.days for b in overall)
    place.open.chooser.line.setText(wheel.code)
    assert "overall at 6 months" in place.open.beside.scores.months.made().accessibleDescription()


def test_the_terms_are_the_tables_own():
    assert {t.group for t in terms()} == {"flavour", "body_texture", "colour", "finish"}
    assert split_strength("bitter, Slight") == ("slight", "bitter")
    assert fitting("zzz")[0].means is None
    assert fitting("bitt")[0].means == ("flavour", "bitter", "definite")


def test_an_attribute_of_ones_own_with_what_its_scale_means(place, two_wheels):
    begin(place, "0001-b", "Orla")
    enter(place, "7")
    press(place, *key_for("own_attribute"))
    enter(place, "grassy")
    row = place.open.sheet.rows[-1]
    assert row.attribute == "grassy"
    assert place.window().focusWidget() is row.line
    assert place.open.sheet.rows[0].text() == "7.0"
    assert place.open.beside.scale.meaning.text().startswith("Grassy")
    place.open.beside.scale.words[0].setFocus()
    enter(place, "no grass at all")
    row.setFocus()
    enter(place, "3,5")
    press(place, *KEEP)
    assert saved(two_wheels, "HL-0001-B") == {"Orla": {"overall": 7.0, "grassy": 3.5}}
    assert place.open.beside.scale.words[0].text() == "no grass at all"
    enter(place, "Tam")  # the day's sheet has it for the next, also with another wheel
    assert [r.attribute for r in place.open.sheet.rows] == [*ATTRIBUTES, "grassy"]
    place.open.other()
    begin(place, "0001-a", "Tam")
    assert [r.attribute for r in place.open.sheet.rows] == [*ATTRIBUTES, "grassy"]
    assert "not saved" not in place.open.sheet.message.text()
    place.open._turn_day(NOW - 30 * DAY_MS, carry=False)
    assert [r.attribute for r in place.open.sheet.rows] == list(ATTRIBUTES)


def test_what_a_usual_score_means_stands_beside_the_open_sheet(place, two_wheels):
    begin(place, "0001-b", "Orla")
    assert "not to be eaten" in place.open.beside.scale.words[0].text()
    press(place, Qt.Key.Key_Down)
    assert place.open.beside.scale.meaning.text().startswith("Appearance")
    press(place, *key_for("choose"))
    assert not place.open.beside.scale.isVisible()
