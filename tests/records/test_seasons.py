"""Seasons by the latitude that the IANA time zone database has of a zone's town."""

from __future__ import annotations

import pytest

from journal.records.seasons import is_south, season_of


@pytest.mark.parametrize(
    ("zone", "south"),
    [
        ("Europe/London", False), ("Pacific/Auckland", True), ("America/Sao_Paulo", True),
        ("Africa/Johannesburg", True), ("America/Bogota", False), ("UTC", False),
        ("No/Where", False),
    ],
)  # fmt: skip
def test_a_zone_lies_where_its_town_does(zone: str, south: bool) -> None:
    assert is_south(zone) is south


def test_the_south_has_its_summer_when_the_north_has_winter() -> None:
    assert [season_of(m, south=False) for m in (1, 3, 6, 11, 12)] == [
        "winter", "spring", "summer", "autumn", "winter",
    ]  # fmt: skip
    assert [season_of(m, south=True) for m in (1, 3, 6, 11, 12)] == [
        "summer", "autumn", "winter", "spring", "summer",
    ]  # fmt: skip
