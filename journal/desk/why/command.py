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


def why_command(place: Place, at_hand: Callable[[], CurrentRecord | None]) -> Command:
    """The command that says why the wheel or make one stands on is so."""
    return Command(
        "why", "Why was it so…", partial(show_why, place, at_hand),
        (), partial(_any, at_hand),
    )  # fmt: skip


def show_why(place: Place, at_hand: Callable[[], CurrentRecord | None]) -> None:
    """Open the page of it."""
    here = at_hand()
    if here is not None:
        from journal.desk.why.dialog import WhyDialog

        WhyDialog(place, here).open()


def _any(at_hand: Callable[[], CurrentRecord | None]) -> bool:
    return at_hand() is not None
