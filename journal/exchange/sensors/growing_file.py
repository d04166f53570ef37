"""A file that a logger keeps appending to: its new rows, understood as the file was set up."""

from __future__ import annotations

import codecs
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from journal.exchange import ExchangeError
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.table import RawTable, continued, read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.timing import Followed
from journal.exchange.loggers.understand import Understood, understand
from journal.exchange.sensors.sensor import Sensor
from journal.exchange.sensors.tail import AddedLines, Tail
from journal.exchange.skipped import reason_texts
from journal.records.instants import local
from journal.records.sources import FAILED, WAITING, Arrived, Source
from journal.records.traces import DOUBTFUL
from journal.wording import text_of, worded
from journal.wording.readings import reading_text

POLL_S = 0.5
_MOST_GATHERED = 1 << 20  # bytes read before a file without rows is given up
_ROWS_NAMED = 6
_HOUR_MS = 3_600_000


class FileSensor(Sensor):
    """Follows a file. Instants come from the file itself, so reading it again adds nothing twice:
    the journal skips what it has. Rows from before `since_ms` are left out."""

    def __init__(
        self, source: Source, *, zone: str = "UTC", poll_s: float = POLL_S, **others: Any
    ) -> None:
        super().__init__(source, **others)
        self._path = Path(source.text("path")).expanduser()
        self._mapping = Mapping.from_dict(source.options.get("mapping") or {})
        self._zone = zone
        self._poll_s = poll_s
        self._known: Understood | None = None
        self._guessing = False  # the day, after a silence of a logger that writes no dates
        self._begin_file()

    def _begin_file(self) -> None:
        self._gathered = b""
        self._in_file = False  # the current file is understood
        self._given_up = False
        self._encoding = "utf-8"
        self._file_ms = 0  # the last instant of the current file

    def _session(self) -> None:
        tail = Tail(self._path)
        try:
            while not self._ending.is_set():
                for part in tail.read():
                    self._on_part(part)
                    if self._ending.is_set():
                        return
                if not self._path.exists():
                    self._wait_for(worded("exchange.no-file-yet", file=self._path.name))
                self._ending.wait(self._poll_s)
        finally:
            tail.close()

    def _wait_for(self, sentence: str) -> None:
        if self.state.sentence != sentence:
            self._change(WAITING, sentence)

    def _on_part(self, part: AddedLines) -> None:
        if part.fresh:
            self._begin_file()
        if self._given_up:
            return
        raw = self._next_rows(part.data) if self._in_file else self._first_rows(part.data)
        if raw is not None and self._known is not None:
            self._connected()
            self._take(replace(self._known, raw=raw))

    def _next_rows(self, data: bytes) -> RawTable | None:
        assert self._known is not None
        try:
            return continued(self._known.raw, data, self._encoding)
        except ExchangeError as error:
            self._tell(_shown(data), text_of(error), good=False)
            return None

    def _first_rows(self, data: bytes) -> RawTable | None:
        """The rows of a file that begins: None while there are too few to understand it."""
        self._gathered += data
        self._encoding = _encoding(self._gathered)
        try:
            raw = read_table(self._gathered)
        except ExchangeError as error:
            self._given_up = len(self._gathered) > _MOST_GATHERED
            self._tell(_shown(data), text_of(error), good=False)
            self._wait_for(worded("exchange.no-rows-yet", file=self._path.name))
            return None
        if raw.encoding == "latin-1":
            self._encoding = raw.encoding
        try:
            self._known = self._understood(raw)
        except ExchangeError as error:
            self._given_up = True
            self._change(FAILED, text_of(error))
            return None
        self._in_file, self._gathered = True, b""
        return self._known.raw

    def _understood(self, raw: RawTable) -> Understood:
        before = self._known.raw if self._known is not None else None
        if before is not None and not raw.named and len(raw.header) == len(before.header):
            raw = replace(raw, header=before.header)  # a new file without the header of the first
        try:
            return understand(raw, self._mapping)
        except ExchangeError as error:
            if self._mapping.shape and self._mapping.shape != raw.shape:
                raise ExchangeError("exchange.other-columns", file=self._path.name) from None
            raise error from None

    # Readings

    def _take(self, understood: Understood) -> None:
        try:
            taken = self._taken(understood)
        except ExchangeError as error:
            self._change(FAILED, text_of(error))
            self._given_up = True
            return
        arrived = [
            Arrived(at, kind, value, DOUBTFUL if guessed or self._guessing else 0)
            for kind, series in taken.series.items()
            for at, value, guessed in zip(
                series.at_ms.tolist(), series.value.tolist(), series.guessed.tolist(), strict=True
            )
            if at >= self._since_ms
        ]
        arrived.sort(key=_at)
        arrived = self._in_second_pass(arrived)
        self._say_rows(understood)
        if taken.unsure.words:
            self.caution = taken.unsure.words[0]
        self._guessing |= taken.unsure.after
        if arrived:
            self._file_ms = max(self._file_ms, arrived[-1].at_ms)
            self._last_at_ms = max(self._last_at_ms, self._file_ms)
            self._hand_on(arrived, {})

    def _in_second_pass(self, arrived: list[Arrived]) -> list[Arrived]:
        """In the hour that comes twice a few rows alone look like its first pass; after rows of
        the second they are of the second."""
        if not arrived or arrived[0].at_ms >= self._file_ms:
            return arrived
        return [
            replace(one, at_ms=one.at_ms + _HOUR_MS)
            if one.at_ms < self._file_ms <= one.at_ms + _HOUR_MS and self._comes_twice(one.at_ms)
            else one
            for one in arrived
        ]

    def _comes_twice(self, at_ms: int) -> bool:
        first, second = local(at_ms, self._zone), local(at_ms + _HOUR_MS, self._zone)
        return first.replace(tzinfo=None, fold=0) == second.replace(tzinfo=None, fold=0)

    def _taken(self, understood: Understood) -> LoggerReadings:
        """The readings; times of day are counted on from the last reading, of which a new file
        may be a copy, elapsed times from the make's start."""
        start = self._since_ms
        if understood.timing.form == "clock":
            start = max(start, self._last_at_ms)
        followed = Followed(self._clock(), going_on=bool(self._file_ms))
        return take(understood, zone=self._zone, start_ms=start, followed=followed)

    def _say_rows(self, understood: Understood) -> None:
        if not self._listened_to:
            return
        raw = understood.raw
        for row in range(max(0, raw.rows - _ROWS_NAMED), raw.rows):
            cells = tuple([column[row]] for column in raw.columns)
            one = replace(raw, columns=cells, repeated=raw.repeated[row : row + 1], uneven=0)
            taken = self._taken(replace(understood, raw=one))
            words = [
                reading_text(kind, float(s.value[0])) for kind, s in taken.series.items() if len(s)
            ]
            why = ", ".join(reason_texts(taken.reasons))
            text = raw.delimiter.join(column[0] for column in cells)
            self._tell(text, ", ".join(words) or why, good=bool(words))


def _at(arrived: Arrived) -> int:
    return arrived.at_ms


def _shown(data: bytes) -> str:
    return data[-400:].decode("utf-8", "replace").strip().rpartition("\n")[2]


def _encoding(data: bytes) -> str:
    """The encoding by which later parts are read, which lack the mark at the beginning."""
    if data.startswith(codecs.BOM_UTF16_LE):
        return "utf-16-le"
    if data.startswith(codecs.BOM_UTF16_BE):
        return "utf-16-be"
    head = np.frombuffer(data[:4096], np.uint8)
    if len(head) > 8 and (head[1::2] == 0).mean() > 0.4:
        return "utf-16-le"
    if len(head) > 8 and (head[0::2] == 0).mean() > 0.4:
        return "utf-16-be"
    return "utf-8"
