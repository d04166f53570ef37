"""An MQTT topic on a real broker: killed and restarted, with passwords and TLS."""

from __future__ import annotations

import json
import signal
from pathlib import Path

import pytest

from journal.exchange.sensors.intake import mark_of
from journal.exchange.sensors.sensor import Backoff
from journal.exchange.sensors.topic import TopicSensor
from journal.wording import worded
from tests.exchange.sensors.real_broker import Broker, Publisher, guarded_broker

QUICK = Backoff(first=0.02, most=0.1)
TOPIC = "kitchen/vat"


@pytest.fixture
def sensor_on(source_for, clock):
    def made(broker, *, mark=None, trial=False, password=None, **settings) -> TopicSensor:
        unit = settings.pop("unit", "")
        settings = {"host": "127.0.0.1", "port": broker.port, "topic": TOPIC, **settings}
        source = made.source or source_for("topic", unit=unit, **settings)
        made.source = source
        return TopicSensor(
            source, clock=clock, since_ms=clock.now_ms, backoff=QUICK, mark=mark, trial=trial,
            password=password,
        )  # fmt: skip

    made.source = None
    return made


def connected(sensor: TopicSensor):
    return lambda: sensor.state.word == "connected"


def value(number: int) -> float:
    return round(20 + number / 100, 2)


def numbered(number: int) -> str:
    return json.dumps({"n": number, "probe": {"temp": value(number)}})


def test_plain_numbers_arrive_in_order(broker, publisher, sensor_on, run, heap, wait):
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    for number in range(200):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(heap.arrived) >= 200)
    assert heap.values == [value(n) for n in range(200)]
    assert heap.instants == sorted(set(heap.instants))


def test_a_field_of_json_with_its_own_time(broker, publisher, sensor_on, run, heap, wait, clock):
    sensor = run(sensor_on(broker, field="probes.1.temp", time="at", unit="degF"))
    wait(connected(sensor))
    at = clock.now_ms + 5_000
    for stamp in (at, at / 1000 + 1, "2026-03-14T09:00:07Z", clock.now_ms - 1):
        publisher.send(json.dumps({"at": stamp, "probes": [{"temp": 1}, {"temp": 88.7}]}))
    publisher.send('{"at": 1, "probes": []}')
    publisher.send("not json")
    publisher.send('{"at": 1773478800, "probes": [{}, {"temp": true}]}')
    wait(lambda: len(heap.options) == 7)
    assert heap.instants == [at, at + 1_000, at + 2_000]
    assert heap.values == [pytest.approx(31.5)] * 3
    assert [one.understood for one in heap.options[3:]] == [
        "it is from before the make began",
        "there is no “probes.1.temp” in it",
        "it is not JSON",
        "“probes.1.temp” is not a number",
    ]


@pytest.mark.parametrize(
    ("how", "in_flight"), [(signal.SIGTERM, 20), (signal.SIGKILL, 0)], ids=["ended", "killed"]
)
def test_the_broker_is_killed_in_mid_make(broker, publisher, sensor_on, into, wait, how, in_flight):
    """Nothing lost, nothing twice, order kept; a killed broker has the publisher send again.

    Ended, it writes down what is in flight. Killed outright it forgets what it had acknowledged
    to the sensor and not written yet, which no subscriber can mend: so nothing is in flight then.
    """
    sensor = into.start(sensor_on(broker, field="probe.temp", count="n"))
    wait(connected(sensor))
    number = 0
    for _ in range(3):
        for _ in range(25):
            publisher.send(numbered(number))
            number += 1
        wait(lambda: len(into.values()) >= number - in_flight)  # noqa: B023 - waited for here
        broker.end(how)
        for _ in range(25):
            publisher.send(numbered(number))
            number += 1
        wait(lambda: sensor.state.word == "failed")
        broker.start()
        wait(publisher.all_out)
        wait(lambda: len(into.values()) >= number)  # noqa: B023 - waited for here
    wait(connected(sensor))
    sensor.stop()
    assert into.values() == [value(n) for n in range(number)]


