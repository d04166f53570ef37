"""Printing a sitting: the sheets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from pathlib import Path

from journal.desk import dialogs
from journal.desk.place import Place
from journal.desk.tastings.scales import scale_words
from journal.keeping import Journal
from journal.records.dates import day_words
from journal.records.instants import local
from journal.records.tastings import SHUFFLED, Tasting

_NAME = "print"


def print_sheets(place: Place, tasting: Tasting) -> None:
    """Ask where, and write both files."""
    from journal.desk.sheets import paper_here

    day = local(tasting.at_ms, tasting.zone).date().isoformat()
    where = ask_where(place, f"sitting {day}.pdf")
    if where is None:
        return
    try:
        pages = write_sheets(place.journal, tasting, where, paper_here())
    except OSError as error:
        place.say(_NAME, f"“{where.name}” cannot be written: {error.strerror or error}.")
        return
    say_printed(place, where, pages)


def write_sheets(journal: Journal, tasting: Tasting, where: Path, paper: str) -> int:
    """Write the sheets and, beside them, the key; gives how many pages the sheets have."""
    from journal.desk.tastings.blind.paper_sheet import key_sheet, tasting_sheets

    title = f"Sitting of {day_words(tasting.at_ms, tasting.zone)}"
    words = {name: scale_words(journal, name) for name in tasting.sheet}
    called = "cup {}" if tasting.coding == SHUFFLED else "{}"
    servings = journal.blind.servings(tasting.id)
    pages = tasting_sheets(where, title, servings, tasting.sheet, words, paper=paper, called=called)
    key_sheet(key_beside(where), title, journal.blind.key(tasting.id), paper=paper)
    return pages


def ask_where(place: Place, name: str) -> Path | None:
    """Where the sheets are to go; None when nothing was chosen."""
    path = dialogs.ask_save(place, "Print the sheets", dialogs.PDF, name)
    if not path:
        return None
    return Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")


def key_beside(where: Path) -> Path:
    """The file of the helper's key beside the sheets."""
    return where.with_name(f"{where.stem} key.pdf")


def say_printed(place: Place, where: Path, pages: int) -> None:
    """Say where both are."""
    count = "one page" if pages == 1 else f"{pages} pages"
    place.say(
        _NAME,
        f"The sheets, {count}, are in {where}; the helper's key, for nobody who tastes, is in "
        f"{key_beside(where).name}.",
        attention=False,
    )
