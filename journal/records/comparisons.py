"""How a make is compared with others, kept with the make."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Comparison:
    """The rule by which other makes are chosen (`by`), its text, the makes chosen by hand (their
    UUIDs, or a code that was typed and is none), what the makes are sorted by, how time is laid,
    and the moment they are lined up at. Its UUID is the make's: there is one, whichever copy of
    the journal wrote it."""

    make_id: int
    by: str
    text: str
    makes: tuple[str, ...]
    order: str
    time: str
    moment: str
    uuid: str
    id: int | None = None
