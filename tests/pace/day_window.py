"""The window that the day is lived in: a process of its own, whose clocks the story moves.

Run by `replay`; it reads the story's acts from FIRST on, presses real keys, and says after each act
what its page shows, one JSON object a line. An act "kill" leaves a value half typed and waits for
its end.
"""

from __future__ import annotations

import gc
import json
import os
import sys
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from PySide6.QtCore import QEventLoop, QSettings, Qt, QTimer, qInstallMessageHandler
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.theme import Look
from journal.desk.vat.before import BeforeStart
from journal.desk.window import Window
from journal.keeping import Journal
from journal.records.clocks import Clocks
from journal.records.instants import from_iso
from tests.pace.day_story import START, ZONE, Act, the_day

STEP_S = 240.0  # how far the clock goes between two looks when nobody waits
BOOT_S = 5_000.0  # the machine ran so long before the day

# What turns the page over by what the milk does and not by the clock: the story says nothing of it.
OF_THE_MILK = ("Read the milk", "Turn the heat down")


class Machine:
    """The clocks of a machine the story moves; the day's own second is `true_s`."""

    def __init__(self, true_s: float, set_s: float, slept_s: float) -> None:
        self.zero_ms = from_iso(START, ZONE)
        self.true_s, self.set_s, self.slept_s = true_s, set_s, slept_s

    def clocks(self) -> Clocks:
        """All three."""
        return Clocks(self.wall, self.awake, self.steady, "a kitchen's machine")

    def wall(self) -> int:
        """What the machine takes for UTC."""
        return self.zero_ms + round((self.true_s + self.set_s) * 1000)

    def awake(self) -> int:
        """Stands still in sleep."""
        return round((BOOT_S + self.true_s - self.slept_s) * 1000)

    def steady(self) -> int:
        """Goes on in sleep."""
        return round((BOOT_S + self.true_s) * 1000)


class Player:
    """Plays acts in a window. `speed` 0: as fast as it goes, looking each `STEP_S`; else so many
    times as fast as life, with the window's own ticks. `began` is when the day began by this
    machine's own monotonic clock: what an act or a start takes is made up for afterwards."""

    def __init__(self, path: str, machine: Machine, speed: float, began: float) -> None:
        self.machine, self.speed, self.began = machine, speed, began
        self.first_s = the_day().acts[0].at_s
        self.app = QApplication([])
        self.app.setQuitOnLastWindowClosed(False)
        Look(self.app, "light")
        self.journal = Journal.open(path)
        kept = QSettings(f"{path}.ini", QSettings.Format.IniFormat)
        self.window = Window(
            self.journal, clocks=machine.clocks(), tick_ms=100 if speed else 86_400_000,
            settings=kept,
        )  # fmt: skip
        self.window.resize(1280, 720)
        self.window.show()
        self._make_active(self.window)

    def play(self, act: Act) -> None:
        """Live until the act, and do it."""
        self._live_until(act.at_s)
        if act.befalls == "sleep":
            self.machine.true_s += act.by_s
            self.machine.slept_s += act.by_s
        elif act.befalls == "set":
            self.machine.set_s += act.by_s
        for keys in act.keys:
            self._press(keys)
        self.window.desk.alarm.tick()
        self._settle()

    def shown(self) -> dict[str, object]:
        """What the place shows."""
        place = self.window.current
        report = {"place": place.key, "makes": len(self.journal.makes.all())}
        if place.key == "plans":
            return {**report, "title": place.page.title.text()}
        return {**report, **self._shown_vat(place)} if place.key == "vat" else report

    def _shown_vat(self, place) -> dict[str, object]:
        page = place.page
        lists = [d for d in self.window.findChildren(BeforeStart) if d.isVisible()]
        return {
            "stage": page.stage.text(),
            "figures": page.clock.text(),
            "what": page.to_go.text().lstrip("▲ "),
            "beside": {row.name: f"{row.figures} {row.what}" for row in page.vat_head.beside.rows},
            "turned": page.vat_head.turned,
            "of_the_milk": page.vat_head.due.text().startswith(OF_THE_MILK),
            "said": place.messages.text("clock"),
            "typed": page.entry.temp.line.text(),
            "ticked": [n for each in lists for n, line in enumerate(each.lines) if line.ticked],
        }

    def _live_until(self, at_s: float) -> None:
        if self.speed:
            while self.machine.true_s < at_s:
                self.app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)
                there = self.first_s + (time.monotonic() - self.began) * self.speed
                self.machine.true_s = min(at_s, max(self.machine.true_s, there))
                time.sleep(0.002)
            return
        while self.machine.true_s < at_s:
            self.machine.true_s = min(at_s, self.machine.true_s + STEP_S)
            self.window.desk.alarm.tick()
            self.app.processEvents()

    def _press(self, keys: str) -> None:
        modal = QApplication.activeModalWidget()
        if modal is not None:
            self._make_active(modal)
        named = QKeySequence(keys) if len(keys) > 1 and not keys[0].isdigit() else None
        if named is not None and keys[0].isupper():
            combined = named[0]
            QTest.keyClick(self._target(), combined.key(), combined.keyboardModifiers())
        else:
            for letter in keys:
                key = Qt.Key.Key_Space if letter == " " else letter
                QTest.keyClick(self._target(), key)
        self.app.processEvents()
        if modal is not None and QApplication.activeModalWidget() is not modal:
            self._make_active(QApplication.activeModalWidget() or self.window)

    def _target(self):
        return QApplication.focusWidget() or QApplication.activeModalWidget() or self.window

    def _make_active(self, widget) -> None:
        widget.activateWindow()
        until = time.monotonic() + 5
        while not widget.isActiveWindow() and time.monotonic() < until:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 20)

    def _settle(self) -> None:
        until = time.monotonic() + 10
        wakes = QTimer(interval=5)  # with a longest time of its own Qt would not wait at all
        wakes.start()
        while not self.window.settled() and time.monotonic() < until:
            self.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        wakes.stop()


def _hear(_kind: object, _where: object, message: str) -> None:
    """What Qt says, but for what the platform without a display says of every dialog."""
    if not message.startswith("This plugin does not support "):
        print(message, file=sys.stderr)


def main(path: str, first: int, speed: float, began: float) -> None:
    """Play the story from act `first` on, until its end or until it is killed."""
    qInstallMessageHandler(_hear)
    acts = the_day().acts
    set_s = sum(act.by_s for act in acts[: first + 1] if act.befalls in ("set", "restart"))
    slept = sum(act.by_s for act in acts[:first] if act.befalls == "sleep")
    begin_s = acts[first].at_s
    player = Player(path, Machine(begin_s, set_s, slept), speed, began)
    gc.freeze()  # as the window does once it stands (`Standing` in `desk/late.py`)
    for number, act in enumerate(acts[first:], start=first):
        if act.befalls == "kill":
            player._live_until(act.at_s)
            player._press("33")
            print(json.dumps({"act": number, "typed": player.shown()["typed"]}), flush=True)
            while True:
                player.app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 100)
        player.play(act)
        print(json.dumps({"act": number, **player.shown()}), flush=True)
    player.window.close()
    player.journal.close()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), float(sys.argv[3]), float(sys.argv[4]))
