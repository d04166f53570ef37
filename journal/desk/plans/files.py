"""What Plans does with files: the make sheet printed, a plan written out, a plan brought in."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QMimeData, QObject, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.asking import Asking
from journal.desk.messages import MessageBar
from journal.desk.plans.author import Author
from journal.desk.plans.showing import SheetController
from journal.exchange import ExchangeError
from journal.exchange.plan_files import (
    SUFFIX,
    IncomingPlan,
    bring_in,
    coming,
    read_plan_file,
    write_plan_file,
)
from journal.keeping import Journal, KeepingError
from journal.records.plan_scaled import for_milk
from journal.wording import text_of, worded

_ASKED = "plan file"


class PlanFileController(QObject):
    """Prints the current plan, writes it out, and brings one in; a plan's file may also be dropped
    on `window`. `asking` is the question above the pages; `brought` carries the name of a plan
    that is here now."""

    brought = Signal(str)

    def __init__(
        self,
        journal: Journal,
        author: Author,
        sheet: SheetController,
        messages: MessageBar,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._journal, self._author, self._sheet = journal, author, sheet
        self._messages, self._window = messages, window
        self.asking = Asking()
        self.asking.agreed.connect(self._on_agreed)
        window.setAcceptDrops(True)

    # Commands

    def print_sheet(self) -> None:
        """Show the make sheet of the current plan for the milk there is, to be printed or saved."""
        if self._sheet.plan is None:
            return
        from journal.desk.printing import Printout, PrintPreview
        from journal.desk.sheets import make_sheet

        plan = for_milk(self._sheet.plan, self._author.litres)
        start_ms, zone = self._sheet.start_ms(), self._journal.zone

        what = Printout(
            "Print the make sheet",
            f"{plan.name}.pdf",
            partial(make_sheet, plan, start_ms=start_ms, zone=zone),
        )
        PrintPreview(
            what, partial(worded, "desk.sheet-saved"), self._on_printed, self._window
        ).open()

    def _on_printed(self, sentence: str, attention: bool) -> None:
        if attention:
            self._refuse(sentence)
        else:
            self._tell(sentence)

    def export_plan(self) -> None:
        """Ask where, and write the current plan as TOML, for its own milk."""
        plan = self._sheet.plan
        if plan is None:
            return
        name = f"{plan.name}{SUFFIX}"
        path = dialogs.ask_save(self._window, "Export this plan", dialogs.PLANS, name)
        if not path:
            return
        where = _with_suffix(path, SUFFIX)
        try:
            write_plan_file(plan, where)
        except ExchangeError as error:
            self._refuse(text_of(error))
            return
        self._tell(worded("desk.plan-exported", name=plan.name, where=where))

    def import_plan(self) -> None:
        """Ask for a plan's file and bring it in."""
        path = dialogs.ask_open(self._window, "Import a plan", dialogs.PLANS)
        if path:
            self.take_plan_file(path)

    def take_plan_file(self, path: str) -> None:
        """Bring in the plan of a file; ask first when there is one of its name."""
        self.asking.leave()
        self._messages.clear(_ASKED)
        try:
            found = coming(self._journal, read_plan_file(path))
        except (ExchangeError, KeepingError) as error:
            self._refuse(text_of(error))
            return
        name = found.plan.name
        if found.same:
            self._tell(worded("desk.plan-is-here", name=name))
            self.brought.emit(name)
        elif found.known is None:
            self._on_agreed(found)
        else:
            number = found.plan.version
            sentence = worded(
                "desk.plan-differs", name=name, version=found.known.version, file=Path(path).name
            )
            self.asking.ask(sentence, worded("desk.save-as-version", number=number), found)

    def _tell(self, news: str) -> None:
        self._messages.show_message(_ASKED, news, attention=False)

    def _refuse(self, sentence: str) -> None:
        self._messages.show_message(_ASKED, sentence)

    # Handlers

    def _on_agreed(self, found: IncomingPlan) -> None:
        try:
            plan = bring_in(self._journal, found)
        except KeepingError as error:
            self._refuse(text_of(error))
            return
        self._tell(worded("desk.version-saved", name=plan.name, version=plan.version))
        self.brought.emit(plan.name)

    def offered(self, event: QDragEnterEvent) -> None:
        """Something is dragged over the window: a plan's file may be dropped there."""
        if _plan_path(event.mimeData()):
            event.acceptProposedAction()

    def dropped(self, event: QDropEvent) -> None:
        """Bring in the plan's file that was dropped."""
        path = _plan_path(event.mimeData())
        if path:
            event.acceptProposedAction()
            self.take_plan_file(path)


def _plan_path(data: QMimeData) -> str:
    """The plan's file that is being dropped, "" for anything else."""
    paths = [url.toLocalFile() for url in data.urls() if url.isLocalFile()]
    return next((path for path in paths if path.lower().endswith(SUFFIX)), "")


def _with_suffix(path: str, suffix: str) -> Path:
    where = Path(path)
    return where if where.suffix.lower() == suffix else where.with_name(where.name + suffix)
