"""The day at the vat in a sentence or a line: what is on it, what is expected, what is read."""

from __future__ import annotations

from collections.abc import Sequence

from journal.curves.events import Event
from journal.curves.snapshot import MakeSnapshot
from journal.message import Instant, Message
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.traces import DOUBTFUL, STRUCK, Reading
from journal.records.whole import WholeMake
from journal.wording import text_of, worded
from journal.wording.ages import time_words
from journal.wording.at_the_vat import PageText, late_message
from journal.wording.clocks import clock_rows, other_row
from journal.wording.dates import clock
from journal.wording.readings import figure_text, value_text
from journal.wording.vat_stage import next_words, range_words, reading_age_words, to_go


def running_stage_words(day: MakeSnapshot) -> str:
    """The stage that runs, or that none does any more."""
    stage = day.page_state.stage
    return stage.label.capitalize() if stage is not None else worded("wording.finished")


def last_reading_words(day: MakeSnapshot, kind: str) -> str:
    """The last value of a kind, with its age once the milk's says nothing of now."""
    message = value_text(kind, day.whole.trace(kind).sound().value[-1])
    at_ms = day.page_state.last_at_ms
    if kind != "milk-temp" or at_ms is None or not day.page_state.is_old(day.now_ms):
        return message
    return f"{message}, {reading_age_words(at_ms, day.now_ms)}"


def seen_words(day: MakeSnapshot, kinds: Sequence[str]) -> list[str]:
    """What is to be seen from across the kitchen, read aloud."""
    out = [running_stage_words(day)]
    if day.page_state.ends_ms is not None:
        out.append(" ".join(to_go(day.page_state.ends_ms, day.now_ms)))
    out += [last_reading_words(day, kind) for kind in kinds if len(day.whole.trace(kind).sound())]
    out += [range_words(day)] if day.page_state.last_c is not None else []
    if day.page_state.stage is not None:
        out.append(worded("wording.next", stage=next_words(day.page_state.next_stage)[0]))
    out += [row.words for row in clock_rows(day) if row.figures]
    out += [other_row(other, day.now_ms).words for other in day.others[:1]]
    return out


def chart_words(day: MakeSnapshot) -> str:
    """The chart of the day, read aloud."""
    stage, last_c = day.page_state.stage, day.page_state.last_c
    running = worded(
        "wording.running" if last_c is None else "wording.running-last",
        code=day.whole.make.code,
        stage=Message("wording.no-stage") if stage is None else stage.label,
        readings=sum(len(t) for t in day.whole.traces.values()),
        last="" if last_c is None else value_text("milk-temp", last_c),
    )
    return f"{running} {forecast_words(day)}".strip()


def forecast_words(day: MakeSnapshot) -> str:
    """What is expected of the next acid target, in a sentence."""
    found, zone = day.ahead.acid_target, day.whole.make.zone
    if found is None:
        return ""
    values = {"ph": found.ph, "stage": day.ahead.acid_target_label}
    if found.reached_at_ms is None and not found.tenths:
        return worded("wording.forecast-not-reached", **values)
    if found.reached_at_ms is None:
        by = "" if found.by_at_ms is None else time_words(found.by_at_ms, day.now_ms, zone)
        return worded("wording.forecast-perhaps", tenths=found.tenths, by=by, **values)
    at = time_words(found.reached_at_ms, day.now_ms, zone)
    if found.reached_at_ms < day.now_ms - MINUTE_MS:
        return worded("wording.forecast-was-expected", at=at, **values)
    if found.high_at_ms is None:
        return worded("wording.forecast-or-never", at=at, never=10 - found.tenths, **values)
    low = time_words(found.low_at_ms or found.reached_at_ms, day.now_ms, zone)
    high = time_words(found.high_at_ms, day.now_ms, zone)
    return worded("wording.forecast", at=at, low=low, high=high, **values)


def event_time_words(event: Event, zone: str) -> str:
    """When something went on: "since 11:20", "11:20 to 11:45"."""
    since = Instant(event.since_ms, zone)
    if event.lasts:
        return worded("wording.since", at=since)
    until = Instant(event.since_ms + round(event.minutes * MINUTE_MS), zone)
    return worded("wording.since-until", since=since, until=until)


def late_words(delay_min: float) -> str:
    """How late the day is as it stands, "" on time: "12 min late"."""
    return "" if abs(delay_min) < 1 else text_of(late_message(round(delay_min)))


def over_words(whole: WholeMake) -> str:
    """ "Finished", "Failed" or "Abandoned"."""
    over = "wording.failed" if whole.make.failed else "wording.finished"
    return whole.why_failed.partition(":")[0] or worded(over)


def noted_words(message: PageText) -> str:
    """What is to be read under the key: "2 noted today, and warnings in the plan"."""
    if not message.warns:
        return worded("wording.noted-today", noted=message.noted)
    if not message.noted:
        return worded("wording.warnings-in-plan")
    return worded("wording.noted-and-warnings", noted=message.noted)


def reading_words(reading: Reading, zone: str) -> str:
    """A reading as it is read aloud: "11:28, 34.3 °C, milk", and whether it is struck."""
    parts = [clock(reading.at_ms, zone), value_text(reading.kind, reading.value)]
    parts += [part for part in (what_is_read(reading), instrument_showed(reading)) if part]
    if reading.flags & STRUCK:
        parts.append(worded("wording.struck-out"))
    elif reading.flags & DOUBTFUL:
        parts.append(worded("wording.far-from-before"))
    return ", ".join(parts)


def what_is_read(reading: Reading) -> str:
    """What was read: "milk", "curd"."""
    return READING_KINDS[reading.kind].label.removesuffix(" pH")


def instrument_showed(reading: Reading) -> str:
    """What the instrument showed, where its check corrected it."""
    if reading.raw is None:
        return ""
    return worded("wording.instrument-showed", figure=figure_text(reading.kind, reading.raw))


def odd_words(kind: str, value: float, last: float | None) -> str:
    """What is asked of a value that is far from the one before, or odd by itself."""
    read = value_text(kind, value)
    if last is None:
        return worded("wording.unusual", read=read, kind=kind)
    return worded("wording.right-after", read=read, last=value_text(kind, last))
