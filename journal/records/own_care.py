"""A schedule of a make's or a wheel's own, over the one of its plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from journal.records.care_written import EAT, TASTE, AgeLine, CareFields, CareLine, care_fields
from journal.records.plans import CareRule, Plan, new_uuid


@dataclass(frozen=True)
class OwnCare:
    """A line of a schedule of its own, of a make (all its wheels) or of one wheel. An age to taste
    or to eat at has that kind, and the age as both its days."""

    make_id: int | None
    wheel_id: int | None
    position: int
    kind: str
    from_day: float
    to_day: float
    every_days: float
    note: str = ""
    room_c: float | None = None
    room_humidity_pct: float | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    @property
    def line(self) -> CareLine:
        """The line of care it is."""
        if self.kind in (TASTE, EAT):
            return AgeLine(self.kind, (self.from_day,), self.note)
        return CareRule(
            self.kind, self.from_day, self.to_day, self.every_days, self.note,
            self.room_c, self.room_humidity_pct,
        )  # fmt: skip


def own_rows(
    lines: Iterable[CareLine], *, make_id: int | None = None, wheel_id: int | None = None
) -> list[OwnCare]:
    """Lines of care as rows of a make's, or of a wheel's, own."""
    out: list[OwnCare] = []
    for line in lines:
        if isinstance(line, AgeLine):
            out += [OwnCare(make_id, wheel_id, 0, line.kind, day, day, 1.0, line.note)
                    for day in line.days]  # fmt: skip
            continue
        out.append(
            OwnCare(
                make_id, wheel_id, 0, line.kind, line.from_day, line.to_day, line.every_days,
                line.note, line.room_c, line.room_humidity_pct,
            )
        )  # fmt: skip
    return [replace(row, position=index) for index, row in enumerate(out)]


def own_fields(rows: Sequence[OwnCare]) -> CareFields:
    """What rows say of a plan."""
    return care_fields([row.line for row in sorted(rows, key=_position)])


def with_own(plan: Plan, rows: Sequence[OwnCare]) -> Plan:
    """The plan with a schedule of one's own instead of its own; as it is where there is none."""
    if not rows:
        return plan
    return replace(plan, **own_fields(rows)._asdict())


def _position(row: OwnCare) -> int:
    return row.position
