"""Printing a session: the sheets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.messages import MessageBar
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import local
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording.dates import day_words
from journal.wording.scale_words import scale_words

_NAME = "print"


def print_sheets(page: QWidget, messages: MessageBar, journal: Journal, tasting: Tasting) -> None:
    """Ask where, and write both files."""
    day = local(tasting.at_ms, tasting.zone).date().isoformat()
    print_both(page, messages, f"session {day}.pdf", partial(write_sheets, journal, tasting))


def write_sheets(journal: Journal, tasting: Tasting, where: Path, paper: str) -> int:
    """Write the sheets and, beside them, the key; gives how many pages the sheets have."""
    from journal.desk.tastings.blind.paper_sheet import key_sheet, tasting_sheets

    title = f"Session of {day_words(tasting.at_ms, tasting.zone)}"
    words = {name: scale_words(journal, name) for name in tasting.sheet}
    called = "cup {}" if tasting.coding == SHUFFLED else "{}"
    servings = journal.blind.servings(id_of(tasting))
    pages = tasting_sheets(where, title, servings, tasting.sheet, words, paper=paper, called=called)
    key_sheet(key_beside(where), title, journal.blind.key(id_of(tasting)), paper=paper)
    return pages


def print_both(
    page: QWidget, messages: MessageBar, name: str, write: Callable[[Path, str], int]
) -> None:
    """Ask over a page where the sheets are to go, under a name that is proposed; `write` them
    there, with the key beside them, on the paper used here; and say where both are."""
    from journal.desk.sheets import paper_here

    path = dialogs.ask_save(page, "Print the sheets", dialogs.PDF, name)
    if not path:
        return
    where = Path(path) if path.lower().endswith(".pdf") else Path(f"{path}.pdf")
    try:
        pages = write(where, paper_here())
    except OSError as error:
        fault = f"“{where.name}” cannot be written: {error.strerror or error}."
        messages.show_message(_NAME, fault, attention=True)
        return
    count = "one page" if pages == 1 else f"{pages} pages"
    message = (
        f"The sheets, {count}, were saved as {where}; the helper's key, not for assessors, as "
        f"{key_beside(where).name}."
    )
    messages.show_message(_NAME, message, attention=False)


def key_beside(where: Path) -> Path:
    """The file of the helper's key beside the sheets."""
    return where.with_name(f"{where.stem} key.pdf")
