"""An MQTT topic on a real broker: killed and restarted, with passwords and TLS."""

from __future__ import annotations

import json
import signal
from pathlib import Path

import pytest

from journal.exchange.probes.intake import mark_of
from journal.exchange.probes.probe import Backoff
from journal.exchange.probes.topic import AT_MOST_ONCE, TopicProbe
from tests.exchange.probes.real_broker import Broker, Publisher, guarded_broker

QUICK = Backoff(first=0.02, most=0.1)
TOPIC = "kitchen/vat"


@pytest.fixture
def probe_on(source_for, clock):
    def made(broker, *, mark=None, trial=False, password=None, **settings) -> TopicProbe:
        unit = settings.pop("unit", "")
        settings = {"host": "127.0.0.1", "port": broker.port, "topic": TOPIC, **settings}
        source = made.source or source_for("topic", unit=unit, **settings)
        made.source = source
        return TopicProbe(
            source, clock=clock, since_ms=clock.now_ms, backoff=QUICK, mark=mark, trial=trial,
            password=password,
        )  # fmt: skip

    made.source = None
    return made


def connected(probe: TopicProbe):
    return lambda: probe.state.word == "connected"


def value(number: int) -> float:
    return round(20 + number / 100, 2)


def numbered(number: int) -> str:
    return json.dumps({"n": number, "probe": {"temp": value(number)}})


def test_plain_numbers_arrive_in_order(broker, publisher, probe_on, run, heap, wait):
    probe = run(probe_on(broker))
    wait(connected(probe))
    for number in range(200):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(heap.arrived) >= 200)
    assert heap.values == [value(n) for n in range(200)]
    assert heap.instants == sorted(set(heap.instants))


def test_a_field_of_json_with_its_own_time(broker, publisher, probe_on, run, heap, wait, clock):
    probe = run(probe_on(broker, field="probes.1.temp", time="at", unit="degF"))
    wait(connected(probe))
    at = clock.now_ms + 5_000
    for stamp in (at, at / 1000 + 1, "2026-03-14T09:00:07Z", clock.now_ms - 1):
        publisher.send(json.dumps({"at": stamp, "probes": [{"temp": 1}, {"temp": 88.7}]}))
    publisher.send('{"at": 1, "probes": []}')
    publisher.send("not json")
    publisher.send('{"at": 1773478800, "probes": [{}, {"temp": true}]}')
    wait(lambda: len(heap.said) == 7)
    assert heap.instants == [at, at + 1_000, at + 2_000]
    assert heap.values == [pytest.approx(31.5)] * 3
    assert [one.understood for one in heap.said[3:]] == [
        "it is from before the make began",
        "there is no “probes.1.temp” in it",
        "it is not JSON",
        "“probes.1.temp” is not a number",
    ]


@pytest.mark.parametrize(
    ("how", "in_flight"), [(signal.SIGTERM, 20), (signal.SIGKILL, 0)], ids=["ended", "killed"]
)
def test_the_broker_is_killed_in_mid_make(broker, publisher, probe_on, into, wait, how, in_flight):
    """Nothing lost, nothing twice, order kept; a killed broker has the publisher send again.

    Ended, it writes down what is in flight. Killed outright it forgets what it had acknowledged
    to the sensor and not written yet, which no subscriber can mend: so nothing is in flight then.
    """
    probe = into.start(probe_on(broker, field="probe.temp", count="n"))
    wait(connected(probe))
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
        wait(lambda: probe.state.word == "failed")
        broker.start()
        wait(publisher.all_out)
        wait(lambda: len(into.values()) >= number)  # noqa: B023 - waited for here
    wait(connected(probe))
    probe.stop()
    assert into.values() == [value(n) for n in range(number)]


