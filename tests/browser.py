"""A real browser engine, in a process of its own: loads a page, does what it is told by real keys
and clicks, and says what became of it.

`python -m tests.browser FOLDER` reads a JSON list of steps and writes a JSON list of answers, one
a step: {"load": path}, {"keys": text}, {"key": "Return"}, {"click": selector}, {"script":
expression}; the last answer of all is {"requests": [...], "console": [...]}. The folder is what
the browser remembers. Its engine is the one that comes with PySide6; without it, or without the
libraries it asks of the system, this ends with an ImportError.
"""

from __future__ import annotations

import json
import os
import sys
import time
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["QTWEBENGINE_CHROMIUM_FLAGS"] = "--no-sandbox --disable-gpu"

from PySide6.QtCore import QCoreApplication, QEvent, QEventLoop, QPoint, Qt, QTimer, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWebEngineCore import (
    QWebEnginePage,
    QWebEngineProfile,
    QWebEngineUrlRequestInfo,
    QWebEngineUrlRequestInterceptor,
)
from PySide6.QtWebEngineWidgets import QWebEngineView
from PySide6.QtWidgets import QApplication

WIDTH, HEIGHT = 360, 740  # a small phone
_MOST_S = 20
# What came into the page of keys and clicks: the engine hands them on in its own time.
_LISTEN = """(() => {
    window.cameIn = 0;
    for (const kind of ["keyup", "click"]) {
        window.addEventListener(kind, () => { window.cameIn += 1; }, true);
    }
    return true;
})()"""
_SPOT = """(() => {
    const e = document.querySelector(%s);
    e.scrollIntoView({block: "center", behavior: "instant"});
    const b = e.getBoundingClientRect();
    return [b.x + b.width / 2, b.y + b.height / 2];
})()"""


class Listener(QWebEngineUrlRequestInterceptor):
    """Notes every address that is asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def interceptRequest(self, info: QWebEngineUrlRequestInfo) -> None:
        self.seen.append(info.requestUrl().toString())


class Page(QWebEnginePage):
    """Notes what the engine complains of."""

    def __init__(self, profile: QWebEngineProfile, parent: QWebEngineView) -> None:
        super().__init__(profile, parent)
        self.output: list[str] = []

    def javaScriptConsoleMessage(self, _level: Any, text: str, *_: Any) -> None:
        self.output.append(text)


class Browser:
    """One window of the engine."""

    def __init__(self, folder: str) -> None:
        self.listener = Listener()
        self.profile = QWebEngineProfile("phone")
        self.profile.setPersistentStoragePath(folder)
        self.profile.setUrlRequestInterceptor(self.listener)
        self.view = QWebEngineView()
        self.page = Page(self.profile, self.view)
        self.view.setPage(self.page)
        self.view.resize(WIDTH, HEIGHT)
        self.view.show()
        self._sent = 0  # keys and clicks to the page that is shown

    def step(self, step: dict[str, str]) -> Any:
        """Do one step; its answer."""
        (kind, what), *_ = step.items()
        target = self.view.focusProxy()
        if kind == "load":
            return self._load(what)
        if kind == "keys":
            QTest.keyClicks(target, what)
            self._sent += len(what)
        elif kind == "key":
            QTest.keyClick(target, getattr(Qt.Key, f"Key_{what}"))
            self._sent += 1
        elif kind == "click":
            x, y = self.script(_SPOT % json.dumps(what))
            spot = QPoint(round(x), round(y))
            QTest.mouseClick(target, Qt.MouseButton.LeftButton, pos=spot)
            self._sent += 1
        until = time.monotonic() + _MOST_S
        while self.script("window.cameIn") < self._sent:
            if time.monotonic() > until:
                raise TimeoutError(step)
        return self.script(what if kind == "script" else "document.activeElement.id")

    def script(self, expression: str) -> Any:
        """The value of an expression in the page."""
        text = f"JSON.stringify({expression})"
        found = self._wait(lambda done: self.page.runJavaScript(text, done))
        return json.loads(found) if found else None

    def _load(self, path: str) -> Any:
        def begin(done: Any) -> None:
            self.page.loadFinished.connect(done)
            self.page.load(QUrl.fromLocalFile(path))

        found = self._wait(begin)
        self.page.loadFinished.disconnect()
        self._sent = 0
        self.script(_LISTEN)
        return found

    def _wait(self, begin: Any) -> Any:
        loop, found = QEventLoop(), []

        def done(value: Any) -> None:
            found.append(value)
            loop.quit()

        QTimer.singleShot(1000 * _MOST_S, loop.quit)
        begin(done)
        if not found:
            loop.exec()
        return found[0] if found else None


def main(folder: str) -> None:
    """Do the steps of standard input."""
    application = QApplication(["browser"])
    browser = Browser(folder)
    answers = [browser.step(step) for step in json.load(sys.stdin)]
    answers.append({"requests": browser.listener.seen, "console": browser.page.output})
    json.dump(answers, sys.stdout)
    sys.stdout.flush()
    browser.view.close()
    for each in (browser.page, browser.profile):  # what it remembers is written down as it goes
        each.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        application.processEvents()


if __name__ == "__main__":
    main(sys.argv[1])
