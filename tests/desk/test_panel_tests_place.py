"""Panel tests and the panel through the window, by real keys on a real file."""

from __future__ import annotations

import re
from collections import Counter

import pypdf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from journal.desk import dialogs
from journal.desk.labels import Label
from journal.findings.dprime import right_share
from journal.findings.panel_tests import right_range
from journal.findings.setting_up import ARRANGED
from journal.keeping import Journal
from journal.records import RecordError
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.panel_tests import DUO_TRIO, PAIRED, RANKING, TETRAD, TRIANGLE, TWO_OF_FIVE
from journal.records.plans import Plan, Stage
from journal.wording.panel_tests import read_answer, short_kinds
from tests.desk.hands import key_for, save_printed

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T08:00", ZONE)
NOW = from_iso("2026-07-01T19:30", ZONE)
CTRL = Qt.KeyboardModifier.ControlModifier
KEEP = (Qt.Key.Key_Return, CTRL)
SIX = ("Orla", "Tam", "Wen", "Ida", "Jon", "Pia")


def clock() -> int:
    return NOW


@pytest.fixture
def wheels(journal: Journal) -> Journal:
    plan = Plan("Plain", (Stage("warm", 30.0, target_c=31.0),))
    make = journal.makes.begin(plan, Milk(12.0), MADE)
    journal.makes.finish(make.id, [0.6, 0.5, 0.5], MADE + DAY_MS // 4)
    return journal


@pytest.fixture
def place(wheels, window_on):
    place = window_on(wheels, clock=clock, place="tastings").current
    press(place, *key_for("part_3"))
    return place


@pytest.fixture
def part(place):
    return place.tests.made()


def press(place, *key) -> None:
    QTest.keyClick(place.window().focusWidget(), *key)


def enter(place, text: str) -> None:
    QTest.keyClicks(place.window().focusWidget(), text)
    press(place, Qt.Key.Key_Return)


def along(place, steps: int) -> None:
    for _ in range(steps):
        press(place, Qt.Key.Key_Right)


def set_up(place, part, kind, cheeses, people, asked="", *, foreseen=0, times=0):
    """Lay a test out by keys alone, from the row of kinds on; `foreseen` and `times` count how
    often the arrow goes along there."""
    along(place, [k for k, _ in short_kinds()].index(kind))
    assert part.form.kind.chosen() == kind
    press(place, Qt.Key.Key_Return)
    for text in cheeses:
        enter(place, text)
    press(place, Qt.Key.Key_Return)
    if asked:
        assert place.window().focusWidget() is part.form.asked_for
        enter(place, asked)
    if kind == PAIRED:
        along(place, foreseen)
        press(place, Qt.Key.Key_Return)
    for name in people:
        enter(place, name)
    press(place, Qt.Key.Key_Return)
    along(place, times)
    press(place, *KEEP)


def odd_codes(journal: Journal) -> list[str]:
    """The code of the odd cup of each set, read by another door."""
    with Journal.open(journal.path, read_only=True) as again:
        out = []
        for one in again.panel_sets.all():
            odd = min((0, 1), key=one.cups.count)
            out.append(one.codes[one.cups.index(odd)])
        return out


def test_five_of_six_told_them_apart(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX)
    assert part.pages.currentWidget() is part.set
    right = odd_codes(wheels)
    for number in range(6):
        one = wheels.tests.sets(part.session.id)[number]
        assert part.set.who.text() == f"{one.assessor} is tasting"
        assert "HL-0001" not in part.set.where.text()
        wrong = next(code for code in one.codes if code != right[number])
        enter(place, right[number] if number else wrong)
    assert "All have answered" in part.set.message.text()
    press(place, *key_for("lift"))
    assert part.pages.currentWidget() is part.answer
    assert part.answer.sentence.text() == (
        "5 of 6 told them apart; by chance that happens 2 times in 100."
    )
    assert "evidence of a difference" in part.answer.verdict.text()
    assert wheels.check() == []
    assert not wheels.within_unit
    place.window().undo()
    assert part.pages.currentWidget() is part.set


def test_a_code_that_is_not_there_is_refused_and_stays(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla",))
    enter(place, "000")
    assert "There is no 000" in part.set.message.text()
    assert part.set.line.text() == "000"
    assert wheels.tests.sets(part.session.id)[0].answer == ()
    press(place, *key_for("lift"))
    assert "Nobody has answered" in part.set.message.text()


def test_a_paired_comparison_names_the_one_with_more(place, part, wheels):
    set_up(place, part, PAIRED, ("0001-a", "Abbey"), SIX, "bitter")
    for one in wheels.panel_sets.all():
        enter(place, one.codes[one.cups.index(1)])
    press(place, *key_for("lift"))
    assert part.answer.sentence.text() == (
        "6 of 6 found Abbey more bitter; by chance that happens 3 times in 100."
    )


def test_a_foreseen_direction_counts_one_side(place, part, wheels):
    set_up(place, part, PAIRED, ("0001-a", "Abbey"), SIX, "bitter", foreseen=2)
    assert part.session.expected == 1
    for one in wheels.panel_sets.all():
        enter(place, one.codes[one.cups.index(1)])
    press(place, *key_for("lift"))
    # 1/2⁶ by hand: 1.6 in 100
    assert part.answer.sentence.text() == (
        "6 of 6 found Abbey more bitter; by chance that happens 2 times in 100."
    )


def test_a_duo_trio_of_two_people_who_taste_again(place, part, wheels):
    set_up(place, part, DUO_TRIO, ("0001-a", "0001-b"), ("Orla", "Tam"), times=2)
    assert len(wheels.tests.sets(part.session.id)) == 6
    assert "reference" in part.set.codes.text()
    for one in wheels.panel_sets.all():
        assert one.codes[0] == ""
        enter(place, one.codes[1 if one.cups[1] == one.cups[0] else 2])
    press(place, *key_for("lift"))
    # 1/2⁶ by hand: 1.6 in 100
    assert part.answer.sentence.text() == (
        "6 of 6 told them apart; by chance that happens 2 times in 100."
    )
    assert "6 answers by 2 people" in part.answer.facts.text()


def test_two_out_of_five_says_much_with_few(place, part, wheels):
    set_up(place, part, TWO_OF_FIVE, ("0001-a", "0001-b"), ("Orla", "Tam"))
    for one in wheels.panel_sets.all():
        pair = min((0, 1), key=one.cups.count)
        enter(place, " ".join(c for c, cup in zip(one.codes, one.cups, strict=True)
                              if cup == pair))  # fmt: skip
    press(place, *key_for("lift"))
    # 1/10² by hand
    assert part.answer.sentence.text() == (
        "2 of 2 told them apart; by chance that happens 1 time in 100."
    )


def test_a_tetrad_from_the_setting_up_to_the_answer(place, part, wheels):
    """Either pair is right, in either order; how far apart they lie is said with its range."""
    set_up(place, part, TETRAD, ("0001-a", "0001-b"), SIX)
    assert "two pairs" in part.set.question.text()
    assert Counter(one.cups for one in wheels.panel_sets.all()) == dict.fromkeys(
        ARRANGED[TETRAD], 1
    )
    for k, one in enumerate(wheels.panel_sets.all()):
        pair = [c for c, cup in zip(one.codes, one.cups, strict=True) if cup == k % 2]
        if k == 5:
            pair = [one.codes[one.cups.index(0)], one.codes[one.cups.index(1)]]
        enter(place, " ".join(reversed(pair)))
    press(place, *key_for("lift"))
    # (6 × 2 + 1) / 3⁶ by hand
    assert part.answer.sentence.text() == (
        "5 of 6 told them apart; by chance that happens 2 times in 100."
    )
    d, low, high = map(float, re.search(
        r"d′ (\S+), (\S+) to (\S+) \(exact 95", part.answer.facts.text()
    ).groups())  # fmt: skip
    assert right_share(TETRAD, d) == pytest.approx(5 / 6, abs=0.015)  # d′ has one decimal
    assert [right_share(TETRAD, end) for end in (low, high)] == pytest.approx(
        right_range(5, 6), abs=0.015
    )
    place.window().undo()
    assert part.pages.currentWidget() is part.set
    assert wheels.check() == []


def test_a_ranking_says_the_order(place, part, wheels):
    set_up(place, part, RANKING, ("0001-a", "0001-b", "0001-c"), SIX, "salt")
    for one in wheels.panel_sets.all():
        enter(place, " ".join(one.codes[one.cups.index(item)] for item in (2, 0, 1)))
    press(place, *key_for("lift"))
    assert part.answer.sentence.text().startswith(
        "From the most salt to the least: HL-0001-C, HL-0001-A, HL-0001-B"
    )
    assert [row.dots for row in part.beside.dots.rows] == [(6.0,), (12.0,), (18.0,)]


def test_how_many_answers_it_takes_is_said_before_it_is_laid_out(place, part, qtbot):
    qtbot.waitUntil(lambda: "from 16 answers on" in part.planning.sentence.text())
    press(place, Qt.Key.Key_Return)
    press(place, Qt.Key.Key_Return)
    for name in ("Orla", "Tam"):
        enter(place, name)
    press(place, Qt.Key.Key_Return)
    along(place, 2)
    qtbot.waitUntil(lambda: "With 6 answers, 5 right" in part.planning.now.text())
    for _ in range(2):
        press(place, Qt.Key.Key_Tab)  # the button, then how many can tell
    for _ in range(2):
        press(place, Qt.Key.Key_Left)
    qtbot.waitUntil(lambda: "from 42 answers on" in part.planning.sentence.text())
    along(place, 3)
    qtbot.waitUntil(
        lambda: (
            "d′ 1 (76 % would name it rightly in a pair), a triangle"
            in part.planning.sentence.text()
        )
    )
    assert "from 220 answers on" in part.planning.sentence.text()
    part.form.kind.setFocus()
    along(place, 1)
    qtbot.waitUntil(lambda: "from 65 answers on" in part.planning.sentence.text())
    along(place, [k for k, _ in short_kinds()].index(TWO_OF_FIVE) - 1)
    qtbot.waitUntil(lambda: "No published" in part.planning.sentence.text())
    part.form.kind.setFocus()
    along(place, 2)
    assert part.form.kind.chosen() == RANKING
    assert "12 to 15" in part.planning.sentence.text()


def test_the_list_opens_a_test_again_and_another_is_laid_out(place, part, wheels, qtbot):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla",))
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.list
    press(place, Qt.Key.Key_Return)
    assert part.pages.currentWidget() is part.set
    press(place, *key_for("choose"))
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.form
    press(place, *KEEP)
    assert "compares two cheeses" in part.form.message.text() or "two" in part.form.message.text()


def test_the_helper_sees_what_goes_into_each_cup(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla",))
    press(place, *key_for("key"))
    assert part.key.table.rows_model.rows == []
    press(place, Qt.Key.Key_Return)
    assert {row.cheese for row in part.key.table.rows_model.rows} == {"HL-0001-A", "HL-0001-B"}
    press(place, Qt.Key.Key_Escape)
    assert part.pages.currentWidget() is part.set


def test_answers_are_read_as_typed():
    assert read_answer("481", TRIANGLE, ("139", "481", "726")) == (1,)
    assert read_answer("726, 139 481", RANKING, ("139", "481", "726")) == (2, 0, 1)
    for text in ("", "481 139", "999"):
        with pytest.raises(RecordError):
            read_answer(text, TRIANGLE, ("139", "481", "726"))


def test_the_panel_is_told_kindly_how_good_it_is(sample, window_on):
    place = window_on(sample, place="tastings").current
    press(place, *key_for("part_4"))
    part = place.panel.made()
    assert part.who.text() == "All three of you can tell cheeses apart: Orla, Tam and Wen."
    assert "agree" in part.agree.text()
    assert part.size.text().endswith("takes 26 pairs or 65 tetrads to show: 9 or 22 each.")
    assert [row.name for row in part.together.rows] == ["Orla", "Tam", "Wen", "all of you"]
    assert all(row.line[0] < row.dots[0] < row.line[1] for row in part.together.rows)
    shown = " ".join(label.text() for label in part.pages.findChildren(Label) if label.isVisible())
    assert not re.search(r"\b0\.\d|alpha|correlation", shown)  # numbers stand in their own fold
    assert not part.numbers.isVisible()
    part.fold.setFocus()
    press(place, Qt.Key.Key_Space)
    assert part.numbers.isVisible()
    alpha = re.search(r"Krippendorff's alpha \(ordinal\) (0\.\d+), ", part.mean.text())
    # 0.667 is Krippendorff's lowest for conclusions (Content Analysis, 2004, p. 241; from memory)
    assert alpha is not None
    assert float(alpha[1]) > 0.667
    assert part.people.text().count(".") >= 3
    rows = {row.name: row.member.level for row in part.table.rows_model.rows}
    from journal.sample.truth import ASSESSORS

    centred = {n: v - sum(ASSESSORS.values()) / len(ASSESSORS) for n, v in ASSESSORS.items()}
    assert rows.keys() == centred.keys()
    assert sorted(rows, key=rows.get) == sorted(centred, key=centred.get)


def test_a_panel_of_nobody_says_what_will_stand_there(place):
    press(place, *key_for("part_4"))
    part = place.panel.made()
    assert "No session has been scored by two people" in part.who.text()
    assert not any(one.isVisible() for one in (part.together, part.levels, part.fold))


def test_the_sets_are_printed_for_those_without_a_screen(
    place, part, wheels, tmp_path, monkeypatch
):
    target = tmp_path / "sets.pdf"
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(target))
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla", "Tam"), times=1)
    press(place, Qt.Key.Key_P, CTRL)
    save_printed()
    assert "sets key.pdf" in place.messages.text("print")
    text = "".join(page.extract_text() for page in pypdf.PdfReader(target).pages)
    assert "HL-0001" not in text
    assert text.count("Which cup is the odd one?") == 2
    assert all(text.count(code) == 1 for one in wheels.panel_sets.all() for code in one.codes)


def test_the_list_says_in_full_what_a_test_is_of(place, part, wheels):
    set_up(place, part, TWO_OF_FIVE, ("0001-a", "0001-b"), ("Orla",))
    press(place, *key_for("choose"))
    assert part.pages.currentWidget() is part.list
    assert part.list.whole.isVisible()
    assert part.list.whole.text() == "Two-out-of-five: HL-0001-A · HL-0001-B"


def test_what_was_in_the_cups_is_listed_once_the_cloth_is_lifted(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), ("Orla", "Tam"))
    for code in odd_codes(wheels):
        enter(place, code)
    assert part.beside.sets.rows_model.rows == []
    press(place, *key_for("lift"))
    rows = part.beside.sets.rows_model.rows
    assert [(row.assessor, row.right) for row in rows] == [("Orla", True), ("Tam", True)]
    assert all(row.cups.count(row.named[0]) == 1 for row in rows)


def test_a_test_that_is_undone_and_done_again_is_gone_on_with(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX)
    first = part.session
    place.window().undo()
    assert part.session is None
    assert part.pages.currentWidget() is part.form
    assert not wheels.tests.rows()
    place.window().redo()
    assert part.session == first
    assert part.pages.currentWidget() is part.set
    boxes = part.servings.accessibleDescription()
    assert [code for code in part.set.codes.text().split() if code not in boxes] == []


def test_a_box_of_the_progress_table_is_clicked(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX)
    before = part.set.codes.text()
    table = part.servings
    QTest.mouseClick(
        table.viewport(),
        Qt.MouseButton.LeftButton,
        pos=table.visualRect(table.rows_model.index(3, 2)).center(),
    )
    assert part.set.number == 3
    assert part.set.codes.text() != before
    assert SIX[3] in part.set.who.text()
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_Down)
    QTest.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text().splitlines()[1].startswith(SIX[4])
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert part.set.number == 4


