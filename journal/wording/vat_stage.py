"""The words of a stage: what to do, how long it lasts, what comes next, its clock."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from journal.curves.delay import StageDelay, spoken
from journal.curves.page_state import begins_at_c
from journal.curves.vessel import Advice
from journal.records.instants import MINUTE_MS, local
from journal.records.plans import AcidTarget, Plan, Stage
from journal.wording import worded
from journal.wording.dates import clock, format_day
from journal.wording.doses import doses_of
from journal.wording.durations import countdown
from journal.wording.letters import capital, small
from journal.wording.plan_sheet import acid_target_sentence
from journal.wording.shown import shown_figure, write
from journal.wording.stages import doing, settings_of
from journal.wording.vat import advice_head, advice_rest

if TYPE_CHECKING:
    from journal.curves.snapshot import MakeSnapshot

_HOUR_MS = 60 * MINUTE_MS
DELAYS_SHOWN = 3
SAME_C = 0.3  # so near its target a stage begins as one that holds it
_UNIT = re.compile(r"(?<=[0-9]) (?=(?:°C|°F|min|kg|g|lb|oz|ml|L|mm|in|kPa|tsp|tbsp|%)(?![a-z]))")
_A_THING = re.compile(r"[Aa]n? (?:[\w-]+ )?[\w-]*[^\Ws]")  # "a clean break", no whole sentence


def temperature_target_words(
    plan: Plan, index: int, since_min: float = 0.0, read_c: float | None = None
) -> str:
    """Where the temperature should go: "raise from 31.0 to 38.5 °C over 40 min", "hold 31.0 °C",
    "" for anywhere.

    `since_min` after the stage began a ramp may be over; milk that was read (°C) short of the
    target still has to get there, milk that is there is held.
    """
    stage = plan.stages[index]
    if stage.target_c is None:
        return ""
    there, from_c = stage.target_c, begins_at_c(plan, index)
    hold = worded("wording.hold", there=there)
    if abs(there - from_c) < SAME_C or not stage.ramp_length_min:
        return hold
    rises = there > from_c
    short = None if read_c is None else (there - read_c) * (1 if rises else -1)
    if short is not None and short < SAME_C:
        return hold
    if since_min >= stage.ramp_length_min:
        late = short is not None and short > stage.allowed_c
        return worded("wording.still-to", rises=rises, there=there) if late else hold
    slowly = bool(stage.limit_c_per_min or stage.first_c_per_min)
    low, minutes = shown_figure(from_c, "temperature", 1), stage.ramp_length_min
    way = {"rises": rises, "slowly": slowly}
    return worded("wording.ramp", low=low, there=there, minutes=minutes, **way)


def doing_words(plan: Plan, stage: Stage, milk_l: float) -> str:
    """What to do, what to add, what to set and what to wait for, a sentence each; "" when the plan
    says nothing."""
    parts = [stage.instruction] if stage.instruction else []
    if stage.doses:
        doses = [dose.to_add for dose in doses_of(stage, milk_l)]
        parts.append(worded("wording.add", doses=doses))
    parts += [capital(words) for words in settings_of(plan, stage, milk_l)]
    if stage.until:
        which = "wording.wait-for" if _A_THING.fullmatch(stage.until) else "wording.wait-until"
        parts.append(worded(which, until=small(stage.until)))
    return " ".join(f"{part.rstrip('.')}." for part in parts)


def bound(text: str) -> str:
    """The text with each number bound to its unit, so that no line breaks between them."""
    return _UNIT.sub("\u00a0", text)


def acidity_of(day: MakeSnapshot) -> str:
    """The acidity to read in this stage: of its acid target, else milk, from the cut on curd."""
    return acidity_in(day.whole.plan, day.page_state.index or 0)


def acidity_in(plan: Plan, index: int) -> str:
    """The acidity to read in a stage of a plan."""
    acid_target = plan.stages[index].acid_target
    if acid_target is not None:
        return acid_target.kind
    cut = next((i for i, stage in enumerate(plan.stages) if stage.kind == "cut"), 0)
    return "milk-ph" if index < cut else "curd-ph"


def next_words(stage: Stage | None) -> tuple[str, str]:
    """The next stage with its length, and its acid target; after the last how the make ends."""
    if stage is None:
        return worded("wording.finish-the-make"), worded("wording.weigh-the-wheels")
    head = f"{stage.label.capitalize()}, {write(stage.minutes, 'duration')}"
    return head, _acid_target_or_none(stage.acid_target)


def acid_target_now(plan: Plan, index: int) -> str:
    """The acid target of this stage, "" where it has none."""
    return _acid_target_or_none(plan.stages[index].acid_target)


def to_go(ends_ms: int, now_ms: int) -> tuple[str, str]:
    """The clock's figures and what they are: ("16:00", "to go"), ("1:23:45", "to go"),
    ("2:10", "over"), ("3 d 4 h", "to go")."""
    left = ends_ms - now_ms
    return countdown(abs(left)), worded("wording.to-go" if left >= 0 else "wording.over")


def stage_ends_words(ends_ms: int, now_ms: int, zone: str) -> str:
    """When the stage ends or should have ended, with the date from a day on."""
    far = abs(ends_ms - now_ms) >= 24 * _HOUR_MS
    day = f"{format_day(local(ends_ms, zone), year=False)}, " if far else ""
    return worded("wording.ends", due=ends_ms < now_ms, when=f"{day}{clock(ends_ms, zone)}")


def range_words(day: MakeSnapshot) -> str:
    """The last reading of the milk beside its plan, with its age: "planned 37.4 °C, in range, read
    2 min ago"; "" without a reading."""
    last_c, at_ms = day.page_state.last_c, day.page_state.last_at_ms
    if last_c is None or at_ms is None:
        return ""
    found = day.range_at((at_ms - day.whole.make.started_ms) / MINUTE_MS)
    read = read_words(at_ms, day.now_ms)
    if found is None:
        return read
    low, planned, high = found
    if low <= last_c <= high:
        return worded("wording.planned-in-range", planned=planned, read=read)
    off, warm = abs(last_c - planned), last_c > planned
    return worded("wording.planned-off", planned=planned, off=off, warm=warm, read=read)


