"""Loading after the first paint, so that one can type at once.

All of it is loaded by the thread of the window. A thread beside it may not load what has to do with
Qt: with a Python older than 3.12 the binding keeps its types in a table that the window's thread
reads without a lock while it waits for events, and a type that is added meanwhile can crash it.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from importlib import import_module
from typing import Generic, TypeVar

from PySide6.QtCore import QEvent, QObject, QTimer, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.timers import timer
from journal.desk.work import Work

STANDS_MS, AT_REST_MS = 1_000, 2_000
TYPED_MS, BETWEEN_MS = 150, 50
Made = TypeVar("Made")
_ARENA_MAX = -8  # M_ARENA_MAX of mallopt(3)


def work_after_paint(window: QWidget) -> Work:
    """The work beside a window, which begins once that was painted for the first time: threads take
    turns, and who waits to type would wait for all of them."""
    work = Work(window)
    _AfterPaint(window, work)
    return work


class _AfterPaint(QObject):
    """Holds work back; not for a window that is not shown, nor long for one that nobody paints."""

    def __init__(self, window: QWidget, work: Work) -> None:
        super().__init__(window)
        self._window, self._work = window, work
        work.hold()
        window.installEventFilter(self)
        QTimer.singleShot(0, self, self._look)
        QTimer.singleShot(STANDS_MS, self, self._release)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self._window.removeEventFilter(self)
            QTimer.singleShot(0, self, self._release)
        return False

    def _look(self) -> None:
        if not self._window.isVisible():
            self._release()

    def _release(self) -> None:
        share_memory()
        self._work.release()


class LatePart(QObject):
    """Waits until a widget was painted for the first time, and what was typed until then stands
    there, then loads a module; `loaded` says that what is made of it can be built."""

    loaded = Signal()

    def __init__(self, widget: QWidget, module: str) -> None:
        super().__init__(widget)
        self._widget, self._module = widget, module
        self._is_loaded = False
        widget.installEventFilter(self)

    def settled(self) -> bool:
        """True when it is there, or nobody sees that it is not."""
        return self._is_loaded or not self._widget.isVisible()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self._widget.removeEventFilter(self)
            QTimer.singleShot(0 if self._module in sys.modules else TYPED_MS, self, self._load)
        return False

    def _load(self) -> None:
        if not self._widget.isVisible():  # left or closed meanwhile: when it is seen again
            self._widget.installEventFilter(self)
            return
        with suppress(ImportError):  # whoever builds it says what is wrong
            import_module(self._module)
        self._is_loaded = True
        self.loaded.emit()


class OnDemand(Generic[Made]):
    """A part that is built when it is first to be seen; `part` is None until then."""

    def __init__(self, build: Callable[[], Made]) -> None:
        self._build = build
        self.part: Made | None = None

    def made(self) -> Made:
        """The part, built now where it was not."""
        if self.part is None:
            self.part = self._build()
        return self.part


class IdleTasks(QObject):
    """What is done once the window stands. Rubbish is looked for, but not in what was loaded until
    then; what has not been visited is loaded, a place at a time, so that a visit need not; and soon
    after work has ended, memory that nobody uses goes back to the system."""

    def __init__(self, parent: QWidget, work: Work, modules: Sequence[str]) -> None:
        super().__init__(parent)
        self._modules = list(modules)
        self._loads = timer(self, BETWEEN_MS)
        self._loads.timeout.connect(self._load_one)
        QTimer.singleShot(STANDS_MS, self, self._begin)
        self._rest = timer(self, AT_REST_MS, once=True)
        self._rest.timeout.connect(give_back)
        work.ended.connect(self._rest.start)

    def _begin(self) -> None:
        gc.freeze()
        gc.enable()
        self._loads.start()

    def _load_one(self) -> None:
        if not self._modules:
            self._loads.stop()
            return
        with suppress(ImportError):  # whoever visits it says what is wrong
            import_module(self._modules.pop(0))


def share_memory() -> None:
    """Let threads take memory from one store, where the system's allocator is glibc's: each would
    have one of its own, and what a thread has used would stay there when it is over."""
    mallopt = getattr(_allocator(), "mallopt", None)
    if mallopt is not None:
        mallopt(_ARENA_MAX, 1)


def give_back() -> None:
    """Give memory that nobody uses back, where the system's allocator has a word for it."""
    trim = getattr(_allocator(), "malloc_trim", None)
    if trim is not None:
        trim(0)


def _allocator() -> object:
    if not sys.platform.startswith("linux"):
        return None
    import ctypes

    return ctypes.CDLL(None)
