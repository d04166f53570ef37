"""A make of mozzarella type and one of paneer through the real window, by keys, from the list of
plans to the finish, and read back by another process."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from journal.keeping import Journal
from journal.records.instants import MINUTE_MS
from journal.records.plans import Plan
from tests.desk.hands import Hands

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER, TAB, DOWN = Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Down
BEGAN_MS = 1_800_000_000_000


class Kitchen:
    """The window on an empty journal, hands at its keys, and a clock that they turn."""

    def __init__(self, qtbot, window_on, path: Path) -> None:
        self.bot, self.now_ms = qtbot, BEGAN_MS
        self.journal = Journal.create(path, letters="HL", zone="UTC")
        self.window = window_on(self.journal, place="plans", clock=lambda: self.now_ms)
        self.settle()
        self.hands = Hands(self.window)

    def settle(self) -> None:
        self.bot.waitUntil(self.window.settled, timeout=20_000)

    def find(self, typed: str, name: str) -> None:
        """Narrow the list by a word typed on it, and go to the plan."""
        page = self.window.current.page
        self.bot.waitUntil(page.list.hasFocus)
        self.hands.type(typed)
        assert page.filter.line.text() == typed
        shown = [one.name for one in page.list.rows_model.rows]
        assert name in shown
        assert len(shown) < 6
        for _ in range(shown.index(page.list.current().name), shown.index(name)):
            self.hands.press(DOWN)
        assert page.list.current().name == name
        self.settle()

    def begin(self, milk: str) -> Plan:
        """Say the milk, and start the make."""
        self.hands.press(ENTER).press(Qt.Key.Key_A, CTRL).type(milk)
        self.hands.press(ENTER, CTRL)
        self.bot.waitUntil(lambda: self.window.current.key == "vat")
        self.settle()
        return self.journal.makes.plan_of(self.journal.makes.by_code("latest"))

    def to_stage(self, plan: Plan, label: str) -> None:
        """End the stages before that one, each at its time."""
        page = self.window.current.page
        at = next(i for i, stage in enumerate(plan.stages) if stage.label == label)
        while page.stage.text().lower() != label:
            here = [s.label for s in plan.stages].index(page.stage.text().lower())
            assert here < at
            self.now_ms = BEGAN_MS + round(plan.starts()[here + 1] * MINUTE_MS)
            self.hands.press(ENTER, CTRL)
            self.settle()

    def reads(self, celsius: str, ph: str = "") -> None:
        """Type a temperature and a pH."""
        self.hands.type(celsius).press(ENTER)
        if ph:
            self.hands.press(TAB).type(ph).press(ENTER)
        self.settle()

    def finish(self, plan: Plan, weights: str) -> None:
        """End the last stage, and say what the wheels weigh."""
        self.to_stage(plan, plan.stages[-1].label)
        self.now_ms = BEGAN_MS + round(plan.minutes * MINUTE_MS)
        self.hands.press(ENTER, CTRL).type(weights).press(ENTER)
        self.settle()


@pytest.fixture
def kitchen(qtbot, window_on, tmp_path: Path) -> Kitchen:
    return Kitchen(qtbot, window_on, tmp_path / "kitchen.vatside")


def test_a_make_of_mozzarella_type(kitchen: Kitchen) -> None:
    kitchen.find("stretched", "mozzarella type")
    plan = kitchen.begin("10 l")
    kitchen.reads("5,5", "6,62")
    kitchen.to_stage(plan, "ripen the mat")
    page = kitchen.window.current.page
    for minutes, ph in ((30, "5,9"), (120, "5,45"), (200, "5,2")):
        begun = plan.starts()[[s.label for s in plan.stages].index("ripen the mat")]
        kitchen.now_ms = BEGAN_MS + round((begun + minutes) * MINUTE_MS)
        kitchen.reads("40", ph)
    kitchen.hands.press(ENTER, CTRL)
    kitchen.settle()
    assert page.stage.text() == "Stretch"
    kitchen.reads("82")
    kitchen.finish(plan, "240 g, 235 g, 238 g, 242 g, 230 g")
    make = kitchen.journal.makes.by_code("latest")
    assert make.finished_ms == kitchen.now_ms
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        whole = other.whole(make.id)
        assert len(whole.wheels) == 5
        assert [run.kind for run in whole.runs] == [s.kind for s in plan.stages]
        assert "stretch" in [run.kind for run in whole.runs]
        ph = [v for kind in ("milk-ph", "curd-ph") for v in whole.trace(kind).value.tolist()]
        assert ph == [6.62, 5.9, 5.45, 5.2]
        assert whole.verdict is None


def test_a_make_of_paneer(kitchen: Kitchen) -> None:
    kitchen.find("heat acid", "paneer")
    plan = kitchen.begin("5 l")
    assert plan.culture_type == "none"
    assert plan.stages[0].ramp_min == 32  # half the milk: 40 min by the cube root of a half
    kitchen.reads("6")
    kitchen.now_ms += 30 * MINUTE_MS
    kitchen.reads("88,5")
    kitchen.to_stage(plan, "drain")
    page = kitchen.window.current.page
    kitchen.reads("70", "5,35")
    labels = [one for one in page.findChildren(type(page.stage)) if one.isVisible()]
    words = " ".join(label.text() for label in labels)
    assert "do not eat" not in words.lower()
    assert "culture has failed" not in words.lower()
    kitchen.finish(plan, "720 g")
    make = kitchen.journal.makes.by_code("latest")
    assert make.finished_ms == kitchen.now_ms
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        whole = other.whole(make.id)
        assert [run.kind for run in whole.runs][:3] == ["pasteurise", "cool", "stir"]
        assert whole.verdict is None
        amounts = {a.name: a.amount for a in whole.additions}
        assert amounts["citric acid, in hot water"] == pytest.approx(11.0)
