"""Work in the background that is held in its midst, and the wait for what comes of it."""

from __future__ import annotations

from threading import Event


class Held:
    """Work that waits in its midst until it may go on."""

    def __init__(self, monkeypatch, module, name: str) -> None:
        self.here, self._go_on = Event(), Event()
        act = getattr(module, name)

        def waits(*given, **named):
            self.here.set()
            assert self._go_on.wait(60)
            return act(*given, **named)

        monkeypatch.setattr(module, name, waits)

    def go_on(self) -> None:
        self._go_on.set()


def until(qtbot, is_so) -> None:
    """Wait for it as long as a busy machine takes."""
    qtbot.waitUntil(is_so, timeout=60_000)
