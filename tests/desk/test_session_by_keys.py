"""Three assessors and five wheels: a whole session through the window by real keys, counted.

And while it is hidden nothing outside it changes: every other place looks and reads as it
did before, the finder finds no code, and an export from the window holds none of it.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QAbstractItemModel, QSize, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QLabel,
    QLineEdit,
    QTableView,
    QWidget,
)

from journal.desk import dialogs
from journal.desk.find import things_of
from journal.desk.shots import leave, settle
from journal.keeping import Journal
from journal.records.instants import DAY_MS
from journal.records.kinds import ATTRIBUTES
from tests.desk.hands import key_for

CTRL = Qt.KeyboardModifier.ControlModifier
RETURN = Qt.Key.Key_Return
WHEELS = ("HL-0022-A", "HL-0021-A", "HL-0020-A", "HL-0019-A", "HL-0018-A")
LIKED = dict(zip(WHEELS, (8.5, 7.5, 6.5, 5.5, 4.5), strict=True))
LEVEL = {"Orla": 0.5, "Tam": -0.5, "Wen": 0.0}
WORDS = "quincelike"  # nobody wrote that before
PLACES = ("today", "plans", "makes", "compare", "room", "findings")
DRAWN = ("today", "room")  # these stay the same to the dot; a chart's words may move by some
# 40 words of five keys a minute, an unhurried typist's pace: common practice, no source.
KEYS_A_SECOND = 40 * 5 / 60
SECONDS = 20  # what a sample may take to type


class Keys:
    """Presses keys on whatever has the focus, and counts them."""

    def __init__(self, window: QWidget) -> None:
        self.window = window
        self.pressed = 0

    def press(self, *key) -> None:
        QTest.keyClick(self.window.focusWidget(), *key)
        self.pressed += 1

    def enter(self, text: str) -> None:
        QTest.keyClicks(self.window.focusWidget(), text)
        self.pressed += len(text)
        self.press(RETURN)


@pytest.fixture
def window(sample, window_on, qapp):
    flash = qapp.cursorFlashTime()
    qapp.setCursorFlashTime(0)
    now = max(t.at_ms for t in sample.tastings.all()) + 9 * DAY_MS

    def clock() -> int:
        return now

    shown = window_on(sample, clock=clock, place="today")
    shown.resize(QSize(1280, 720))
    yield shown
    qapp.setCursorFlashTime(flash)


@pytest.fixture
def keys(window):
    return Keys(window)


def names(journal: Journal) -> dict[int, str]:
    """What each sample is, read by another door."""
    with Journal.open(journal.path, read_only=True) as again:
        return {s.id: again.wheels.get(s.wheel_id).code for s in again.samples.all() if s.wheel_id}


def set_up(keys: Keys) -> None:
    keys.press(Qt.Key.Key_7, CTRL)
    keys.press(*key_for("part_2"))
    for wheel in WHEELS:
        keys.enter(wheel[3:].lower())
    keys.press(RETURN)
    for name in LEVEL:
        keys.enter(name[:2].lower())
    keys.press(RETURN, CTRL)


def score(keys: Keys, overall: float, *, defect: bool) -> int:
    """Give the current sample everything; how many keys that took."""
    before = keys.pressed
    keys.enter(f"{overall:g}".replace(".", ","))
    for value in ("7", "6,5", "7", "5", "6", "1,5", "7"):
        keys.enter(value)
    if defect:
        keys.enter("slight bitt")
        keys.press(RETURN)
        QTest.keyClicks(keys.window.focusWidget(), WORDS)
        keys.pressed += len(WORDS)
    keys.press(RETURN, CTRL)
    return keys.pressed - before


def score_all(keys: Keys, part, cheeses: dict[int, str]) -> list[int]:
    took = []
    for number in range(15):
        here = part.scoring._here()
        assert part.sheet.who.text() == f"{here.assessor} is tasting"
        given = LIKED[cheeses[here.sample_id]] + LEVEL[here.assessor]
        took.append(score(keys, given, defect=number % 3 == 0))
    return took


def output(window: QWidget) -> list[str]:
    """Every word that can be read in the window, of tables and lists too."""
    out = []
    for widget in window.findChildren(QWidget):
        if not widget.isVisible():
            continue
        out += [widget.accessibleName(), widget.accessibleDescription(), widget.toolTip()]
        if isinstance(widget, QLabel | QLineEdit):
            out.append(widget.text())
        if isinstance(widget, QTableView):
            out += _cells(widget)
    return out


def _cells(view: QAbstractItemView) -> list[str]:
    model: QAbstractItemModel = view.model()
    return [
        str(model.index(row, column).data())
        for row in range(model.rowCount())
        for column in range(model.columnCount())
    ]


def report(journal: Journal) -> list[tuple]:
    """What every make and the panel read of tastings."""
    wholes = [(w.make.code, w.scores, w.defects) for w in journal.wholes()]
    return [*wholes, ("panel", journal.sessions.for_panel("overall"), journal.sessions.all())]


def look_round(qtbot, window) -> dict[str, tuple[list[str], np.ndarray]]:
    """What every other place says, and how it looks, without a pointer and with no caret that
    blinks."""
    QApplication.setCursorFlashTime(0)
    found = {}
    for key in PLACES:
        window.go(key)
        window.activateWindow()  # what is selected has another colour in a window that is not
        qtbot.waitUntil(window.isActiveWindow)
        settle(QApplication.instance(), window)
        window.setFocus()
        leave(window)
        found[key] = (output(window.current), pixels(window.current.grab().toImage()))
    return found


def pixels(image: QImage) -> np.ndarray:
    """A picture's bytes, shape (height, width, 4)."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    found = np.frombuffer(image.constBits(), np.uint8)
    return found.reshape(image.height(), image.width(), 4).copy()


