"""Records to rows and back: a column a field, plain types only."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Any, Generic, TypeVar

from journal.keeping.errors import DamageError
from journal.records.brines import Brine, BrineEvent, BrineStay
from journal.records.calibrations import Calibration
from journal.records.comparisons import Comparison
from journal.records.cultures import Generation
from journal.records.makes import Addition, Entered, Ingredient, Make, Milk, Note, StageRun
from journal.records.milk_lots import MilkLot, MilkUse
from journal.records.own_care import OwnCare
from journal.records.panel_tests import PanelItem, PanelSet, PanelTest
from journal.records.series import Series, SeriesMake
from journal.records.sources import Source
from journal.records.tastings import (
    Assessor,
    DefectMark,
    Sample,
    SampleNote,
    ScaleWord,
    Score,
    Serving,
    Tasting,
)
from journal.records.timers import TickedLine, Timer
from journal.records.wheels import (
    Absence,
    AirCheck,
    AirReading,
    Care,
    Removal,
    Room,
    Weighing,
    Wheel,
)

R = TypeVar("R")


@dataclass(frozen=True)
class Noun(Generic[R]):
    """How one kind of record is kept: its table, its class, and whether its bin is a mark.

    `soft` nouns are referred to by others: binning marks the row instead of taking it out.
    """

    table: str
    record: type[R]
    soft: bool = False

    def columns(self) -> list[str]:
        """The columns in the order of the record's fields, without the id."""
        return list(_columns(self.record))  # type: ignore[arg-type]

    def values(self, record: R) -> list[Any]:
        """The record's values in the order of `columns`."""
        out: list[Any] = []
        for f in fields(record):  # type: ignore[arg-type]
            value = getattr(record, f.name)
            if f.name == "milk":
                out.extend(_plain(getattr(value, m.name)) for m in fields(Milk))
            elif f.name != "id":
                out.append(_plain(value))
        return out

    def back(self, row: tuple[Any, ...]) -> R:
        """The record of a row that holds `columns` and then the id; DamageError where its values
        are of another kind."""
        try:
            return self._record(row)
        except TypeError as error:
            raise DamageError("keeping.records-damaged") from error

    def _record(self, row: tuple[Any, ...]) -> R:
        named = dict(zip((*_columns(self.record), "id"), row, strict=True))  # type: ignore[arg-type]
        if self.record is Make:
            milk = {m.name: named.pop(f"milk_{m.name}") for m in fields(Milk)}
            for name, typed in _typing(Milk).items():
                milk[name] = typed(milk[name])
            named["milk"] = Milk(**milk)
        return self.record(**self.named(named))

    def named(self, row: dict[str, Any]) -> dict[str, Any]:
        """A row by column name with each value as the record's field wants it."""
        for name, typed in _typing(self.record).items():  # type: ignore[arg-type]
            if name in row:
                row[name] = typed(row[name])
        return row


@cache
def _columns(record: type[Any]) -> tuple[str, ...]:
    out: list[str] = []
    for f in fields(record):
        if f.name == "milk":
            out.extend(f"milk_{m.name}" for m in fields(Milk))
        elif f.name != "id":
            out.append(f.name)
    return tuple(out)


@cache
def _typing(record: type[Any]) -> dict[str, Callable[[Any], Any]]:
    """How a value is turned into what its field wants, of the fields where it is."""
    kinds = {f.name: _typed_by(f.type) for f in fields(record)}
    return {name: typed for name, typed in kinds.items() if typed is not None}


NOUNS: dict[str, Noun[Any]] = {
    noun.table: noun
    for noun in (
        Noun("make", Make, soft=True),
        Noun("stage_run", StageRun),
        Noun("addition", Addition),
        Noun("ingredient", Ingredient, soft=True),
        Noun("generation", Generation, soft=True),
        Noun("brine", Brine, soft=True),
        Noun("brine_event", BrineEvent),
        Noun("brine_stay", BrineStay),
        Noun("milk_lot", MilkLot, soft=True),
        Noun("milk_use", MilkUse),
        Noun("note", Note),
        Noun("source", Source),
        Noun("timer", Timer),
        Noun("calibration", Calibration),
        Noun("tick", TickedLine),
        Noun("entered", Entered),
        Noun("comparison", Comparison),
        Noun("room", Room, soft=True),
        Noun("air_reading", AirReading),
        Noun("air_check", AirCheck),
        Noun("away", Absence),
        Noun("wheel", Wheel, soft=True),
        Noun("weighing", Weighing),
        Noun("taken", Removal),
        Noun("care", Care),
        Noun("own_care", OwnCare),
        Noun("assessor", Assessor, soft=True),
        Noun("tasting", Tasting, soft=True),
        Noun("sample", Sample),
        Noun("score", Score),
        Noun("defect_mark", DefectMark),
        Noun("sample_note", SampleNote),
        Noun("serving", Serving),
        Noun("scale_word", ScaleWord),
        Noun("panel_test", PanelTest, soft=True),
        Noun("panel_item", PanelItem),
        Noun("panel_set", PanelSet),
        Noun("series", Series, soft=True),
        Noun("series_make", SeriesMake),
    )
}


def with_id(record: R, key: int) -> R:
    """The same record with its key."""
    return replace(record, id=key)  # type: ignore[type-var]


def _plain(value: Any) -> Any:
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, tuple) and all(isinstance(part, (int, float, str)) for part in value):
        return json.dumps(value)
    return value


def _typed_by(kind: Any) -> Callable[[Any], Any] | None:
    """What makes a column's value what a field of this kind wants (annotations are strings
    here); None where it is that already."""
    if kind in ("bool", bool):
        return bool
    return _several if isinstance(kind, str) and kind.startswith("tuple[") else None


def _several(value: str) -> tuple[Any, ...]:
    try:
        return tuple(json.loads(value))
    except (json.JSONDecodeError, TypeError) as error:
        raise DamageError("keeping.records-damaged") from error
