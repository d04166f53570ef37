"""How the file of the present format is made: a row in every table, written by the program itself.

Run into an empty folder by the program that is released with the format:
`python -m tests.keeping.released.write_format FOLDER`. It leaves the journal, its photo, and
`format_N.json`, which says what the journal gave back to the program that wrote it. Once released,
the three are kept as they are: a later program is held to them. The pages of the file are made
smaller (1 kB, by SQLite's own VACUUM), since a row a table would else take 600 kB.
"""

from __future__ import annotations

import json
import sqlite3
import struct
import sys
import zlib
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np

from journal.keeping import Journal
from journal.keeping.migrations import SCHEMA
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing, SampleIdentity
from journal.records.brines import Brine, BrineEvent
from journal.records.calibrations import Calibration
from journal.records.comparisons import Comparison
from journal.records.cultures import Generation
from journal.records.instants import MINUTE_MS, from_iso
from journal.records.makes import Entered, Ingredient, Make, Milk, Note
from journal.records.milk_lots import MilkLot
from journal.records.panel_tests import PAIRED, TRIANGLE, PanelTest
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.records.series import Series, SeriesMake
from journal.records.sources import FILE, LINE, TOPIC, Source
from journal.records.tastings import BY_ASSESSOR, Assessor, ScaleWord, Tasting
from journal.records.timers import TickedLine
from journal.records.wheels import Absence, AirCheck, AirReading, Care, Removal, Room, Weighing

START = from_iso("2026-03-14T08:00", "Europe/London")
PLAN = Plan(
    "kitchen hard, for the old mould – 12 l",
    (
        Stage(
            "warm", 30, "to the set", 31.0, ramp_min=20, instruction="Stir.",
            doses=(Dose("culture", "mesophilic", 0.02, "g"), Dose("other", "water", 0.1, "ml")),
        ),
        Stage(
            "set", 45, target_c=31.0, acid_target=AcidTarget("milk-ph", 6.5, 6.7, 5.0, 20.0),
            tolerance_c=0.5,
            doses=(Dose("rennet", "calf", 0.25, "ml", "in cold water"),),
        ),
        Stage("cut", 10, target_c=31.0, size_mm=12.0, until="the curd is even", water_c=50.0),
        Stage(
            "wash", 40, target_c=38.5, limit_c_per_min=0.3, first_c_per_min=0.2, first_min=15,
            whey_drawn_per_l=0.3, water_added_per_l=0.3,
        ),
        Stage("press", 60, pressure_kpa=12.0, turns=2, acid_target=AcidTarget("curd-ph", 5.2, 5.4)),
        Stage("brine", 300, brine_pct=20.0, humidity_pct=85.0, alone=True),
    ),
    care=(CareRule("turn", 1, 30, 1), CareRule("move", 14, 14, 1, "to the cave", 12.0, 85.0)),
    taste_at_days=(60.0, 120.0),
    eat_from_days=60.0,
    protein_fat=0.9,
    floc_multiplier=3.0,
    mould_mm=120.0,
    room_c=12.0,
    room_humidity_pct=85.0,
    style="hard",
    source="our own",
    caution="Raw milk needs 60 days.",
    note="as in spring",
)  # fmt: skip


def at(minutes: float) -> int:
    """So many minutes after the first make began."""
    return START + round(minutes * MINUTE_MS)


