"""How a person wants things written: units, clock, language."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Style:
    """What writing depends on, beside the thing itself and the zone it is read in.

    `units` is "metric", `clock` "24" and `language` "en" until there is a choice; whoever writes
    takes a style already, so that a choice needs no other door.
    """

    units: str = "metric"
    clock: str = "24"
    language: str = "en"


PLAIN = Style()
