"""The whole circle through the real window, by keys, on a real file, and read back by command.

Plan, vat, a logger's file by menu and by drop, side by side, wheels, a tasting, findings.
"""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.command import main
from journal.desk import dialogs
from journal.desk.bring_in import BringIn
from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS, local
from journal.records.kinds import ATTRIBUTES
from tests.desk.hands import key_for

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


class Person:
    """Someone at the window: keys go to what has the focus, time passes when they say so."""

    def __init__(self, qtbot, window_on, journal: Journal) -> None:
        self.bot = qtbot
        self.journal = journal
        self.now_ms = journal.makes.by_code("latest").started_ms + 2 * DAY_MS
        self.window = window_on(journal, clock=self.clock, place="today")
        self.settle()

    def clock(self) -> int:
        return self.now_ms

    def settle(self) -> None:
        self.bot.waitUntil(self.window.settled, timeout=20_000)

    def goes(self, place: int, key: str):
        QTest.keyClick(self.focus(), Qt.Key(Qt.Key.Key_0 + place), CTRL)
        self.bot.waitUntil(lambda: self.window.current.key == key)
        self.settle()
        return self.window.current

    def focus(self):
        return QApplication.focusWidget() or self.window

    def types(self, text: str, *keys: tuple) -> None:
        QTest.keyClicks(self.focus(), text)
        for key in keys:
            self.presses(*key)

    def presses(self, key, modifier=Qt.KeyboardModifier.NoModifier) -> None:
        QTest.keyClick(self.focus(), key, modifier)


@pytest.fixture
def person(qtbot, window_on, sample) -> Person:
    return Person(qtbot, window_on, sample)


def logger_file(path: Path, make, minutes: range, degrees) -> None:
    """A logger's file: semicolons, decimal comma, day first, a name line before the header."""
    rows = ["kitchen probe 2", "Datum und Zeit;Temp (°C)"]
    begun = local(make.started_ms, make.zone)
    for minute in minutes:
        when = (begun + timedelta(minutes=minute)).strftime("%d/%m/%Y %H:%M:%S")
        rows.append(f"{when};{degrees(minute):.2f}".replace(".", ","))
    path.write_text("\n".join(rows) + "\n", encoding="utf-16")


