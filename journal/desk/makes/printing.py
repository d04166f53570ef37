"""The record of a make, printed, and as a page to send."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from journal.desk import dialogs
from journal.desk.place import Place
from journal.keeping import KeepingError, MakeRow
from journal.reports.profile import profiles_of_make
from journal.wording import worded

_SUBJECT = "record"


def print_record(place: Place, row: MakeRow) -> None:
    """Show the record of a make, to be printed or saved."""
    from journal.desk.printing import Printout, PrintPreview
    from journal.desk.sheets import make_record
    from journal.desk.sheets.photos import photos_to_print

    def write(where: Path, paper: str) -> int:
        whole = place.journal.whole(row.id)
        photos = photos_to_print(place.journal, whole)
        profiles = profiles_of_make(place.journal, whole)
        return make_record(whole, where, paper=paper, photos=photos, profiles=profiles)

    what = Printout(worded("desk.record-of", code=row.code), f"{row.code}.pdf", write)
    saved = partial(worded, "desk.record-saved", code=row.code)
    PrintPreview(what, saved, partial(place.say, _SUBJECT), place).open()


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
        place.say(_SUBJECT, worded("desk.not-written", file=where.name, why=error))
        return
    place.say(_SUBJECT, worded("desk.page-saved", code=row.code, where=where), attention=False)