def picture() -> bytes:
    """A PNG of one grey pixel."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\x00\x80")) + chunk(b"IEND", b"")
    )  # fmt: skip


def stock(journal: Journal) -> None:
    """A shelf, a living culture, a bath, a room."""
    journal.ingredients.save(
        Ingredient("rennet", "calf", "single, 1:10,000", "R-14", at(90 * 24 * 60), 250.0, "ml")
    )
    journal.ingredients.save(Ingredient("culture", "thermophilic", "", "T-3"))
    first = journal.generations.save(
        Generation(
            "mesophilic",
            at(-3 * 24 * 60),
            origin="packet M-2",
            ph=4.4,
            gone_ms=at(-10),
            note="sharp",
        )
    )
    journal.generations.save(
        Generation("mesophilic", at(-24 * 60), 2, parent_id=first.id, keep_until_ms=at(9_000))
    )
    bath = journal.brines.save(Brine("the brine", 8.0, 20.0, at(-10_000), "boiled"))
    number = bath.id or 0
    journal.brine_events.save(BrineEvent(number, at(-60), "measured", strength_pct=19.2))
    journal.brine_events.save(BrineEvent(number, at(-50), "salt", salt_kg=0.2, note="coarse"))
    journal.brine_events.save(BrineEvent(number, at(-40), "water", litres=0.3))
    old = Brine("the old brine", 8.0, 18.0, at(-90_000), gone_ms=at(-10_000))
    journal.brines.save(old)
    room = journal.rooms.save(Room("cave", 12.0, 85.0, 1.5, 4.0, 24))
    journal.airs.save(AirReading(room.id or 0, at(0), 11.7, 84.0))
    journal.airs.save(AirReading(room.id or 0, at(60), None, 86.5, "hygrometer"))
    journal.air.check(AirCheck(room.id or 0, at(30), (80.0,), (75.5,), "hygrometer"))
    journal.milk_lots.save(MilkLot("Lower Mill", at(-600), 3.8, 3.3, 6.66, 1.2, "evening milk"))
    journal.absences.save(Absence("2026-08-01", "2026-08-14", "by the sea"))


def a_day(journal: Journal, folder: Path) -> Make:
    """A make from the milk to its wheels, with all that happens on a day."""
    milk = Milk(12.0, "cow", "pasteurised", "the farm, lot 3", 3.8, 3.3, True)
    make = journal.makes.begin(PLAN, milk, START)
    key = make.id or 0
    journal.milk.pour(key, journal.milk_lots.all()[0].id or 0, 8.0)
    journal.ticks.save(TickedLine(key, "the vat is clean", at(0)))
    journal.calibrations.save(Calibration(key, "thermometer", at(1), (0.0,), (0.3,)))
    journal.calibrations.save(
        Calibration(key, "thermometer", at(3), (0.0,), (0.1,), source="vat probe")
    )
    journal.calibrations.save(
        Calibration(key, "meter", at(2), (7.0, 4.01), (7.05, 4.1), temp_c=20.0)
    )
    for minute, value in ((0, 5.3), (10, 14.1), (20, 22.8), (31, 31.2)):
        journal.readings.log(key, "milk-temp", value, at(minute))
    journal.readings.log(key, "milk-ph", 6.62, at(32))
    journal.readings.log(key, "milk-temp", 42.1, at(33), 2)
    journal.readings.strike(key, "milk-temp", at(33), 42.1 - 0.3)
    journal.readings.log(key, "whey-acidity", 0.19, at(150))
    journal.makes.end_stage(key, at(34))
    journal.day.start_timer(key, "flocculation", at(35))
    journal.day.first_flecks(key, at(48))
    journal.day.start_timer(key, "kettle", at(50), 15)
    journal.makes.end_stage(key, at(75))
    journal.day.lengthen(key, 5, "soft")
    journal.makes.end_stage(key, at(90))
    journal.day.again(key, at(95), "heat was off")
    journal.makes.end_stage(key, at(140))
    journal.day.turn(key, at(160))
    journal.day.skip_next(key, "no brine")
    journal.makes.end_stage(key, at(200))
    blocks(journal, key)
    (folder / "grey.png").write_bytes(picture())
    journal.photos.save(Note(at(70), "clean break, äöü €", key), folder / "grey.png")
    (folder / "grey.png").unlink()
    journal.entered.save(Entered(key, "weather", None, "wet"))
    journal.entered.save(Entered(key, "stirring", 40.0, unit="1/min"))
    journal.comparisons.save(
        Comparison(
            key, "hand", "goat >7", (make.uuid, "HL-0099"), "score", "by-stage", "cut", make.uuid
        )
    )
    report = replace(
        journal.makes.get(key),
        culture_lot="M-2",
        whey_drawn_l=3.0,
        water_added_l=2.5,
        remark="fair",
    )
    journal.makes.save(report)
    journal.makes.finish(key, [0.61, 0.58], at(520))
    return journal.makes.get(key)


def blocks(journal: Journal, key: int) -> None:
    """A logger's readings, which go into blocks: some of thousandths, some as they are."""
    many = np.arange(300)
    times = np.array([at(0) + 30_000 * int(n) for n in many], np.int64)
    journal.readings.add_many(key, "room-temp", times, 5 + np.round(many / 9, 2), "logger")
    journal.readings.add_many(key, "whey-ph", times[:40], 6.5 - np.sqrt(many[:40]) / 30, "probe")
    journal.readings.strike(key, "room-temp", int(times[7]), float(5 + np.round(7 / 9, 2)))
    journal.readings.append_many(
        key, "milk-temp", times[250:260], 38 + many[:10] / 100, "vat probe"
    )


