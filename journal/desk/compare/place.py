"""Compare: makes as ribbons under each other, and what was different of the open one."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from journal.curves.course import Course
from journal.curves.registration import AS_IT_WAS, TIMES
from journal.desk.buttons import MAIN, Button
from journal.desk.commands import Command
from journal.desk.compare.chart import CurvesChart
from journal.desk.compare.choosing import ChoiceKeeper
from journal.desk.compare.page import ComparePage
from journal.desk.compare.printing import print_comparison
from journal.desk.compare.ribbons import RibbonsView
from journal.desk.compare.strip import ScoresStrip
from journal.desk.empty import EmptyPage
from journal.desk.labels import Hairline, Label
from journal.desk.menus import Menu
from journal.desk.pages import PageWidths
from journal.desk.place import Desk, Place
from journal.desk.spoken import SpokenProgress
from journal.desk.theme import SMALL, STEP
from journal.keeping import Change, KeepingError
from journal.keeping.makes import MakeRow
from journal.reports.compared_words import CompareHead, head_of
from journal.reports.comparison import Compared, ComparisonRequest, MakeRibbon, compare
from journal.reports.comparison_choice import (
    BY_LIKENESS,
    HAND,
    MOST,
    ORDERS,
    ComparisonChoice,
    chosen,
)
from journal.reports.ribbons import RibbonScene, moments_of, position_text, scene_of, values_text
from journal.wording import text_of, worded
from journal.wording.compare import left_out_text, plan_and_day
from journal.wording.comparison_choice import likeness_text, which_text

_SHAPE = {"make", "stage_run", "plan", "wheel", "score", "care", "calibration", "addition",
          "entered", "tasting", "sample", "note", "sample_note", "milk_use"}  # fmt: skip
_CHOICE = "comparison"
_ON_A_RIBBON = ("open_curves", "line_up_here", "copy_values", "leave_out", "compare_this",
                "show_make", "to_vat")  # fmt: skip
OPEN_MOST = 3
_KEYS = "← → read all at one moment. Enter opens curves. Right click for more."


class ComparePlace(Place):
    """Shows the open make above others; which ones is remembered with the make."""

    key = "compare"
    title = "Compare"
    typing_keys = "Arrows: the pointer and the ribbons. Page keys: from stage to stage."
    fold = PageWidths(0.34, 380, 1000, 440, 460)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._mine: MakeRow | None = None
        self._rows: list[MakeRow] = []
        self._known: dict[int, MakeRibbon] = {}
        self.compared: Compared | None = None
        self.choosing = ChoiceKeeper(self.journal)
        self._spoken = SpokenProgress()
        self.page = ComparePage()
        self.page.chosen.connect(self._on_chosen)
        self.ribbons = RibbonsView(self.journal.photos.file)
        self.ribbons.opened.connect(self.open_curves)
        self.ribbons.removed.connect(self.leave_out)
        self.ribbons.offer(self.commands_on_ribbon)
        self.chart = CurvesChart(self.ribbons.lens)
        self.chart.hide()
        self.ribbons.went.connect(self._on_make)
        self.chart.went.connect(self._on_make)
        self.ribbons.zoomed.connect(self.chart.refresh)
        self.chart.zoomed.connect(self.ribbons.refresh)
        self.ribbons.moved.connect(self._on_moved)
        self.ribbons.laid_out.connect(self._on_laid_out)
        self.message = Label("", SMALL, role="quiet", wrap=True)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.page)
        self.pages.addWidget(self._empty())
        self.scores = ScoresStrip()
        self.scores.went.connect(self._on_went)
        self.scores.asked.connect(self._on_asked)
        self.arrange(self.pages, self._picture(), self.scores)

    # Build

    def _picture(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 2 * STEP, 2 * STEP, STEP)
        column.setSpacing(STEP)
        column.addWidget(self.ribbons, 5)
        self.rule = Hairline()
        self.rule.hide()
        column.addWidget(self.rule)
        column.addWidget(self.chart, 6)
        foot = QVBoxLayout()
        foot.setContentsMargins(4 * STEP, 0, 0, 0)
        foot.addWidget(self.message)
        column.addLayout(foot)
        return page

    def _empty(self) -> EmptyPage:
        begin = Button("Choose a plan", MAIN, "place_2")
        begin.clicked.connect(self._on_begin)
        return EmptyPage(
            "No make is open.",
            "The open make will appear here as a ribbon above other makes, with what was "
            "different this time. Start a make from a plan, or import past makes, then open one "
            "in Makes.",
            (begin,),
        )

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("open_curves", "Open the ribbon to its curves", self.open_current,
                    ("main",), self.has_make),
            Command("close_curves", "Close the curves", self.close_curves, (),
                    self.has_open),
            Command("compare_this", "Compare this make instead", self.compare_this,
                    ("larger_act",), self.has_other),
            Command("add", "Choose makes by hand…", self.choose_by_hand, ("choose",),
                    self.has_make),
            Command("leave_out", "Leave this make out", self.leave_current_out, ("delete",),
                    self.has_other),
            Command("line_up_here", "Line up at the stage under the pointer", self.line_up_here,
                    (), self.has_stage_here),
            Command("line_up", "Line up at the next stage", self.next_moment, (),
                    self.has_make),
            Command("copy_values", "Copy all values at this moment", self.copy_values,
                    (), self.has_pointer),
            Command("show_make", "Show this make in Makes", self.show_in_makes,
                    (), self.has_make),
            Command("to_vat", "Go to its day at the vat", self.go_to_vat, enabled=self.is_running),
            Command("time", "Time: as it was, culture time, stage by stage", self.next_time,
                    ("next",), self.has_make),
            Command("order", "Order: date, score, likeness", self.next_order, (),
                    self.has_make),
            Command("print", "Print the ribbons…", self.print_out, (), self.has_make),
            Command("fold", "Every fact, or the unusual ones", self.page.fold.toggle, ("unfold",),
                    self.has_make),
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        self._load()
        self.ribbons.setFocus()

    def on_change(self, change: Change) -> None:
        if _CHOICE in change.kinds:  # a merge names no makes
            self._follow(self.choosing.choice)
        shown = {row.id for row in self._rows}
        read = "reading" in change.kinds and (not change.makes or bool(change.makes & shown))
        if read or change.kinds & _SHAPE:
            for make_id in change.makes or list(self._known):
                self._known.pop(make_id, None)
            self._load()

    def leaves_to_undo(self) -> frozenset[str]:
        return frozenset()

    def settled(self) -> bool:
        return self.ribbons.settled and super().settled()

    def _load(self) -> None:
        self._rows = self.journal.makes.rows()
        mine = next((row for row in self._rows if row.id == self.desk.make_id), None)
        self.pages.setCurrentIndex(0 if mine is not None else 1)
        fresh = mine is None or self._mine is None or mine.id != self._mine.id
        self._mine = mine
        if mine is None:
            self._clear()
            return
        try:
            self.choosing.open(mine.id)
        except KeepingError as error:
            self._clear()
            self.say("make", text_of(error))
            return
        self.clear("make")
        if fresh:
            self.compared = None
            self._show_open(())
            self.ribbons.move_to(None)
            title = CompareHead(plan_and_day(mine), mine.code, "Reading the makes…")
            self.page.show_head(title)
            self.page.show_rows(())
        self._ask()

    def _clear(self) -> None:
        self._mine, self.compared = None, None
        self.desk.work.stop("compare")
        self._show_scene()
        self.scores.show_makes(self._rows, None, ())

    def _ask(self) -> None:
        """Read the makes that the choice asks for, and compare them with the open one."""
        if self._mine is None:
            return
        found = chosen(self._rows, self._mine, self.choosing.choice)
        others = tuple(found[:MOST])
        failed = sum(row.failed for row in others)
        course = self.compared.mine.course if self.compared else None
        self._show_choice(which_text(len(others), len(found), failed), course)
        self.scores.show_makes(self._rows, self._mine.id, [row.id for row in others])
        asked = ComparisonRequest(self._mine, others, dict(self._known))
        task = self.desk.work.start_file("compare", str(self.journal.path), compare, asked)
        task.progressed.connect(self._on_progress)
        task.finished.connect(self._on_compared)
        task.failed.connect(self._on_failed)

    def _show_choice(self, which: str, course: Course | None) -> None:
        moments = moments_of(course) if course is not None else [("start", "start")]
        self._which = which
        self.page.show_choice(self.choosing.choice, moments, which)

    def _show_scene(self) -> None:
        scene = scene_of(self.compared, self.choosing.choice) if self.compared else RibbonScene()
        self.ribbons.show_scene(scene)
        self.chart.show_opened(scene, self.ribbons.open_ids)
        left_out = left_out_text(scene.left_out, scene.zero)
        likest = self._likest() if self.choosing.choice.order == BY_LIKENESS else ""
        self.message.setText(left_out or likest or (_KEYS if scene.lanes else ""))

    def _likest(self) -> str:
        """What likeness is, and which make is likest."""
        likeness = self.compared.likeness if self.compared is not None else {}
        lanes = self.ribbons.scene.lanes[1:]
        if not lanes:
            return ""
        return likeness_text(lanes[0].ribbon.row.code, likeness[lanes[0].make_id])

    # Commands

    def has_make(self) -> bool:
        """A make is open."""
        return self._mine is not None

    def has_other(self) -> bool:
        """The selected make is another than the open one."""
        lane = self.ribbons.lane()
        return lane is not None and not lane.mine

    def has_open(self) -> bool:
        """A ribbon is opened to its curves."""
        return bool(self.ribbons.open_ids)

    def open_current(self) -> None:
        """Open the selected ribbon to its curves, or close it."""
        lane = self.ribbons.lane()
        if lane is not None:
            self.open_curves(lane.make_id)

    def open_curves(self, make_id: int) -> None:
        """Open a ribbon to its curves beside those that are open, or close it."""
        ids = self.ribbons.open_ids
        if make_id in ids:
            self._show_open(tuple(one for one in ids if one != make_id))
        else:
            self._show_open((*ids, make_id)[-OPEN_MOST:])

    def commands_on_ribbon(self) -> list[Command]:
        """Those that are about the selected ribbon, for its menu."""
        return [command for command in self.commands() if command.name in _ON_A_RIBBON]

    def has_pointer(self) -> bool:
        """The pointer stands somewhere."""
        return self.ribbons.position is not None and bool(self.ribbons.scene.lanes)

    def has_stage_here(self) -> bool:
        """The pointer is at a stage that the open make has too, and time is as it was."""
        return self._moment_here() is not None

    def is_running(self) -> bool:
        """The selected make is in the vat."""
        lane = self.ribbons.lane()
        return (
            lane is not None and lane.ribbon.row.finished_ms is None and not lane.ribbon.row.failed
        )

    def line_up_here(self) -> None:
        """Line all makes up at the begin of the stage under the pointer."""
        moment = self._moment_here()
        if moment is not None:
            self._on_chosen("moment", moment)
            self.ribbons.move_to(0.0)

    def copy_values(self) -> None:
        """Put what was read of every make at the pointer on the clipboard, a line a make."""
        position = self.ribbons.position
        if position is not None:
            lanes = self.ribbons.scene.lanes
            lines = [f"{one.ribbon.row.code}\t{values_text(one, position)}" for one in lanes]
            where = position_text(self.ribbons.scene, position)
            QGuiApplication.clipboard().setText("\n".join([f"\t{where}", *lines]))
            self.say("compare", worded("desk.values-copied", lanes=len(lanes), where=where),
                     attention=False)  # fmt: skip

    def show_in_makes(self) -> None:
        """Go to the selected make in Makes."""
        lane = self.ribbons.lane()
        if lane is not None:
            self.goes.emit("makes", lane.make_id)

    def go_to_vat(self) -> None:
        """Go to the day of the selected make, while it runs."""
        lane = self.ribbons.lane()
        if lane is not None:
            self.goes.emit("vat", lane.make_id)

    def _moment_here(self) -> str | None:
        lane, position = self.ribbons.lane(), self.ribbons.position
        if lane is None or position is None or self.compared is None:
            return None
        stage = lane.course.stage_at(float(lane.axis.to_minutes(position)))
        known = stage is not None and self.compared.mine.course.stage(stage.key) is not None
        as_it_was = self.choosing.choice.time == AS_IT_WAS
        return stage.key if stage is not None and known and as_it_was else None

    def close_curves(self) -> None:
        """Close all curves."""
        self._show_open(())

    def compare_this(self) -> None:
        """Open the selected make, and compare it with others."""
        lane = self.ribbons.lane()
        if lane is not None and not lane.mine:
            self._on_went(lane.make_id)

    def choose_by_hand(self) -> None:
        """Go to the line in which makes are named; it lists those that are shown."""
        if self.choosing.choice.by != HAND:
            self._on_chosen("by", HAND)
        self.page.ask_line()

    def leave_current_out(self) -> None:
        """Take the selected make out of the comparison."""
        lane = self.ribbons.lane()
        if lane is not None and not lane.mine:
            self.leave_out(lane.make_id)

    def leave_out(self, make_id: int) -> None:
        """Take a make out: the others are then those chosen by hand."""
        if self.compared is not None:
            others = self.compared.others
            self._on_chosen("makes", " ".join(o.row.code for o in others if o.row.id != make_id))

    def add(self, make_id: int) -> None:
        """Compare with one more: the others are then those chosen by hand."""
        code = next((row.code for row in self._rows if row.id == make_id), "")
        if self.compared is not None and code:
            shown = [other.row.code for other in self.compared.others]
            self._on_chosen("makes", " ".join([*shown, code]))

    def commands_on_dot(self, make_id: int) -> list[Command]:
        """What can be done with a make of the strip."""
        row = next(row for row in self._rows if row.id == make_id)
        if self._mine is None or self._mine.id == make_id:
            return []
        beside = self.compared is not None and any(
            other.row.id == make_id for other in self.compared.others
        )
        swap = (
            Command(
                "leave_out",
                worded("desk.leave-out", code=row.code),
                partial(self.leave_out, make_id),
            )
            if beside
            else Command(
                "add_it", worded("desk.compare-too", code=row.code), partial(self.add, make_id)
            )
        )
        opening = partial(self._on_went, make_id)
        return [swap, Command("open_it", worded("desk.compare-instead", code=row.code), opening)]

    def print_out(self) -> None:
        """Show the ribbons and their text, to be printed or saved."""
        if self.compared is not None:
            print_comparison(self, head_of(self.compared), self.compared, self.ribbons, self.chart)

    def next_moment(self) -> None:
        """Line up at the next stage of the make."""
        if self.compared is not None:
            keys = [key for key, _ in moments_of(self.compared.mine.course)]
            self._on_chosen("moment", _next(keys, self.choosing.choice.moment))

    def next_time(self) -> None:
        """Line the ribbons up in the next way: as it was, culture time, stage by stage."""
        self._on_chosen("time", _next(TIMES, self.choosing.choice.time))

    def next_order(self) -> None:
        """Sort the ribbons in the next way."""
        self._on_chosen("order", _next(ORDERS, self.choosing.choice.order))

    # Handlers

    def _on_chosen(self, part: str, value: str) -> None:
        if self._mine is None:
            return
        shown = tuple(o.row.code for o in self.compared.others) if self.compared else ()
        before = self.choosing.choice
        if self.choosing.change(part, value, shown):
            self._show_chosen(before)

    def _follow(self, before: ComparisonChoice) -> None:
        """Take up what was chosen in another window, or taken back."""
        if self._mine is not None:
            self.choosing.open(self._mine.id)
            if self.choosing.choice != before:
                self._show_chosen(before)

    def _show_chosen(self, before: ComparisonChoice) -> None:
        """Show the choice of now; makes are read where others are chosen than before."""
        choice = self.choosing.choice
        if (choice.by, choice.text, choice.makes) != (before.by, before.text, before.makes):
            self._ask()
        elif self.compared is not None:
            self._show_choice(self._which, self.compared.mine.course)
            self._show_scene()

    def _on_moved(self) -> None:
        self.chart.point_at(self.ribbons.position)

    def _on_laid_out(self) -> None:
        self.chart.stand_under(*self.ribbons.edges())

    def _show_open(self, ids: tuple[int, ...]) -> None:
        self.ribbons.show_open(ids)
        self.chart.setVisible(bool(ids))
        self.rule.setVisible(bool(ids))
        self.chart.show_opened(self.ribbons.scene, ids)

    def _on_progress(self, share: float, _words: str) -> None:
        if self.compared is None and self._mine is not None:
            words = worded("desk.reading-makes", share=100 * share)
            self.page.how_many.setText(words)
            self._spoken.tell(self.page.how_many, share, "Reading the makes")

    def _on_compared(self, compared: Compared | None) -> None:
        if compared is None or self._mine is None or compared.asked.mine.id != self._mine.id:
            return
        self.compared = compared
        for one in (compared.mine, *compared.others):
            self._known[one.row.id] = one
        there = {one.row.id for one in (compared.mine, *compared.others)}
        self._show_open(tuple(one for one in self.ribbons.open_ids if one in there))
        self._show_choice(self._which, compared.mine.course)
        self.page.show_head(head_of(compared))
        self.page.show_rows(compared.rows)
        self._show_scene()

    def _on_failed(self, error: Exception) -> None:
        self.say("compare", text_of(error))

    def _on_make(self, make_id: int) -> None:
        self.goes.emit("makes", make_id)

    def _on_went(self, make_id: int) -> None:
        self.desk.make_id = make_id
        self._load()

    def _on_asked(self, make_id: int, at: QPoint) -> None:
        menu = Menu(self.scores)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if menu.offer(self.commands_on_dot(make_id)):
            menu.popup(at)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)


def _next(keys: list[str] | tuple[str, ...], here: str) -> str:
    return keys[(list(keys).index(here) + 1) % len(keys)] if here in keys else keys[0]