@pytest.mark.parametrize("remembers", [True, False], ids=["remembers", "forgets"])
def test_a_broker_killed_with_messages_in_flight_loses_only_what_it_had_taken(
    tmp_path, sensor_on, into, wait, remembers
):
    """The limit of what can be promised: a value is missing only if the broker had told the sensor
    that it had it. All others are there, each once by its count, in order; also where the broker
    writes nothing down, as it comes, and the sensor has to send again."""
    broker = Broker(tmp_path, remembers=remembers)
    broker.start()
    sensor = into.start(sensor_on(broker, field="probe.temp", count="n"))
    publisher = Publisher(broker.port)
    wait(connected(sensor))
    wait(publisher.client.is_connected)
    number, taken = 0, set()
    for _ in range(3):
        for _ in range(40):
            publisher.send(numbered(number))
            number += 1
        wait(lambda: len(into.values()) >= number - 40)  # noqa: B023 - some came, some did not
        broker.end(signal.SIGKILL)
        taken.update(publisher.taken)
        broker.start()
        wait(publisher.all_out)
        wait(connected(sensor))
    publisher.send(numbered(number))
    wait(lambda: value(number) in into.values())
    sensor.stop()
    publisher.close()
    broker.end()
    kept, sent = into.values(), [value(n) for n in range(number + 1)]
    assert kept == sorted(set(kept))
    missing = set(sent) - set(kept)
    assert missing <= {value(json.loads(one)["n"]) for one in taken}


def test_a_count_knows_again_what_came_before_the_broker_forgot_everything(
    tmp_path, sensor_on, into, wait
):
    """A broker that writes nothing down is started again, and the sensor repeats a thousand
    messages, as many as a broker keeps for one that is away (by its own default)."""
    broker = Broker(tmp_path, remembers=False)
    broker.start()
    sensor = into.start(sensor_on(broker, field="probe.temp", count="n"))
    publisher = Publisher(broker.port)
    wait(connected(sensor))
    for number in range(1_100):
        publisher.send(numbered(number))
    wait(lambda: len(into.values()) == 1_100)
    broker.end(signal.SIGKILL)
    wait(lambda: sensor.state.word == "failed")
    broker.start()
    wait(connected(sensor))
    for number in range(100, 1_102):
        publisher.send(numbered(number))
    wait(lambda: len(into.values()) >= 1_102)
    sensor.stop()
    publisher.close()
    broker.end()
    # Each of them once. In which order is the publishing library's: with more than its window of
    # twenty on the way, one that is just put in may overtake those that wait.
    assert sorted(into.values()) == [value(n) for n in range(1_102)]


def test_a_sensor_that_publishes_exactly_once_needs_no_count(
    broker, publisher, sensor_on, into, wait
):
    """Plain numbers with QoS 2, the broker ended and started again in the middle of them. A sensor
    sends one now and then: never more at once than a broker takes (20 by its own rule)."""
    sensor = into.start(sensor_on(broker))
    wait(connected(sensor))
    number = 0
    for _ in range(4):
        for _ in range(8):
            publisher.send(f"{value(number):.2f}", qos=2)
            number += 1
        wait(lambda: len(into.values()) >= number - 4)  # noqa: B023 - waited for here
        broker.end()
        for _ in range(4):
            publisher.send(f"{value(number):.2f}", qos=2)
            number += 1
        wait(lambda: sensor.state.word == "failed")
        broker.start()
        wait(publisher.all_out)
        wait(lambda: len(into.values()) >= number)  # noqa: B023 - waited for here
    wait(connected(sensor))
    sensor.stop()
    assert into.values() == [value(n) for n in range(number)]


def test_qos_0_is_said(broker, publisher, sensor_on, run, heap, wait):
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    assert sensor.caution == ""
    publisher.send("31.00", qos=0)
    wait(lambda: heap.values == [31.0])
    assert sensor.caution == worded("exchange.at-most-once")
    publisher.send("31.10")
    wait(lambda: heap.values == [31.0, 31.1])
    assert sensor.caution == ""


def test_what_was_sent_while_the_program_was_away_comes_afterwards(
    broker, publisher, sensor_on, into, wait
):
    sensor = into.start(sensor_on(broker))
    wait(connected(sensor))
    publisher.send("20.00")
    wait(lambda: into.values() == [20.0])
    sensor.stop()
    for number in range(1, 60):
        publisher.send(f"{value(number):.2f}")
    wait(publisher.all_out)
    mark = mark_of(into.journal, sensor.source.uuid, into.make.id)
    assert mark
    sensor = into.start(sensor_on(broker, mark=mark))
    wait(lambda: len(into.values()) >= 60)
    sensor.stop()
    assert into.values() == [value(n) for n in range(60)]


