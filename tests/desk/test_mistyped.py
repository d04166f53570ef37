"""What is typed wrongly, asked for by mistake or done again, through the window by real keys."""

from __future__ import annotations

from math import nan

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.labels import Hairline
from journal.desk.tastings.panel.part import level_text
from journal.desk.tastings.panel_tests.share import ticks
from journal.findings.agreement import Member
from journal.keeping import Journal
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.panel_tests import RANKING, TWO_OF_FIVE
from journal.records.plans import Plan, Stage
from journal.records.tastings import SHUFFLED
from journal.reports.panel import PersonRead
from journal.wording.panel import chance_words
from journal.wording.scale_words import scale_words
from tests.desk.hands import key_for

WAIT_MS = 60_000  # a patience, no promise: other work may hold the machine
MADE = from_iso("2026-03-01T08:00", "Europe/London")
CTRL = Qt.KeyboardModifier.ControlModifier
KEEP = (Qt.Key.Key_Return, CTRL)
PEOPLE = ("Orla", "Tam")


def clock() -> int:
    return MADE + 120 * DAY_MS


@pytest.fixture
def wheels(journal: Journal) -> Journal:
    plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),))
    make = journal.makes.begin(plan, Milk(12.0), MADE)
    journal.makes.finish(make.id, [0.6, 0.5, 0.5], MADE + DAY_MS // 4)
    return journal


@pytest.fixture
def tastings(wheels, window_on):
    return window_on(wheels, clock=clock, place="tastings").current


@pytest.fixture
def findings(sample, window_on, qtbot):
    place = window_on(sample, place="findings").current
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)
    return place


def focus(place):
    return QApplication.focusWidget() or place.window()


def press(place, *key) -> None:
    QTest.keyClick(focus(place), *key)


def enter(place, text: str) -> None:
    QTest.keyClicks(focus(place), text)
    press(place, Qt.Key.Key_Return)


def lay_out_sitting(place):
    press(place, *key_for("part_2"))
    for text in ("0001-a", "0001-b"):
        enter(place, text)
    press(place, Qt.Key.Key_Return)
    for name in PEOPLE:
        enter(place, name)
    press(place, *KEEP)
    return place.shown_part()


def lay_out_test(place, kind: str, cheeses, asked: str = ""):
    press(place, *key_for("part_3"))
    part = place.shown_part()
    while part.pages.currentWidget() is not part.form:
        press(place, *key_for("choose"))
    part.form.kind.choose(kind)
    part.form.cheeses.setFocus()
    for text in cheeses:
        enter(place, text)
    press(place, Qt.Key.Key_Return)
    if asked:
        enter(place, asked)
    if not part.form.people.entries():
        for name in PEOPLE:
            enter(place, name)
    press(place, *KEEP)
    return part


def test_a_score_that_is_refused_is_typed_over(tastings):
    part = lay_out_sitting(tastings)
    enter(tastings, "12")
    row = part.sheet.rows[0]
    assert row.wrong
    assert focus(tastings) is row.line
    enter(tastings, "7,5")
    assert row.value() == 7.5


def test_esc_leaves_the_line_for_someone_who_joins(tastings):
    part = lay_out_sitting(tastings)
    press(tastings, *key_for("join"))
    QTest.keyClicks(focus(tastings), "Zed")
    for _ in range(2):  # the list of names goes first
        press(tastings, Qt.Key.Key_Escape)
    assert part.going.join.text() == ""
    assert part.sheet.isAncestorOf(focus(tastings))
    enter(tastings, "6")
    assert part.sheet.rows[0].value() == 6.0


def test_what_is_typed_from_paper_is_there_again_after_esc(tastings):
    part = lay_out_sitting(tastings)
    press(tastings, *key_for("from_paper"))
    for text in ("7", "6.5"):
        enter(tastings, text)
    press(tastings, Qt.Key.Key_Escape)
    assert part.pages.currentWidget() is part.sheet
    press(tastings, *key_for("from_paper"))
    assert [cell.text() for cell in part.paper.rows[0].cells[:3]] == ["7", "6.5", ""]
    part.paper.turned.emit("Tam")
    assert part.paper.rows[0].cells[0].text() == ""
    part.paper.turned.emit("Orla")
    assert part.paper.rows[0].cells[0].text() == "7"


