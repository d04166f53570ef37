"""The page that is shown while no journal is open: how to begin."""

from __future__ import annotations

from collections.abc import Callable

from journal.desk.buttons import MAIN, Button
from journal.desk.empty import EmptyPage
from journal.desk.messages import Acts

SAMPLE = (
    "A sample kitchen, invented: look round and try all of it. Its alarms are silent, and nothing "
    "in it is yours."
)
ABOUT = "A journal holds your plans, makes, wheels and tastings in one file."


def beginning_page(
    sentence: str, new: Callable[[], object], other: Callable[[], object], ways_out: Acts
) -> EmptyPage:
    """Says why no journal is open, with a button for each way on."""
    first, second = Button("New journal", MAIN, "Ctrl N"), Button("Open a journal", key="Ctrl O")
    first.clicked.connect(new)
    second.clicked.connect(other)
    buttons = [first, second]
    for title, act in ways_out:
        buttons.append(Button(title))
        buttons[-1].clicked.connect(act)
    return EmptyPage("No journal is open.", sentence or ABOUT, tuple(buttons))
