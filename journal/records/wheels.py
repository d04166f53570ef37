"""Wheels, their weighings and care, and the rooms they ripen in."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date

from journal.message import Message
from journal.reckoning.humidity_salts import hygrometer_line
from journal.records import RecordError
from journal.records.kinds import CARE_KINDS, TAKEN_KINDS, check_one_of
from journal.records.plans import new_uuid

# Against the weight it had when it left the press; brine and salt add a few per cent, and a wheel
# that is kept well does not dry to less than a third (common practice, no source).
HEAVIEST, LIGHTEST = 1.05, 0.3
# Against the weight before (common practice, no source).
HEAVIER_SINCE, LIGHTER_SINCE = 1.03, 0.85
# How far a room may be off what is wanted where nobody said (common practice, no source).
WITHIN_C, WITHIN_PCT = 2.0, 5.0
WET_BULB = "wet-bulb"  # the source of a humidity from two thermometers


def weight_doubt(green_kg: float | None, now_kg: float) -> Message | None:
    """The question a wheel's weight asks for beside the weight it left the press with: heavier
    than brine could make it, or vastly lighter; None where it can be right."""
    if not green_kg or LIGHTEST <= now_kg / green_kg <= HEAVIEST:
        return None
    if now_kg > green_kg:
        return Message("records.wheel-heavier", kg=now_kg)
    return Message("records.wheel-lighter", lost_pct=100 * (1 - now_kg / green_kg), kg=now_kg)


def weight_jump(last_kg: float | None, now_kg: float) -> Message | None:
    """The question that a weight asks for beside the one before it; None where it can be right."""
    if not last_kg or LIGHTER_SINCE <= now_kg / last_kg <= HEAVIER_SINCE:
        return None
    return Message("records.weight-jumped", last_kg=last_kg, kg=now_kg)


@dataclass(frozen=True)
class Wheel:
    """One cheese from a make. `code` is the make's code and a letter.

    It stands in a room, there on a `shelf` and at a `place` of it, counted from 1. A piece that was
    cut from a wheel is one too: `cut_share` is how much of what the wheel then was it is, and it
    was cut when that wheel went (`gone_ms`).
    """

    make_id: int
    code: str
    green_weight_kg: float | None = None
    room_id: int | None = None
    gone_ms: int | None = None  # eaten, given away, thrown out
    gone_why: str = ""
    remark: str = ""
    diameter_mm: float | None = None
    height_mm: float | None = None
    shelf: str = ""
    place: int | None = None
    cut_from_id: int | None = None
    cut_share: float | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        weight = self.green_weight_kg
        if weight is not None and not 0 < weight <= 1000:
            raise RecordError("records.wheel-weight", kg=weight)
        for size in (self.diameter_mm, self.height_mm):
            if size is not None and not 5 <= size <= 2000:
                raise RecordError("records.wheel-size", mm=size)


@dataclass(frozen=True)
class Weighing:
    """A wheel on the scale."""

    wheel_id: int
    at_ms: int
    weight_kg: float
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not 0 < self.weight_kg <= 1000:
            raise RecordError("records.weighing", kg=self.weight_kg)


@dataclass(frozen=True)
class Care:
    """Something done to a wheel: turn, rub, brush, oil, bandage, wax, weigh, move.

    A move says into which room, and from which; None where it is not known.
    """

    wheel_id: int
    kind: str
    at_ms: int
    note: str = ""
    room_id: int | None = None
    from_room_id: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, CARE_KINDS, "records.no-such-care")


@dataclass(frozen=True)
class Removal:
    """A part that left a wheel, or all of it: eaten, given, sold, thrown away or tasted.

    `share` is of the whole wheel as it was made (0 to 1), `weight_kg` what it weighed; one of the
    two is known. `whom` and `why` are the maker's own words.
    """

    wheel_id: int
    kind: str
    at_ms: int
    share: float | None = None
    weight_kg: float | None = None
    whom: str = ""
    why: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, TAKEN_KINDS, "records.no-such-end")
        if (self.share is None) == (self.weight_kg is None):
            raise RecordError("records.part-unknown")
        if self.share is not None and not 0 < self.share <= 1:
            raise RecordError("records.part-share", share=self.share)
        if self.weight_kg is not None and not 0 < self.weight_kg <= 1000:
            raise RecordError("records.weighing", kg=self.weight_kg)

    @property
    def words(self) -> str:
        """As it is kept with a wheel that is gone: "given: Ann, for her birthday"."""
        details = ", ".join(text for text in (self.whom, self.why) if text)
        return f"{self.kind}: {details}" if details else self.kind


@dataclass(frozen=True)
class Room:
    """Where wheels ripen: the air wanted, how far it may be off, how many wheels it holds, and what
    its shelves are called, empty ones too."""

    name: str
    target_c: float | None = None
    target_humidity_pct: float | None = None
    within_c: float | None = None
    within_pct: float | None = None
    holds: int | None = None
    shelves: tuple[str, ...] = ()
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        for value, low, high in (
            (self.target_c, -5, 40), (self.target_humidity_pct, 0, 100), (self.within_c, 0, 20),
            (self.within_pct, 0, 50), (self.holds, 1, 100_000),
        ):  # fmt: skip
            if value is not None and not low <= value <= high:
                raise RecordError("records.room-value", value=value, low=low, high=high)

    def with_shelf(self, shelf: str) -> Room:
        """The room with that shelf among its own."""
        known = shelf in ("", *self.shelves)
        return self if known else replace(self, shelves=(*self.shelves, shelf))

    @property
    def range_c(self) -> tuple[float, float] | None:
        """The temperatures allowed, °C; None where none is wanted."""
        return _about(self.target_c, self.within_c, WITHIN_C, -50.0, 100.0)

    @property
    def range_pct(self) -> tuple[float, float] | None:
        """The humidity allowed, %; None where none is wanted."""
        return _about(self.target_humidity_pct, self.within_pct, WITHIN_PCT, 0.0, 100.0)


def _about(
    target: float | None, within: float | None, usual: float, least: float, most: float
) -> tuple[float, float] | None:
    if target is None:
        return None
    off = usual if within is None else within
    return max(target - off, least), min(target + off, most)


@dataclass(frozen=True)
class AirReading:
    """The air of a room at a moment, as the instrument showed it; `source` says which instrument,
    "" for one read by eye."""

    room_id: int
    at_ms: int
    temp_c: float | None = None
    humidity_pct: float | None = None
    source: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if self.temp_c is None and self.humidity_pct is None:
            raise RecordError("records.air-without-value")
        if self.temp_c is not None and not -30 <= self.temp_c <= 60:
            raise RecordError("records.room-air-temp", value=self.temp_c)
        if self.humidity_pct is not None and not 0 <= self.humidity_pct <= 100:
            raise RecordError("records.room-air-humidity", value=self.humidity_pct)


@dataclass(frozen=True)
class AirCheck:
    """What a room's hygrometer showed over one or two salts, and what the humidity there is, %.

    What it shows from `at_ms` on follows it, until its next check. `source` as in `AirReading`; ""
    stands for all instruments of the room that have no check of their own.
    """

    room_id: int
    at_ms: int
    shown: tuple[float, ...]
    known: tuple[float, ...]
    source: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    @property
    def line(self) -> tuple[float, float]:
        """Slope and offset that turn what is shown into what is; ReckoningError where the
        readings make no line."""
        return hygrometer_line(self.shown, self.known)


@dataclass(frozen=True)
class Absence:
    """Days when nobody is there for the care, first and last as ISO 8601 of the kitchen."""

    first_day: str
    last_day: str
    note: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if self.days[0] > self.days[1]:
            raise RecordError("records.away-backwards")

    @property
    def days(self) -> tuple[date, date]:
        """The first and the last day."""
        return date.fromisoformat(self.first_day), date.fromisoformat(self.last_day)
