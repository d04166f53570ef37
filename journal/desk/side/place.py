"""Compare: one make among others of its plan."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.curves.align import MOMENTS
from journal.desk.buttons import MAIN, Button
from journal.desk.commands import Command
from journal.desk.empty import EmptyPage
from journal.desk.place import Desk, Place
from journal.desk.side.page import Head, SidePage
from journal.desk.side.picture import SidePicture
from journal.desk.timeline import Timeline, life_of
from journal.keeping import Change, KeepingError
from journal.keeping.makes import MakeRow
from journal.reports.comparison import MOST, Compared, ComparisonRequest, compare, moments_of
from journal.wording import text_of
from journal.wording.dates import short_day

_SHAPE = {"make", "stage_run", "plan", "wheel", "score", "care", "calibration"}


class SidePlace(Place):
    """Shows the open make. The other makes is chosen anew for each make; the moment stays."""

    key = "side"
    title = "Compare"
    left_share = 0.58
    left_least = 460

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._make_id: int | None = None
        self._others: list[MakeRow] = []
        self._chosen: set[int] = set()
        self._there: list[str] = []
        self._moment = "start"
        self.picture = SidePicture()
        self.picture.moment_asked.connect(self.align_at)
        self.page = SidePage()
        self.page.toggled.connect(self._on_toggled)
        self.page.picked.connect(self._on_picked)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.page)
        self.pages.addWidget(self._empty())
        self.life = Timeline()
        self.life.instant.connect(self._on_instant)
        self.arrange(self.pages, self.picture, self.life)

    # Build

    def _empty(self) -> EmptyPage:
        begin = Button("Choose a plan", MAIN, "Ctrl 2")
        begin.clicked.connect(self._on_begin)
        return EmptyPage(
            "No make is open.",
            "The open make will appear here with other makes of its plan: their usual range, "
            "how far it is from any one of them, and what was different this time. Start a "
            "make from a plan, or import past makes, then open one in Makes.",
            (begin,),
        )

    def commands(self) -> tuple[Command, ...]:
        runs = (self.align_1, self.align_2, self.align_3, self.align_4, self.align_5)
        moments = tuple(
            Command(f"align_{number}", f"Align at {name}", run, (str(number),), self.has_make)
            for number, (name, run) in enumerate(zip(MOMENTS, runs, strict=True), start=1)
        )
        return (
            Command("swap", "Show the selected make instead", self.swap,
                    ("Ctrl+Return", "Ctrl+Enter"), self.has_other),
            Command("all", "Compare with all other makes, or none", self.take_all, ("Ctrl+L",),
                    self.has_make),
            *moments,
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        self._load()
        self.page.comparison_set.setFocus()

    def heard(self, change: Change) -> None:
        mine = {self._make_id, *(row.id for row in self._others)}
        read = "reading" in change.kinds and (not change.makes or bool(change.makes & mine))
        if read or change.kinds & _SHAPE:
            self._load()

    def _load(self) -> None:
        rows = self.journal.makes.rows()
        mine = next((row for row in rows if row.id == self.desk.make_id), None)
        self.pages.setCurrentIndex(0 if mine is not None else 1)
        if mine is None:
            self._clear()
            return
        try:
            whole = self.journal.whole(mine.id)
        except KeepingError as error:
            self._clear()
            self.say("make", text_of(error))
            return
        self.clear("make")
        fresh = mine.id != self._make_id
        self._make_id = mine.id
        self._others = [r for r in rows if r.plan == mine.plan and r.readings and r.id != mine.id]
        there = {row.id for row in self._others}
        self._chosen = self._usual_company() if fresh else self._chosen & there
        self._there = moments_of(whole)
        if self._moment not in self._there:
            self._moment = "start"
        day = short_day(mine.started_ms, mine.zone)
        self.page.show_head(Head(mine.code, mine.plan, day, mine.milk_l))
        self.page.show_company(self._others, self._chosen)
        self.life.show_life(life_of(whole, self.desk.clock()))
        if fresh:
            self.page.show_compared(None)
        self._ask()

    def _clear(self) -> None:
        self._make_id, self._others, self._there = None, [], []
        self._chosen = set()
        self.desk.work.stop("side")
        self.picture.show_moment("start", [])
        self.picture.show_compared(None)
        self.life.show_life(None)

    def _usual_company(self) -> set[int]:
        """The newest makes of the plan that did not fail."""
        return {row.id for row in [r for r in self._others if not r.failed][:MOST]}

    def _ask(self) -> None:
        if self._make_id is None:
            return
        self.picture.show_moment(self._moment, self._there)
        other = self.page.comparison_set.current()
        comparison_set = tuple(row.id for row in self._others if row.id in self._chosen)
        asked = ComparisonRequest(
            self._make_id, comparison_set, self._moment, None if other is None else other.id
        )
        task = self.desk.work.start_file("side", str(self.journal.path), compare, asked)
        task.finished.connect(self._on_compared)
        task.failed.connect(self._on_failed)

    # Commands

    def has_make(self) -> bool:
        """A make is open."""
        return self._make_id is not None

    def has_other(self) -> bool:
        """There is another make at hand."""
        return self._make_id is not None and self.page.comparison_set.current() is not None

    def swap(self) -> None:
        """Open the make at hand in place of this one."""
        other = self.page.comparison_set.current()
        if other is not None and self.has_make():
            self.desk.make_id = other.id
            self._load()

    def take_all(self) -> None:
        """Take every make into the other makes, or leave all out when all are in."""
        everyone = {row.id for row in self._others}
        self._choose(set() if self._chosen == everyone else everyone)

    def align_1(self) -> None:
        """Align at the start."""
        self._align(0)

    def align_2(self) -> None:
        """Align at rennet in."""
        self._align(1)

    def align_3(self) -> None:
        """Align at the cut."""
        self._align(2)

    def align_4(self) -> None:
        """Align where the cook begins."""
        self._align(3)

    def align_5(self) -> None:
        """Align at the drain."""
        self._align(4)

    def align_at(self, name: str) -> None:
        """Align at a moment this make has come to."""
        if not self.has_make():
            return
        if name in self._there:
            self.clear("side")
            self._moment = name
            self._ask()
            return
        self.picture.show_moment(self._moment, self._there)
        self.say("side", f"This make has not reached “{name}”. Choose another moment.")

    def _align(self, place: int) -> None:
        self.align_at(list(MOMENTS)[place])

    def _choose(self, chosen: set[int]) -> None:
        self._chosen = chosen
        self.page.show_chosen(chosen)
        self._ask()

    # Handlers

    def _on_toggled(self, row: MakeRow) -> None:
        self._choose(self._chosen ^ {row.id})

    def _on_picked(self, _row: MakeRow) -> None:
        self._ask()

    def _on_compared(self, compared: Compared) -> None:
        if compared.asked.make_id == self._make_id:
            self.page.show_compared(compared)
            self.picture.show_compared(compared)

    def _on_failed(self, error: Exception) -> None:
        self.say("side", text_of(error))

    def _on_instant(self, _at_ms: int) -> None:
        if self._make_id is not None:
            self.goes.emit("makes", self._make_id)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)