def test_paper_that_was_kept_and_undone_is_empty_again(tastings):
    part = lay_out_sitting(tastings)
    press(tastings, *key_for("from_paper"))
    enter(tastings, "7")
    press(tastings, *KEEP)
    tastings.window().undo()
    part.paper.turned.emit("Orla")
    assert part.paper.rows[0].cells[0].text() == ""


def test_a_sitting_done_again_is_gone_on_with(tastings):
    part = lay_out_sitting(tastings)
    enter(tastings, "6")
    press(tastings, *KEEP)
    assert part.sheet.message.text().startswith("Saved")
    window = tastings.window()
    window.undo()
    assert part.sheet.message.text() == ""
    window.undo()
    assert part.pages.currentWidget() is part.form
    window.redo()
    assert part.pages.currentWidget() is part.sheet
    assert part.sheet.isAncestorOf(focus(tastings))


def test_nothing_is_said_to_be_kept_once_it_is_undone(tastings):
    press(tastings, *key_for("part_1"))
    enter(tastings, "0001-a")
    enter(tastings, "Orla")
    enter(tastings, "6")
    press(tastings, *KEEP)
    assert tastings.open.sheet.message.text().startswith("Saved: 1 score by Orla")
    tastings.window().undo()
    assert tastings.open.sheet.message.text() == ""


def test_a_level_is_never_minus_nothing():
    row = PersonRead("Wen", Member(0, 4, -0.04, 1.0, 1.0, nan, 0))
    assert level_text(row) == "0.0"


def test_a_cup_is_named_as_a_cup_and_nothing_beside_it_is_cut(tastings):
    tastings.window().resize(1280, 720)
    press(tastings, *key_for("part_2"))
    part = tastings.shown_part()
    for text in ("0001-a", "0001-b"):
        enter(tastings, text)
    press(tastings, Qt.Key.Key_Return)
    enter(tastings, "Orla")
    part.form.codes.choose(SHUFFLED)
    press(tastings, *KEEP)
    hidden = part.sheet.hidden
    assert part.sheet.code.accessibleName().startswith("cup ")
    assert hidden.height() >= hidden.heightForWidth(hidden.width())
    assert hidden.wordWrap()
    for _ in range(2):
        enter(tastings, "6")
        press(tastings, *KEEP)
    press(tastings, *key_for("lift"))
    assert part.pages.currentWidget() is part.cups
    enter(tastings, "zz")
    press(tastings, *KEEP)
    assert part.cups.message.text()
    press(tastings, Qt.Key.Key_Escape)
    assert part.pages.currentWidget() is part.sheet
    assert part.sheet.message.text() == ""


def test_a_test_for_another_thing_types_over_the_last_one(tastings):
    cheeses = ("0001-a", "0001-b", "0001-c")
    lay_out_test(tastings, RANKING, cheeses, "bitter")
    part = lay_out_test(tastings, RANKING, cheeses, "salt")
    assert part.session.attribute == "salt"


def test_a_ranking_of_many_names_its_cheeses_and_ticks_at_whole_sums(tastings, wheels):
    part = lay_out_test(tastings, RANKING, ("0001-a", "0001-b", "0001-c"), "salt")
    for one in wheels.panel_sets.all():
        enter(tastings, " ".join(one.codes[one.cups.index(item)] for item in (0, 1, 2)))
    press(tastings, *key_for("lift"))
    assert part.answer.of.text() == "HL-0001-A, HL-0001-B and HL-0001-C, salt"
    assert ticks(9, 36) == [9, 18, 27, 36]
    assert ticks(6, 18) == [6, 9, 12, 15, 18]
    assert ticks(0.0, 1.0) == [0.0, 0.25, 0.5, 0.75, 1.0]


@pytest.mark.parametrize(
    ("p", "words"), [(9e-12, "under 0.01 %"), (1e-4, "0.01 %"), (1 / 64, "1.6 %"), (1.0, "100 %")]
)
def test_a_chance_stays_short_however_small(p, words):
    assert chance_words(p) == words


