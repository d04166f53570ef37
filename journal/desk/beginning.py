"""The page that is shown while no journal is open: how to begin."""

from __future__ import annotations

from journal.desk.buttons import MAIN, Button
from journal.desk.empty import EmptyPage
from journal.desk.files import OLD_MAKES, FileController
from journal.desk.messages import Actions

SAMPLE = (
    "A sample kitchen, invented: look round and try all of it. Its alarms are silent, and nothing "
    "in it is yours."
)
NO_JOURNAL = "No journal is open."
ABOUT = "A journal holds your plans, makes, wheels and tastings in one file."


def beginning_page(sentence: str, files: FileController, ways_out: Actions) -> EmptyPage:
    """Says why no journal is open, with a button for each way on."""
    new, old = Button("New journal", MAIN, "new"), Button(OLD_MAKES)
    other = Button("Open a journal", key="open")
    new.clicked.connect(files.new_journal)
    old.clicked.connect(files.begin_with_old_makes)
    other.clicked.connect(files.open_journal)
    buttons = [new, old, other]
    for title, act in ways_out:
        buttons.append(Button(title))
        buttons[-1].clicked.connect(act)
    return EmptyPage(NO_JOURNAL, sentence or ABOUT, tuple(buttons))
