"""The way to why a wheel is so, from where a wheel, a make or a sheet is seen."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from journal.desk.commands import Command
from journal.desk.place import CurrentRecord, Place
from journal.wording.keys import with_key


def why_label() -> str:
    """The words of the button, with its key."""
    return with_key("Why was it so?", "why")


def why_command(place: Place, current_record: Callable[[], CurrentRecord | None]) -> Command:
    """The command that says why the selected wheel or make is so."""
    return Command(
        "why", "Why was it so…", partial(show_why, place, current_record),
        (), partial(_any, current_record),
    )  # fmt: skip


def show_why(place: Place, current_record: Callable[[], CurrentRecord | None]) -> None:
    """Open the page of it."""
    here = current_record()
    if here is not None:
        from journal.desk.why.dialog import WhyDialog

        shown = WhyDialog(place.desk, here, place.window())
        shown.planned.connect(place.open_change)
        shown.open()


def _any(current_record: Callable[[], CurrentRecord | None]) -> bool:
    return current_record() is not None