def test_the_cups_of_a_set_are_said_in_full(tastings, wheels):
    part = lay_out_test(tastings, TWO_OF_FIVE, ("0001-a", "0001-b"))
    tastings.window().resize(1280, 720)
    assert part.set.where.wordWrap()
    assert part.set.where.text().endswith("set 1 of 2")
    for one in wheels.panel_sets.all():
        enter(tastings, " ".join(one.codes[:2]))
    press(tastings, *key_for("lift"))
    row = part.beside.sets.rows_model.rows[0]
    assert len(row.cups) == 5
    assert part.beside.whole.text() == f"Orla had {' · '.join(row.cups)}"


def test_the_scale_is_never_one_of_nothing(tastings, wheels):
    press(tastings, *key_for("part_1"))
    enter(tastings, "0001-a")
    scale = tastings.open.beside.scale
    assert scale.meaning.text().startswith("Overall")
    scale.words[0].setFocus()
    scale.words[0].selectAll()
    enter(tastings, "chalk")
    assert scale_words(wheels, "overall")[0.0] == "chalk"


def test_a_panel_of_nobody_has_no_rules_over_nothing(tastings):
    press(tastings, *key_for("part_4"))
    rules = tastings.shown_part().right_pages.findChildren(Hairline)
    assert rules
    assert not any(rule.isVisible() for rule in rules)


def test_the_panel_is_read_by_keys(sample, window_on, qtbot):
    place = window_on(sample, place="tastings").current
    place.window().resize(1280, 720)
    press(place, *key_for("part_4"))
    part = place.shown_part()
    press(place, Qt.Key.Key_Right)
    assert part.title.text().startswith("Appearance")
    area = part.right_pages.currentWidget()
    area.setFocus()
    qtbot.waitUntil(lambda: area.verticalScrollBar().maximum() > 0)
    assert focus(place) is area
    press(place, Qt.Key.Key_PageDown)
    assert area.verticalScrollBar().value() > 0


def test_a_part_that_asks_nothing_leaves_the_keys_to_the_table(findings):
    for _ in range(4):
        press(findings, Qt.Key.Key_F6)
    assert focus(findings) is findings.results.table
    for _ in range(4):
        press(findings, Qt.Key.Key_F6)
    assert focus(findings) is findings.beside.before_after.line
    press(findings, *key_for("turn_card"))
    assert focus(findings) is findings.results.table


def test_esc_leaves_a_question_for_the_table(findings):
    for _ in range(2):
        press(findings, Qt.Key.Key_F6)
    assert focus(findings) is findings.beside.what_if.line
    press(findings, Qt.Key.Key_Escape)
    assert focus(findings) is findings.results.table


def test_planning_where_nothing_is_proposed_shows_why(findings):
    findings.beside.card.show_next(None)
    press(findings, Qt.Key.Key_F6)
    press(findings, *key_for("larger_act"))
    assert findings.beside.stack.currentWidget() is findings.beside.card
    assert findings.window().current is findings


def test_what_is_no_day_is_told_how_days_are_written(findings):
    for _ in range(3):
        press(findings, Qt.Key.Key_F6)
    QTest.keyClicks(focus(findings), "foo")
    assert findings.beside.before_after.message.text() == (
        "▲ “foo” is not a date. Write it like 14 March, or 2026-03-14."
    )


def test_a_series_done_again_stands_as_before(findings, sample, qtbot):
    window = findings.window()
    sample.designs.put_away(sample.designs.all()[0].series.id)  # the one the kitchen did
    qtbot.waitUntil(window.settled, timeout=WAIT_MS)
    for key in (key_for("show_series"), KEEP):
        press(findings, *key)
        qtbot.waitUntil(window.settled, timeout=WAIT_MS)
    assert findings.series.shown == "standing"
    window.undo()
    qtbot.waitUntil(window.settled, timeout=WAIT_MS)
    assert findings.series.shown == "form"
    window.redo()
    qtbot.waitUntil(window.settled, timeout=WAIT_MS)
    assert findings.series.shown == "standing"
    assert findings.series.current.series.id == sample.designs.all()[0].series.id
    assert len(sample.designs.all()) == 1
