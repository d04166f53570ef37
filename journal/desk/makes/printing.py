"""The record of a make, printed."""

from __future__ import annotations

from pathlib import Path

from journal.desk import dialogs
from journal.desk.commands import Command
from journal.keeping import KeepingError

_NAME = "record"


class RecordPrinting:
    """Mixed into the place of makes before Place; the make printed is the one stood on."""

    def print_commands(self) -> tuple[Command, ...]:
        """What can be printed."""
        return (
            Command(
                "print_record", "Print the record…", self.print_record, ("Ctrl+P",), self.has_make
            ),
        )

    def print_record(self) -> None:
        """Ask where, and write the record of the make one stands on."""
        row = self.list.current()
        if row is None:
            return
        path = dialogs.ask_save(self, "Print the record", dialogs.PDF, f"{row.code}.pdf")
        if not path:
            return
        from journal.desk.sheets import make_record, paper_here

        where = Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")
        try:
            pages = make_record(self.journal.whole(row.id), where, paper=paper_here())
        except (KeepingError, OSError) as error:
            said = getattr(error, "strerror", None) or str(error)
            self.say(_NAME, f"“{where.name}” cannot be written: {said}.")
            return
        count = "one page" if pages == 1 else f"{pages} pages"
        self.say(_NAME, f"The record of {row.code}, {count}, is in {where}.", attention=False)
