"""Why a wheel is so, in the window: by key and mouse from Makes, Ageing and the scored sheet."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu

from journal.desk.why.dialog import WhyDialog
from journal.desk.why.rows import CauseRow
from journal.keeping import Journal
from journal.wording.trade_words import variable_question
from tests.desk.hands import Hands

KEY, CTRL = Qt.Key, Qt.KeyboardModifier.ControlModifier
CTRL_SHIFT = CTRL | Qt.KeyboardModifier.ShiftModifier


def shown(qtbot, window) -> WhyDialog:
    found = next(one for one in window.findChildren(WhyDialog) if one.isVisible())
    qtbot.waitUntil(found.isActiveWindow)
    qtbot.waitUntil(lambda: found.answer is not None, timeout=60_000)
    qtbot.waitUntil(window.settled)
    return found


def on_make(qtbot, window, journal: Journal, code: str) -> None:
    window.go("makes", journal.makes.by_code(code).id)
    qtbot.waitUntil(window.settled)


@pytest.fixture
def window(sample, window_on):
    return window_on(sample, place="makes")


def test_a_make_is_explained_by_key_and_planned_again(qtbot, window, sample):
    on_make(qtbot, window, sample, "HL-0016")
    hands = Hands(window)
    hands.press(KEY.Key_W, CTRL_SHIFT)
    dialog = shown(qtbot, window)
    found = dialog.answer.why
    assert (found.make, found.wheel, found.defect) == ("HL-0016", "", "bitter")
    assert dialog.health.isHidden()
    first = dialog.rows[0]
    assert (first.suspect.key, first.is_chosen) == ("rennet_dose", True)
    qtbot.waitUntil(first.hasFocus)
    x = first.strip.scene().x
    assert x.at(first.suspect.here.value) > x.at(first.suspect.usual.high) > 0
    assert "Soodam" in dialog.sources.text()
    assert dialog.picture.isVisible()
    hands.press(KEY.Key_Return, CTRL)
    qtbot.waitUntil(lambda: window.current.key == "plans")
    qtbot.waitUntil(window.settled)
    author = window.current.author
    assert author.settled.from_make == "HL-0016"
    assert variable_question("milk_age") in author.settled.plan().note
    author.undo()
    assert variable_question("milk_age") not in author.settled.plan().note


def test_health_comes_first_and_another_defect_is_asked_about(qtbot, window, sample):
    on_make(qtbot, window, sample, "HL-0001")
    window.current.page.why.click()
    dialog = shown(qtbot, window)
    assert dialog.answer.why.defect == "gassy"
    assert [row.suspect.key for row in dialog.rows] == ["cheddaring"]
    assert dialog.health.isVisible()
    assert "throw it away" in dialog.health.words.text()

    def below_it() -> bool:
        tops = [
            one.mapTo(dialog, one.rect().topLeft()).y() for one in (dialog.health, *dialog.rows)
        ]
        return len(tops) > 1 and min(tops[1:]) > tops[0]

    qtbot.waitUntil(below_it)
    dialog.other.click()
    menu = dialog.other.findChild(QMenu)
    words = [action.data() for action in menu.actions()]
    assert words[0] == "gassy"
    assert {"bitter", "crumbly", "mites"} <= set(words)
    next(action for action in menu.actions() if action.data() == "curdy").trigger()
    qtbot.waitUntil(lambda: dialog.answer.why.defect == "curdy", timeout=60_000)
    assert dialog.health.isHidden()
    Hands(window).press(KEY.Key_Escape)
    qtbot.waitUntil(lambda: not dialog.isVisible())


def test_a_wheel_is_explained_from_ageing_and_its_rows_are_gone_through_by_keys(
    qtbot, window, sample
):
    window.go("room", sample.makes.by_code("HL-0016").id)
    qtbot.waitUntil(window.settled)
    place = window.current
    place.page.select(sample.wheel_by_code("HL-0016-A").id)
    qtbot.waitUntil(window.settled)
    hands = Hands(window)
    hands.press(KEY.Key_W, CTRL_SHIFT)
    dialog = shown(qtbot, window)
    assert dialog.answer.why.wheel == "HL-0016-A"
    assert len(dialog.rows) >= 2
    qtbot.waitUntil(dialog.rows[0].hasFocus)
    before = dialog.sources.text()
    hands.press(KEY.Key_Down)
    assert [row.is_chosen for row in dialog.rows[:2]] == [False, True]
    assert dialog.sources.text() != before
    hands.press(KEY.Key_Up)
    assert dialog.rows[0].is_chosen
    qtbot.mouseClick(dialog.rows[1], Qt.MouseButton.LeftButton)
    assert dialog.rows[1].hasFocus()
    assert all(row.accessibleName() for row in dialog.findChildren(CauseRow))


def test_the_scored_sheet_asks_about_its_wheel_and_a_sound_make_is_told_so(qtbot, window, sample):
    window.go("tastings")
    qtbot.waitUntil(window.settled)
    place = window.current
    place.open.chooser.line.setText("HL-0009-A")
    qtbot.waitUntil(window.settled)
    place.open.chooser.take()  # whoever scores it now does not hear what others said
    qtbot.waitUntil(window.settled)
    assert place.open.beside.why.isHidden()
    assert place.current_wheel() is None
    place.open.other()
    place.open.chooser.line.setText("HL-0009-A")
    qtbot.waitUntil(window.settled)
    assert place.current_wheel().called == "HL-0009-A"
    place.open.beside.why.click()
    dialog = shown(qtbot, window)
    assert dialog.answer.why.wheel == "HL-0009-A"
    dialog.away.click()
    on_make(qtbot, window, sample, "HL-0024")
    window.run("why")
    dialog = shown(qtbot, window)
    assert dialog.rows == []
    assert dialog.plan.isHidden()
    assert dialog.verdict.text() == "Nothing in this make was unusual."
    assert dialog.picture.isHidden()
    assert "nothing to draw. Name a defect" in dialog.none.text()


def test_the_cut_and_the_last_session_stand_beside_the_causes(qtbot, window, sample):
    on_make(qtbot, window, sample, "HL-0009")
    hands = Hands(window)
    hands.press(KEY.Key_W, CTRL_SHIFT)
    dialog = shown(qtbot, window)
    assert dialog.picture.isHidden()  # no cause to draw: what to write down stands in its place
    assert variable_question("press_sequence") in dialog.none.text()
    assert dialog.none.isVisible()
    beside = dialog.answer.beside
    whole = sample.whole(sample.makes.by_code("HL-0009").id)
    last = max(whole.scores, key=lambda one: (one.at_ms, one.tasting_id)).tasting_id
    for strip in beside.strips:
        own = [one.value for one in whole.scores
               if one.tasting_id == last and one.attribute == strip.attribute]  # fmt: skip
        assert strip.here == pytest.approx(sum(own) / len(own))
    assert beside.best
    assert beside.best not in {wheel.code for wheel in whole.wheels}
    strips = dialog.beside.strips
    assert strips.isVisible()
    drawn = list(strips.scene().px_points())
    assert [one.words for one in drawn] == [f"{s.attribute} {s.here:.1f}" for s in beside.strips]
    assert min(s.here for s in beside.strips) < max(s.here for s in beside.strips)
    by_score = sorted(zip(beside.strips, drawn, strict=True), key=lambda pair: pair[0].here)
    places = [one.x for _, one in by_score]
    assert places == sorted(places)
    assert 0 < places[0] < places[-1] < strips.width()
    assert dialog.beside.cut.isVisible() == (beside.cut is not None)
