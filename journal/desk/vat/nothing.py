"""The page of Vat while no make is running."""

from __future__ import annotations

from collections.abc import Callable

from journal.desk.buttons import MAIN, Button
from journal.desk.empty import EmptyPage


def nothing_page(on_begin: Callable[[], None]) -> EmptyPage:
    """Says what will stand here and how to begin; its button calls `on_begin`."""
    begin = Button("Choose a plan", MAIN, "place_2")
    begin.clicked.connect(on_begin)
    return EmptyPage(
        "No make is running.",
        "The current step, the time it still takes, and fields for temperature and acidity "
        "will appear here, beside a chart of the day and its plan. Choose a plan, type how "
        "much milk there is, and start a make.",
        (begin,),
    )