@pytest.mark.parametrize("remembers", [True, False], ids=["remembers", "forgets"])
def test_a_broker_killed_with_messages_in_flight_loses_only_what_it_had_taken(
    tmp_path, probe_on, into, wait, remembers
):
    """The limit of what can be promised: a value is missing only if the broker had told the sensor
    that it had it. All others are there, each once by its count, in order; also where the broker
    writes nothing down, as it comes, and the sensor has to send again."""
    broker = Broker(tmp_path, remembers=remembers)
    broker.start()
    probe = into.start(probe_on(broker, field="probe.temp", count="n"))
    publisher = Publisher(broker.port)
    wait(connected(probe))
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
        wait(connected(probe))
    publisher.send(numbered(number))
    wait(lambda: value(number) in into.values())
    probe.stop()
    publisher.close()
    broker.end()
    kept, sent = into.values(), [value(n) for n in range(number + 1)]
    assert kept == sorted(set(kept))
    missing = set(sent) - set(kept)
    assert missing <= {value(json.loads(one)["n"]) for one in taken}


def test_a_count_knows_again_what_came_before_the_broker_forgot_everything(
    tmp_path, probe_on, into, wait
):
    """A broker that writes nothing down is started again, and the sensor repeats a thousand
    messages, as many as a broker keeps for one that is away (by its own default)."""
    broker = Broker(tmp_path, remembers=False)
    broker.start()
    probe = into.start(probe_on(broker, field="probe.temp", count="n"))
    publisher = Publisher(broker.port)
    wait(connected(probe))
    for number in range(1_100):
        publisher.send(numbered(number))
    wait(lambda: len(into.values()) == 1_100)
    broker.end(signal.SIGKILL)
    wait(lambda: probe.state.word == "failed")
    broker.start()
    wait(connected(probe))
    for number in range(100, 1_102):
        publisher.send(numbered(number))
    wait(lambda: value(1_101) in into.values())
    probe.stop()
    publisher.close()
    broker.end()
    assert into.values() == [value(n) for n in range(1_102)]


def test_a_sensor_that_publishes_exactly_once_needs_no_count(
    broker, publisher, probe_on, into, wait
):
    """Plain numbers with QoS 2, the broker ended and started again in the middle of them. A sensor
    sends one now and then: never more at once than a broker takes (20 by its own rule)."""
    probe = into.start(probe_on(broker))
    wait(connected(probe))
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
        wait(lambda: probe.state.word == "failed")
        broker.start()
        wait(publisher.all_out)
        wait(lambda: len(into.values()) >= number)  # noqa: B023 - waited for here
    wait(connected(probe))
    probe.stop()
    assert into.values() == [value(n) for n in range(number)]


def test_qos_0_is_said(broker, publisher, probe_on, run, heap, wait):
    probe = run(probe_on(broker))
    wait(connected(probe))
    assert probe.caution == ""
    publisher.send("31.00", qos=0)
    wait(lambda: heap.values == [31.0])
    assert probe.caution == AT_MOST_ONCE
    publisher.send("31.10")
    wait(lambda: heap.values == [31.0, 31.1])
    assert probe.caution == ""


def test_what_was_sent_while_the_program_was_away_comes_afterwards(
    broker, publisher, probe_on, into, wait
):
    probe = into.start(probe_on(broker))
    wait(connected(probe))
    publisher.send("20.00")
    wait(lambda: into.values() == [20.0])
    probe.stop()
    for number in range(1, 60):
        publisher.send(f"{value(number):.2f}")
    wait(publisher.all_out)
    mark = mark_of(into.journal, probe.source.uuid, into.make.id)
    assert mark
    probe = into.start(probe_on(broker, mark=mark))
    wait(lambda: len(into.values()) >= 60)
    probe.stop()
    assert into.values() == [value(n) for n in range(60)]


def test_a_crash_between_keeping_and_acknowledging_keeps_nothing_twice(
    broker, publisher, probe_on, into, wait
):
    """Plain numbers without any time in them: known again by the broker's own numbers."""
    probe = probe_on(broker)
    probe.kept = _nothing  # the crash comes before the broker hears that they are kept
    into.start(probe)
    wait(connected(probe))
    for number in range(10):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(into.values()) == 10)
    probe.stop()
    publisher.send("21.00")
    wait(publisher.all_out)
    mark = mark_of(into.journal, probe.source.uuid, into.make.id)
    probe = into.start(probe_on(broker, mark=mark))
    wait(lambda: len(into.values()) >= 11)
    probe.stop()
    assert into.values() == [*(value(n) for n in range(10)), 21.0]


