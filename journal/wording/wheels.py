"""A wheel: what it needs, how it dries, what it is made of, when it is ready; its room's air."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from journal.curves.drying import Drying
from journal.message import Message
from journal.reckoning.composition import Kitchen
from journal.records.air_range import TEMP, AirSpell
from journal.records.due import TASTE, Due
from journal.records.verdicts import Verdict
from journal.records.wheels import Removal, Room
from journal.wording import text_of, worded
from journal.wording.ages import old_words, relative_day
from journal.wording.care import care_name
from journal.wording.dates import day_clock, format_day
from journal.wording.letters import capital
from journal.wording.numbers import short
from journal.wording.shown import shown_value, unit_label, write
from journal.wording.ties import NO_BREAK

MADE_OF = (
    ("reckoning.moisture", "moisture_pct"), ("reckoning.mnfs", "mnfs_pct"),
    ("reckoning.s-m", "s_m_pct"), ("wording.variable-fat-in-dry-matter", "fdm_pct"),
)  # fmt: skip
"""The message that names each figure, and its name in `Kitchen`."""

_HEAVIER, _LIGHTER = 1.03, 0.85  # against the last weight: worth a second look


def drying_words(found: Drying, humidity_pct: float | None) -> str:
    """That a wheel dries too fast, what is usual, whether the air explains it, and what helps."""
    own = Message("wording.wheels-here" if found.wheels else "wording.published", n=found.wheels)
    digits = 2 if found.high - found.low >= 0.02 else 3
    low, high = (f"{end:.{digits}f}" for end in (found.low, found.high))
    by_the_air = found.by_the_air and humidity_pct is not None
    air = Message("wording.air-is-at", humidity=humidity_pct) if by_the_air else ""
    return worded("wording.dries-fast", a_day=found.a_day, low=low, high=high, own=own, air=air)


def make_up_words(found: Kitchen | None) -> str:
    """ "moisture 38.1 % (36.5 to 39.7) · …", with ranges of 80 in 100; "" for None."""
    if found is None:
        return ""
    parts = []
    for name, key in MADE_OF:
        low, high = found.ranges_80[key]
        pct, of = getattr(found, key), Message(name)
        words = worded("wording.made-of", name=of, pct=pct, low=low, high=high)
        parts.append(words.replace(" ", NO_BREAK))
    return " · ".join(parts)


def wheel_need_words(due: Due) -> str:
    """ "turn", "taste at 60 days"."""
    if due.at_days is None:
        return care_name(due.kind)
    return worded("wording.taste-at", days=due.at_days)


def wheel_words(plan: str, age_days: float, room: Room | None) -> str:
    """ "Hollow Lane hard · 8 months old · Larder, meant for 11.4 °C and 79 %"."""
    parts = [plan, old_words(age_days)]
    if room is not None:
        aims = [write(room.target_c, "temperature")] if room.target_c is not None else []
        if room.target_humidity_pct is not None:
            aims.append(f"{room.target_humidity_pct:.0f} %")
        named = worded("wording.room-meant-for", room=room.name, aims=aims)
        parts.append(named if aims else room.name)
    return " · ".join(parts)


def needs_words(verdict: Verdict | None, dues: Sequence[Due], today: date) -> str:
    """Everything it needs, soonest first: "Weigh, 25 days late; turn 5 Dec"."""
    if verdict:
        return f"▲ {text_of(verdict.message)}"
    needs = []
    for due in dues:
        note = f" ({due.note})" if due.note else ""
        needs.append(f"{wheel_need_words(due)}{note}, {relative_day(due.on, today)}")
    return f"{capital('; '.join(needs))}." if needs else f"{worded('wording.no-care')}."


def weighed_words(code: str, now_kg: float, last_kg: float | None, lost: float | None) -> str:
    """What a weight says, with how much was lost (%), and whether it deserves a second look."""
    odd = last_kg and not _LIGHTER <= now_kg / last_kg <= _HEAVIER
    which = "wording.weighed-check" if odd else "wording.weighed"
    return worded(which, code=code, now=now_kg, since=_since_press(lost, 1), last=last_kg)


def weighings_words(code: str, count: int, last_kg: float | None, lost: float | None) -> str:
    """How often it was weighed, the last weight, and how much was lost since the press, %."""
    if last_kg is None:
        return worded("wording.not-weighed", code=code)
    since = _since_press(lost)
    return worded("wording.weighings", code=code, count=count, last=last_kg, since=since)


def _since_press(lost: float | None, digits: int = 0) -> Message | str:
    return "" if lost is None else Message("wording.since-press", lost=lost_words(lost, digits))


def dues_title(dues: Sequence[Due]) -> str:
    """What is due at once: "Turn HL-0021-A", "Turn 5 wheels", "Taste HL-0031 at 60 days"."""
    first, code = dues[0], dues[0].life.wheel.code
    if first.kind == TASTE:
        return worded("wording.taste-it-at", make=code.rpartition("-")[0], days=first.at_days or 0)
    which = "wording.care-of" if len(dues) == 1 else "wording.care-of-wheels"
    return worded(which, care=care_name(first.kind), code=code, wheels=len(dues))


def lost_words(lost: float, digits: int = 0) -> str:
    """ "4.2 % lost", or "7 % heavier" where it gained."""
    which = "wording.lost" if lost >= 0 else "wording.heavier"
    return worded(which, pct=f"{abs(lost):.{digits}f}")


def part_words(taken: Removal) -> str:
    """How much it was, as it is typed: "25 %", "0.3 kg", "" for all of it."""
    if taken.weight_kg is not None:
        return write(taken.weight_kg, "mass")
    share = 100 * (taken.share or 0)
    return "" if share >= 100 else f"{share:.0f} %"


def ready_words(best: tuple[date, date | None] | None, least: date | None, today: date) -> str:
    """ "Best from 5 Dec to 14 Mar.", "To be eaten from 2 Feb 2027."."""
    if best is None:
        return "" if least is None else worded("wording.eat-from-day", day=_day(least, today))
    first, last = best
    if last is not None:
        return worded("wording.best-until", first=_day(first, today), last=_day(last, today))
    return worded("wording.best", past=first <= today, first=_day(first, today))


def _day(on: date, today: date) -> str:
    return format_day(on, short=True, year=on.year != today.year)


def spell_words(spell: AirSpell, now_ms: int, zone: str) -> str:
    """ "71 %, too dry since Tuesday 14:10; allowed 75 to 85 %"."""
    unit = unit_label("temperature") if spell.what == TEMP else "%"
    kind = "temperature" if spell.what == TEMP else "humidity"
    low, high = (_figure(end, kind) for end in spell.allowed)
    values = {"worst": write(spell.worst, kind), "since": day_clock(spell.from_ms, zone)}
    which = "wording.air-warm" if spell.what == TEMP else "wording.air-damp"
    return worded(which, below=spell.low, low=low, high=high, unit=unit, **values)


def _figure(value: float, kind: str) -> str:
    return short(shown_value(value, kind), 1)
