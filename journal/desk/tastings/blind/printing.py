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
from journal.wording import worded
from journal.wording.dates import day_words
from journal.wording.scale_words import scale_words

_NAME = "print"
_KEY = "Saving writes the helper's key as a second file beside it, not for assessors."


def print_sheets(page: QWidget, messages: MessageBar, journal: Journal, tasting: Tasting) -> None:
    """Show the sheets, to be printed or saved with the key."""
    day = local(tasting.at_ms, tasting.zone).date().isoformat()
    name, write = worded("desk.session-file", day=day), partial(write_sheets, journal, tasting)
    print_both(page, messages, name, write)


def write_sheets(journal: Journal, tasting: Tasting, where: Path, paper: str) -> int:
    """Write the sheets and, beside them, the key; gives how many pages the sheets have."""
    from journal.desk.tastings.blind.paper_sheet import key_sheet, tasting_sheets

    title = worded("desk.session-of", day=day_words(tasting.at_ms, tasting.zone))
    words = {name: scale_words(journal, name) for name in tasting.sheet}
    cups = tasting.coding == SHUFFLED
    servings = journal.sessions.servings(id_of(tasting))
    pages = tasting_sheets(where, title, servings, tasting.sheet, words, paper=paper, cups=cups)
    key_sheet(key_beside(where), title, journal.sessions.key(id_of(tasting)), paper=paper)
    return pages


def print_both(
    page: QWidget, messages: MessageBar, name: str, write: Callable[[Path, str], int]
) -> None:
    """Show the sheets, to be printed or saved under a name that is proposed; `write` writes them
    with the key beside them."""
    from journal.desk.printing import Printout, PrintPreview

    def saved(path: Path, pages: int) -> str:
        key_file = key_beside(path).name
        return worded("desk.sheets-saved", pages=pages, path=path, key_file=key_file)

    PrintPreview(
        Printout("Print the sheets", name, write, _KEY),
        saved,
        partial(messages.show_message, _NAME),
        page,
    ).open()


def key_beside(where: Path) -> Path:
    """The file of the helper's key beside the sheets."""
    return where.with_name(worded("desk.key-file", sheets=where.stem))