def output(capsys, *words: str):
    capsys.readouterr()
    assert main([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def on_disk(path: Path, code: str, kind: str) -> list[float]:
    with Journal.open(path, read_only=True) as other:
        return other.readings.trace(other.makes.by_code(code).id, kind).value.tolist()


def plan_and_begin(person: Person):
    """1: pick a plan, set the milk, see the curve, start the make."""
    plans = person.goes(2, "plans")
    plans.show_plan("Hollow Lane hard")
    plans.page.list.setFocus()
    person.presses(ENTER)
    person.presses(Qt.Key.Key_A, CTRL)
    person.types("12 l")
    assert plans.page.title.text() == "Hollow Lane hard, 12 L"
    person.presses(ENTER, CTRL)
    person.bot.waitUntil(lambda: person.window.current.key == "vat")
    person.settle()
    make = person.journal.makes.by_code("latest")
    assert make.milk.litres == 12.0
    return make


def run_the_vat(person: Person, make) -> None:
    """2: type readings, keep a late one, strike one, end stages with one key."""
    vat, path = person.window.current, person.journal.path
    zero = person.now_ms
    person.types("5,5", (ENTER,))
    assert on_disk(path, make.code, "milk-temp") == [5.5]
    assert vat.page.readings.rows_model.index(0, 0).data().endswith("5.5 °C, milk")
    person.now_ms = zero + 20 * MINUTE_MS
    person.types("77F", (ENTER,))
    person.presses(Qt.Key.Key_Tab)
    person.types("6,61", (ENTER,))
    assert on_disk(path, make.code, "milk-ph") == [6.61]
    at = local(zero + 10 * MINUTE_MS, make.zone).strftime("%H:%M")
    person.presses(Qt.Key.Key_T, CTRL)
    person.types(at, (ENTER,))
    person.presses(Qt.Key.Key_Escape)
    person.now_ms = zero + 21 * MINUTE_MS
    assert vat.chart._day.whole.trace("milk-temp").value.tolist() == [5.5, 25.0]
    stages = list(vat.journal.plans.get(make.plan_id).stages)
    minutes = 0.0
    for number, stage in enumerate(stages[:-1]):
        minutes += stage.minutes + (10 if stage.kind == "set" else 0)
        person.now_ms = zero + round(minutes * MINUTE_MS)
        person.presses(ENTER, CTRL)
        assert vat.page.stage.text().lower() == stages[number + 1].label
    delays = [run.delay_min for run in person.journal.runs.where(make_id=make.id)]
    after_set = next(i for i, s in enumerate(stages) if s.kind == "set") + 1
    assert delays[after_set] == pytest.approx(10.0)


def bring_in(person: Person, make, tmp_path: Path, monkeypatch) -> int:
    """3: a logger's file by the menu's key, then a longer one dropped on the chart."""
    vat, plan = person.window.current, person.journal.plans.get(make.plan_id)
    starts = plan.starts()
    late = next(i for i, s in enumerate(plan.stages) if s.kind == "set") + 1
    begins = [m + (10 if i >= late else 0) for i, m in enumerate(starts)]

    def degrees(minute: int) -> float:
        # A sensor that reads 0.6 °C above the plan as the day re-timed it.
        planned = plan.temperature_at(float(minute), begins)
        return float(planned) + 0.6 if planned == planned else 21.0

    first, second = tmp_path / "first.csv", tmp_path / "second.csv"
    logger_file(first, make, range(120), degrees)
    logger_file(second, make, range(300), degrees)
    monkeypatch.setattr(dialogs, "ask_open", lambda *_a, **_k: str(first))
    person.presses(Qt.Key.Key_I, CTRL)
    keep_what_is_shown(person, 120)
    url = QMimeData()
    url.setUrls([QUrl.fromLocalFile(str(second))])
    middle = vat.chart.rect().center()
    actions, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    target = vat.chart.viewport() if hasattr(vat.chart, "viewport") else vat.chart
    none = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(target, QDragEnterEvent(middle, actions, url, left, none))
    QApplication.sendEvent(target, QDropEvent(QPointF(middle), actions, url, left, none))
    keep_what_is_shown(person, 180)
    return 300


def keep_what_is_shown(person: Person, new: int) -> None:
    person.bot.waitUntil(lambda: person.window.findChildren(BringIn) != [])
    dialog = person.window.findChildren(BringIn)[-1]
    person.bot.waitUntil(lambda: not dialog.work.busy)
    before = person.journal.readings.count(dialog.make.id)
    QTest.keyClick(dialog, ENTER)
    assert person.journal.readings.count(dialog.make.id) - before == new
    assert person.window.current.messages.text("file") == dialog.account.text()
    with person.bot.waitSignal(dialog.finished):
        QTest.keyClick(dialog, ENTER)
    person.bot.waitUntil(lambda: person.window.findChildren(BringIn) == [])
    person.window.activateWindow()
    person.bot.waitUntil(person.window.isActiveWindow)
    person.settle()


def compared(person: Person, make) -> None:
    """4: this make above others, lined up where the cut began."""
    place = person.goes(5, "compare")
    place.ribbons.setFocus()
    person.presses(*key_for("line_up"))
    person.settle()
    assert place.choosing.choice.moment == "cut"
    assert place.compared.mine.row.id == make.id
    assert len(place.compared.usual) >= 10
    assert len(place.compared.mine.course.off.value) > 100


def finish(person: Person, make) -> None:
    """5: the make's wheels with green weight."""
    vat = person.goes(4, "vat")
    person.presses(ENTER, CTRL)
    vat.page.finish.line.setFocus()
    person.types("0.64 kg, 610 g", (ENTER,))
    assert vat.page.stage.text() == "Finished"


def taste(person: Person, make) -> dict[str, float]:
    """6: three months on, two assessors."""
    person.now_ms = make.started_ms + 92 * DAY_MS
    person.goes(7, "tastings")
    person.types(f"{make.code}-A", (ENTER,))
    overall = {"Orla": 7.5, "Tam": 6.0}
    for name, points in overall.items():
        person.types(name, (ENTER,))
        for attribute in ATTRIBUTES:
            person.types(f"{points if attribute == 'overall' else 5:g}", (ENTER,))
        person.presses(ENTER, CTRL)
    return overall


def test_the_circle(person, tmp_path, monkeypatch, capsys) -> None:
    make = plan_and_begin(person)
    run_the_vat(person, make)
    logged = bring_in(person, make, tmp_path, monkeypatch)
    compared(person, make)
    finish(person, make)
    overall = taste(person, make)
    findings = person.goes(8, "findings")
    shown = findings.study.answers["overall"]
    path = str(person.journal.path)

    row = next(r for r in output(capsys, "makes", path) if r["code"] == make.code)
    assert row["plan"] == "Hollow Lane hard"
    assert row["milk_l"] == 12.0
    assert row["readings"] == logged + 3
    assert row["wheels"] == 2
    assert row["best_score"] == sum(overall.values()) / 2
    # Every logged reading lies 0.6 °C above the plan, the typed ones apart.
    found = output(capsys, "deviation", path, make.code)
    assert found["cook_rate_c_per_min"] == pytest.approx(
        found["planned_cook_rate_c_per_min"], abs=0.005
    )
    delays = {s["kind"]: s["minutes"] for s in found["slip_min"]}
    assert delays["set"] == 0
    assert delays["cook"] == pytest.approx(10.0)
    study = output(capsys, "findings", path, "--score", "overall")
    assert study["makes"] == shown.study.makes
    by_name = {f["variable"]: f for f in study["findings"]}
    for finding in shown.study.findings:
        effect = by_name[finding.variable]["effect"]
        assert effect is None or effect == pytest.approx(finding.effect)
    assert main(["check", path]) == 0
