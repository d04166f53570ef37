"""The mapping: which column is what, saved with the shape of the file it was made for."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass, field, fields
from typing import Any

from journal.exchange import ExchangeError
from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.units import unit_named
from journal.records.kinds import READING_KINDS

DATE_ORDERS = {
    "dmy": Message("exchange.day-first"),
    "mdy": Message("exchange.month-first"),
    "ymd": Message("exchange.year-first"),
}
TIME_FORMS = {
    "stamp": Message("exchange.form-stamp"),
    "date+clock": Message("exchange.form-date-and-clock"),
    "clock": Message("exchange.form-clock"),
    "epoch-s": Message("exchange.form-epoch-s"),
    "epoch-ms": Message("exchange.form-epoch-ms"),
    "serial": Message("exchange.form-serial"),
    "elapsed-msec": Message("exchange.form-elapsed-msec"),
    "elapsed-s": Message("exchange.form-elapsed-s"),
    "elapsed-min": Message("exchange.form-elapsed-min"),
    "elapsed-h": Message("exchange.form-elapsed-h"),
    "elapsed-hms": Message("exchange.form-elapsed-hms"),
    "elapsed-ms": Message("exchange.form-elapsed-ms"),
}


@dataclass(frozen=True)
class Mapping:
    """What a person chose, or was found, for the columns of a file.

    Every part may be left out; what is left out is found in the file. `kinds` and `units` go
    by column name; `unit` holds for every column of its quantity that `units` does not name.
    A column with the kind "" is left out on purpose. `shape` is `RawTable.shape`.
    """

    kinds: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    unit: str = ""
    time: tuple[str, ...] = ()
    time_form: str = ""
    date_order: str = ""
    decimal: str = ""
    shape: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be used to read any file."""
        for column, kind in self.kinds.items():
            if kind and kind not in READING_KINDS:
                raise ExchangeError(
                    "exchange.no-such-kind", kind=kind, column=column, known=list(READING_KINDS)
                )
        _one_of(self.date_order, DATE_ORDERS, "exchange.no-such-date-order")
        _one_of(self.time_form, TIME_FORMS, "exchange.no-such-time-form")
        _one_of(self.decimal, (".", ","), "exchange.no-such-decimal-mark")
        if self.unit and not any(_fits(self.unit, kind) for kind in READING_KINDS):
            raise ExchangeError("exchange.no-unit-of-a-reading", unit=self.unit)

    def to_dict(self) -> dict[str, Any]:
        """The mapping as plain values that JSON can hold."""
        found = {part.name: getattr(self, part.name) for part in fields(self)}
        return {**found, "kinds": dict(self.kinds), "units": dict(self.units),
                "time": list(self.time)}  # fmt: skip

    @classmethod
    def from_dict(cls, found: AnyMapping[str, Any]) -> Mapping:
        """The mapping those plain values hold; ExchangeError when they hold none."""
        try:
            texts = {name: str(found.get(name) or "") for name in
                     ("unit", "time_form", "date_order", "decimal", "shape")}  # fmt: skip
            tables = {
                name: {str(key): str(value) for key, value in dict(found.get(name) or {}).items()}
                for name in ("kinds", "units")
            }
            time = tuple(str(name) for name in found.get("time") or ())
        except (AttributeError, TypeError, ValueError):
            raise ExchangeError("exchange.mapping-not-read") from None
        return cls(**tables, **texts, time=time)  # type: ignore[arg-type]

    def unit_for(self, column: str, kind: str) -> str:
        """The unit chosen for that column, "" when none was."""
        if column in self.units:
            return self.units[column]
        return self.unit if self.unit and _fits(self.unit, kind) else ""


def _fits(unit: str, kind: str) -> bool:
    try:
        unit_named(READING_KINDS[kind].quantity, unit)
    except QuantityError:
        return False
    return True


def _one_of(value: str, allowed: Collection[str], refusal: str) -> None:
    if value and value not in allowed:
        raise ExchangeError(refusal, value=value, known=" ".join(allowed))


def find_column(header: Sequence[str], wanted: str) -> int:
    """The place of the column a person means: by name, its beginning, or its number from 1."""
    plain = [_plain(name) for name in header]
    for names, want in ((list(header), wanted), (plain, _plain(wanted))):
        if want and want in names:
            return names.index(want)
    starts = [
        i for i, name in enumerate(plain) if _plain(wanted) and name.startswith(_plain(wanted))
    ]
    if len(starts) == 1:
        return starts[0]
    if re.fullmatch(r"[0-9]{1,3}", wanted.strip()) and 1 <= int(wanted) <= len(header):
        return int(wanted) - 1
    columns = [f"“{name}”" for name in header[:12]]
    raise ExchangeError("exchange.no-such-column", wanted=wanted[:60], columns=columns)


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9%°#]+", " ", name.lower()).strip()
