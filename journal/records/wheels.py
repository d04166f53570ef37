"""Wheels, their weighings and care, and the rooms they ripen in."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.message import Message
from journal.records import RecordError
from journal.records.kinds import CARE_KINDS, check_one_of
from journal.records.plans import new_uuid

# Against the weight it had when it left the press; brine and salt add a few per cent, and a wheel
# that is kept well does not dry to less than a third (common practice, no source).
HEAVIEST, LIGHTEST = 1.05, 0.3


def weight_doubt(green_kg: float | None, now_kg: float) -> Message | None:
    """The question a wheel's weight asks for beside the weight it left the press with: heavier
    than brine could make it, or vastly lighter; None where it can be right."""
    if not green_kg or LIGHTEST <= now_kg / green_kg <= HEAVIEST:
        return None
    if now_kg > green_kg:
        return Message("records.wheel-heavier", kg=now_kg)
    return Message("records.wheel-lighter", lost_pct=100 * (1 - now_kg / green_kg), kg=now_kg)


@dataclass(frozen=True)
class Wheel:
    """One cheese from a make. `code` is the make's code and a letter."""

    make_id: int
    code: str
    green_weight_kg: float | None = None
    room_id: int | None = None
    gone_ms: int | None = None  # eaten, given away, thrown out
    gone_why: str = ""
    remark: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        weight = self.green_weight_kg
        if weight is not None and not 0 < weight <= 1000:
            raise RecordError("records.wheel-weight", kg=weight)


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
    """Something done to a wheel: turn, rub, brush, oil, bandage, wax, weigh, move."""

    wheel_id: int
    kind: str
    at_ms: int
    note: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, CARE_KINDS, "records.no-such-care")


@dataclass(frozen=True)
class Room:
    """Where wheels ripen."""

    name: str
    target_c: float | None = None
    target_humidity_pct: float | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class AirReading:
    """The air of a room at a moment."""

    room_id: int
    at_ms: int
    temp_c: float | None = None
    humidity_pct: float | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)
