"""In the window: a make that failed and why, one that is deleted, and a cheese not to be eaten."""

from __future__ import annotations

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from journal.curves.verdict import verdict_on
from journal.desk.sheets import make_record
from journal.keeping import Journal
from journal.keeping.session_rows import OpenServing
from journal.message import Message
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plan
from journal.records.verdicts import Verdict
from journal.reports.agenda import agenda_of
from journal.wording import text_of
from journal.wording.dates import clock
from tests.desk.conftest import START, cheddar_like
from tests.desk.hands import Hands

ENTER, ESC, DOWN = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Down
NOT_TO_EAT = "Do not eat this cheese, do not age it: throw it out untasted."


@pytest.fixture
def cook_min() -> float:
    return 113.0


def day(count: float, journal: Journal) -> int:
    return from_iso(START, journal.zone) + round(count * DAY_MS)


def finished(journal: Journal, *, verdict: bool = False, after_days: float = 0.0):
    """A finished make of two wheels, with or without a verdict."""
    at = day(after_days, journal)
    make = journal.makes.begin(cheddar_like(), Milk(12.0), at)
    journal.makes.finish(make.id, [1.2, 1.1], at + DAY_MS)
    if verdict:
        journal.outcomes.save_verdict(make, Verdict(at, Message(NOT_TO_EAT)))
    return make


def today(journal: Journal, at_ms: int) -> list[str]:
    agenda = agenda_of(journal, at_ms)
    return [i.title for i in agenda.now] + [c.title for c in agenda.coming]


def open_at(window_on, qtbot, journal: Journal, place: str, at_ms: int):
    window = window_on(journal, place=place, clock=lambda: at_ms)
    qtbot.waitUntil(window.settled)
    return window


# What must not be eaten


def stands(vat, output: str) -> bool:
    """Whether a sentence is to be seen among what the numbers say."""
    lines = [line for line in vat.page.advice.lines if line.isVisible()]
    return any(output in line.text().replace("\u00a0", " ") for line in lines)


def test_what_the_vat_said_stays_with_the_make_once_it_is_finished(qtbot, kitchen, vat, hands):
    for minutes in range(118, 420, 30):
        kitchen.journal.readings.log(kitchen.make.id, "curd-ph", 6.58, kitchen.after(minutes))
    qtbot.waitUntil(lambda: kitchen.journal.outcomes.verdict(kitchen.make) is not None)
    qtbot.waitUntil(hands.window.settled)
    output = text_of(kitchen.journal.outcomes.verdict(kitchen.make).message)
    assert "do not eat" in output.lower()
    assert stands(vat, output)
    for _ in range(4):  # what rings, the caution and the advice are heard: the verdict stays
        hands.press(ESC)
    qtbot.waitUntil(hands.window.settled)
    assert vat.makes.acknowledged().slow
    assert stands(vat, output)
    vat.page.finish.ask()
    hands.type("1.2 kg").press(ENTER)
    assert output in vat.page.finish.message.text()
    assert vat.makes.day.whole.make.finished_ms is None
    hands.press(ENTER)
    qtbot.waitUntil(lambda: kitchen.journal.makes.get(kitchen.make.id).finished_ms is not None)
    kitchen.journal.undo()
    assert text_of(kitchen.journal.outcomes.verdict(kitchen.make).message) == output
    kitchen.journal.redo()
    at_60 = day(61, kitchen.journal)
    found = today(kitchen.journal, at_60)
    assert "HL-0001: do not eat" in found
    assert not [title for title in found if title.startswith("Taste")]


def test_a_soft_cheese_names_listeria_and_who_is_at_risk_where_it_is_tasted(
    qtbot, journal, window_on
):
    at = day(0, journal)
    soft = builtin_plan("camembert type")
    for plan in (soft, builtin_plan("grill cheese"), cheddar_like()):
        make = journal.makes.begin(plan, Milk(12.0), at)
        journal.makes.finish(make.id, [0.3], at + DAY_MS)
    window = open_at(window_on, qtbot, journal, "tastings", day(40, journal))
    part, output = window.current.open, {}
    for row in journal.sessions.wheels():
        part.chooser.chosen.emit(row)
        output[row.plan] = part.sheet.message.text()
    assert "Listeria" in output[soft.name]
    assert "pregnant" in output[soft.name]
    assert "Local codes" in output[soft.name]
    assert "Listeria" in output["grill cheese"]  # firm, but without a culture
    assert "Listeria" not in output[cheddar_like().name]


