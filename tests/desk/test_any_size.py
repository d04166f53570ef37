"""Every place in windows of many sizes, and with the text twice as large: nothing that bears an
amount is cut or left out, nothing lies over anything else, and no page has to be pushed aside."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QApplication,
    QComboBox,
    QDialog,
    QLabel,
    QLineEdit,
    QScrollArea,
    QWidget,
)

from journal.desk import dialogs
from journal.desk.buttons import LEAST_TARGET
from journal.desk.charts.chart import Chart
from journal.desk.commands import Command
from journal.desk.findings.card import NextCard
from journal.desk.form.line_field import FieldFrame
from journal.desk.pages import PagePair
from journal.desk.places import PLACES
from journal.desk.preferences import choose
from journal.desk.shots import grab, settle
from journal.desk.theme import use_text_size
from tests import present

SIZES = [
    (900, 700, 100), (960, 1040, 100), (1280, 720, 100), (1440, 900, 100), (2560, 1440, 100),
    (1920, 1080, 200),
]  # fmt: skip
FOLDED = {900: 7, 960: 7, 1280: 0, 1440: 0, 2560: 0, 1920: 7}  # of the eight places, by width
# Commands that open a dialog, by place; "" the window's own.
OPENERS = {
    "plans": ("print_sheet",), "makes": ("milk", "times", "why"),
    "vat": ("paper", "ice", "buffers", "before", "happened"),
    "room": ("photos", "record"), "findings": ("further_variables",),
    "": ("new", "backups", "probes", "history", "bin", "calculate", "settings", "change_keys",
         "help", "keys", "about"),
}  # fmt: skip
LEAST_PX = 14
AMOUNT = re.compile(r"\d\s?(°|%|g\b|kg|ml|L\b|mm|min|h\b|kPa|days?\b)|\d\.\d|pH \d")
LEAVES = (QLabel, QAbstractButton, QLineEdit, QComboBox)
ROUNDING = 2  # px


@pytest.fixture(autouse=True)
def _usual_text():
    yield
    use_text_size(100)


def leaves(window: QWidget) -> list[QWidget]:
    return [
        one
        for one in window.findChildren(QWidget)
        if isinstance(one, LEAVES) and one.isVisible() and _words(one) and one.window() is window
    ]


def _words(one: QWidget) -> str:
    return one.currentText() if isinstance(one, QComboBox) else one.text()


def seen(one: QWidget) -> QRect:
    """Where it is seen in its window: what its parents and what scrolls leave of it."""
    box = QRect(one.mapTo(one.window(), QPoint(0, 0)), one.size())
    up = one.parentWidget()
    while up is not None:
        box &= QRect(up.mapTo(one.window(), QPoint(0, 0)), up.size())
        up = up.parentWidget()
    return box


def is_cut(one: QWidget) -> bool:
    """Its words have less room than they need."""
    if isinstance(one, QLineEdit):
        return one.fontMetrics().horizontalAdvance(one.text()) > one.width() + ROUNDING
    if isinstance(one, QLabel) and one.wordWrap():
        return one.heightForWidth(one.width()) > one.height() + ROUNDING
    return one.sizeHint().width() > one.width() + ROUNDING


def bears_an_amount(one: QWidget) -> bool:
    if isinstance(one, QLineEdit):
        return any(letter.isdigit() for letter in one.text())
    return AMOUNT.search(_words(one)) is not None


def overlaps(window: QWidget) -> list[str]:
    boxes = [(one, seen(one)) for one in leaves(window)]
    found = []
    for (one, box), (other, its) in combinations(boxes, 2):
        both = box & its
        within = one.isAncestorOf(other) or other.isAncestorOf(one)
        if not within and both.width() > ROUNDING and both.height() > ROUNDING:
            found.append(f"“{_words(one)}” lies over “{_words(other)}”")
    return found


def sideways(window: QWidget) -> list[str]:
    """What would have to be pushed aside to be read."""
    found = []
    for area in window.findChildren(QAbstractScrollArea):
        if area.isVisible() and area.horizontalScrollBar().isVisible():
            found.append(f"{area.accessibleName() or type(area).__name__} scrolls sideways")
    for area in window.findChildren(QScrollArea):
        inner = area.widget()
        if area.isVisible() and inner.width() > area.viewport().width() + ROUNDING:
            found.append(f"{type(inner).__name__} is {inner.width()} wide in {area.width()}")
    for one in leaves(window):
        box = seen(one)
        if not box.isEmpty() and box.width() < one.width() - ROUNDING:
            found.append(f"“{_words(one)}” runs out at a side")
    return found


def chart_faults(window: QWidget) -> list[str]:
    """Words of charts that run out of their chart."""
    found = []
    for chart in window.findChildren(Chart):
        if not chart.isVisible():
            continue
        for item in chart.scene().items():
            words = getattr(item, "toPlainText", str)()
            if not AMOUNT.search(words) or not item.isVisible():
                continue
            box = item.sceneBoundingRect()
            if box.left() < -ROUNDING or box.right() > chart.width() + ROUNDING:
                found.append(f"“{words}” runs out of {chart.accessibleName()}")
    return found


@pytest.mark.parametrize(("wide", "high", "percent"), SIZES)
def test_every_place_is_whole(
    qapp, qtbot, sample, window_on, saved, monkeypatch, wide, high, percent
):
    left_out: list[str] = []
    really = QFontMetrics.elidedText

    def elided(self, text: str, *rest) -> str:
        shown = really(self, text, *rest)
        if shown != text and AMOUNT.search(text):
            left_out.append(f"“{text}” is drawn as “{shown}”")
        return shown

    choose(saved, "text", str(percent))
    window = window_on(sample, clock=present.now)
    window.resize(QSize(wide, high))
    found: list[str] = []
    folded = 0
    for entry in PLACES:
        window.go(entry.key)
        settle(qapp, window)
        left_out.clear()
        with monkeypatch.context() as patch:
            patch.setattr(QFontMetrics, "elidedText", elided)
            grab(window, 1.0)
        cut = [f"“{_words(one)}” is cut in {one.size().toTuple()}" for one in leaves(window)
               if is_cut(one) and bears_an_amount(one)]  # fmt: skip
        faults = [*sideways(window), *overlaps(window), *cut, *left_out, *chart_faults(window)]
        if faults:
            found += [f"{entry.key}: {fault}" for fault in faults]
        folded += any(p.folded for p in window.current.findChildren(PagePair) if p.isVisible())
    assert not found, "\n".join(found)
    assert folded == FOLDED[wide]
    assert window.size() == QSize(wide, high)


def test_the_picture_goes_under_the_words_and_tab_brings_what_is_there_into_sight(
    qapp, qtbot, sample, window_on
):
    window = window_on(sample, clock=present.now, place="findings")
    window.resize(QSize(900, 700))
    settle(qapp, window)
    pages = window.current.findChild(PagePair)
    words, picture = pages.divider.widget(0), pages.divider.widget(1)
    plan = next(one for one in picture.findChildren(NextCard) if one.isVisible()).plan
    assert pages.folded
    assert picture.y() >= words.height()
    assert plan.visibleRegion().isEmpty()
    for _ in range(40):
        if QApplication.focusWidget() is plan:
            break
        qtbot.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Tab)
    assert plan.hasFocus()
    assert plan.visibleRegion().boundingRect().size() == plan.size()
    window.resize(QSize(1440, 900))
    settle(qapp, window)
    assert not pages.folded
    assert pages.verticalScrollBar().maximum() == 0


def test_the_divider_is_remembered_for_folded_pages_apart(qapp, sample, window_on, saved):
    window = window_on(sample, clock=present.now, place="makes")
    window.resize(QSize(960, 1040))
    settle(qapp, window)
    divider = window.current.findChild(PagePair).divider
    room = sum(divider.sizes())
    divider.moveSplitter(round(room * 0.52), 1)
    assert saved.value("divider/makes/folded", type=float) == pytest.approx(0.52, abs=0.02)
    assert saved.value("divider/makes") is None


def dialog_faults(shown: QDialog, wide: int, high: int) -> list[str]:
    """What of a dialog lies outside the screen, or is cut."""
    found = []
    if shown.width() > wide or shown.height() > high:
        found.append(f"is {shown.width()} × {shown.height()}")
    for one in shown.findChildren(QWidget):
        if not one.isVisible() or one.window() is not shown:
            continue
        if isinstance(one, QAbstractButton | QLineEdit | QComboBox):
            pressed = one.parentWidget() if isinstance(one.parentWidget(), FieldFrame) else one
            if pressed.height() < LEAST_TARGET:
                found.append(f"“{_words(one)}” is {pressed.height()} px high")
        if isinstance(one, QLabel | QAbstractButton) and _words(one) and is_cut(one):
            found.append(f"“{_words(one)}” is cut in {one.size().toTuple()}")
        if isinstance(one, QLabel | QAbstractButton) and one.font().pixelSize() < LEAST_PX:
            found.append(f"“{_words(one)}” at {one.font().pixelSize()} px")
    return found


@pytest.mark.parametrize(("wide", "high", "percent"), [(1280, 720, 100), (1920, 1080, 200)])
def test_every_dialog_is_whole(
    qapp, qtbot, sample, window_on, saved, monkeypatch, wide, high, percent
):
    """Of each place and of the window, all that opens a dialog by itself. The window stands for
    the screen, which is smaller here."""
    for name in ("ask_open", "ask_save", "ask_folder"):
        monkeypatch.setattr(dialogs, name, lambda *_: "")
    choose(saved, "text", str(percent))
    window = window_on(sample, clock=present.now)
    window.resize(QSize(wide, high))
    found, met = [], set()

    def look(command: Command) -> None:
        command.run()
        for shown in window.findChildren(QDialog):
            if not shown.isVisible():
                continue
            qtbot.waitUntil(shown.isActiveWindow)
            settle(qapp, window)
            kind = type(shown).__name__
            met.add(kind)
            found.extend(f"{kind} {fault}" for fault in dialog_faults(shown, wide, high))
            shown.close()
            window.activateWindow()
            qtbot.waitUntil(window.isActiveWindow)

    for place, names in OPENERS.items():
        if place:
            window.go(place)
            qtbot.waitUntil(window.settled, timeout=60_000)
        commands = window.current.commands() if place else window.commands()
        for name in names:
            look(next(one for one in commands if one.name == name))
    assert len(met) >= 16, met
    assert not found, "\n".join(found)