def test_a_crash_before_keeping_loses_nothing(broker, publisher, probe_on, into, run, heap, wait):
    heap.keeps = False  # delivered into the memory of a program that is killed
    probe = run(probe_on(broker, mark={"seen": []}))
    wait(connected(probe))
    for number in range(10):
        publisher.send(f"{value(number):.2f}")
    wait(lambda: len(heap.arrived) == 10)
    probe.stop()
    probe = into.start(probe_on(broker, mark={"seen": []}))
    wait(lambda: len(into.values()) >= 10)
    probe.stop()
    assert into.values() == [value(n) for n in range(10)]


def test_another_make_begins_without_what_the_broker_kept_for_the_last(
    broker, publisher, probe_on, run, heap, wait
):
    probe = run(probe_on(broker))
    wait(connected(probe))
    probe.stop()
    publisher.send("25.00")
    wait(publisher.all_out)
    probe = run(probe_on(broker))
    wait(connected(probe))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])


def test_a_value_the_broker_kept_from_before_is_left_out(
    broker, publisher, probe_on, run, heap, wait
):
    publisher.send("25.00", retain=True)
    wait(publisher.all_out)
    probe = run(probe_on(broker))
    wait(connected(probe))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])
    wait(lambda: any("older value" in one.understood for one in heap.said))


def test_no_broker_is_said_and_waited_for(broker, probe_on, run, wait, clock):
    """Since when is the first try in vain, not the last."""
    broker.end()
    since_ms = clock.now_ms
    probe = run(probe_on(broker))
    wait(lambda: "No broker answers" in probe.state.sentence)
    clock.after(90)
    first = probe.state
    wait(lambda: probe.state is not first, "it tried again")
    assert (probe.state.word, probe.state.since_ms) == ("failed", since_ms)
    broker.start()
    wait(connected(probe))


def test_silence_is_told_by_the_clock(broker, publisher, probe_on, run, heap, wait, clock):
    probe = run(probe_on(broker))
    wait(connected(probe))
    publisher.send("31.00")
    wait(lambda: len(heap.arrived) == 1)
    heard = clock.now_ms
    clock.after(60)
    assert (probe.state.word, probe.state.since_ms) == ("silent", heard)
    publisher.send("31.10")
    wait(connected(probe))


def test_a_trial_leaves_nothing_at_the_broker(broker, publisher, probe_on, run, heap, wait):
    probe = run(probe_on(broker, trial=True))
    wait(connected(probe))
    publisher.send("31.00")
    wait(lambda: heap.values == [31.0])
    probe.stop()
    publisher.send("31.10")
    wait(publisher.all_out)
    probe = run(probe_on(broker, trial=True))
    wait(connected(probe))
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


def test_with_password_and_tls(guarded, probe_on, run, wait):
    probe = run(
        probe_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_right)
    )  # fmt: skip
    wait(connected(probe))


def test_a_wrong_password_is_asked_for_again(guarded, probe_on, run, wait):
    probe = run(
        probe_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_wrong)
    )  # fmt: skip
    wait(lambda: probe.state.word == "failed")
    assert "refused" in probe.state.sentence
    assert probe.state.asks_password


def test_a_missing_password_is_asked_for(guarded, probe_on, run, wait):
    probe = run(
        probe_on(guarded, host="localhost", tls=True, authority=guarded.authority, user="vat",
                 password=_nobody_knows)
    )  # fmt: skip
    wait(lambda: probe.state.asks_password)
    assert "password of vat" in probe.state.sentence


def test_an_unknown_certificate_is_not_trusted(guarded, probe_on, run, wait):
    probe = run(probe_on(guarded, host="localhost", tls=True, user="vat", password=_right))
    wait(lambda: probe.state.word == "failed")
    assert "certificate was not accepted" in probe.state.sentence


def _right() -> str:
    return "rennet at 31"


def _wrong() -> str:
    return "rennet at 13"


def _nobody_knows() -> None:
    return None


def _nothing(_number: int) -> None:
    pass
