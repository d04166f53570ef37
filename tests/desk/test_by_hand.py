"""A make day at the vat, each act of it done by mouse alone and by keys alone, and counted."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QMenu, QWidget

from journal.desk.buttons import LEAST_TARGET
from journal.desk.menus import Menu
from journal.desk.stock.used import UsedSection
from journal.desk.vat.before import BeforeStart
from journal.desk.vat.checks import InstrumentCheck
from journal.desk.vat.happened import Happened
from journal.desk.vat.times import StageTimes
from journal.keeping import Journal
from tests.desk.hands import Hands, key_for

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LEFT = Qt.MouseButton.LeftButton
ENTER, ESC, DOWN = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Down


class Mouse:
    """Clicks where a person would, and counts; what is typed is typed in the field clicked."""

    def __init__(self, window, qtbot) -> None:
        self.window, self._qtbot, self.clicks = window, qtbot, 0

    def click(self, widget: QWidget, at: QPoint | None = None) -> None:
        assert widget.isVisible(), widget.accessibleName()
        assert widget.isEnabled(), widget.accessibleName()
        self.clicks += 1
        QTest.mouseClick(widget, LEFT, pos=at if at is not None else widget.rect().center())

    def menu(self, title: str, *names: str) -> None:
        """Open a menu of the bar and press lines of it, by the names of submenu and command."""
        bar = self.window.menus
        menu = bar.menu_named(title)
        self.clicks += 1
        QTest.mouseClick(bar, LEFT, pos=bar.actionGeometry(menu.menuAction()).center())
        self._press(menu, names)

    def more(self, *names: str) -> None:
        """The same in the menu of the button More."""
        button = self.window.current.page.more
        self.click(button)
        self._press(next(one for one in button.findChildren(Menu) if one.isVisible()), names)

    def context(self, widget: QWidget, at: QPoint, *names: str) -> None:
        """The same in the menu under the pointer."""
        self.clicks += 1
        event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, widget.mapToGlobal(at))
        QApplication.sendEvent(widget.viewport(), event)
        self._press(QApplication.activePopupWidget(), names)

    def _press(self, menu: QMenu, names: tuple[str, ...]) -> None:
        for name in names:
            line = next(one for one in menu.actions() if name in (one.objectName(), one.text()))
            box = menu.actionGeometry(line)
            assert box.height() >= LEAST_TARGET
            assert line.isEnabled(), name
            self.clicks += 1
            QTest.mouseMove(menu, box.center())
            QTest.mouseClick(menu, LEFT, pos=box.center(), delay=20)
            if line.menu() is not None:
                menu = line.menu()
                self._qtbot.waitUntil(menu.isVisible)


@pytest.fixture
def day(qtbot, kitchen, window_on):
    """The window on a make that was just begun, at the vat."""
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.resize(1440, 900)
    qtbot.waitUntil(window.settled, timeout=60_000)
    return window


def on_disk(kitchen) -> Journal:
    """The journal as its file holds it."""
    return Journal.open(kitchen.journal.path)


def dialog_of(window, kind: type[QDialog]) -> QDialog:
    return next(one for one in window.findChildren(kind) if one.isVisible())


def close_dialog(qtbot, window, kind: type[QDialog]) -> None:
    qtbot.waitUntil(lambda: any(one.isVisible() for one in window.findChildren(kind)))
    shown = dialog_of(window, kind)
    shown.close()
    qtbot.waitUntil(lambda: not shown.isVisible())
    window.activateWindow()


def test_a_make_day_by_mouse_alone(qtbot, kitchen, day, monkeypatch, tmp_path):
    """Every act of the day, by buttons and menus; letters are typed only into the field clicked."""
    mouse, page = Mouse(day, qtbot), day.current.page
    keys = Hands(day)
    make_id = kitchen.make.id
    mouse.menu("Make", "Before the start, checks", "before")
    close_dialog(qtbot, day, BeforeStart)
    mouse.menu("Make", "Before the start, checks", "ice")
    close_dialog(qtbot, day, InstrumentCheck)
    mouse.click(page.entry.temp.line)
    keys.type("12.4").press(ENTER)
    kitchen.after(31)
    day.desk.alarm.tick()
    assert page.vat_head.turned
    mouse.click(page.vat_head.answer)
    assert not page.vat_head.turned
    assert "Silenced" in page.vat_head.due.text()  # stays until it is dealt with
    mouse.click(page.end)
    assert not page.vat_head.due.isVisible()
    mouse.menu("Make", "Timers", "timer")
    keys.type("5").press(ENTER).press(ENTER)
    mouse.menu("Make", "Timers", "stop_timer")
    mouse.more("Notes", "note")
    keys.type("smells of yoghurt").press(ENTER)
    mouse.more("how_long")
    page.ask.lines[0].selectAll()
    keys.type("7").press(ENTER).type("cold milk").press(ENTER)
    mouse.more("again")
    keys.type("stirred").press(ENTER)
    mouse.menu("Make", "turn")
    mouse.menu("Make", "skip_next")
    mouse.menu("Edit", "undo")
    kitchen.after(60)
    mouse.click(page.end)
    mouse.menu("Make", "Readings", "late")
    keys.type("09:35").press(ENTER).type("30.8").press(ENTER)
    mouse.menu("View", "across")
    across = day.current._across
    assert across.isVisible()
    for button in (across.end, across.back):
        assert button.height() >= 44
    kitchen.after(100)
    mouse.click(across.end)
    mouse.click(across.back)
    assert not across.isVisible()
    ribbon = day.current.chart.ribbon
    spot = ribbon.getViewBox().mapViewToScene(ribbon.getViewBox().viewRect().center())
    spot.setX(ribbon.getViewBox().mapViewToScene(ribbon.getViewBox().viewRect().topLeft()).x() + 30)
    mouse.context(day.current.chart, day.current.chart.mapFromScene(spot), "times")
    times = dialog_of(day, StageTimes)
    line = times.rows.lines["1"]
    mouse.click(line)
    line.selectAll()
    qtbot.keyClicks(line, "09:29")
    mouse.click(times._save)
    mouse.menu("Make", "Notes", "happened")
    close_dialog(qtbot, day, Happened)
    mouse.menu("Make", "The whole make", "used")
    assert isinstance(day.current.stock.made().section, UsedSection)
    mouse.click(day.top.place_button("vat"))
    with on_disk(kitchen) as journal:
        runs = sorted(journal.runs.where(make_id=make_id), key=lambda run: run.position)
        began = [round((run.began_ms - kitchen.start_ms) / 60_000) for run in runs if run.began_ms]
        assert began == [0, 29, 60, 100]
        assert runs[0].ended_ms == runs[1].began_ms
        assert "cold milk" in runs[1].reason
        assert len(runs[1].turned_ms) == 1
        assert [round(one.value, 1) for one in journal.readings.last(make_id)] == [30.8, 12.4]
        assert [note.text for note in journal.notes.where(make_id=make_id)] == ["smells of yoghurt"]
        assert not runs[3].skipped
    assert mouse.clicks <= 50, mouse.clicks


def test_a_make_day_by_keys_alone(qtbot, kitchen, day):
    """The same day without a mouse; every key is counted, the letters typed with them."""
    pressed = []
    hands = Hands(day)

    def key(*given) -> None:
        pressed.append(given)
        hands.press(*given)

    def text(words: str) -> None:
        pressed.extend(words)
        hands.type(words)

    make_id, page = kitchen.make.id, day.current.page
    key(Qt.Key.Key_B, CTRL)
    close_dialog(qtbot, day, BeforeStart)
    key(Qt.Key.Key_F4)
    close_dialog(qtbot, day, InstrumentCheck)
    text("12.4")
    key(ENTER)
    kitchen.after(31)
    day.desk.alarm.tick()
    key(ESC)
    assert "Silenced" in page.vat_head.due.text()
    key(ENTER, CTRL)
    key(Qt.Key.Key_F9)
    text("5")
    key(ENTER)
    key(ENTER)
    key(Qt.Key.Key_F9, SHIFT)
    key(Qt.Key.Key_F7)
    text("smells of yoghurt")
    key(ENTER)
    key(Qt.Key.Key_L, CTRL | SHIFT)
    text("7")
    key(ENTER)
    text("cold milk")
    key(ENTER)
    key(*key_for("again"))
    key(ENTER)
    key(Qt.Key.Key_F8)
    key(*key_for("skip_next"))
    key(Qt.Key.Key_Z, CTRL)
    kitchen.after(60)
    key(ENTER, CTRL)
    key(Qt.Key.Key_T, CTRL)
    text("09:35")
    key(ENTER)
    text("30.8")
    key(ENTER)
    key(Qt.Key.Key_F11)
    assert day.current._across.isVisible()
    key(ESC)
    kitchen.after(100)
    key(ENTER, CTRL)
    key(Qt.Key.Key_T, CTRL | SHIFT)
    text("10:38")
    key(ENTER)
    key(ENTER)
    key(Qt.Key.Key_F12)
    close_dialog(qtbot, day, Happened)
    with on_disk(kitchen) as journal:
        runs = sorted(journal.runs.where(make_id=make_id), key=lambda run: run.position)
        began = [round((run.began_ms - kitchen.start_ms) / 60_000) for run in runs if run.began_ms]
        assert began == [0, 31, 60, 98]
        assert [round(one.value, 1) for one in journal.readings.last(make_id)] == [30.8, 12.4]
        assert len(runs[1].turned_ms) == 1
    assert len(pressed) <= 80, len(pressed)


def test_esc_leaves_a_field_and_a_digit_comes_back_to_it(day):
    hands, entry = Hands(day), day.current.page.entry
    assert QApplication.focusWidget() is entry.temp.line
    hands.press(ESC).press(ESC)
    assert QApplication.focusWidget() is not entry.temp.line
    hands.type("3")
    assert entry.temp.line.text().endswith("3")


def test_a_reading_on_the_chart_is_struck_out_from_its_own_menu(qtbot, kitchen, day):
    Hands(day).type("12.4").press(ENTER)
    plot = day.current.chart.temp
    from PySide6.QtCore import QPointF

    spot = plot.getViewBox().mapViewToScene(QPointF(0.5, 12.4))
    mouse = Mouse(day, qtbot)
    mouse.context(day.current.chart, day.current.chart.mapFromScene(spot), "strike")
    assert day.current.page.readings.rows_model.index(0, 0).data().endswith("struck out")


def test_the_menus_hold_every_command_of_the_window_and_the_place(kitchen, day):
    held = set()
    for title in ("File", "Edit", "Make", "View", "Help"):
        menu = day.menus.menu_named(title)
        menu.aboutToShow.emit()
        lines = list(menu.actions())
        while lines:
            line = lines.pop()
            held.add(line.objectName())
            lines += line.menu().actions() if line.menu() is not None else []
    wanted = {one.name for one in (*day.commands(), *day.current.commands())}
    assert wanted <= held, wanted - held


def test_about_names_the_parts_with_their_licences(day):
    from journal.desk.about import parts

    found = {name: (version, licence) for name, version, licence in parts()}
    assert found["SQLite"][1] == "public domain"
    assert found["numpy"][0][0].isdigit()
    assert "BSD" in found["numpy"][1]
    assert found["PySide6"][1]
