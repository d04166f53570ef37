"""Printing a session: the sheets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk.messages import MessageBar
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import local
from journal.records.tastings import SHUFFLED, Tasting
from journal.wording.counts import counted
from journal.wording.dates import day_words
from journal.wording.scale_words import scale_words

_NAME = "print"
_KEY = "Saving writes the helper's key as a second file beside it, not for assessors."


def print_sheets(page: QWidget, messages: MessageBar, journal: Journal, tasting: Tasting) -> None:
    """Show the sheets, to be printed or saved with the key."""
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
    """Show the sheets, to be printed or saved under a name that is proposed; `write` writes them
    with the key beside them."""
    from journal.desk.printing import Printout, PrintPreview

    def saved(where: Path, pages: int) -> str:
        return (
            f"The sheets, {counted(pages, 'page')}, were saved as {where}; the helper's key, not "
            f"for assessors, as {key_beside(where).name}."
        )

    def report(sentence: str, attention: bool) -> None:
        messages.show_message(_NAME, sentence, attention=attention)

    PrintPreview(Printout("Print the sheets", name, write, _KEY), saved, report, page).open()


def key_beside(where: Path) -> Path:
    """The file of the helper's key beside the sheets."""
    return where.with_name(f"{where.stem} key.pdf")
