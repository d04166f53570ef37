"""Work away from the screen: pure functions with a state, their results back in the UI thread."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from journal.background import State

LONG_WAIT_MS = 5_000


class Task(QObject):
    """A function under way. `finished` carries its result, `failed` its exception; neither comes
    after `stop`, and one of them after `break_off`."""

    progressed = Signal(float, str)
    finished = Signal(object)
    failed = Signal(object)
    ended = Signal(object)  # itself, however it ended
    returned = Signal(object, object)

    def __init__(self, name: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.name = name
        self.words = ""  # of what a person waits for, and is asked about before it is stopped
        self.has_failed = False
        self.state = State(self.progressed.emit)
        self.returned.connect(self._onreturned)

    def stop(self) -> None:
        """Stop it; its result is dropped."""
        self.state.wanted = False
        self.state.stop()

    def break_off(self) -> None:
        """Ask it to end before it is done; what became of it is heard: it may have been done."""
        self.state.stop()

    def _onreturned(self, result: object, error: object) -> None:
        if self.state.wanted:
            self.has_failed = error is not None
            if self.has_failed:
                self.failed.emit(error)
            else:
                self.finished.emit(result)
            self.state.wanted = True  # though what it led to stopped all that is under way
        self.ended.emit(self)
        self.deleteLater()


class _TaskRun(QRunnable):
    def __init__(self, task: Task, function: Callable[..., Any], args: tuple[Any, ...]) -> None:
        super().__init__()
        self._say = task.returned
        self._state = task.state
        self._function = function
        self._args = args

    def run(self) -> None:
        result, error = None, None
        try:
            if self._state.wanted:
                result = self._function(*self._args, self._state)
        except Exception as problem:  # noqa: BLE001 - handed to the screen, which names it
            error = problem
        with suppress(RuntimeError):  # the window has gone, and the task with it
            self._say.emit(result, error)


class Work(QObject):
    """Starts tasks by name; a new start under a name stops the old one.

    `start` runs `function(*args, state)` beside others; `start_file` runs
    `function(journal, *args, state)` one after the other, each with a read-only Journal of its
    own on the file at `path`. While it is held, nothing begins: what was started waits. What may
    take minutes is `long`: no view waits for it.
    """

    failed = Signal()  # a task did that a person waits for
    ended = Signal()  # a task has, however it did

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._tasks: dict[str, Task] = {}
        self._running: set[Task] = set()
        self._held: list[tuple[QThreadPool, _TaskRun]] | None = None
        self._free = QThreadPool(self)
        self._free.setMaxThreadCount(2)
        self._serial = QThreadPool(self)
        self._serial.setMaxThreadCount(1)
        self._long = QThreadPool(self)
        self._long.setMaxThreadCount(2)

    def start(
        self, name: str, function: Callable[..., Any], *args: Any, long: bool = False
    ) -> Task:
        """Run a pure function; its last argument is the State."""
        return self._go(self._long if long else self._free, name, function, args)

    def start_file(
        self, name: str, path: str, function: Callable[..., Any], *args: Any, long: bool = False
    ) -> Task:
        """Run a function that reads the journal file; it is handed the Journal first."""
        pool = self._long if long else self._serial
        return self._go(pool, name, _with_journal, (path, function, args))

    def hold(self) -> None:
        """Let nothing begin until `release`: it would take the time of who draws."""
        self._held = []

    def release(self) -> None:
        """Begin what was started meanwhile."""
        waiting, self._held = self._held or [], None
        for pool, run in waiting:
            pool.start(run)

    def stop(self, name: str) -> None:
        """Stop the task of that name, when there is one."""
        task = self._tasks.pop(name, None)
        if task is not None:
            task.stop()

    def waited_for(self) -> list[Task]:
        """What is under way and a person waits for."""
        return [one for one in self._running if one.words and not one.state.stopped()]

    @property
    def busy(self) -> bool:
        """True while anything is under way."""
        return bool(self._running)

    def finish(self) -> None:
        """Stop everything and wait until it has ended."""
        for name in list(self._tasks):
            self.stop(name)
        for _, run in self._held or ():
            run.run()  # it was stopped, and ends at once
        self._held = None if self._held is None else []
        for pool in (self._free, self._serial, self._long):
            pool.clear()
            pool.waitForDone(LONG_WAIT_MS)

    def _go(
        self, pool: QThreadPool, name: str, function: Callable[..., Any], args: tuple[Any, ...]
    ) -> Task:
        self.stop(name)
        task = Task(name, self)
        task.ended.connect(self._on_ended)
        self._tasks[name] = task
        self._running.add(task)
        run = _TaskRun(task, function, args)
        if self._held is None:
            pool.start(run)
        else:
            self._held.append((pool, run))
        return task

    def _on_ended(self, task: Task) -> None:
        self._running.discard(task)
        if self._tasks.get(task.name) is task:
            del self._tasks[task.name]
        if task.has_failed and task.words:
            self.failed.emit()
        self.ended.emit()


def _with_journal(
    path: str, function: Callable[..., Any], args: tuple[Any, ...], state: State
) -> Any:
    from journal.keeping import Journal

    with Journal.open(path, read_only=True) as journal:
        return function(journal, *args, state)
