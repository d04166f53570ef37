"""What Plans does with files: the make sheet printed, a plan written out, a plan brought in."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QMimeData
from PySide6.QtGui import QDragEnterEvent, QDropEvent

from journal.desk import dialogs
from journal.desk.asking import Asking
from journal.desk.commands import Command
from journal.exchange import ExchangeError
from journal.exchange.plan_files import (
    SUFFIX,
    Coming,
    bring_in,
    coming,
    read_plan_file,
    write_plan_file,
)
from journal.keeping import KeepingError
from journal.records.plan_scaled import for_milk

_ASKED = "plan file"


class PlanFiles:
    """The file commands of Plans, mixed into its place before Place; a plan's file may also be
    dropped on it."""

    def lay_out(self) -> None:
        """Build the place, with the question above its pages."""
        super().lay_out()
        self.asking = Asking()
        self.asking.agreed.connect(self._on_agreed)
        self.layout().insertWidget(1, self.asking)
        self.setAcceptDrops(True)

    def file_commands(self) -> tuple[Command, ...]:
        """What can be done with files."""
        return (
            Command(
                "print_sheet", "Print the sheet…", self.print_sheet, ("Ctrl+P",), self.has_plan
            ),
            Command(
                "export_plan", "Write this plan as a file…", self.export_plan, enabled=self.has_plan
            ),
            Command("import_plan", "Bring in a plan…", self.import_plan),
        )  # fmt: skip

    def sheet_start_ms(self) -> int | None:
        """When the first stage begins, for the sheet's clock; None: timed from the start."""
        return None

    # Commands

    def print_sheet(self) -> None:
        """Ask where, and write the make sheet of the plan at hand for the milk there is."""
        if not self.has_plan():
            return
        plan = for_milk(self._listed.plan, self._litres())
        path = dialogs.ask_save(self, "Print the sheet", dialogs.PDF, f"{plan.name}.pdf")
        if not path:
            return
        from journal.desk.sheets import make_sheet, paper_here

        where = _with_suffix(path, ".pdf")
        try:
            pages = make_sheet(
                plan,
                where,
                paper=paper_here(),
                start_ms=self.sheet_start_ms(),
                zone=self.journal.zone,
            )
        except OSError as error:
            self.say(_ASKED, f"“{where.name}” cannot be written: {error.strerror or error}.")
            return
        said = "one page" if pages == 1 else f"{pages} pages"
        self.say(_ASKED, f"The sheet, {said}, is in {where}.", attention=False)

    def export_plan(self) -> None:
        """Ask where, and write the plan at hand as TOML, for its own milk."""
        if not self.has_plan():
            return
        plan = self._listed.plan
        path = dialogs.ask_save(self, "Write this plan", dialogs.PLANS, f"{plan.name}{SUFFIX}")
        if not path:
            return
        where = _with_suffix(path, SUFFIX)
        try:
            write_plan_file(plan, where)
        except ExchangeError as error:
            self.say(_ASKED, str(error))
            return
        self.say(_ASKED, f"{plan.name} is in {where}.", attention=False)

    def import_plan(self) -> None:
        """Ask for a plan's file and bring it in."""
        path = dialogs.ask_open(self, "Bring in a plan", dialogs.PLANS)
        if path:
            self.take_plan_file(path)

    def take_plan_file(self, path: str) -> None:
        """Bring in the plan of a file; ask first when there is one of its name."""
        self.asking.leave()
        self.clear(_ASKED)
        try:
            found = coming(self.journal, read_plan_file(path))
        except (ExchangeError, KeepingError) as error:
            self.say(_ASKED, str(error))
            return
        name = found.plan.name
        if found.same:
            self.say(_ASKED, f"{name} is known already and says the same.", attention=False)
            self.show_plan(name)
        elif found.known is None:
            self._on_agreed(found)
        else:
            number = found.plan.version
            sentence = (
                f"There is a plan called “{name}” already, version {found.known.version}. "
                f"The one in {Path(path).name} says something else."
            )
            self.asking.ask(sentence, f"Keep it as version {number}", found)

    # Handlers

    def _on_agreed(self, found: Coming) -> None:
        try:
            plan = bring_in(self.journal, found)
        except KeepingError as error:
            self.say(_ASKED, str(error))
            return
        self.say(_ASKED, f"{plan.name}, version {plan.version}, is kept.", attention=False)
        self.show_plan(plan.name)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if _plan_path(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
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
