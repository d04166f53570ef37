"""Care as one types it: the text of each cell of its line, which `care_typed` reads back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from journal.records import RecordError
from journal.records.dates import MONTH_DAYS
from journal.records.kinds import ONCE_CARE
from journal.records.plans import UNTIL_GONE, CareRule, Plan
from journal.records.stage_written import temp_text

TASTE, EAT = "taste", "eat"
# Whole numbers of these are written so, from so many days on; else days are.
_UNITS = (("month", MONTH_DAYS, 60.0, 36_500.0), ("week", 7.0, 14.0, 84.0))
_PACES = {0.5: "twice a day", 1.0: "daily", 2.0: "every other day", 3.5: "twice a week",
          7.0: "weekly", 30.0: "monthly"}  # fmt: skip


@dataclass(frozen=True)
class AgeLine:
    """Ages of a wheel, in days: those it is tasted at ("taste"), with a note, or the least one to
    eat it at ("eat", one age)."""

    kind: str
    days: tuple[float, ...]
    note: str = ""

    def __post_init__(self) -> None:
        if not self.days or (self.kind == EAT and len(self.days) > 1):
            raise RecordError("records.ages-of-line", kind=self.kind)
        for day in self.days:
            if not 0 <= day <= 36_500:
                raise RecordError("records.days-of-age", value=day, low=0, high=36_500)


CareLine = CareRule | AgeLine


def care_lines(plan: Plan) -> list[CareLine]:
    """The care of a plan, line by line: its rules, then when to taste, then when to eat."""
    lines: list[CareLine] = [*plan.care]
    notes = plan.taste_notes or ("",) * len(plan.taste_at_days)
    for note in dict.fromkeys(notes):
        days = [d for d, own in zip(plan.taste_at_days, notes, strict=True) if own == note]
        lines.append(AgeLine(TASTE, tuple(days), note))
    if plan.eat_from_days is not None:
        lines.append(AgeLine(EAT, (plan.eat_from_days,)))
    return lines


class CareFields(NamedTuple):
    """What lines of care say of a plan, by its fields."""

    care: tuple[CareRule, ...]
    taste_at_days: tuple[float, ...]
    eat_from_days: float | None
    taste_notes: tuple[str, ...]


def care_fields(lines: Sequence[CareLine]) -> CareFields:
    """What lines say of a plan: its care, the ages to taste at and their notes, the least age to
    eat at."""
    care = tuple(line for line in lines if isinstance(line, CareRule))
    ages = [line for line in lines if isinstance(line, AgeLine)]
    taste: dict[float, list[str]] = {}
    for line in ages:
        for day in line.days if line.kind == TASTE else ():
            own = taste.setdefault(day, [])
            own += [line.note] if line.note and line.note not in own else []
    notes = tuple("; ".join(taste[day]) for day in sorted(taste))
    eat = [line.days[0] for line in ages if line.kind == EAT]
    return CareFields(
        care, tuple(sorted(taste)), max(eat, default=None), notes if any(notes) else ()
    )


def typed_name(kind: str) -> str:
    """A kind of care as it is typed: "air dry"."""
    return "air dry" if kind == "dry" else kind


def care_cell_text(line: CareLine, column: str) -> str:
    """The text of a line's cell, for typing on: its name, °C, when, or the words."""
    if column == "stage":
        return typed_name(line.kind)
    if column == "minutes":
        return when_text(line)
    if isinstance(line, AgeLine):
        return line.note if column == "what" else ""
    if column == "temp":
        return temp_text(line.room_c)
    air = line.room_humidity_pct
    return "; ".join(part for part in ("" if air is None else f"{air:.10g} %", line.note) if part)


def schedule_text(lines: Sequence[CareLine]) -> str:
    """Lines of care as one text that is read back the same: "air dry for 2 days from day 1 at
    16.0 °C; turn from day 3, weekly: look at the underside"."""
    return "; ".join(map(_line_text, lines))


def _line_text(line: CareLine) -> str:
    text = f"{care_cell_text(line, 'stage')} {when_text(line)}"
    if isinstance(line, CareRule):
        text += "" if line.room_c is None else f" at {temp_text(line.room_c)} °C"
        air = line.room_humidity_pct
        text += "" if air is None else f" and {air:.10g} %"
    note = " ".join(line.note.replace(";", ",").split()).rstrip(".")
    return f"{text}: {note}" if note else text


def when_text(line: CareLine) -> str:
    """When care is given: "from 2 weeks, weekly", "for 2 to 3 days from day 1", "at 3 and 6
    months", "from 6 months"."""
    if isinstance(line, AgeLine):
        return f"{'from' if line.kind == EAT else 'at'} {_ages(line.days)}"
    first, last = line.from_day, line.to_day
    if line.kind == "dry" and last - first >= line.every_days:
        least = number(line.every_days)
        most = "" if last - first == line.every_days else f" to {number(last - first)}"
        days = "day" if least == "1" and not most else "days"
        return f"for {least}{most} {days} from {_point(first, at='')}"
    if line.once:
        return _span(first, last) + (
            ", once" if last > first and line.kind not in ONCE_CARE else ""
        )
    return f"{_span(first, last)}, {pace_text(line.every_days)}"


def pace_text(days: float) -> str:
    """How often: "daily", "every 2 weeks", "every 10 days"."""
    if days in _PACES:
        return _PACES[days]
    if days < 1 and (24 * days) % 1 == 0:
        return f"every {24 * days:.0f} h"
    if days % 7 == 0 and days <= 84:
        return f"every {days / 7:.0f} weeks"
    return f"every {number(days)} days"


def number(value: float) -> str:
    """A number with all the digits it has, no more."""
    text = f"{value:.10g}"
    return text if float(text) == value and "e" not in text else f"{value:.17f}".rstrip("0")


def _span(first: float, last: float) -> str:
    if first == last:
        return _point(first, at="at ")
    if last >= UNTIL_GONE:
        return f"from {_point(first, at='')}"
    (least, unit), (most, other) = _counted(first), _counted(last)
    if "day" in (unit, other) and "month" not in (unit, other):
        return f"day {number(first)} to {number(last)}"
    if unit == other:
        return f"from {least} to {most} {unit}s"
    return f"from {_point(first, at='')} to {_point(last, at='')}"


def _point(days: float, *, at: str) -> str:
    """An age: "day 3", "2 weeks", "6 months"; weeks and months after `at`."""
    count, unit = _counted(days)
    if unit == "day":
        return f"day {count}"
    return f"{at}{count} {unit}{'' if count == '1' else 's'}"


def _ages(days: Sequence[float]) -> str:
    """Several ages: "3 and 6 months", "28 days and 3 months"."""
    found = [_counted(day) for day in days]
    if len({unit for _, unit in found}) == 1:
        return f"{_listed([count for count, _ in found])} {_noun(*found[-1])}"
    return _listed([f"{count} {_noun(count, unit)}" for count, unit in found])


def _noun(count: str, unit: str) -> str:
    return unit if count == "1" else f"{unit}s"


def _listed(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _counted(days: float) -> tuple[str, str]:
    for unit, length, least, most in _UNITS:
        count = round(days / length)
        if least <= days <= most and round(count * length) == days:
            return str(count), unit
    return number(days), "day"