def test_a_cheese_not_to_be_eaten_is_named_wherever_it_is_shown(
    qtbot, journal, window_on, tmp_path
):
    make = finished(journal, verdict=True)
    window = open_at(window_on, qtbot, journal, "makes", day(61, journal))
    assert window.current.page.state.text() == "▲ do not eat"
    assert NOT_TO_EAT in window.current.page.outcome.text()
    window.go("room")
    qtbot.waitUntil(window.settled)
    assert NOT_TO_EAT in window.current.needs.text()
    window.go("tastings")
    qtbot.waitUntil(window.settled)
    rows = journal.sessions.wheels()
    assert [text_of(row.verdict.message) for row in rows] == [NOT_TO_EAT] * 2
    assert window.current.open.chooser.table.rows_model.rows
    pages = make_record(journal.whole(make.id), tmp_path / "record.pdf")
    text = " ".join(p.extract_text() for p in PdfReader(tmp_path / "record.pdf").pages)
    assert pages
    assert "Do not eat this cheese" in " ".join(text.split())


def test_a_missed_acid_target_is_listed(qtbot, journal, window_on):
    make = journal.makes.begin(cheddar_like(), Milk(12.0), day(0, journal))
    starts = cheddar_like().starts()
    for place in range(6):
        journal.makes.end_stage(make.id, make.started_ms + round(starts[place + 1] * 60_000))
    drain = make.started_ms + round(starts[5] * 60_000)
    journal.readings.log(make.id, "curd-ph", 6.62, drain - 60 * 60_000)
    for minutes in (2, 12):
        journal.readings.log(make.id, "curd-ph", 6.55, drain + minutes * 60_000)
    journal.makes.finish(make.id, [1.2], day(1, journal))
    window = open_at(window_on, qtbot, journal, "makes", day(2, journal))
    shown = window.current.page.outcome.text()
    assert "Acid target missed: drain: curd pH 6.55 at" in shown
    assert "not 6.38 to 6.46" in shown
    assert "set:" not in shown


def test_a_verdict_names_its_reading_and_says_when_that_was_struck_out(qtbot, kitchen, vat, hands):
    log = kitchen.journal.readings
    for minutes, ph in ((118, 6.58), (178, 6.55), (238, 6.57), (298, 6.56)):
        log.log(kitchen.make.id, "curd-ph", ph, kitchen.after(minutes))
    qtbot.waitUntil(lambda: kitchen.journal.outcomes.verdict(kitchen.make) is not None)
    qtbot.waitUntil(hands.window.settled)
    output = kitchen.journal.outcomes.verdict(kitchen.make)
    last = kitchen.journal.readings.trace(kitchen.make.id, "curd-ph")
    value = last.value[list(last.at_ms).index(output.at_ms)]
    named = f"curd pH {value:.2f} at {clock(output.at_ms, kitchen.make.zone)}"
    assert f"By {named} its culture" in text_of(output.message)
    assert not stands(vat, "struck out")
    log.strike(kitchen.make.id, "curd-ph", output.at_ms, value)
    qtbot.waitUntil(hands.window.settled)
    assert stands(vat, f"Readings up to then that were struck out: {named}.")
    log.strike(kitchen.make.id, "curd-ph", output.at_ms, value, False)
    qtbot.waitUntil(hands.window.settled)
    assert not stands(vat, "struck out")
    while log.count(kitchen.make.id):
        kitchen.journal.undo()
    found = text_of(verdict_on(kitchen.journal.whole(kitchen.make.id)))
    assert found.endswith(f"The reading of {clock(output.at_ms, kitchen.make.zone)} is no longer "
                          "there.")  # fmt: skip


# Failed


def test_a_make_fails_by_keys_says_why_and_is_taken_back_after_a_restart(qtbot, journal, window_on):
    make = finished(journal)
    window = open_at(window_on, qtbot, journal, "makes", day(2, journal))
    place, hands = window.current, Hands(window)
    place.ask_failed()
    hands.type("it smelled of yeast").press(ENTER)
    assert journal.makes.get(make.id).failed
    assert place.page.state.text() == "▲ failed"
    assert "Failed: it smelled of yeast." in place.page.outcome.text()
    assert journal.undo_name == Message("keeping.act-failed", make="HL-0001")
    journal.undo()
    assert place.page.outcome.text() == ""
    journal.redo()
    window.close()
    with Journal.open(journal.path) as again:
        assert again.whole(make.id).why_failed == "Failed: it smelled of yeast."
        again.outcomes.take_back_failure(make.id)
        assert not again.makes.get(make.id).failed
        assert again.whole(make.id).notes == ()
        assert len(again.whole(make.id).wheels) == 2


