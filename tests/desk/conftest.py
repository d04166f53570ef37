"""The real window on a real file, without a display."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.pop("DBUS_SESSION_BUS_ADDRESS", None)  # no alarm of a test on a person's desktop

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication, QWidget

from journal.background import State
from journal.desk import spoken
from journal.desk.findings import studying
from journal.desk.theme import Look
from journal.desk.window import FIRST_SIZE, Window
from journal.findings.answer import StudyAnswer
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Milk
from journal.records.plans import AcidTarget, Dose, Plan, Stage
from journal.reports.study import look_at
from journal.wording import Style, use_style
from tests import present
from tests.desk.hands import Hands


@pytest.fixture(autouse=True)
def _look(qapp: QApplication) -> None:
    if not isinstance(qapp.property("vatside-look"), Look):
        qapp.setProperty("vatside-look", Look(qapp, "light"))


@pytest.fixture(autouse=True)
def _nothing_left_shown(qapp: QApplication) -> Iterator[None]:
    """The pointer is given to whatever window lies there: what a test left open, a dialog whose
    window was closed or a tip, would take it from the tests after it."""
    before = [one for one in qapp.topLevelWidgets() if one.isVisible()]
    yield
    for one in qapp.topLevelWidgets():
        if one.isVisible() and one not in before:
            one.hide()


_answers: dict[tuple[str, str], StudyAnswer] = {}


def _look_once(journal: Journal, score: str, state: State) -> StudyAnswer:
    """`look_at`, but a journal of the same bytes gives the same answer, calculated once a run: the
    sample's findings are opened in very many tests."""
    key = hashlib.sha256(journal._db.serialize()).hexdigest(), score
    if key not in _answers:
        _answers[key] = look_at(journal, score, state)
    return _answers[key]


@pytest.fixture(autouse=True)
def _quick_findings(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    if request.node.get_closest_marker("own_findings") is None:
        monkeypatch.setattr(studying, "look_at", _look_once)


@pytest.fixture
def saved(tmp_path: Path) -> Iterator[QSettings]:
    """Settings of this test alone; the units chosen in them go with it."""
    yield QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    use_style(Style())


def _close_windows() -> None:
    """As a person would, before what they show is closed: what ticks in one still reads it."""
    for widget in QApplication.topLevelWidgets():
        if isinstance(widget, Window):
            widget.close()


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a real file."""
    made = Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone="Europe/London")
    yield made
    _close_windows()
    made.close()


@pytest.fixture
def sample(sample_file: Path, tmp_path: Path) -> Iterator[Journal]:
    """The sample journal, a copy of its own."""
    path = tmp_path / "sample.vatside"
    shutil.copy(sample_file, path)
    made = Journal.open(path)
    yield made
    _close_windows()
    made.close()


@pytest.fixture
def window_on(qtbot, saved: QSettings) -> Callable[..., Window]:
    """Opens a window on a journal, shown and exposed, at the tests' present if nothing else is
    said, and as large as it is at first on a screen with room for it, unless it is `as_left`. It
    makes no backup in the midst of a test, unless `daily_backup` says so."""

    def opened(
        journal: Journal | None, *, clock=present.now, as_left: bool = False, **choices
    ) -> Window:
        choices = {"daily_backup": False, **choices}
        window = Window(journal, clock=clock, settings=saved, **choices)
        qtbot.addWidget(window)
        if not as_left:
            window.resize(FIRST_SIZE)
        window.show()
        qtbot.waitExposed(window)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        return window

    return opened


START = "2026-03-14T09:00"


def cheddar_like() -> Plan:
    """A small plan with what the vat has to show: a ramp, acid targets, doses, a press."""
    return Plan(
        "dry-salted hard",
        (
            Stage("warm", 30, target_c=31.0),
            Stage("ripen", 30, target_c=31.0, doses=(Dose("culture", "culture", 0.0175, "g"),)),
            Stage("set", 40, target_c=31.0, acid_target=AcidTarget("curd-ph", 6.58, 6.70, 0, 16)),
            Stage("cut", 12, target_c=31.0, size_mm=10.0),
            Stage("cook", 40, target_c=38.5, limit_c_per_min=0.22),
            Stage("drain", 14, target_c=38.5, acid_target=AcidTarget("curd-ph", 6.38, 6.46)),
            Stage("press", 14 * 60, pressure_kpa=5.0),
        ),
        milk_l=12,
        taste_at_days=(60, 120),
    )


class Kitchen:
    """A make in the vat with a clock the test moves by hand."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.start_ms = from_iso(START, journal.zone)
        self.now_ms = self.start_ms
        self.make = journal.makes.begin(cheddar_like(), Milk(12.0), self.start_ms)

    def clock(self) -> int:
        """The present instant, as far as the window knows."""
        return self.now_ms

    def after(self, minutes: float) -> int:
        """Move the clock to so many minutes from the make's start."""
        self.now_ms = self.start_ms + round(minutes * 60_000)
        return self.now_ms

    def to_stage(self, position: int) -> None:
        """End stages at their planned times until the one at `position` runs."""
        starts = cheddar_like().starts()
        for i in range(position):
            self.journal.makes.end_stage(self.make.id, self.after(starts[i + 1]))


@pytest.fixture
def kitchen(journal: Journal) -> Kitchen:
    """A make just begun."""
    return Kitchen(journal)


@pytest.fixture
def cook_min() -> float:
    """How many minutes after the start the vat is opened, in the cook."""
    return 120.0


@pytest.fixture
def vat(qtbot, kitchen: Kitchen, window_on, cook_min: float):
    """The place of the vat with a make in its cook."""
    kitchen.to_stage(4)
    kitchen.after(cook_min)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled, timeout=60_000)
    return window.current


@pytest.fixture
def hands(vat) -> Hands:
    return Hands(vat.window())


@pytest.fixture
def heard(monkeypatch) -> list[tuple[str, bool]]:
    """What is sent to the screen reader, and whether at once. It is sent as well."""
    output: list[tuple[str, bool]] = []
    really = spoken.send

    def send(widget: QWidget, sentence: str, urgent: bool) -> None:
        output.append((sentence, urgent))
        really(widget, sentence, urgent)

    monkeypatch.setattr(spoken, "send", send)
    return output
