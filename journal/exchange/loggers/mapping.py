"""The mapping: which column is what, saved with the shape of the file it was made for."""

from __future__ import annotations

import re
from collections.abc import Mapping as AnyMapping
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from journal.exchange import ExchangeError
from journal.quantities import QuantityError
from journal.quantities.units import unit_named
from journal.records.kinds import READING_KINDS

DATE_ORDERS = ("dmy", "mdy", "ymd")
TIME_FORMS = {
    "stamp": "date and time",
    "date+clock": "date and time in two columns",
    "clock": "time of day",
    "epoch-s": "seconds since 1970 (UTC)",
    "epoch-ms": "milliseconds since 1970 (UTC)",
    "serial": "days as a spreadsheet counts them",
    "elapsed-msec": "milliseconds from the start",
    "elapsed-s": "seconds from the start",
    "elapsed-min": "minutes from the start",
    "elapsed-h": "hours from the start",
    "elapsed-hms": "hours, minutes and seconds from the start",
    "elapsed-ms": "minutes and seconds from the start",
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
                known = ", ".join(READING_KINDS)
                raise ExchangeError(
                    f"“{kind}” for “{column}” is not a kind of reading. There are: {known}."
                )
        _one_of(self.date_order, DATE_ORDERS, "order of dates")
        _one_of(self.time_form, tuple(TIME_FORMS), "form of time")
        _one_of(self.decimal, (".", ","), "decimal mark")
        if self.unit and not any(_fits(self.unit, kind) for kind in READING_KINDS):
            raise ExchangeError(
                f"“{self.unit}” is not a unit of a reading. Write for example degF."
            )

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
            raise ExchangeError("The remembered mapping cannot be read; map it again.") from None
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


def _one_of(value: str, allowed: tuple[str, ...], what: str) -> None:
    if value and value not in allowed:
        raise ExchangeError(f"“{value}” is not a known {what}. There are: {' '.join(allowed)}.")


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
    listed = ", ".join(f"“{name}”" for name in header[:12])
    raise ExchangeError(f"There is no column “{wanted[:60]}” in this file. There are {listed}.")


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9%°#]+", " ", name.lower()).strip()