def afterwards(journal: Journal, make: Make) -> None:
    """What is done to wheels, a whey cheese, a series, sources, and something in the bin."""
    wheel, other = journal.wheels.where(make_id=make.id)
    room = journal.rooms.all()[0]
    journal.wheels.save(replace(wheel, room_id=room.id, remark="the better one"))
    journal.wheels.save(replace(other, gone_ms=at(150 * 24 * 60), gone_why="eaten"))
    lain = journal.baths.put_in(1, make.id or 0, at(530), wheel.id)
    journal.baths.take_out(lain, at(900))
    journal.generations.save(Generation("from whey", at(300), from_make_id=make.id))
    journal.cares.save(Care(wheel.id or 0, "turn", at(2 * 24 * 60), "by hand"))
    larder = journal.shelves.room_named("Larder", new=True)
    journal.shelves.move([journal.wheels.get(wheel.id or 0)], larder, at(20 * 24 * 60), "top", 2)
    journal.weighings.save(Weighing(wheel.id or 0, at(30 * 24 * 60), 0.55))
    delay = journal.weighings.save(Weighing(wheel.id or 0, at(30 * 24 * 60), 5.5))
    journal.weighings.remove(delay.id or 0)
    birthday = at(31 * 24 * 60)
    journal.shelves.take(
        Removal(wheel.id or 0, "given", birthday, 0.25, None, "Bo", "her birthday")
    )
    journal.schedules.give_wheel(wheel, [CareRule("turn", 7, 90, 7, "by hand")])
    crack = Note(at(40 * 24 * 60), "a crack, mended", wheel_id=wheel.id, rim=(0.5, 0.4, 0.3))
    journal.notes.save(crack)
    simple = Plan("whey cheese", (Stage("cook", 40, target_c=88.0),), builtin=True)
    whey = journal.makes.begin_whey(make.id or 0, simple, 8.0, at(210), milk_l=0.5)
    journal.makes.save(replace(whey, failed=True))
    set_up = journal.series.save(
        Series("salt and cook", at(600), ("cook_c", "salt_pct"), (37.0, 1.6), (39.0, 2.0),
               "half", make.plan_id)
    )  # fmt: skip
    journal.series_makes.save(SeriesMake(set_up.id or 0, 0, 0, (37.0, 2.0), make.id))
    journal.series_makes.save(SeriesMake(set_up.id or 0, 1, 1, (39.0, 1.6)))
    journal.plans.save(replace(PLAN, note="salt less", id=None))
    sources(journal, make)
    binned(journal)
    journal.set_setting("own", "a setting")


def binned(journal: Journal) -> None:
    """One of each noun that is marked instead of taken out."""
    wrong = journal.makes.begin(Plan("a mistake", PLAN.stages[:1]), Milk(1.0), at(2000))
    wheels = journal.makes.finish(wrong.id or 0, [0.1], at(2010))
    journal.wheels.remove(wheels[0].id or 0)
    journal.makes.remove(wrong.id or 0)
    journal.plans.remove("a mistake")
    for keeper, record in (
        (journal.ingredients, Ingredient("salt", "coarse")),
        (journal.generations, Generation("lost", at(-9))),
        (journal.brines, Brine("spilt", 1.0, 20.0, at(-9))),
        (journal.milk_lots, MilkLot("The other farm", at(-9))),
        (journal.rooms, Room("the cellar")),
        (journal.assessors, Assessor("Nobody")),
        (journal.tastings, Tasting(at(5), lifted_ms=at(5))),
        (journal.panel_tests, PanelTest(at(5), "UTC", PAIRED, "bitter", 1, "wrong")),
        (journal.series, Series("no", at(5), ("cook_c", "salt_pct"), (1.0, 1.0), (2.0, 2.0))),
    ):
        keeper.remove(keeper.save(record).id or 0)


