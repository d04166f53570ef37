"""The words of wheels' labels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from journal.wording import worded

_NAMED = 2


def no_room_words(left_out: Mapping[str, Sequence[str]]) -> str:
    """What is left off a label for want of room, by the code of its wheel; "" when nothing."""
    named = [
        f"{code}: {', '.join(f'“{one}”' for one in words)}"
        for code, words in list(left_out.items())[:_NAMED]
    ]
    if not named:
        return ""
    more = len(left_out) - len(named)
    which = "wording.no-room-and-more" if more else "wording.no-room"
    return worded(which, named=named, more=more)
