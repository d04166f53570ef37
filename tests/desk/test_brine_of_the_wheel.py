"""The brine follows the wheel, from Plans to the vat and onto paper, by keys on a real file."""

from __future__ import annotations

from dataclasses import replace

from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.desk.sheets import make_sheet
from journal.keeping import Journal
from journal.records.instants import MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plan_scaled import for_milk
from journal.records.plan_text import builtin_plan

NOW = from_iso("2026-03-14T08:00", "Europe/London")
GOUDA = builtin_plan("washed-curd type")
PLACE = next(i for i, stage in enumerate(GOUDA.stages) if stage.kind == "brine")
SMALL = for_milk(GOUDA, 3.0).stages[PLACE].minutes


def test_the_milk_typed_shortens_the_brine_in_plan_make_and_vat(window_on, journal, qtbot) -> None:
    window = window_on(journal, place="plans", clock=lambda: NOW)
    place = window.current
    place.show_plan("washed-curd type")
    cell = place.page.stages.rows_model.rows[PLACE + 1]  # the milk's line stands first
    assert (cell.label, cell.minutes) == ("brine", "20 h")
    place.page.milk.line.selectAll()
    QTest.keyClicks(place.page.milk.line, "3 l")
    assert place.page.stages.rows_model.rows[PLACE + 1].minutes == f"{SMALL:g}"
    QTest.keyClick(place.page.milk.line, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.current.key == "vat")
    make = journal.makes.running()[0]
    assert journal.plans.get(make.plan_id).stages[PLACE].minutes == 1200  # the plan stays itself
    runs = sorted(journal.runs.where(make_id=make.id), key=lambda run: run.position)
    brine = runs[PLACE]
    assert (brine.planned_end_ms - brine.planned_begin_ms) / MINUTE_MS == SMALL
    assert journal.makes.plan_of(make).stages[PLACE].minutes == SMALL
    assert journal.whole(make.id).minutes_of(PLACE) == SMALL
    # and the clock of the vat rings when this wheel's time is up
    at = NOW
    for _ in range(PLACE):
        at += MINUTE_MS
        journal.makes.end_stage(make.id, at)
    window.desk.alarm.look_again()
    ends = [one.at_ms for one in window.desk.alarm._coming]
    assert at + round(SMALL * MINUTE_MS) in ends


def test_the_sheet_of_a_small_milk_says_the_short_brine(tmp_path) -> None:
    path = tmp_path / "sheet.pdf"
    make_sheet(for_milk(GOUDA, 3.0), path)
    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    assert f"{PLACE + 1} brine\n–\n{SMALL:g}\n" in text


def test_a_make_laid_out_before_keeps_the_length_it_was_laid_out_with(journal: Journal) -> None:
    """A journal of an earlier Vatside: three litres, and the plan's own time to warm and in the
    brine."""
    make = journal.makes.begin(GOUDA, Milk(3.0), NOW)
    for run, stage in zip(journal.runs.where(make_id=make.id), GOUDA.stages, strict=True):
        end = run.planned_begin_ms + round(stage.minutes * MINUTE_MS)
        journal.runs.save(replace(run, planned_end_ms=end))
    assert GOUDA.stages[PLACE].minutes == 1200
    assert journal.makes.plan_of(make).stages[PLACE].minutes == 1200
    assert journal.makes.plan_of(make) == journal.plans.get(make.plan_id)


# A journal that has a plan as an earlier Vatside brought it


def _older() -> object:
    lactic = builtin_plan("lactic")
    return replace(
        lactic, version=1, room_c=11.0, taste_at_days=(5.0, 10.0, 21.0),
        uuid="2f5a89e0-8ef9-4381-97d4-acb2a1dfb0e4",
    )  # fmt: skip


def test_an_older_plan_stays_is_doubted_and_may_be_replaced(window_on, journal, qtbot) -> None:
    older = journal.plans.save(_older())
    made = journal.makes.begin(older, Milk(10.0), NOW)
    place = window_on(journal, place="plans", clock=lambda: NOW).current
    place.show_plan("lactic")
    output = place.page.outcome.sentences
    assert any("soft cheese would stand" in one and "11.0 °C" in one for one in output)
    assert "version 1, in this journal; Vatside has a newer one" in place.page.about.text()
    assert place.versions.has_newer()
    place.drafts.take_newer()
    assert journal.plans.by_name("lactic").says_as(builtin_plan("lactic"))
    assert [plan.version for plan in journal.plans.versions("lactic")] == [1, 2]
    assert journal.plans.get(made.plan_id).room_c == 11.0  # the make keeps the plan it had
    assert not place.versions.has_newer()
    assert "newer" not in place.page.about.text()
    journal.undo()
    assert journal.plans.by_name("lactic").version == 1


def test_a_plan_changed_by_hand_is_not_offered_another(window_on, journal: Journal) -> None:
    journal.plans.save(_older())
    journal.plans.save(replace(_older(), builtin=False, milk_l=8.0))
    place = window_on(journal, place="plans", clock=lambda: NOW).current
    place.show_plan("lactic")
    assert not place.versions.has_newer()


def test_what_the_brine_needs_says_the_salt_for_a_litre_of_water(window_on, journal) -> None:
    place = window_on(journal, place="plans", clock=lambda: NOW).current
    place.show_plan("washed-curd type")
    assert "20 % salt, 250 g/L of water" in place.needs.accessibleDescription()
