"""What is said of labels of wheels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from journal.wording.counts import counted

_NAMED = 2


def no_room_words(left_out: Mapping[str, Sequence[str]]) -> str:
    """What stands on no label for want of room, by the code of its wheel; "" when nothing."""
    named = [
        f"{code}: {', '.join(f'“{one}”' for one in words)}"
        for code, words in list(left_out.items())[:_NAMED]
    ]
    if not named:
        return ""
    more = len(left_out) - len(named)
    after = (
        f" Something is left out on {counted(more, 'more label', 'more labels')}." if more else ""
    )
    return f"No room for: {'; '.join(named)}.{after} A larger label holds more."
