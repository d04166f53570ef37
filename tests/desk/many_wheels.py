"""Journals with so many wheels on their shelves, for pictures of Ageing."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize

from journal.desk.pictures import draw_pictures
from journal.desk.shots import DRAWN_MS, USUAL, Shot
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.makes import Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.wheels import AirReading, Room, Weighing

NARROW = QSize(960, 1040)
PLAN = Plan(
    "Hollow Lane hard",
    (Stage("warm", 30.0, target_c=31.0), Stage("press", 600.0)),
    care=(CareRule("turn", 1, 400, 4), CareRule("weigh", 7, 400, 14), CareRule("oil", 3, 4, 2)),
    taste_at_days=(90.0, 180.0),
    eat_from_days=60.0,
)
# What each is wanted at, °C, and its humidity, %: within what it allows but for a week in October.
ROOMS = (("Cellar", 11.5, 84.0), ("Larder", 12.5, 81.0), ("Vault", 10.0, 87.0))
_DRY_H, _DRY_PCT = range(900, 1070), 70.0
SHELVES = ("", "top", "middle", "low")
_EACH = 5  # wheels of a make, at most


def shelved(path: Path, wheels: int) -> Path:
    """A journal with so many wheels, of makes a week or so apart, in three rooms."""
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        rooms = [journal.rooms.save(Room(name, temp, 84.0, 2.0, 5.0)) for name, temp, _ in ROOMS]
        makes = -(-wheels // _EACH)
        for number in range(makes):
            begun = DRAWN_MS - (makes - number) * 7 * DAY_MS
            make = journal.makes.begin(PLAN, Milk(60.0), begun)
            count = min(_EACH, wheels - number * _EACH)
            green = [0.7 + 0.13 * ((number + n) % 5) for n in range(count)]
            made = journal.makes.finish(id_of(make), green, begun + DAY_MS)
            shelf = SHELVES[number // 3 % len(SHELVES)] if wheels > _EACH * 3 else ""
            journal.shelves.move(made, rooms[number % 3], begun + DAY_MS, shelf)
            age = (makes - number) * 7
            last = DRAWN_MS - (number % 6) * DAY_MS
            if last > begun + DAY_MS:
                journal.shelves.care(made, "turn", last)
            journal.weighings.save_many(
                Weighing(id_of(wheel), begun + day * DAY_MS, round(kg * (1 - 0.0012 * day), 3))
                for wheel, kg in zip(made, green, strict=True)
                for day in range(1, age, 14)
            )
        for room, (_, temp, pct) in zip(rooms, ROOMS, strict=True):
            journal.airs.save_many(
                AirReading(
                    id_of(room),
                    DRAWN_MS - hour * 3_600_000,
                    temp + (hour % 3) / 5,
                    _DRY_PCT if hour in _DRY_H else pct,
                )
                for hour in range(1, 2400, 12)
            )
    return path


def draw_wheels(out: Path, folder: Path) -> list[Path]:
    """Ageing with six wheels and with two hundred; with none it is drawn with the empty places."""
    shots = (
        (6, Shot("6", USUAL)),
        (6, Shot("6-narrow-dark", NARROW, "dark")),
        (200, Shot("200-narrow", NARROW)),
        (200, Shot("200-dark", USUAL, "dark")),
    )
    files = {count: shelved(folder / f"{count}.vatside", count) for count in (6, 200)}
    return [
        path
        for count, shot in shots
        for path in draw_pictures(
            out, files[count], shots=(shot,), places=("room",), with_empty=False, clock=_now
        )
    ]


def _now() -> int:
    return DRAWN_MS
