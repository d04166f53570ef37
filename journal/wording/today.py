"""How much there is to do, and what comes next."""

from __future__ import annotations

from journal.wording.counts import count_first, noun
from journal.wording.letters import small


def headline(things: int) -> str:
    """ "Three things to do", "Nothing is due today." """
    if not things:
        return "Nothing is due today."
    return f"{count_first(things)} {noun(things, 'thing', 'things')} to do"


def next_words(title: str, when: str) -> str:
    """When the next thing is due, on a day when nothing is; a `title` of "" is none."""
    return f"Next: {small(title)}, {when}." if title else "Nothing is scheduled."