def out_of_range(day: MakeSnapshot) -> bool:
    """Whether the last reading of the milk lies outside what the plan allowed then."""
    last_c, at_ms = day.page_state.last_c, day.page_state.last_at_ms
    if last_c is None or at_ms is None:
        return False
    found = day.range_at((at_ms - day.whole.make.started_ms) / MINUTE_MS)
    return found is not None and not found[0] <= last_c <= found[2]


def read_words(at_ms: int, now_ms: int) -> str:
    """When a value was read: "read 4 min ago"."""
    return worded("wording.read-so-long-ago", age=reading_age_words(at_ms, now_ms))


def reading_age_words(at_ms: int, now_ms: int) -> str:
    """How old a reading is: "just now", "4 min ago"."""
    minutes = (now_ms - at_ms) // MINUTE_MS
    return worded("wording.just-now" if minutes < 1 else "wording.ago", minutes=minutes)


def comes_by_water(stage: Stage | None, rising: bool = True) -> bool:
    """Whether it is the water poured in that warms a stage (or cools it), not the heat."""
    if stage is None or stage.water_added_per_l <= 0:
        return False
    if stage.water_c is None or stage.target_c is None:
        return True
    return (stage.water_c > stage.target_c) == rising


def advice_words(
    advice: Advice | None, allowed_c: float, stage: Stage | None = None
) -> tuple[str, str, bool]:
    """What the numbers say: a head, a sentence, and whether it needs attention. For a `stage`
    that water warms it speaks of the water, not of the heat."""
    if advice is None:
        return "", "", False
    rest = advice_rest(advice)
    if advice.too_quick and comes_by_water(stage, advice.rising):
        rest = worded("wording.add-water-slowly", rising=advice.rising)
    return f"{advice_head(advice)}.", rest, abs(advice.behind_c) > allowed_c


def delay_words(found: list[StageDelay], in_all_min: float) -> str:
    """The whole delay and where most of it came from: "14 min behind: setting +9, cutting +5"; ""
    on time."""
    named = [delay for delay in spoken(found) if delay.skipped or abs(delay.minutes) >= 1]
    if not named and abs(in_all_min) < 1:
        return ""
    named = sorted(sorted(named, key=_largest)[:DELAYS_SHOWN], key=_in_order)
    parts = [
        worded("wording.stage-skipped", stage=doing(delay.label)) if delay.skipped
        else f"{doing(delay.label)} {_signed(delay.minutes)}"
        for delay in named
    ]  # fmt: skip
    minutes = round(abs(in_all_min))
    which = "wording.all-on-time" if abs(in_all_min) < 1 else "wording.all-late"
    whole = worded(which, minutes=minutes, behind=in_all_min > 0)
    return f"{whole}: {', '.join(parts)}" if parts else whole


def _largest(delay: StageDelay) -> tuple[bool, float]:
    return not delay.skipped, -abs(delay.minutes)


def _in_order(delay: StageDelay) -> int:
    return delay.position


def _signed(minutes: float) -> str:
    sign = "+" if minutes >= 0 else "−"
    return f"{sign}{write(round(abs(minutes)), 'duration').removesuffix(' min')}"


def _acid_target_or_none(acid_target: AcidTarget | None) -> str:
    return "" if acid_target is None else acid_target_sentence(acid_target)