def test_it_asks_anew_once_another_set_is_looked_at(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX[:3])
    enter(place, odd_codes(wheels)[0])
    press(place, *key_for("lift"))
    assert "2 sets are not answered" in part.set.message.text()
    part.select(2)
    press(place, *key_for("lift"))
    assert part.hidden is not None
    press(place, *key_for("lift"))
    assert part.hidden is None


def test_what_is_said_of_one_test_is_not_said_of_another(place, part, wheels):
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX[:3])
    first = part.session
    enter(place, odd_codes(wheels)[0])
    assert part.set.message.text() == "Saved set 1."
    part.show_list()
    part.open(first)
    assert part.set.message.text() == ""


def test_no_curve_of_the_kind_chosen_before_is_shown(qtbot, place, part):
    """It is calculated away from the screen, and may come late."""
    part.form.kind.choose(TRIANGLE)
    part.form.kind.choose(RANKING)
    qtbot.waitUntil(lambda: not part.desk.work.busy)
    assert part.planning.curve.isHidden()
    assert part.planning.sentence.text().startswith("A ranking needs")


def test_a_cup_that_was_named_is_read_aloud_as_that(place, part, wheels):
    """Not as the one that is tasted now."""
    set_up(place, part, TRIANGLE, ("0001-a", "0001-b"), SIX[:2])
    named = odd_codes(wheels)[0]
    enter(place, named)
    output = part.servings.accessibleDescription()
    assert f": {named}, named" in output
    assert ", now" not in output