def sources(journal: Journal, make: Make) -> None:
    """One of each kind."""
    output = {
        FILE: {"path": "logger.csv", "mapping": {"kinds": {"Probe (°C)": "milk-temp"}}},
        TOPIC: {"host": "192.0.2.7", "topic": "kitchen/vat", "field": "t", "tls": True},
        LINE: {"device": "/dev/ttyUSB0", "baud": 9600, "pattern": "T=([0-9.]+)"},
    }
    for kind, settings in output.items():
        on = make.id if kind == LINE else None
        text = json.dumps(settings)
        journal.sources.save(Source(f"by {kind}", kind, "milk-temp", "degC", text, on))


def tasted(journal: Journal) -> None:
    """An open sitting, one under the cloth, a panel test, words for a scale."""
    wheel = journal.wheels.all()[0]
    photo = journal.notes.all()[0].photo
    card = ScoredSample(
        {"overall": 7.5, "bitter": 2.0}, (("flavour", "bitter", "slight"),), "young", photo
    )
    journal.sessions.give(OpenServing(wheel.id or 0, "Ann", at(60 * 24 * 60)), card)
    journal.scale_words.save(ScaleWord("bitter", 2.0, "a trace"))
    session = Tasting(at(61 * 24 * 60), "Europe/London", "blind", None, BY_ASSESSOR, ("overall",))
    cheeses = [SampleIdentity(wheel.id), SampleIdentity(None, "a cheese from elsewhere")]
    journal.sessions.set_up(
        session,
        cheeses,
        ["Ann", "Bo"],
        [(0, 1), (1, 0)],
        [("314", "271"), ("582", "828")],
        ["111", "112"],
    )
    test = PanelTest(at(62 * 24 * 60), "Europe/London", TRIANGLE)
    pair = [SampleIdentity(wheel.id), SampleIdentity(None, "one from elsewhere")]
    set_up = journal.tests.set_up(
        test,
        pair,
        ["Ann", "Bo"],
        [((0, 0, 1), ("413", "562", "951")), ((1, 0, 1), ("207", "644", "380"))],
    )
    only = journal.panel_sets.where(panel_test_id=set_up.id)[0]
    journal.tests.answer(only.id or 0, (2,))
    journal.tests.reveal(set_up.id or 0, at(62 * 24 * 60 + 5))


def given_back(journal: Journal) -> dict[str, Any]:
    """What the journal gives back, as plain values: settings, records, plans, readings."""
    records = {keeper.noun: [asdict(r) for r in keeper.all()] for keeper in journal.keepers()}
    plans = [asdict(plan) for plan in journal.plans.all()]
    for plan in plans:  # an acid target is called a gate in the file and in what is written out
        for stage in plan["stages"]:
            stage["gate"] = stage.pop("acid_target")
    readings = {
        make.code: {
            kind: [
                {"at_ms": t.at_ms.tolist(), "value": t.value.tolist(), "flags": t.flags.tolist()}
                for t in (
                    journal.readings.trace(make.id or 0, kind),
                    journal.readings.trace(make.id or 0, kind, raw=True),
                )
            ]
            for kind in journal.readings.kinds(make.id or 0)
        }
        for make in journal.makes.all()
    }
    settings = {key: journal.setting(key) for key in ("letters", "zone", "own")}
    found = {"setting": settings, "record": records, "plan": plans, "reading": readings}
    plain: dict[str, Any] = json.loads(json.dumps(found))
    return plain


def write(folder: Path) -> Path:
    """Write the three files into a folder; the path of the journal."""
    path = folder / f"format_{SCHEMA}.vatside"
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        stock(journal)
        make = a_day(journal, folder)
        afterwards(journal, make)
        tasted(journal)
    db = sqlite3.connect(path)
    db.execute("pragma journal_mode = delete")
    db.execute("pragma page_size = 1024")
    db.execute("vacuum")
    db.execute("pragma journal_mode = wal")
    db.close()
    with Journal.open(path, read_only=True) as journal:
        found = given_back(journal)
    text = json.dumps(found, ensure_ascii=False)
    (folder / f"format_{SCHEMA}.json").write_text(text + "\n", encoding="utf-8")
    return path


if __name__ == "__main__":
    write(Path(sys.argv[1]))
