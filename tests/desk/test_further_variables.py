"""Further variables of Findings: ticked in the window, kept with the journal, looked at by command
too; in a kitchen where one of them, the degree-minutes off the plan, is what matters."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from journal.command import main
from journal.desk.findings.further import FurtherDialog
from journal.findings import CLEAR, further
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.reports.study import tick_in
from journal.sample.made import made as simulated
from journal.sample.sensors import PH_NOISE
from journal.wording import text_of
from tests import present

OFF = "degree-minutes off the plan"
WARMED, MINUTES, MAKES, AGE_DAYS = 30, 60.0, 24, 60.0
A_POINT = 60.0  # °C min off the plan that cost a point of the score
STEP = 30.0  # °C min, the typical change
WAIT_MS = 20_000  # a patience, no promise
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[float]]:
    """Warmed unread, then an hour at 32 °C, held too warm by so much and read each minute: what a
    make was off its plan is that times the minutes. The fat of its milk says nothing."""
    path, rng = tmp_path_factory.mktemp("off") / "off.vatside", np.random.default_rng(11)
    warmed, held = Stage("warm", float(WARMED), target_c=32.0), Stage("set", MINUTES, target_c=32.0)
    plan, true = Plan("held", (warmed, held)), []
    first = present.NOW - 400 * DAY_MS
    with Journal.create(path, letters="HL", zone="UTC") as journal:
        for number in range(MAKES):
            begun, warm = first + number * 10 * DAY_MS, float(rng.uniform(0, 3))
            fat = round(float(rng.uniform(3.2, 4.2)), 2)
            make = journal.makes.begin(plan, Milk(10.0, fat_pct=fat), begun)
            at = begun + MINUTE_MS * np.arange(WARMED, WARMED + int(MINUTES) + 1)
            journal.readings.add_many(make.id or 0, "milk-temp", at, np.full(len(at), 32.0 + warm))
            (wheel,) = journal.makes.finish(make.id or 0, [1.0], int(at[-1]))
            true.append(MINUTES * warm)
            score = 8 - true[-1] / A_POINT + float(rng.normal(0, 0.25))
            tasted = begun + round(AGE_DAYS * DAY_MS)
            journal.sessions.give(
                OpenServing(wheel.id or 0, "Ann", tasted),
                ScoredSample({"overall": round(score, 1)}),
            )
    return path, true


@pytest.fixture
def kitchen(made: tuple[Path, list[float]], tmp_path: Path) -> Path:
    """That kitchen, a copy of its own."""
    return Path(shutil.copy(made[0], tmp_path / "off.vatside"))


def output(path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> dict:
    assert main(["findings", str(path), "--score", "overall", "--json", *more]) == 0
    return json.loads(capsys.readouterr().out)


def finding_of(answer: dict, name: str) -> dict | None:
    return next((one for one in answer["findings"] if one["variable"] == name), None)


def test_a_figure_is_looked_at_where_named_or_ticked_and_found(kitchen, made, capsys):
    plain = output(kitchen, capsys)
    assert finding_of(plain, OFF) is None
    with Journal.open(kitchen) as journal:
        tick_in(journal, ["degree_minutes_off_the_plan"])
        column = score_table(journal.wholes(), "overall", [OFF])
    assert column.x[:, column.position(OFF)] == pytest.approx(made[1], rel=0.02, abs=0.5)
    ticked, named = output(kitchen, capsys), output(kitchen, capsys, "--variables", OFF)
    for answer in (ticked, named):
        found = finding_of(answer, OFF)
        assert found is not None
        assert found["evidence"] == CLEAR
        assert found["low95"] <= -STEP / A_POINT <= found["high95"]
    assert ticked["findings"][0]["variable"] == OFF
    assert ticked["variables_tried"] == plain["variables_tried"] + 1
    assert f"Looked at too, as ticked under Further variables: {OFF}." in ticked["notes"]
    assert named["variables_tried"] == 2  # and the age
    with Journal.open(kitchen) as journal:
        tick_in(journal, [])
    assert output(kitchen, capsys) == plain


def test_figures_cost_nothing_until_they_are_asked_for(kitchen, monkeypatch):
    def worked_out(*_of):
        raise AssertionError("figures were worked out")

    monkeypatch.setattr(further, "figures", worked_out)
    with Journal.open(kitchen, read_only=True) as journal:
        table = score_table(journal.wholes(), "overall")
        assert OFF not in [one.name for one in table.variables]
        with pytest.raises(AssertionError, match="worked out"):
            score_table(journal.wholes(), "overall", [OFF])


def test_acid_gain_is_what_the_simulator_says_was_gained(sample):
    """Two readings scatter as the simulator's meter does, which its own error leaves alone."""
    gain = "acid gain in cheddaring"
    table = score_table(sample.wholes(), "overall", [gain])
    days = {one.code: one.day for one in simulated(1, 40, present.NOW)}
    read, true = [], []
    for row, code in enumerate(table.make):
        day = days[code]
        if "cheddar" in [stage.kind for stage in day.plan.stages]:
            read.append(table.x[row, table.position(gain)])
            true.append(day.ph_at(day.begin_of("cheddar")) - day.ph_at(day.end_of("cheddar")))
    assert len(read) > 12
    assert read == pytest.approx(true, abs=4 * np.sqrt(2) * PH_NOISE + 0.01)  # and its rounding


