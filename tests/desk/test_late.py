"""What comes after the first paint: the vat is typed into before its chart is loaded, and nothing
typed meanwhile is lost."""

from __future__ import annotations

import gc
import json
import subprocess
import sys

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QMenu, QWidget

from journal.desk.charts.chart import Chart
from journal.desk.late import IdleTasks, LatePart, work_after_paint
from journal.desk.places import PLACES
from journal.desk.tables import RowsView
from journal.desk.tastings.place import BLIND, PANEL, TESTS
from journal.desk.window import Window
from journal.desk.work import Work
from journal.keeping import Journal
from tests import present

# The program as it is started, typed into from its first paint on until the chart has come.
_TYPING = """
import json, sys, threading
beside = []  # modules that have to do with Qt and that another thread asks for

class Asked:
    def find_spec(self, name, path=None, target=None):
        with_qt = name.startswith(("PySide6", "pyqtgraph", "journal.desk"))
        if with_qt and threading.current_thread() is not threading.main_thread():
            beside.append(name)

sys.meta_path.insert(0, Asked())
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal
from tests import present
from PySide6.QtCore import QSettings
app = QApplication([])
settings = QSettings(sys.argv[2], QSettings.Format.IniFormat)
journal = Journal.open(sys.argv[1])
window = Window(journal, clock=present.now, settings=settings, look=Look(app, "light"),
                place="vat", daily_backup=False)
window.show()
while not window.windowHandle().isExposed():
    app.processEvents()
drawn_at_first = "pyqtgraph" in sys.modules
for key in "31.25":
    QTest.keyClick(app.focusWidget(), key)
typed_at_first = window.current.page.entry.temp.line.text()
typed = ""
while not window.settled():
    if len(typed) < 40:
        QTest.keyClick(app.focusWidget(), "6")
        typed += "6"
    app.processEvents()
from journal.desk.charts.chart import Chart
chart = window.current.days.findChild(Chart)
from journal.desk.late import IdleTasks
from journal.desk.places import PLACES
IdleTasks(window, window.work, [entry.module for entry in PLACES])
while not {entry.module for entry in PLACES} <= set(sys.modules):
    app.processEvents()
print(json.dumps([drawn_at_first, typed_at_first, typed, window.current.page.entry.temp.line.text(),
                  chart is not None and chart.isVisible(), beside]))
window.close()
journal.close()
"""


def test_the_vat_takes_keys_from_its_first_paint_on_and_loses_none(sample, tmp_path):
    path = str(sample.path)
    sample.close()
    words = [sys.executable, "-c", _TYPING, path, str(tmp_path / "kept.ini")]
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=240)
    drawn_at_first, typed_at_first, typed, there, drawn, beside = json.loads(done.stdout)
    assert not drawn_at_first
    assert typed_at_first == "31.25"
    assert len(typed) > 2
    assert there == typed_at_first + typed
    assert drawn
    assert beside == []


def test_a_value_saved_before_the_chart_came_is_drawn_by_it(qtbot, kitchen, window_on):
    kitchen.to_stage(4)
    kitchen.after(120)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="today")
    window.go("vat")
    days = window.current.days
    assert days.findChild(Chart) is None
    for key in "31.4":
        QTest.keyClick(QApplication.focusWidget(), key)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 31.4
    qtbot.waitUntil(window.settled)
    assert "31.4" in days.findChild(Chart).accessibleDescription()


def test_no_source_of_ours_is_read_when_the_window_is_loaded():
    code = (
        "import builtins, linecache\n"
        "plain = builtins.__import__\n"
        "from journal.desk.qt_imports import load_qt\n"
        "load_qt()\n"
        "import journal.desk.app\n"
        "print([name for name in linecache.cache if 'journal' in name])\n"
        "print(builtins.__import__ is plain)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["[]", "True"]


def test_work_beside_the_screen_begins_once_the_window_was_painted(qtbot):
    window, begun = QWidget(), []
    qtbot.addWidget(window)
    work = work_after_paint(window)
    work.start("early", lambda _state: begun.append(window.property("painted")))
    window.paintEvent = lambda _event: window.setProperty("painted", True)
    window.show()
    assert work.busy
    assert begun == []
    qtbot.waitUntil(lambda: not work.busy)
    assert begun == [True]
    unseen = QWidget()
    qtbot.addWidget(unseen)
    other = work_after_paint(unseen)
    other.start("unseen", lambda _state: begun.append(None))
    qtbot.waitUntil(lambda: not other.busy)
    assert begun == [True, None]
    held = work_after_paint(unseen)
    held.start("stopped", lambda _state: begun.append("stopped"))
    held.finish()
    assert not held.busy
    assert begun == [True, None]


def test_rubbish_is_looked_for_again_once_the_window_stands(qtbot, sample: Journal, window_on):
    window = window_on(sample, clock=present.now)
    loaded = Work(window)
    gc.disable()
    try:
        IdleTasks(window, loaded, ["journal.desk.plans.place"])
        qtbot.waitUntil(lambda: gc.isenabled() and "journal.desk.plans.place" in sys.modules)
    finally:
        gc.enable()
        gc.unfreeze()


def test_what_was_left_before_it_loaded_is_loaded_when_it_is_seen_again(qtbot):
    widget, heard = QWidget(), []
    qtbot.addWidget(widget)
    with qtbot.waitExposed(widget):
        widget.show()
    late = LatePart(widget, "json")
    late.loaded.connect(lambda: heard.append(True))
    widget.repaint()
    widget.hide()  # as a window that closes, and whose journal is closed next
    for _ in range(5):
        QApplication.processEvents()
    assert heard == []
    assert late.settled()
    widget.show()
    qtbot.waitUntil(lambda: heard == [True])


def test_what_is_built_belongs_to_the_window(sample, window_on, qtbot):
    """A view that Python alone holds is freed by whichever thread looks for rubbish, with its
    timers, which are the window's thread's."""
    before = set(QApplication.allWidgets())  # what tests before this one left
    window = window_on(sample, clock=present.now)
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
    window.go("plans")
    window.current.open_stock()
    window.go("tastings")
    for part in (BLIND, TESTS, PANEL):
        window.current.show_part(part)
        late = window.current.shown_part().pages.findChildren(RowsView)
        assert all(view.menu().actions() for view in late if view.rows)
    window.go("findings")
    window.current.series.show()
    qtbot.waitUntil(window.settled, timeout=60_000)
    made = set(QApplication.allWidgets()) - before
    views = [one for one in made if isinstance(one, QAbstractItemView)]
    assert {type(topmost(one)) for one in views} <= {Window, QMenu}
    assert len(views) > 10


def topmost(widget: QWidget) -> QWidget:
    while (parent := widget.parentWidget()) is not None:
        widget = parent
    return widget
