"""A designed series: which variables a set of makes changes on purpose, and what each make gets."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.plans import new_uuid


@dataclass(frozen=True)
class Series:
    """A series of makes set up beforehand, from one plan.

    `variables` are keys of make variables, `low` and `high` their two ends in the variables'
    units; `kind` says how the set was found.
    """

    name: str
    begun_ms: int
    variables: tuple[str, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    kind: str = ""
    plan_id: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.series-name")
        if not 2 <= len(self.variables) <= 6:
            raise RecordError("records.series-variables")
        if not len(self.variables) == len(self.low) == len(self.high):
            raise RecordError("records.series-ends")
        if any(low >= high for low, high in zip(self.low, self.high, strict=True)):
            raise RecordError("records.series-low-above-high")


@dataclass(frozen=True)
class SeriesMake:
    """One make of a series: its place in the order, its part (a season of milk), its values in
    the order of the series' variables, and the make it became (None: still to be made)."""

    series_id: int
    position: int
    block: int
    wanted: tuple[float, ...]
    make_id: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)
