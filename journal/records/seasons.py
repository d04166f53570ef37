"""Seasons of a zone: in the south they are the other half of the year."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

NAMES = ("winter", "spring", "summer", "autumn")


@cache
def is_south(zone: str) -> bool:
    """Whether a zone's town lies south of the equator, by the latitude that the IANA time zone
    database has of it (its `zone.tab`, ISO 6709); False for a zone that is no place."""
    with (files("tzdata") / "zoneinfo" / "zone.tab").open(encoding="utf-8") as lines:
        for line in lines:
            parts = line.split("\t")
            if len(parts) > 2 and parts[2].strip() == zone:
                return parts[1].startswith("-")
    return False


def season_of(month: int, *, south: bool) -> str:
    """The season of a month, 1 to 12, each of three whole months."""
    return NAMES[(month % 12 // 3 + 2 * south) % 4]
