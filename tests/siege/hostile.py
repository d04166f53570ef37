"""Hostile input at every door: any number of inputs made from a seed, each answered in good time.

`python -m tests.siege.hostile [COUNT] [SEED]` prints how many each door took. A door may answer or
refuse with one of the program's own errors. Nothing else may be raised, none may take more than 20
times what a harmless input of its size takes (measured in the same run, a millisecond at least),
and the process may not grow by more than 500 MB.
"""

from __future__ import annotations

import io
import json
import shutil
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.bundle import read_bundle, write_bundle
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import take
from journal.exchange.loggers.understand import understand
from journal.exchange.past_columns import ChosenColumns
from journal.exchange.past_makes import read_past
from journal.exchange.plan_files import read_plan_file
from journal.exchange.sensors.line_pattern import LinePattern
from journal.exchange.sensors.topic import TopicSensor
from journal.keeping import Journal
from journal.message import MessageError
from journal.quantities.several import parse_several
from journal.quantities.typed import parse
from journal.quantities.units import quantities
from journal.records.dates import read_date, read_day
from journal.records.day_typed import day_typed
from journal.records.dose_typed import read_dose
from journal.records.instants import at_clock
from journal.records.page_answers import PageAnswer, PageKey, find_line, read_answer, write_answer
from journal.records.plan_text import builtin_plans, write_plan
from journal.records.sources import Source
from journal.records.stage_typed import read_cell, read_milk
from tests.siege import hostile_words as words

ZONE, START_MS = "Europe/Berlin", 1_792_900_000_000  # the days around a change of the clocks
_PLAN = builtin_plans()[0]
OURS = (ExchangeError, MessageError)
TIMES, LEAST_S, MOST_MB = 20, 0.001, 500

Act = Callable[[bytes], object]
Inputs = st.SearchStrategy[bytes]


@dataclass(frozen=True)
class Door:
    """Where input comes in: what hostile input looks like there, and a harmless one of a size."""

    inputs: Inputs
    act: Act
    harmless: Callable[[int], bytes]


class Raw(bytes):
    """An input, of which only the beginning is shown."""

    def __repr__(self) -> str:
        return f"{bytes(self[:300])!r}, {len(self):,} bytes"


class HostileFound(AssertionError):
    """An input that was not borne."""


# What hostile input is made of

_ODD = st.sampled_from(words.ODD)


