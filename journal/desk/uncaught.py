"""Uncaught exceptions: each becomes a sentence in the window and a line of the log; the program
goes on."""

from __future__ import annotations

import sys
import threading
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal

from journal.wording import text_of, worded

STAYS = "What you typed is still there; what was saved is safe."
_LOG_MOST = 200_000  # bytes; a longer log begins anew
_AGAIN_S = 60.0  # the same fault is said and written once in so long


class UncaughtErrors(QObject):
    """Hears of every exception that came out of a slot, an event or a thread while installed.

    `say` shows a sentence to the person; it is called in the thread of the window. The traceback
    goes to stderr and to the log at `log`. Ctrl+C and the like end the program as ever.
    """

    caught = Signal(str)

    def __init__(
        self, say: Callable[[str], None], log: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.log = log
        self._say = say
        self._before = (sys.excepthook, threading.excepthook)
        self._last: tuple[str, float] = ("", 0.0)
        self.caught.connect(self._on_caught, Qt.ConnectionType.AutoConnection)

    def install(self) -> None:
        """Hear from now on."""
        self._before = (sys.excepthook, threading.excepthook)
        sys.excepthook = self.catch
        threading.excepthook = self._hear_thread

    def uninstall(self) -> None:
        """Restore the hooks of before."""
        sys.excepthook, threading.excepthook = self._before

    def catch(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Take an exception that nobody caught."""
        if not isinstance(error, Exception):
            self._before[0](kind, error, trace)
            return
        text = "".join(traceback.format_exception(kind, error, trace))
        now = time.monotonic()
        if text == self._last[0] and now - self._last[1] < _AGAIN_S:
            return
        self._last = (text, now)
        self._write(text)
        self.caught.emit(fault_text(error, self.log))

    def _hear_thread(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            self.catch(args.exc_type, args.exc_value, args.exc_traceback)

    def _write(self, text: str) -> None:
        with suppress(OSError, AttributeError):  # a windowed start may have no stderr
            sys.stderr.write(text)
        if self.log is None:
            return
        try:
            self.log.parent.mkdir(parents=True, exist_ok=True)
            long = self.log.exists() and self.log.stat().st_size > _LOG_MOST
            with self.log.open("w" if long else "a", encoding="utf-8") as file:
                file.write(f"{datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC\n{text}\n")
        except OSError:
            return  # a full disk may be the very fault; stderr has it

    def _on_caught(self, sentence: str) -> None:
        try:
            self._say(sentence)
        except Exception:  # noqa: BLE001 - the window itself is at fault; the log has it all
            self._write(traceback.format_exc())


def fault_text(error: Exception, log: Path | None = None) -> str:
    """What to say: our own errors have their sentence, any other is named."""
    if type(error).__module__.partition(".")[0] == "journal":
        return f"{text_of(error)} {STAYS}"
    what = f"{type(error).__name__}: {text_of(error)}".rstrip(": ").splitlines()[0]
    which = "desk.fault" if log is None else "desk.fault-in-log"
    return worded(which, what=what, stays=STAYS, log=log)