def test_a_crash_between_keeping_and_acknowledging_keeps_nothing_twice(
    broker, publisher, sensor_on, into, wait
):
    """Plain numbers without any time in them: known again by the broker's own numbers."""
    sensor = sensor_on(broker)
    sensor.kept = _nothing  # the crash comes before the broker hears that they are kept
    into.start(sensor)
    wait(connected(sensor))
    for number in range(10):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(into.values()) == 10)
    sensor.stop()
    publisher.send("21.00")
    wait(publisher.all_out)
    mark = mark_of(into.journal, sensor.source.uuid, into.make.id)
    sensor = into.start(sensor_on(broker, mark=mark))
    wait(lambda: len(into.values()) >= 11)
    sensor.stop()
    assert into.values() == [*(value(n) for n in range(10)), 21.0]


def test_a_crash_before_keeping_loses_nothing(broker, publisher, sensor_on, into, run, heap, wait):
    heap.keeps = False  # delivered into the memory of a program that is killed
    sensor = run(sensor_on(broker, mark={"seen": []}))
    wait(connected(sensor))
    for number in range(10):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(heap.arrived) == 10)
    sensor.stop()
    sensor = into.start(sensor_on(broker, mark={"seen": []}))
    wait(lambda: len(into.values()) >= 10)
    sensor.stop()
    assert into.values() == [value(n) for n in range(10)]


def test_another_make_begins_without_what_the_broker_kept_for_the_last(
    broker, publisher, sensor_on, run, heap, wait
):
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    sensor.stop()
    publisher.send("25.00")
    wait(publisher.all_out)
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])


def test_a_value_the_broker_kept_from_before_is_left_out(
    broker, publisher, sensor_on, run, heap, wait
):
    publisher.send("25.00", retain=True)
    wait(publisher.all_out)
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])
    wait(lambda: any("older value" in one.understood for one in heap.options))


def test_no_broker_is_said_and_waited_for(broker, sensor_on, run, wait, clock):
    """Since when is the first try in vain, not the last."""
    broker.end()
    since_ms = clock.now_ms
    sensor = run(sensor_on(broker))
    wait(lambda: "No broker answers" in sensor.state.sentence)
    clock.after(90)
    first = sensor.state
    wait(lambda: sensor.state is not first, "it tried again")
    assert (sensor.state.word, sensor.state.since_ms) == ("failed", since_ms)
    broker.start()
    wait(connected(sensor))


def test_silence_is_told_by_the_clock(broker, publisher, sensor_on, run, heap, wait, clock):
    sensor = run(sensor_on(broker))
    wait(connected(sensor))
    publisher.send("31.00")
    wait(lambda: len(heap.arrived) == 1)
    heard = clock.now_ms
    clock.after(60)
    assert (sensor.state.word, sensor.state.since_ms) == ("silent", heard)
    publisher.send("31.10")
    wait(connected(sensor))


def test_a_trial_leaves_nothing_at_the_broker(broker, publisher, sensor_on, run, heap, wait):
    sensor = run(sensor_on(broker, trial=True))
    wait(connected(sensor))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])
    sensor.stop()
    publisher.send("31.10")
    wait(publisher.all_out)
    sensor = run(sensor_on(broker, trial=True))
    wait(connected(sensor))
    publisher.send("31.20")
    wait(lambda: heap.values[-1] == 31.2)
    assert heap.values == [31.0, 31.2]


# Passwords and TLS


@pytest.fixture
def guarded(tmp_path: Path):
    """A broker that wants a name, a password and TLS."""
    made = guarded_broker(tmp_path / "guarded")
    made.start()
    yield made
    made.end()


def test_with_password_and_tls(guarded, sensor_on, run, wait):
    sensor = run(
        sensor_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_right)
    )  # fmt: skip
    wait(connected(sensor))


def test_a_wrong_password_is_asked_for_again(guarded, sensor_on, run, wait):
    sensor = run(
        sensor_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_wrong)
    )  # fmt: skip
    wait(lambda: sensor.state.word == "failed")
    assert "refused" in sensor.state.sentence
    assert sensor.state.asks_password


def test_a_missing_password_is_asked_for(guarded, sensor_on, run, wait):
    sensor = run(
        sensor_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_nobody_knows)
    )  # fmt: skip
    wait(lambda: sensor.state.asks_password)
    assert "password of vat" in sensor.state.sentence


def test_an_unknown_certificate_is_not_trusted(guarded, sensor_on, run, wait):
    sensor = run(sensor_on(guarded, host="localhost", tls=True, user="vat", password=_right))
    wait(lambda: sensor.state.word == "failed")
    assert "certificate was not accepted" in sensor.state.sentence


def _right() -> str:
    return "rennet at 31"


def _wrong() -> str:
    return "rennet at 13"


def _nobody_knows() -> None:
    return None


def _nothing(_number: int) -> None:
    pass