def _texts(*own: str) -> st.SearchStrategy[str]:
    """Texts made of a door's own words, odd ones, any letters, and each many times over."""
    any_text = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
    piece = st.one_of(st.sampled_from(own), st.sampled_from(own), _ODD, any_text)
    often = st.sampled_from([1] * 24 + [2, 3, 30, 1000, 20_000])
    many = st.tuples(piece, often).map(
        lambda one: one[0] * min(one[1], 100_000 // (len(one[0]) or 1))
    )
    return st.lists(st.one_of(piece, piece, many), max_size=14).map("".join)


def _bytes(texts: st.SearchStrategy[str]) -> Inputs:
    """The texts in any encoding, now and then with a bit of it spoilt."""
    codes = ["utf-8"] * 6 + ["utf-8-sig", "utf-16", "utf-16-le", "utf-32", "cp1252"]
    coded = st.tuples(texts, st.sampled_from(codes)).map(
        lambda one: one[0].encode(one[1], "replace")
    )

    def spoilt(data: bytes, at: int, by: bytes) -> bytes:
        at %= len(data) + 1
        return data[:at] + by + data[at + len(by) :]

    return st.one_of(
        coded, coded, st.builds(spoilt, coded, st.integers(0, 10_000), st.binary(max_size=6))
    )


# The doors

_COLUMNS = ("stage", "temp", "minutes", "what", "do", "until")

_folder = tempfile.TemporaryDirectory(prefix="hostile")


def _file(data: bytes, name: str) -> Path:
    path = Path(_folder.name) / name
    path.write_bytes(data)
    return path


def _logger(data: bytes) -> None:
    take(understand(read_table(data)), zone=ZONE, start_ms=START_MS)


def _past(data: bytes) -> None:
    read_past(_file(data, "past.csv"), ChosenColumns(date="2025-01-01"), zone=ZONE)


def _sheet(data: bytes) -> None:
    """The data is one part of a spreadsheet, by its first byte."""
    names = list(_parts())
    name, held = names[data[0] % len(names)] if data else names[0], data[1:]
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for each, whole in _parts().items():
            archive.writestr(each, held if each == name else whole)
    read_past(_file(out.getvalue(), "past.xlsx"), ChosenColumns(date="2025-01-01"), zone=ZONE)


@cache
def _parts() -> dict[str, bytes]:
    """The parts of a sound spreadsheet; the sheet itself comes first."""
    import openpyxl

    book = openpyxl.Workbook()
    for row in (["Date", "Salt", "Overall"], ["2026-03-14", 1.8, 7.5], ["2026-03-21", 2.1, 6]):
        book["Sheet"].append(row)
    out = io.BytesIO()
    book.save(out)
    with zipfile.ZipFile(out) as archive:
        names = sorted(archive.namelist(), key=lambda name: "sheet1" not in name)
        return {name: archive.read(name) for name in names}


def _bundle(data: bytes) -> None:
    """A sound bundle, written over from the place on that the first two bytes name."""
    out = bytearray(_sound_bundle())
    at = int.from_bytes(data[:2], "big") % len(out)
    out[at : at + len(data) - 2] = data[2:]
    where = Path(_folder.name) / "out"
    try:
        read_bundle(_file(bytes(out), "k.vatside.zip"), where)
    finally:
        shutil.rmtree(where, ignore_errors=True)


@cache
def _sound_bundle() -> bytes:
    path = Path(_folder.name) / "kitchen.vatside"
    out = path.with_name("sound.vatside.zip")
    with Journal.create(path, zone=ZONE) as journal:
        journal.plans.save(_PLAN)
        write_bundle(journal, out)
    return out.read_bytes()


def _plan(data: bytes) -> None:
    read_plan_file(_file(data, "plan.toml"))


def _cells(data: bytes) -> None:
    plan, text = _PLAN, data.decode("utf-8", "replace")
    reads = [partial(read_cell, column, text, plan.stages[1], plan, 12.0) for column in _COLUMNS]
    _each(*reads, partial(read_milk, "temp", text, plan), partial(read_milk, "what", text, plan))


def _dose(data: bytes) -> None:
    plan = _PLAN
    read_dose(data.decode("utf-8", "replace"), plan, plan.stages[0], 12.0)


def _day(data: bytes) -> None:
    day_typed(data.decode("utf-8", "replace"), _PLAN, ZONE, START_MS)


def _instant(data: bytes) -> None:
    text = data.decode("utf-8", "replace")
    _each(
        partial(read_day, text, ZONE, START_MS),
        partial(read_date, text, ZONE, START_MS),
        partial(at_clock, text, ZONE, START_MS - 80_000_000, START_MS),
    )


def _quantity(data: bytes) -> None:
    text = data.decode("utf-8", "replace")
    _each(*(partial(read, text, one) for one in quantities() for read in (parse, parse_several)))


def _each(*reads: Callable[[], object]) -> None:
    """All of them, though one refuses."""
    for read in reads:
        with suppress(*OURS):
            read()


def _message(data: bytes) -> None:
    """A message as a number, and as JSON with a value and a time in it."""
    from paho.mqtt.client import MQTTMessage

    for settings_of in ({}, {"field": "sensor.temp", "time": "at"}, {"field": "a.0", "count": "n"}):
        options = json.dumps({"host": "h", "topic": "t", **settings_of})
        sensor = TopicSensor(
            Source("vat", "topic", "milk-temp", "", options), zone=ZONE, clock=lambda: START_MS
        )
        for retain in (False, True):
            message = MQTTMessage(1, data[:20])
            message.payload, message.qos, message.retain = data, 0, retain
            sensor._on_message(None, None, message)


def _line(data: bytes) -> None:
    """The first half is the pattern a person typed, the other what the line brings."""
    text = data.decode("utf-8", "replace")
    pattern, _, line = text.partition("\n")
    LinePattern(pattern).value(line[:2000])


_PAGE = PageKey("of a session", "of Orla", ("417", "203"), ("overall", "salt"))
_ANSWER = write_answer(PageAnswer(((7.5, None), (0.0, 10.0)), ("nutty", "")), _PAGE)


def _answer(data: bytes) -> None:
    """What an assessor elsewhere sent, alone and behind the head of a page that there is."""
    text = data.decode("utf-8", "replace")
    _each(*(partial(_one_answer, one) for one in (text, f"VATSIDE1-{_PAGE.head}{text}")))


def _one_answer(text: str) -> None:
    read_answer(find_line(text), _PAGE)


# Harmless input of a size


def _rows(head: str, row: str) -> Callable[[int], bytes]:
    return lambda size: (head + row * (size // len(row) + 1)).encode()


def _harmless_plan(size: int) -> bytes:
    text = write_plan(_PLAN)
    return (text + "# as it is\n" * max(0, (size - len(text)) // 11)).encode()


def _harmless_sheet(size: int) -> bytes:
    sheet = next(iter(_parts().values()))
    row = b"<row><c><v>1</v></c><c><v>1.8</v></c><c><v>7</v></c></row>"
    head, tail = sheet.split(b"</sheetData>")
    return b"\0" + head + row * (max(0, size - len(sheet)) // len(row)) + b"</sheetData>" + tail


def _harmless_message(size: int) -> bytes:
    return json.dumps({"sensor": {"temp": 31.4}, "at": 1_792_900_000, "more": "x" * size}).encode()


def _harmless_bundle(_size: int) -> bytes:
    return b"\0\0"  # nothing is written over


def _harmless_line(size: int) -> bytes:
    return b"T=([0-9.]+)\n" + b"T" * size


_ROW = "2026-05-12 18:00:00,31.4,6.5\n"
_MAKE = "2026-05-12,1.8,7\n"
_typed = _rows("", "31.4 ")
_tables, _amounts, _times = (_bytes(_texts(*own)) for own in (words.TABLE, words.TYPED, words.TIME))
_parts_spoilt = st.builds(
    lambda part, held: bytes([part]) + held,
    st.sampled_from([0] * 9 + list(range(1, 12))),
    _bytes(_texts(*words.SHEET)),
)
_bundles = st.builds(
    lambda at, by: at.to_bytes(2, "big") + by,
    st.integers(0, 65_535),
    st.one_of(st.binary(max_size=64), _bytes(_texts(*words.JSON))),
)
DOORS: dict[str, Door] = {
    "logger": Door(_tables, _logger, _rows("Time,Temp,pH\n", _ROW)),
    "past makes": Door(_tables, _past, _rows("Date,Salt,Overall\n", _MAKE)),
    "spreadsheet": Door(_parts_spoilt, _sheet, _harmless_sheet),
    "bundle": Door(_bundles, _bundle, _harmless_bundle),
    "plan": Door(_bytes(_texts(*words.PLAN, write_plan(_PLAN))), _plan, _harmless_plan),
    "plan's cell": Door(_amounts, _cells, _typed),
    "dose": Door(_amounts, _dose, _typed),
    "day of a plan": Door(_times, _day, _typed),
    "date or time": Door(_times, _instant, _typed),
    "quantity": Door(_amounts, _quantity, _typed),
    "MQTT message": Door(_bytes(_texts(*words.JSON)), _message, _harmless_message),
    "answer of a page": Door(
        _bytes(_texts(_ANSWER, _ANSWER[:20], _ANSWER[-12:], "VATSIDE1-", "-", "0Z")),
        _answer,
        _rows(f"{_ANSWER}\n", "thanks "),
    ),
    "serial line": Door(_bytes(_texts(*words.PATTERN)), _line, _harmless_line),
}


# The siege


@dataclass
class _Meter:
    """Times one door's inputs against harmless ones of their size."""

    door: Door
    count: int = 0
    known: dict[int, float] = field(default_factory=dict)

    def take(self, data: bytes) -> None:
        """Let one input in; HostileFound when it is not borne."""
        self.count += 1
        took = seconds(self.door.act, data)
        if took <= TIMES * LEAST_S or took <= TIMES * self._harmless_s(len(data)):
            return
        took = min(seconds(self.door.act, data) for _ in range(3))
        usual = max(LEAST_S, seconds(self.door.act, self.door.harmless(len(data))))
        if took > TIMES * usual:
            raise HostileFound(f"{took:.3f} s, {took / usual:.0f} times a harmless input: {data!r}")

    def _harmless_s(self, size: int) -> float:
        near = max(64, 1 << max(0, size.bit_length() - 1))
        if near not in self.known:
            self.known[near] = seconds(self.door.act, self.door.harmless(near))
        return max(LEAST_S, self.known[near])


def seconds(act: Act, data: bytes) -> float:
    """How long one input takes; HostileFound when it raises what is not the program's own."""
    begun = time.thread_time()
    try:
        act(data)
    except OURS:
        pass
    except Exception as error:
        raise HostileFound(f"{error!r} of {data!r}") from error
    return time.thread_time() - begun


def _grown_mb() -> float:
    """The most this process has held, in MB; 0 where the system does not say."""
    try:
        lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    except OSError:
        return 0.0
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))


def siege(name: str, count: int, number: int) -> int:
    """Let `count` inputs in at one door; how many there were. HostileFound says which was not
    borne."""
    meter = _Meter(DOORS[name])
    meter.take(DOORS[name].harmless(100))  # what is loaded on first use is not the input's doing
    before = _grown_mb()

    @seed(number)
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    @given(DOORS[name].inputs.map(Raw))
    def each(data: bytes) -> None:
        meter.take(data)

    each()
    if _grown_mb() - before > MOST_MB:
        raise HostileFound(f"{name}: the process grew by {_grown_mb() - before:.0f} MB")
    return meter.count


def run(count: int, number: int) -> dict[str, int]:
    """Share `count` inputs out among the doors; how many each took."""
    found: Counter[str] = Counter()
    for name in DOORS:
        found[name] += siege(name, -(-count // len(DOORS)), number)
    return dict(found)


if __name__ == "__main__":
    asked = [int(text) for text in sys.argv[1:3]]
    for door, taken in run(*(asked + [11_000, 1][len(asked) :])).items():
        sys.stdout.write(f"{door:16} {taken:8,}\n")