@pytest.fixture
def opened(window_on, qtbot):
    """Opens Findings on a file, and waits for the answer."""
    journals = []

    def on(path: Path):
        journals.append(Journal.open(path))
        window = window_on(journals[-1], place="findings")
        qtbot.waitUntil(window.current.shows_results, timeout=WAIT_MS)
        return window

    yield on
    for journal in journals:
        journal.close()


def names(window) -> list[str]:
    return [one.variable for one in window.current.results.table.rows_model.rows]


def looked_at(window) -> str:
    return window.current.results.looked.text().split(". ")[-1]


def list_of(window, qtbot) -> FurtherDialog:
    """The list, once it is read."""
    dialog = window.findChildren(FurtherDialog)[-1]
    qtbot.waitUntil(dialog.save.isEnabled, timeout=WAIT_MS)
    return dialog


def answered(window, qtbot, there: bool) -> None:
    place = window.current
    qtbot.waitUntil(lambda: place.shows_results() and (OFF in names(window)) is there,
                    timeout=WAIT_MS)  # fmt: skip
    window.activateWindow()  # the list was in front of it
    qtbot.waitUntil(window.isActiveWindow)


def test_it_is_ticked_by_keys_and_unticked_by_the_mouse(opened, kitchen, qtbot, capsys):
    window = opened(kitchen)
    assert OFF not in names(window)
    before, count = names(window), looked_at(window)
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_F, CTRL | SHIFT)
    dialog = list_of(window, qtbot)
    why = {one.name: text_of(one.why) for one in dialog.table.rows}
    assert why[OFF] == "a figure worked out from the curves"
    assert not dialog.table.ticked
    while dialog.table.current().name != OFF:
        here = dialog.table.currentIndex().row()
        QTest.keyClick(dialog.table, Qt.Key.Key_Down)
        assert dialog.table.currentIndex().row() == here + 1
    QTest.keyClick(dialog.table, Qt.Key.Key_Space)
    assert dialog.count.text().startswith("1 of ")
    with qtbot.waitSignal(dialog.finished):
        QTest.keyClick(dialog.table, Qt.Key.Key_Return, CTRL)
    answered(window, qtbot, there=True)
    assert names(window)[0] == OFF
    assert looked_at(window) == count.replace(str(len(before)), str(len(before) + 1))
    assert finding_of(output(kitchen, capsys), OFF) is not None

    QTest.mouseClick(window.current.results.further, Qt.MouseButton.LeftButton)
    dialog = list_of(window, qtbot)
    row = [one.name for one in dialog.table.rows_model.rows].index(OFF)
    box = dialog.table.visualRect(dialog.table.rows_model.index(row, 0))
    QTest.mouseClick(dialog.table.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
    assert not dialog.table.ticked
    with qtbot.waitSignal(dialog.finished):
        QTest.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    answered(window, qtbot, there=False)
    assert names(window) == before
    assert finding_of(output(kitchen, capsys), OFF) is None


def tick(window, qtbot) -> None:
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_F, CTRL | SHIFT)
    dialog = list_of(window, qtbot)
    dialog.table.go_to(lambda one: one.name == OFF)
    QTest.keyClick(dialog.table, Qt.Key.Key_Return)
    with qtbot.waitSignal(dialog.finished):
        QTest.keyClick(dialog.table, Qt.Key.Key_Return, CTRL)
    answered(window, qtbot, there=True)


def test_another_window_sees_it_and_it_is_there_the_next_day(opened, kitchen, qtbot):
    other, window = opened(kitchen), opened(kitchen)
    tick(window, qtbot)
    answered(other, qtbot, there=True)
    for one in (other, window):
        one.close()
    again = opened(kitchen)
    assert OFF in names(again)


def test_undo_takes_the_tick_back_and_redo_ticks_again(opened, kitchen, qtbot):
    window = opened(kitchen)
    tick(window, qtbot)
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_Z, CTRL)
    answered(window, qtbot, there=False)
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_Z, CTRL | SHIFT)
    answered(window, qtbot, there=True)


def test_cancel_changes_nothing(opened, kitchen, qtbot):
    window = opened(kitchen)
    answer = window.current.study.answer
    QTest.keyClick(window.focusWidget(), Qt.Key.Key_F, CTRL | SHIFT)
    dialog = list_of(window, qtbot)
    QTest.keyClick(dialog.table, Qt.Key.Key_Space)
    with qtbot.waitSignal(dialog.finished):
        QTest.keyClick(dialog.table, Qt.Key.Key_Escape)
    assert window.current.study.answer is answer
    with Journal.open(kitchen, read_only=True) as journal:
        assert journal.setting("further variables") is None
