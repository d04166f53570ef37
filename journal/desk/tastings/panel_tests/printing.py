"""Printing a panel test: the sets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from pathlib import Path

from journal.desk.place import Place
from journal.desk.tastings.blind.printing import ask_where, key_beside, say_printed
from journal.desk.tastings.panel_tests.words import ask_on_paper, key_rows, title
from journal.keeping import Journal
from journal.records.instants import local
from journal.records.panel_tests import PanelTest


def print_sets(place: Place, test: PanelTest) -> None:
    """Ask where, and write both files."""
    from journal.desk.sheets import paper_here

    day = local(test.at_ms, test.zone).date().isoformat()
    where = ask_where(place, f"{test.kind} {day}.pdf")
    if where is None:
        return
    try:
        pages = write_sets(place.journal, test, where, paper_here())
    except OSError as error:
        place.say("print", f"“{where.name}” cannot be written: {error.strerror or error}.")
        return
    say_printed(place, where, pages)


def write_sets(journal: Journal, test: PanelTest, where: Path, paper: str) -> int:
    """Write the sets and, beside them, the key; gives how many pages the sets have."""
    from journal.desk.tastings.blind.paper_sheet import key_sheet
    from journal.desk.tastings.panel_tests.paper import set_sheets

    sets = journal.tests.sets(test.id)
    pages = set_sheets(where, title(test), ask_on_paper(test), test.kind, sets, paper=paper)
    key_sheet(key_beside(where), title(test), key_rows(journal, test), paper=paper)
    return pages
