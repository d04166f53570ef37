"""A wheel: what it needs, how it dries, what it is made of, when it is ready; its room's air."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from journal.curves.drying import Drying
from journal.reckoning.composition import Kitchen
from journal.records.air_range import TEMP, AirSpell
from journal.records.due import TASTE, Due
from journal.records.verdicts import Verdict
from journal.records.wheels import Removal, Room
from journal.wording import text_of
from journal.wording.ages import old_words
from journal.wording.care import care_name
from journal.wording.counts import counted
from journal.wording.dates import day_clock, format_day, relative_day
from journal.wording.keys import key_words
from journal.wording.letters import capital
from journal.wording.numbers import short
from journal.wording.shown import shown_value, unit_label, write
from journal.wording.ties import NO_BREAK

MADE_OF = (
    ("moisture", "moisture_pct"), ("MNFS", "mnfs_pct"), ("S/M", "s_m_pct"),
    ("fat in dry matter", "fdm_pct"),
)  # fmt: skip
"""What is said of it: how it is called, and its name in `Kitchen`."""

_HEAVIER, _LIGHTER = 1.03, 0.85  # against the last weight: worth a second look
# The trade's causes, C206: a rind that cracks for want of cloth, fat or moist air.
NO_CARE = "No care scheduled"
SLOWS_IT = "Cloth that sticks all over, a coat of fat, or damper air slows it"
SOURCE = "C. Thom & W. W. Fisk, The Book of Cheese, 1918"


def drying_words(found: Drying, humidity_pct: float | None) -> str:
    """That a wheel dries too fast, what is usual, whether the air explains it, and what helps."""
    own = f"{counted(found.wheels, 'wheel')} here" if found.wheels else "published"
    digits = 2 if found.high - found.low >= 0.02 else 3
    usual = f"{found.low:.{digits}f} to {found.high:.{digits}f}"
    words = f"dries too fast: {found.a_day:.2f} % a day, usual {usual} ({own})."
    if found.by_the_air and humidity_pct is not None:
        words += f" The air is at {humidity_pct:.0f} %."
    return f"{words} {SLOWS_IT} ({SOURCE})."


def make_up_words(found: Kitchen | None) -> str:
    """ "moisture 38.1 % (36.5 to 39.7) · …", with ranges of 80 in 100; "" for None."""
    if found is None:
        return ""
    parts = []
    for name, key in MADE_OF:
        low, high = found.ranges_80[key]
        words = f"{name} {getattr(found, key):.1f} % ({low:.1f} to {high:.1f})"
        parts.append(words.replace(" ", NO_BREAK))
    return " · ".join(parts)


def need_words(due: Due) -> str:
    """ "turn", "taste at 60 days"."""
    return care_name(due.kind) if due.at_days is None else f"taste at {counted(due.at_days, 'day')}"


def wheel_words(plan: str, age_days: float, room: Room | None) -> str:
    """ "Hollow Lane hard · 8 months old · Larder, meant for 11.4 °C and 79 %"."""
    parts = [plan, old_words(age_days)]
    if room is not None:
        aims = [write(room.target_c, "temperature")] if room.target_c is not None else []
        if room.target_humidity_pct is not None:
            aims.append(f"{room.target_humidity_pct:.0f} %")
        parts.append(f"{room.name}{', meant for ' if aims else ''}{' and '.join(aims)}")
    return " · ".join(parts)


def needs_words(verdict: Verdict | None, dues: Sequence[Due], today: date) -> str:
    """Everything it needs, soonest first: "Weigh, 25 days late; turn 5 Dec"."""
    if verdict:
        return f"▲ {text_of(verdict.message)}"
    needs = []
    for due in dues:
        note = f" ({due.note})" if due.note else ""
        needs.append(f"{need_words(due)}{note}, {relative_day(due.on, today)}")
    return f"{capital('; '.join(needs))}." if needs else f"{NO_CARE}."


def weighed_words(code: str, now_kg: float, last_kg: float | None, lost: float | None) -> str:
    """What a weight says, with how much was lost (%), and whether it deserves a second look."""
    since = "" if lost is None else f", {lost_words(lost, 1)} since the press"
    message = f"{code}: {write(now_kg, 'mass')} saved{since}."
    if last_kg and not _LIGHTER <= now_kg / last_kg <= _HEAVIER:
        last = f"Last time it was {write(last_kg, 'mass')}"
        message += f" {last}: check it, {key_words('undo')} undoes it."
    return message


def weighings_words(code: str, count: int, last_kg: float | None, lost: float | None) -> str:
    """How often it was weighed, the last weight, and how much was lost since the press, %."""
    if last_kg is None:
        return f"{code} has not been weighed yet."
    since = "" if lost is None else f", {lost_words(lost)} since the press"
    last = write(last_kg, "mass", digits=2)
    return f"{code}: {counted(count, 'weighing')}, the last {last}{since}."


def dues_title(dues: Sequence[Due]) -> str:
    """What is due at once: "Turn HL-0021-A", "Turn 5 wheels", "Taste HL-0031 at 60 days"."""
    first, code = dues[0], dues[0].life.wheel.code
    if first.kind == TASTE:
        return f"Taste {code.rpartition('-')[0]} at {counted(first.at_days or 0, 'day')}"
    return f"{capital(care_name(first.kind))} {code if len(dues) == 1 else f'{len(dues)} wheels'}"


def lost_words(lost: float, digits: int = 0) -> str:
    """ "4.2 % lost", or "7 % heavier" where it gained."""
    return f"{abs(lost):.{digits}f} % {'lost' if lost >= 0 else 'heavier'}"


def part_words(taken: Removal) -> str:
    """How much it was, as it is typed: "25 %", "0.3 kg", "" for all of it."""
    if taken.weight_kg is not None:
        return write(taken.weight_kg, "mass")
    share = 100 * (taken.share or 0)
    return "" if share >= 100 else f"{share:.0f} %"


def ready_words(best: tuple[date, date | None] | None, least: date | None, today: date) -> str:
    """ "Best from 5 Dec to 14 Mar.", "To be eaten from 2 Feb 2027."."""
    if best is None:
        return "" if least is None else f"To be eaten from {_day(least, today)}."
    first, last = best
    end = "" if last is None else f" to {_day(last, today)}"
    since = "since" if first <= today and last is None else "from"
    return f"Best {since} {_day(first, today)}{end}, by the scores given here."


def _day(on: date, today: date) -> str:
    return format_day(on, short=True, year=on.year != today.year)


def spell_words(spell: AirSpell, now_ms: int, zone: str) -> str:
    """ "71 %, too dry since Tuesday 14:10; allowed 75 to 85 %"."""
    unit = unit_label("temperature") if spell.what == TEMP else "%"
    word = {(TEMP, True): "too cold", (TEMP, False): "too warm"}.get(
        (spell.what, spell.low), "too dry" if spell.low else "too damp"
    )
    kind = "temperature" if spell.what == TEMP else "humidity"
    low, high = spell.allowed
    return (
        f"{write(spell.worst, kind)}, {word} since {day_clock(spell.from_ms, zone)}; "
        f"allowed {_figure(low, kind)} to {_figure(high, kind)} {unit}"
    )


def _figure(value: float, kind: str) -> str:
    return short(shown_value(value, kind), 1)