def changed(one: np.ndarray, other: np.ndarray) -> tuple[int, ...]:
    """Top, bottom, left and right of what differs in two pictures, empty where nothing does."""
    assert one.shape == other.shape
    rows, columns, _ = np.nonzero(one != other)
    return (rows.min(), rows.max(), columns.min(), columns.max()) if rows.size else ()


def test_a_sitting_of_three_assessors_and_five_wheels_by_keyboard(
    keys, window, sample, record_property
):
    set_up(keys)
    to_set_up = keys.pressed
    part = window.current.shown_part()
    assert part.pages.currentWidget() is part.sheet
    servings = sample.sessions.servings(part.session.id)
    assert len({one.code for one in servings}) == 5
    assert {one.assessor for one in servings} == set(LEVEL)
    cheeses = names(sample)
    assert sorted(cheeses[s.sample_id] for s in servings[:5]) == sorted(WHEELS)

    took = score_all(keys, part, cheeses)
    assert "All have finished" in part.sheet.message.text()
    keys.press(*key_for("lift"))
    assert part.pages.currentWidget() is part.shown
    assert [r.sample.name for r in part.shown.table.rows_model.rows] == list(WHEELS)

    record_property("keys", f"{to_set_up} to lay out, {min(took)} to {max(took)} a sample")
    assert max(took) <= SECONDS * KEYS_A_SECOND
    assert keys.pressed == to_set_up + sum(took) + 1
    with Journal.open(sample.path, read_only=True) as again:
        for wheel, liked in LIKED.items():
            given = [g for g in again.sessions.of_wheel(again.wheel_by_code(wheel).id)
                     if g.tasting_id == part.session.id]  # fmt: skip
            overall = {g.assessor: g.value for g in given if g.attribute == "overall"}
            assert overall == {name: liked + level for name, level in LEVEL.items()}
            assert {g.attribute for g in given} == set(ATTRIBUTES)
        marks = again.defects.all()[-5:]
        assert {(d.group, d.term, d.strength) for d in marks} == {("flavour", "bitter", "slight")}
        assert [n.text for n in again.sample_notes.all()].count(WORDS) == 5
        assert again.check() == []
    assert not sample.within_unit


def test_nothing_outside_the_sitting_changes_before_the_cloth_is_lifted(
    keys, window, sample, qtbot, tmp_path, monkeypatch
):
    first = look_round(qtbot, window)  # builds the places; from the second visit on they stay
    before, known = look_round(qtbot, window), report(sample)
    set_up(keys)
    part = window.current.shown_part()
    score_all(keys, part, names(sample))
    codes = {one.code for one in sample.sessions.servings(part.session.id)}
    assert not any(wheel in word for word in output(window.current) for wheel in WHEELS)

    after = look_round(qtbot, window)
    for key in PLACES:
        new = set(after[key][0]) - set(before[key][0]) - set(first[key][0])
        assert new == set(), key
        if key in DRAWN:
            assert changed(after[key][1], before[key][1]) == (), key
    assert report(sample) == known
    assert not any(code in thing.words for thing in things_of(sample) for code in codes)
    keys.press(Qt.Key.Key_7, CTRL)
    keys.press(*key_for("part_1"))
    for wheel in WHEELS:
        window.current.open.chooser.line.setFocus()
        window.current.open.chooser.line.selectAll()
        keys.enter(wheel)
        assert not any(WORDS in word for word in output(window.current))
        keys.press(*key_for("choose"))
    _export_gives_nothing_away(keys, window, sample, qtbot, tmp_path, monkeypatch, codes)


def _export_gives_nothing_away(keys, window, sample, qtbot, tmp_path, monkeypatch, codes) -> None:
    folder = tmp_path / "out"
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: str(folder))
    keys.press(Qt.Key.Key_E, CTRL)
    qtbot.waitUntil(lambda: (folder / "journal.json").is_file(), timeout=30_000)
    qtbot.waitUntil(window.settled)
    assert "still hidden" in window.current.messages.text("file")
    hidden = {
        s.id for s in sample.samples.where(tasting_id=sample.sessions.hidden_sessions()[0].id)
    }
    for name in ("sample.csv", "serving.csv", "score.csv", "sample_note.csv", "journal.json"):
        text = Path(folder / name).read_text(encoding="utf-8")
        assert WORDS not in text, name
    rows = (folder / "serving.csv").read_text(encoding="utf-8")
    assert not any(f",{code}," in rows for code in codes - _lifted_codes(sample))
    whole = json.loads((folder / "journal.json").read_text(encoding="utf-8"))
    for noun in ("score", "serving", "defect_mark", "sample_note"):
        assert not hidden & {one["sample_id"] for one in whole[noun]}, noun
    assert not hidden & {one["id"] for one in whole["sample"]}


def _lifted_codes(journal: Journal) -> set[str]:
    return {
        one.code
        for session in journal.sessions.revealed()
        for one in journal.sessions.servings(session.id)
    }
