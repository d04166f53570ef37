"""Ageing on a desktop of another language, in a narrow window, in another zone, beside a second
process: by keys alone and by the mouse alone it saves the same."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QSize
from PySide6.QtTest import QTest

from journal.desk.buttons import WordButton
from journal.desk.labels import Label
from journal.keeping import Journal
from journal.reports.wheels import shelf_rows
from tests.desk.test_locales import desktop
from tests.desk.test_rack import CTRL, LEFT, Ageing, K, shelves
from tests.locales import environment

__all__ = ["desktop"]

NARROW = QSize(960, 1040)


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The machine is taken to another zone; the kitchen's own stays."""
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def ageing(window_on, journal: Journal) -> Ageing:
    shelves(journal, 2, 3)
    made = Ageing(window_on, journal, 60)
    made.window.resize(NARROW)
    return made


def fill(ageing: Ageing, key: str, text: str) -> None:
    line = ageing.page.form.field(key).entry
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


def word(ageing: Ageing, kind: str) -> WordButton:
    return next(one for one in ageing.page.words if one.property("kind") == kind)


def saved(journal: Journal) -> dict[str, object]:
    """What a second process finds."""
    code = (
        "import sys, json; from journal.keeping import Journal\n"
        "with Journal.open(sys.argv[1], read_only=True) as j:\n"
        "    w = j.wheel_by_code('HL-0001-A'); now = j.shelves.course(w).now\n"
        "    air = j.air.trace(j.rooms.all()[0].id)\n"
        "    print(json.dumps({'kg': round(now.kg, 3), 'left': now.left, 'shelf': w.shelf,\n"
        "        'cares': sorted(c.kind for c in j.cares.all()),\n"
        "        'temp': air.temp_c.tolist(), 'pct': air.humidity_pct.tolist(),\n"
        "        'whom': [t.whom for t in j.removals.all()]}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(journal.path)], capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


WANTED = {"kg": 0.735, "left": 0.75, "shelf": "top", "cares": ["rub", "turn"], "temp": [12.5],
          "pct": [71.0], "whom": ["Ann"]}  # fmt: skip


def by_keys(ageing: Ageing) -> None:
    ageing.press(K.Key_Home)
    ageing.press(K.Key_T)
    ageing.press(K.Key_R)
    ageing.hands.type("0,98 kg")
    ageing.press(K.Key_Return)
    ageing.press(K.Key_Escape)
    ageing.press(K.Key_C)
    ageing.hands.type("12,5")
    ageing.press(K.Key_Tab)
    ageing.hands.type("71")
    ageing.press(K.Key_Return, CTRL)
    ageing.press(K.Key_V)
    ageing.hands.type("Cellar/top")
    ageing.press(K.Key_Return)
    ageing.press(K.Key_G)
    ageing.press(K.Key_Right)  # given
    ageing.press(K.Key_Tab)
    ageing.hands.type("1/4")
    ageing.press(K.Key_Tab)
    ageing.hands.type("Ann")
    ageing.press(K.Key_Return, CTRL)


def by_mouse(ageing: Ageing) -> None:
    """The pointer chooses what is done and where; only the values are typed."""
    page = ageing.page
    spot = ageing.spot(ageing.place.journal.wheel_by_code("HL-0001-A").id)
    QTest.mouseClick(ageing.rack, LEFT, pos=spot)
    QTest.mouseClick(word(ageing, "turn"), LEFT)
    QTest.mouseClick(word(ageing, "rub"), LEFT)
    QTest.mouseClick(page.field.line, LEFT)
    ageing.hands.type("0,98 kg")
    QTest.keyClick(page.field.line, K.Key_Return)
    QTest.mouseClick(word(ageing, "air"), LEFT)
    fill(ageing, "temp", "12,5")
    fill(ageing, "humidity", "71")
    QTest.mouseClick(page.form.save, LEFT)
    QTest.mouseClick(word(ageing, "move"), LEFT)
    ageing.hands.type("Cellar/top")
    QTest.keyClick(page.line, K.Key_Return)
    QTest.mouseClick(word(ageing, "gone"), LEFT)
    QTest.mouseClick(page.form.field("how").findChildren(WordButton)[1], LEFT)  # given
    fill(ageing, "part", "1/4")
    fill(ageing, "to", "Ann")
    QTest.mouseClick(page.form.save, LEFT)


@pytest.mark.parametrize("way", [by_keys, by_mouse], ids=["keys", "mouse"])
def test_it_saves_the_same_in_any_language_and_zone(
    desktop, elsewhere, ageing, journal, qtbot, way
) -> None:
    due = [[(d.kind, d.on) for d in row.dues] for row in shelf_rows(journal, ageing.now)]
    way(ageing)
    assert saved(journal) == WANTED
    assert ageing.window.size() == NARROW
    page = ageing.place.wheel
    qtbot.waitUntil(ageing.window.settled)
    for label in (one for one in page.findChildren(Label) if one.isVisible()):  # none runs out
        assert label.mapTo(page, label.rect().topRight()).x() <= page.width(), label.text()
    # Another process gives the shelf its care; it is seen here, and the days are the kitchen's.
    words = ["care", str(journal.path), "HL-0002-A", "brush", "--at", "2026-05-01T09:00"]
    env = {**os.environ, **(environment(desktop) or {})}
    subprocess.run([sys.executable, "-m", "journal.command", *words], check=True, env=env,
                   capture_output=True)  # fmt: skip
    journal.look_for_others()
    assert [c.kind for c in journal.cares.all()][-1] == "brush"
    others = [r for r in shelf_rows(journal, ageing.now) if r.code.startswith("HL-0002-B")]
    before = next(d for r, d in zip(shelf_rows(journal, ageing.now), due, strict=True)
                  if r.code == "HL-0002-B")  # fmt: skip
    assert [(d.kind, d.on) for d in others[0].dues] == before
    # All of it is taken back a week later.
    ageing.visit(67)
    while journal.undo_name is not None and journal.removals.all():
        ageing.press(K.Key_Z, CTRL)
    assert journal.shelves.course(journal.wheel_by_code("HL-0001-A")).now.left == 1.0
