"""How much there is to do, and what comes next."""

from __future__ import annotations

from journal.wording import worded
from journal.wording.letters import small


def today_headline(things: int) -> str:
    """ "Three things to do", "Nothing is due today." """
    if not things:
        return worded("wording.nothing-due")
    return worded("wording.things-to-do", things=things)


def next_due_words(title: str, when: str) -> str:
    """When the next thing is due, on a day when nothing is; a `title` of "" is none."""
    which = "wording.next-due" if title else "wording.nothing-scheduled"
    return worded(which, title=small(title), when=when)
