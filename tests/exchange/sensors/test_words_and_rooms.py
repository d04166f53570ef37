"""What is said of sensors, which reader a source gets, and what of a sensor goes to a room."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from journal.exchange.sensors.growing_file import FileSensor
from journal.exchange.sensors.intake import Intake, mark_of
from journal.exchange.sensors.making import sensor_for
from journal.exchange.sensors.room_intake import RoomIntake, room_mark_of
from journal.exchange.sensors.sensor import FAULT_AFTER_MS, Batch, needs_attention
from journal.exchange.sensors.serial_line import SerialSensor
from journal.exchange.sensors.topic import TopicSensor
from journal.records.sources import CONNECTED, FAILED, SILENT, WAITING, Arrived, SensorState
from journal.records.wheels import Room
from journal.wording.sensors import sensor_line_words, sensor_source_words, wrong_sensors_words
from tests.exchange.sensors.conftest import START_MS, source_of

ZONE = "Europe/London"
FILE = source_of("file", path="log.csv")
TOPIC = source_of("topic", host="10.0.0.7", topic="kitchen/vat", field="t")
LINE = source_of("line", device="/dev/ttyUSB0")
WARM = Arrived(START_MS + 65_000, "milk-temp", 31.4)
SOUR = Arrived(START_MS + 60_000, "milk-ph", 6.52)
OUT = SensorState(FAILED, START_MS, "No broker answers at 10.0.0.7, port 1883.")
QUIET = SensorState(SILENT, START_MS)
ASKS = SensorState(FAILED, START_MS, "10.0.0.7 needs the password of us.", asks_password=True)


@pytest.mark.parametrize(
    ("state", "latest", "says"),
    [
        (SensorState(CONNECTED, START_MS), (), "vat: connected, no reading yet"),
        (SensorState(CONNECTED, START_MS), (SOUR, WARM), "vat: 31.4 °C, pH 6.52 at 09:01:05"),
        (QUIET, (WARM,), "vat: silent since 09:00, last 31.4 °C at 09:01:05"),
        (QUIET, (), "vat: silent since 09:00"),
        (OUT, (WARM,), f"vat: {OUT.sentence}"),
        (SensorState(WAITING, START_MS), (), "vat: connecting…"),
    ],
)
def test_the_line_of_a_sensor(state, latest, says):
    assert sensor_line_words("vat", state, latest, ZONE) == says


def test_people_are_told_of_what_lasts_and_of_several_at_once():
    now = START_MS + FAULT_AFTER_MS
    assert needs_attention(QUIET, START_MS)
    assert needs_attention(ASKS, START_MS)
    assert needs_attention(OUT, now)
    assert not needs_attention(OUT, now - 1)
    assert not needs_attention(SensorState(CONNECTED, START_MS), now)
    assert wrong_sensors_words([], ZONE) == ""
    assert wrong_sensors_words([("vat", ASKS)], ZONE).startswith(f"vat: {ASKS.sentence} ")
    assert wrong_sensors_words([("vat", QUIET)], ZONE).startswith(
        "No reading has come from vat since 09"
    )
    assert wrong_sensors_words([("vat", OUT)], ZONE).endswith(f"for a minute. {OUT.sentence}")
    assert wrong_sensors_words([("a", QUIET), ("b", OUT), ("c", ASKS), ("d", QUIET)], ZONE) == (
        "No reading has come for a minute from a and d. Out of reach: b. Password needed for c."
    )


def test_each_source_gets_its_reader_and_its_words(clock):
    for source, kind, words in (
        (FILE, FileSensor, "the file log.csv; "),
        (TOPIC, TopicSensor, "the topic kitchen/vat at 10.0.0.7; "),
        (LINE, SerialSensor, "the serial line /dev/ttyUSB0; "),
    ):
        made = sensor_for(source, zone=ZONE, since_ms=START_MS, clock=clock)
        assert type(made) is kind
        assert sensor_source_words(source).startswith(words)


def test_a_room_gets_the_first_of_each_minute_and_what_is_possible(journal, clock):
    room, other = (journal.rooms.save(Room(name)) for name in ("cellar", "larder"))
    sensor = sensor_for(FILE, zone=ZONE, since_ms=START_MS, clock=clock)
    intake = RoomIntake(journal)
    assert intake.save() == 0
    temp = [Arrived(START_MS + 20_000 * n, "milk-temp", 12.0 + n) for n in range(4)]
    damp = [Arrived(START_MS, "room-humidity", 85.0), Arrived(START_MS + 61_000, "ph", 5.0),
            Arrived(START_MS + 62_000, "room-humidity", 120.0)]  # fmt: skip
    assert intake.take(sensor, room.id, Batch((*temp, *damp), 1, {"at": 9}))
    assert not intake.take(sensor, other.id, Batch((temp[0],), 2))
    assert [intake.save(), intake.save(), intake.save()] == [2, 1, 0]
    assert not intake.waiting
    assert [(a.at_ms - START_MS, a.temp_c, a.humidity_pct) for a in journal.airs.all()] == [
        (0, 12.0, 85.0), (60_000, 15.0, None), (0, 12.0, None),
    ]  # fmt: skip
    assert room_mark_of(journal, FILE.uuid, room.id) == {"at": 9, "room": room.id}
    assert room_mark_of(journal, FILE.uuid, other.id) == {}
    for broken in ("{", "[]", json.dumps({"room": other.id})):
        journal.set_setting(f"probe:{FILE.uuid}", broken)
        assert room_mark_of(journal, FILE.uuid, room.id) == {}
        assert mark_of(journal, FILE.uuid, 1) == {}
    assert Intake(journal).save() == 0
    assert replace(FILE, room_id=room.id).is_on