def test_a_reason_is_asked_for_until_there_is_one(qtbot, journal, window_on):
    make = finished(journal)
    window = open_at(window_on, qtbot, journal, "makes", day(2, journal))
    window.current.ask_failed()
    Hands(window).press(ENTER)
    assert "why" in window.current.ask.message.text()
    assert not journal.makes.get(make.id).failed


def test_a_running_make_is_abandoned_at_the_vat_and_runs_on_when_that_is_taken_back(
    qtbot, kitchen, vat, hands
):
    running = vat.makes.day.page_state.stage.kind
    vat.acts.ask_failed()
    hands.type("the curd stank").press(ENTER)
    qtbot.waitUntil(hands.window.settled)
    assert vat.page.stage.text() == "Abandoned"
    assert "Abandoned: the curd stank." in vat.page.doing.text()
    assert kitchen.journal.makes.running() == []
    assert not vat.makes.has_running()
    vat.acts.take_back_failure()
    qtbot.waitUntil(hands.window.settled)
    assert vat.makes.day.page_state.stage.kind == running
    assert vat.page.stage.text() == running.capitalize()


# Deleted


def test_a_deleted_make_leaves_every_place_and_comes_back_with_all_it_had(
    qtbot, journal, window_on
):
    make, other = finished(journal), finished(journal, after_days=3)
    wheel = journal.wheel_by_code("HL-0001-A")
    from journal.keeping.scored_samples import ScoredSample

    journal.sessions.give(
        OpenServing(wheel.id, "Moss", day(61, journal)), ScoredSample({"overall": 7.0})
    )
    now = day(62, journal)
    before = (
        journal.makes.rows(), journal.sessions.wheels(), journal.sessions.all(),
        journal.sessions.for_panel("overall"), today(journal, now), journal.care_tasks.lives(),
    )  # fmt: skip
    window = open_at(window_on, qtbot, journal, "makes", now)
    window.current.list.select(make.id)
    hands = Hands(window)
    window.current.list.table.setFocus()
    hands.press(Qt.Key.Key_Delete)
    qtbot.waitUntil(window.settled)
    assert [row.code for row in window.current.list.table.rows_model.rows] == [other.code]
    for name in ("today", "plans", "vat", "compare", "room", "tastings", "findings", "makes"):
        window.go(name)
        qtbot.waitUntil(window.settled)
    assert [w.code for w in journal.sessions.wheels()] == ["HL-0002-A", "HL-0002-B"]
    assert journal.sessions.all() == []
    assert journal.sessions.for_panel("overall") == []
    assert {life.wheel.make_id for life in journal.care_tasks.lives()} == {other.id}
    assert not [title for title in today(journal, now) if "HL-0001" in title]
    assert journal.undo_name == Message("keeping.act-delete", make="HL-0001")
    window.close()
    with Journal.open(journal.path) as again:
        assert again.outcomes.deleted() == ["HL-0001"]
    back = open_at(window_on, qtbot, journal, "makes", now)
    back.current.ask_undelete()
    Hands(back).press(ENTER)
    qtbot.waitUntil(back.settled)
    assert back.current.list.current().code == "HL-0001"
    after = (
        journal.makes.rows(), journal.sessions.wheels(), journal.sessions.all(),
        journal.sessions.for_panel("overall"), today(journal, now), journal.care_tasks.lives(),
    )  # fmt: skip
    assert after == before


def test_every_place_bears_a_make_deleted_while_it_is_shown(qtbot, journal, window_on):
    make, _other = finished(journal), finished(journal, after_days=3)
    window = open_at(window_on, qtbot, journal, "makes", day(20, journal))
    window.current.list.select(make.id)
    qtbot.waitUntil(window.settled)
    for name in ("today", "plans", "vat", "compare", "room", "tastings", "findings", "makes"):
        window.go(name)
        qtbot.waitUntil(window.settled)
        journal.outcomes.delete(make.id)
        qtbot.waitUntil(window.settled)
        QApplication.processEvents()
        journal.outcomes.undelete(make.code)
        qtbot.waitUntil(window.settled)
    assert [row.code for row in journal.makes.rows()] == ["HL-0002", "HL-0001"]
