"""The record of a make, printed, and as a page to send."""

from __future__ import annotations

from pathlib import Path

from journal.desk import dialogs
from journal.desk.place import Place
from journal.keeping import KeepingError, MakeRow
from journal.wording import text_of

_SAID = "record"


def print_record(place: Place, row: MakeRow) -> None:
    """Ask where, and write the record of a make there."""
    path = dialogs.ask_save(place, "Print the record", dialogs.PDF, f"{row.code}.pdf")
    if not path:
        return
    from journal.desk.sheets import make_record, paper_here

    where = Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")
    try:
        pages = make_record(place.journal.whole(row.id), where, paper=paper_here())
    except (KeepingError, OSError) as error:
        message = getattr(error, "strerror", None) or text_of(error)
        place.say(_SAID, f"“{where.name}” cannot be written: {message}.")
        return
    count = "one page" if pages == 1 else f"{pages} pages"
    place.say(_SAID, f"The record of {row.code}, {count}, was saved as {where}.", attention=False)


def save_page(place: Place, row: MakeRow) -> None:
    """Ask where, and write the make as one page that needs nothing else."""
    path = dialogs.ask_save(place, "Save a page to send", dialogs.PAGES, f"{row.code}.html")
    if not path:
        return
    from journal.desk.makes.sent_page import write_sent_page

    where = Path(path) if path.lower().endswith((".html", ".htm")) else Path(f"{path}.html")
    try:
        write_sent_page(place.journal, place.journal.whole(row.id), where)
    except (KeepingError, OSError) as error:
        message = getattr(error, "strerror", None) or text_of(error)
        place.say(_SAID, f"“{where.name}” cannot be written: {message}.")
        return
    place.say(_SAID, f"{row.code} was saved as {where}, one file to send.", attention=False)
