"""Printing a panel test: the sets for assessors, and the helper's key in a file beside them."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QWidget

from journal.desk.messages import MessageBar
from journal.desk.tastings.blind.printing import key_beside, print_both
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import local
from journal.records.panel_tests import PanelTest
from journal.wording.panel_tests import ask_on_paper, key_rows, title


def print_sets(page: QWidget, messages: MessageBar, journal: Journal, test: PanelTest) -> None:
    """Ask where, and write both files."""
    day = local(test.at_ms, test.zone).date().isoformat()
    print_both(page, messages, f"{test.kind} {day}.pdf", partial(write_sets, journal, test))


def write_sets(journal: Journal, test: PanelTest, where: Path, paper: str) -> int:
    """Write the sets and, beside them, the key; gives how many pages the sets have."""
    from journal.desk.tastings.blind.paper_sheet import key_sheet
    from journal.desk.tastings.panel_tests.paper import set_sheets

    sets = journal.tests.sets(id_of(test))
    pages = set_sheets(where, title(test), ask_on_paper(test), test.kind, sets, paper=paper)
    key_sheet(key_beside(where), title(test), key_rows(journal, test), paper=paper)
    return pages
