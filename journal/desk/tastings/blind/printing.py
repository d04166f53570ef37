"""Printing a sitting: the sheets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from pathlib import Path

from journal.desk import dialogs
from journal.desk.dates import day_words
from journal.desk.place import Place
from journal.desk.tastings.scales import scale_words
from journal.records.instants import local
from journal.records.tastings import SHUFFLED, Tasting

_NAME = "print"


def print_sheets(place: Place, tasting: Tasting) -> None:
    """Ask where, and write both files."""
    from journal.desk.sheets import paper_here
    from journal.desk.tastings.blind.paper_sheet import key_sheet, tasting_sheets

    day = local(tasting.at_ms, tasting.zone).date().isoformat()
    path = dialogs.ask_save(place, "Print the sheets", dialogs.PDF, f"sitting {day}.pdf")
    if not path:
        return
    where = Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")
    key = where.with_name(f"{where.stem} key.pdf")
    journal = place.journal
    title = f"Sitting of {day_words(tasting.at_ms, tasting.zone)}"
    words = {name: scale_words(journal, name) for name in tasting.sheet}
    called = "cup {}" if tasting.coding == SHUFFLED else "{}"
    try:
        pages = tasting_sheets(
            where, title, journal.blind.servings(tasting.id), tasting.sheet, words,
            paper=paper_here(), called=called,
        )  # fmt: skip
        key_sheet(key, title, journal.blind.key(tasting.id), paper=paper_here())
    except OSError as error:
        place.say(_NAME, f"“{where.name}” cannot be written: {error.strerror or error}.")
        return
    count = "one page" if pages == 1 else f"{pages} pages"
    place.say(
        _NAME,
        f"The sheets, {count}, are in {where}; the helper's key, for nobody who tastes, is in "
        f"{key.name}.",
        attention=False,
    )
