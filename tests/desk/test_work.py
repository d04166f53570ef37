"""Work in the background: results, faults, progress, and that a new start stops the old one."""

from __future__ import annotations

from threading import Event

import pytest
import shiboken6
from PySide6.QtCore import QThreadPool

from journal.desk.work import Work


@pytest.fixture
def work(qapp):
    made = Work()
    yield made
    made.finish()


def test_a_result_comes_back(qtbot, work):
    task = work.start("sum", lambda a, b, state: a + b, 2, 3)
    with qtbot.waitSignal(task.finished) as heard:
        pass
    assert heard.args == [5]
    qtbot.waitUntil(lambda: not work.busy)


def test_a_fault_is_handed_over(qtbot, work):
    def wrong(_state):
        raise ValueError("no milk")

    task = work.start("wrong", wrong)
    with qtbot.waitSignal(task.failed) as heard:
        pass
    assert str(heard.args[0]) == "no milk"


def test_progress_is_heard(qtbot, work):
    go_on = Event()

    def slow(state):
        go_on.wait(5)
        state.progress(0.5, "half")

    task = work.start("slow", slow)
    with qtbot.waitSignal(task.progressed) as heard:
        go_on.set()
    assert heard.args == [0.5, "half"]


def test_a_new_start_stops_the_old_one(qtbot, work):
    go_on, answers = Event(), []

    def first(state):
        go_on.wait(5)
        return "first" if not state.stopped() else "stopped"

    old = work.start("same", first)
    old.finished.connect(answers.append)
    new = work.start("same", lambda state: "second")
    new.finished.connect(answers.append)
    go_on.set()
    qtbot.waitUntil(lambda: not work.busy)
    assert answers == ["second"]


def test_a_start_that_followed_another_can_still_be_stopped(qtbot, work):
    """The one before ends while the next one runs, and takes nothing of it along."""
    go_on, answers = Event(), []
    old = work.start("same", lambda state: "first")
    new = work.start("same", lambda state: (go_on.wait(5), "second")[1])
    new.finished.connect(answers.append)
    with qtbot.waitSignal(old.ended):
        pass
    work.stop("same")
    go_on.set()
    qtbot.waitUntil(lambda: not work.busy)
    assert answers == []


def test_the_file_is_read_through_a_journal_of_its_own(qtbot, work, journal):
    def letters(own, state):
        return own.letters, own is not journal

    task = work.start_file("letters", str(journal.path), letters)
    with qtbot.waitSignal(task.finished) as heard:
        pass
    assert heard.args[0] == ("HL", True)


def test_a_function_may_outlive_its_window(work):
    go_on = Event()

    def slow(_state):
        go_on.wait(5)
        return "late"

    pool = next(p for p in work.findChildren(QThreadPool))
    task = work.start("slow", slow)
    shiboken6.delete(task)
    go_on.set()
    assert pool.waitForDone(5_000)  # an exception in the pool's thread would end the program
