"""Which columns hold the time, in which form, and their instants as UTC milliseconds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from journal.exchange import ExchangeError
from journal.exchange.loggers.cells import NUMBER, TIME, spread
from journal.exchange.loggers.headers import elapsed_unit, offset_in, says_elapsed, says_time
from journal.exchange.loggers.long_table import ELSEWHERE
from journal.exchange.loggers.mapping import DATE_ORDERS, Mapping, find_column
from journal.exchange.loggers.numbers import decimal_mark, read_values
from journal.exchange.loggers.order import decide_order
from journal.exchange.loggers.patterns import Ints
from journal.exchange.loggers.stamps import (
    ALL_SHORT,
    DAY_MS,
    NO_OFFSET,
    YEAR_LAST,
    Parts,
    date_ms,
    read_elapsed,
    read_parts,
)
from journal.exchange.loggers.table import RawTable
from journal.exchange.loggers.zones import local_clock, local_midnight, to_utc
from journal.message import Instant, Message
from journal.records.instants import MINUTE_MS
from journal.wording import worded

_LOOKED_AT = 400
_ORDER_LOOKED_AT = 5000
_UNIT_MS = {"msec": 1.0, "s": 1e3, "min": 60e3, "h": 3600e3}
# Seconds and milliseconds since 1970 that fall between 2000 and 2100.
_EPOCH_S = (946_684_800, 4_102_444_800)
# Day numbers of spreadsheets that fall between 2000 and 2100. In the 1900 date system 5 July 2011
# is 40729 (Microsoft, "Date systems in Excel"), so day 25569 is 1 January 1970.
_SERIAL_DAYS = (36_526, 73_051)
_SERIAL_1970 = 25_569
_LEAST_STEP_S = 0.1  # no logger of milk writes rows as close together
_NEAR_MS = 3 * DAY_MS
NO_TIME = Message("exchange.no-time-column")
_SET_MS = 2 * 3_600_000  # by more no clock is set between summer and winter
_LAST_MS = 7_258_118_400_000  # the year 2200


@dataclass(frozen=True)
class Timing:
    """The columns of the time and their form (a key of `TIME_FORMS`, "" when none was found).

    `open` says that the written dates need an order; `date_order` is "" while undecided;
    `reason` says why; `mixed` that the dates are of two orders; `doubt` names what was assumed.
    """

    columns: tuple[int, ...] = ()
    form: str = ""
    date_order: str = ""
    open: bool = False
    reason: Message | None = None
    mixed: bool = False
    doubt: Message | None = None


def find_timing(raw: RawTable, looks: Sequence[str], chosen: Mapping) -> Timing:
    """Find the time in the columns; `looks` is what each mostly looks like."""
    if chosen.time:
        columns = tuple(find_column(raw.header, name) for name in chosen.time)
        timing = _as_chosen(raw, looks, columns, chosen)
    else:
        timing = _found(raw, looks, chosen)
    if timing.form not in ("stamp", "date+clock"):
        return timing
    return _with_order(raw, timing, chosen)


def _as_chosen(
    raw: RawTable, looks: Sequence[str], columns: tuple[int, ...], chosen: Mapping
) -> Timing:
    if len(columns) > 2:
        raise ExchangeError("exchange.time-in-more-columns")
    if len(columns) == 2:
        days = [_is_serial(raw, index) for index in columns]
        if chosen.time_form == "serial" or (
            any(days) and looks[columns[days.index(False)]] == NUMBER
        ):
            return Timing(columns, "serial")
        dated = [_parts(raw, index).dated.any() for index in columns]
        return Timing(columns if dated[0] else columns[::-1], "date+clock")
    if chosen.time_form:
        return Timing(columns, chosen.time_form)
    timing = _form(raw, columns[0], looks[columns[0]], asked=True)
    if not timing.form:
        none = Message("exchange.no-times", column=raw.header[columns[0]])
        raise ExchangeError(timing.reason or none)
    return timing


def _found(raw: RawTable, looks: Sequence[str], chosen: Mapping) -> Timing:
    free = [index for index in range(len(raw.header)) if not chosen.kinds.get(raw.header[index])]
    named = sorted(free, key=lambda index: not says_time(raw.header[index]))
    forms = {
        index: _form(raw, index, looks[index], asked=False)
        for index in named
        if looks[index] in (TIME, NUMBER)
    }
    dates = [index for index, timing in forms.items() if timing.form == "date"]
    clocks = [index for index, timing in forms.items() if timing.form == "clock"]
    for wanted in ("stamp", "epoch-", "serial"):
        for timing in forms.values():
            if timing.form.startswith(wanted):
                return _with_day_part(raw, timing, looks, named)
    if dates and clocks:
        return Timing((dates[0], clocks[0]), "date+clock")
    if dates:
        return Timing((dates[0],), "stamp")
    unclear = [timing for timing in forms.values() if timing.reason]
    found = (timing for timing in forms.values() if timing.form)
    return next(found, unclear[0] if unclear else Timing())


def _with_day_part(
    raw: RawTable, timing: Timing, looks: Sequence[str], named: Sequence[int]
) -> Timing:
    """Whole day numbers with the column that holds the part of the day, if there is one."""
    if timing.form != "serial" or (_numbers(raw, timing.columns[0]) % 1).any():
        return timing
    for index in named:
        if looks[index] == NUMBER and says_time(raw.header[index]) and _is_day_part(raw, index):
            return replace(timing, columns=(*timing.columns, index))
    return timing


def _numbers(raw: RawTable, index: int) -> NDArray[np.float64]:
    value = _plain_numbers(spread(raw.columns[index], _LOOKED_AT), raw.delimiter)
    return value[np.isfinite(value)]


def _is_day_part(raw: RawTable, index: int) -> bool:
    """Whether a column counts in parts of a day: all from 0 to 1, and not all the same whole."""
    value = _numbers(raw, index)
    return bool(len(value) and (value >= 0).all() and (value < 1).all() and (value % 1).any())


def _is_serial(raw: RawTable, index: int) -> bool:
    """Whether a column can hold a spreadsheet's days: numbers of this century that lie within a
    year and advance by less than a day, where seconds would advance by a second or more."""
    value = _numbers(raw, index)
    if not len(value) or not _SERIAL_DAYS[0] <= float(np.median(value)) < _SERIAL_DAYS[1]:
        return False
    return float(np.median(np.abs(np.diff(value)))) < 1 if len(value) > 1 else True


def _parts(raw: RawTable, index: int, most: int = _LOOKED_AT) -> Parts:
    return read_parts(spread(raw.columns[index], most))


def _form(raw: RawTable, index: int, look: str, *, asked: bool) -> Timing:
    """The form of one column; "date" when it holds dates alone and nobody asked for it."""
    name = raw.header[index]
    parts = _parts(raw, index)
    if look == NUMBER and not (parts.dated.mean() > 0.5 and (asked or says_time(name))):
        return _number_form(raw, index, asked=asked)
    if parts.dated.mean() > 0.3:
        alone = not (parts.dated & parts.timed).any()
        return Timing((index,), "date" if alone and not asked else "stamp")
    return _clock_form(raw, index, parts)


def _clock_form(raw: RawTable, index: int, parts: Parts) -> Timing:
    name = raw.header[index]
    cells = [cell.strip() for cell in spread(raw.columns[index], _LOOKED_AT)]
    elapsed = read_elapsed(cells)
    if elapsed.max(initial=-1) < 0:
        return Timing((index,), "clock") if parts.timed.mean() > 0.3 else Timing()
    halves = any("m" in cell.lower() for cell in cells)
    short = all(cell.count(":") == 1 for cell in cells if ":" in cell)
    begins = next((value for value in elapsed.tolist() if value >= 0), -1)
    counted = says_elapsed(name) or elapsed.max() >= DAY_MS or (begins < 1000 and not halves)
    if not counted:
        return Timing((index,), "clock")
    if short and (elapsed_unit(name) == "min" or "mm:ss" in name.lower()):
        return Timing((index,), "elapsed-ms")
    doubt = Message("exchange.read-as-hours", column=name) if short else None
    return Timing((index,), "elapsed-hms", doubt=doubt)


def _number_form(raw: RawTable, index: int, *, asked: bool) -> Timing:
    name = raw.header[index]
    value = _numbers(raw, index)
    if not len(value):
        return Timing()
    middle = float(np.median(value))
    if _EPOCH_S[0] <= middle < _EPOCH_S[1]:
        return Timing((index,), "epoch-s")
    if _EPOCH_S[0] <= middle / 1000 < _EPOCH_S[1]:
        return Timing((index,), "epoch-ms")
    unit = elapsed_unit(name)
    if not unit and (asked or says_time(name)) and _is_serial(raw, index):
        return Timing((index,), "serial")
    rises = len(value) < 2 or float((np.diff(value) >= 0).mean()) > 0.9
    if not asked and not (says_time(name) and rises and value.min() >= 0):
        return Timing()
    if not unit and len(value) > 1 and 0 < np.median(np.abs(np.diff(value))) < _LEAST_STEP_S:
        first, last = value[0], value[-1]
        reason = Message("exchange.time-without-unit", column=name, first=first, last=last)
        return Timing(reason=reason)
    doubt = None if unit else Message("exchange.read-as-seconds", column=name)
    return Timing((index,), f"elapsed-{unit or 's'}", doubt=doubt)


def _plain_numbers(cells: Sequence[str], delimiter: str) -> NDArray[np.float64]:
    return read_values(cells, decimal_mark(cells, delimiter), "number", "")[0]


def _with_order(raw: RawTable, timing: Timing, chosen: Mapping) -> Timing:
    parts = _parts(raw, timing.columns[0], _ORDER_LOOKED_AT)
    clock = parts.clock_ms
    if timing.form == "date+clock":
        clock = _parts(raw, timing.columns[1], _ORDER_LOOKED_AT).clock_ms
    unsaid = bool(((parts.form == YEAR_LAST) | (parts.form == ALL_SHORT)).any())
    if chosen.date_order or not unsaid:
        return replace(timing, open=unsaid, date_order=chosen.date_order or "ymd")
    found = decide_order(parts, clock)
    if not found.order:  # a day over 12 may stand between the sampled rows
        found = decide_order(*_all_parts(raw, timing))
    return replace(
        timing, open=True, date_order=found.order, reason=found.reason, mixed=found.mixed
    )


def _all_parts(raw: RawTable, timing: Timing) -> tuple[Parts, Ints]:
    """The dates of every row, and the time of day that goes with each (-1 for none)."""
    parts = read_parts(raw.columns[timing.columns[0]])
    if timing.form != "date+clock":
        return parts, parts.clock_ms
    other = read_parts(raw.columns[timing.columns[1]])
    parts.offset_min = np.where(other.offset_min != NO_OFFSET, other.offset_min, parts.offset_min)
    parts.form[~other.timed] = 0
    return parts, other.clock_ms


@dataclass(frozen=True)
class UnsureDay:
    """The rows, (n,), of which the day is a guess, sentences that say why, and whether the day of
    what comes after them is one too."""

    rows: NDArray[np.bool_]
    words: tuple[str, ...] = ()
    after: bool = False


class Followed(NamedTuple):
    """Of a file that is followed: the present, and whether times of day without a date follow on a
    row that came before."""

    now_ms: int
    going_on: bool


def instants(
    raw: RawTable, timing: Timing, zone: ZoneInfo, start_ms: int, followed: Followed | None = None
) -> tuple[Ints, NDArray[np.bool_], list[str], UnsureDay]:
    """UTC milliseconds of each row, which rows have a possible time, what was decided, and what
    could not be.

    Elapsed times count from `start_ms`; times of day without a date begin on its day, or follow on
    the row of that instant. Of a file that is followed none is put on a day to come.

    Raises
    ------
    ExchangeError
        When no time was found, or day and month cannot be told apart.
    """
    if not timing.form:
        raise ExchangeError(timing.reason or NO_TIME)
    unsure = UnsureDay(np.zeros(raw.rows, np.bool_))
    if timing.form in ("stamp", "date+clock"):
        at_ms, good, notes = _stamped(raw, timing, zone, start_ms)
    elif timing.form == "serial":
        at_ms, good, notes = _serial(raw, timing, zone)
    elif timing.form == "clock":
        at_ms, good, notes, unsure = _clocked(raw, timing, zone, start_ms, followed)
    else:
        at_ms, good = _counted(raw, timing, start_ms)
        notes = []
    good &= (at_ms >= 0) & (at_ms < _LAST_MS)
    return at_ms, good, notes, unsure


def _counted(raw: RawTable, timing: Timing, start_ms: int) -> tuple[Ints, NDArray[np.bool_]]:
    cells = raw.columns[timing.columns[0]]
    base, unit = timing.form.split("-")
    if unit in ("hms", "ms") and base == "elapsed":
        elapsed = read_elapsed(cells, minutes_first=unit == "ms")
        return elapsed + start_ms, elapsed >= 0
    value = _plain_numbers(cells, raw.delimiter)
    value *= _UNIT_MS["msec" if unit == "ms" else unit]
    good = np.isfinite(value) & (np.abs(value) < _LAST_MS)
    at_ms = np.round(np.where(good, value, 0)).astype(np.int64)
    return at_ms + (start_ms if base == "elapsed" else 0), good


def _serial(
    raw: RawTable, timing: Timing, zone: ZoneInfo
) -> tuple[Ints, NDArray[np.bool_], list[str]]:
    """Days as a spreadsheet counts them on the kitchen's own clock, the part of the day with them
    or in a column of its own."""
    days = sum(_plain_numbers(raw.columns[index], raw.delimiter) for index in timing.columns)
    days = np.asarray(days) - _SERIAL_1970
    good = np.isfinite(days) & (days >= 0) & (days * DAY_MS < _LAST_MS)
    at_ms = np.round(np.where(good, days, 0) * DAY_MS).astype(np.int64)
    at_ms[good], notes = to_utc(at_ms[good], zone)
    return at_ms, good, notes


def _clocked(
    raw: RawTable, timing: Timing, zone: ZoneInfo, start_ms: int, followed: Followed | None
) -> tuple[Ints, NDArray[np.bool_], list[str], UnsureDay]:
    """Times of day, those of each sensor by themselves."""
    times = read_parts(raw.columns[timing.columns[0]]).clock_ms
    going_on = followed is not None and followed.going_on
    good = times >= 0
    at_ms, guessed = np.zeros(len(times), np.int64), np.zeros(len(times), np.bool_)
    notes, words, after = [worded("exchange.counted-from-the-day")], [], False
    sensor = _sensor_rows(raw)
    for one in dict.fromkeys(sensor[good].tolist()):
        rows = np.flatnonzero(good & (sensor == one))
        begin_ms = start_ms
        if not going_on and (above := np.flatnonzero(good[: rows[0]])[-1:]).size:
            later = np.flatnonzero(good[rows[0] :] & (sensor[rows[0] :] == sensor[above]))
            if later.size and at_ms[rows[0] + later[0]] >= at_ms[above[0]]:
                begin_ms = int(at_ms[above[0]])  # it joins another that goes on
        local, astray = _nights(times[rows], zone, begin_ms, followed)
        at_ms[rows], more = to_utc(local, zone)
        notes += more
        known = at_ms[rows[~astray]]
        from_ms, why = _silent(np.append(start_ms, known) if going_on else known, zone)
        guessed[rows] = astray | (at_ms[rows] >= from_ms)
        after |= bool(why)
        words += [*why, *_on_astray(at_ms[rows[astray]], zone)]
    unsure = UnsureDay(guessed, tuple(dict.fromkeys(words)), after)
    return at_ms, good, list(dict.fromkeys(notes)), unsure


def _sensor_rows(raw: RawTable) -> Ints:
    """Which sensor each row is from, (n,), in a table with a row for each value; 0 in others."""
    found = np.zeros(raw.rows, np.int64)
    if raw.sensors is not None:
        own = raw.columns[len(raw.sensors.others) :: len(raw.sensors.values)]
        for number, column in enumerate(own):
            found[[cell != ELSEWHERE for cell in column]] = number
    return found


def _nights(
    times: Ints, zone: ZoneInfo, start_ms: int, followed: Followed | None
) -> tuple[Ints, NDArray[np.bool_]]:
    """Times of day, (n,), on the zone's own clock with their days, and which rows lie astray.

    A step back by more than a clock is set by is midnight passed, unless the rows on either side
    of a single one follow each other at the file's usual step, or it is still to come.
    """
    begin, midnight = local_clock(start_ms, zone), local_midnight(start_ms, zone)
    now_ms, going_on = followed or (_LAST_MS, False)
    now = local_midnight(now_ms, zone) + local_clock(now_ms, zone)
    small = np.diff(times)
    small = small[np.abs(small) < DAY_MS // 2]
    turned = not going_on and bool((small < 0).sum() > (small > 0).sum())
    times = np.append(begin, times) if going_on else times[::-1] if turned else times
    step = np.diff(times, prepend=times[:1])
    usual = step[(step > 0) & (step <= _SET_MS)]
    near = min(3 * float(np.median(usual)), _SET_MS / 2) if len(usual) else -1
    around = times[2:] - times[:-2]  # without the row between
    fits = (around >= 0) & (around <= near)
    back = step < -_SET_MS
    astray = np.zeros(len(times), np.bool_)
    astray[1:-1] = fits & (back[1:-1] | back[2:])
    back[1:-1] &= ~fits
    back[2:] &= ~fits
    if going_on:
        _leave_to_come(back, times, now - midnight)
        local = midnight + np.cumsum(back) * DAY_MS + times
        sound = np.where(astray, local[0], local)
        return local[1:], (astray | (local < np.maximum.accumulate(sound) - _SET_MS))[1:]
    first = times[:1] - begin
    nights: Ints = np.cumsum(back) + (first < -DAY_MS // 2) - (first > DAY_MS // 2)
    local = midnight + nights * DAY_MS + times
    ahead = local[-1:] - now  # the last row was written just now: its day is the nearest
    local -= np.maximum(-(-(ahead - DAY_MS // 2) // DAY_MS), 0) * DAY_MS
    return (local[::-1], astray[::-1]) if turned else (local, astray)


def _leave_to_come(back: NDArray[np.bool_], times: Ints, now: int) -> None:
    """Take no step back for midnight passed where it would put the row after the present, and well
    after the row before; both counted from the first row's midnight."""
    day = 0
    for row in np.flatnonzero(back).tolist():
        latest = max(now, day + times[row - 1]) + _SET_MS
        back[row] = day + DAY_MS + times[row] <= latest
        day += DAY_MS * int(back[row])


def _silent(at_ms: Ints, zone: ZoneInfo) -> tuple[int, list[str]]:
    """From when on the day is a guess, as a logger that writes no dates was silent for so long."""
    at_ms = np.sort(at_ms)
    silent = np.flatnonzero(np.diff(at_ms) >= DAY_MS // 2)
    if not len(silent):
        return _LAST_MS, []
    before, after = (int(at_ms[silent[0] + one]) for one in (0, 1))
    ends = {"before": Instant(before, str(zone)), "after": Instant(after, str(zone))}
    return after, [worded("exchange.silent", **ends, silent=(after - before) / MINUTE_MS)]


def _on_astray(at_ms: Ints, zone: ZoneInfo) -> list[str]:
    if not len(at_ms):
        return []
    first = Instant(int(at_ms[0]), str(zone))
    return [worded("exchange.rows-astray", rows=len(at_ms), first=first)]


def _stamped(
    raw: RawTable, timing: Timing, zone: ZoneInfo, start_ms: int
) -> tuple[Ints, NDArray[np.bool_], list[str]]:
    parts, clock = _all_parts(raw, timing)
    order, notes = timing.date_order, []
    if not order:
        order = "" if timing.mixed else _order_by_start(parts, start_ms)
        if not order:
            raise ExchangeError(timing.reason or NO_TIME, asks="date order")
        notes.append(worded("exchange.dates-by-the-make", order=DATE_ORDERS[order]))
    midnight, good = date_ms(parts, order)
    local = midnight + np.maximum(clock, 0)
    own = parts.offset_min != NO_OFFSET
    named = [offset_in(raw.header[index]) for index in timing.columns]
    for minutes in [offset for offset in named if offset is not None]:
        parts.offset_min = np.where(own, parts.offset_min, minutes)
        own = np.ones(len(own), np.bool_)
    at_ms = local - np.where(own, parts.offset_min, 0) * 60_000
    bare = good & ~own
    at_ms[bare], more = to_utc(local[bare], zone)
    return at_ms, good, notes + more


def _order_by_start(parts: Parts, start_ms: int) -> str:
    """The one order by which most rows lie near the start of the make, "" for none."""
    near = []
    for order in ("dmy", "mdy", "ymd"):
        midnight, good = date_ms(parts, order)
        close = np.abs(midnight[good] - start_ms) < _NEAR_MS
        if len(close) and close.mean() > 0.5:
            near.append(order)
    one = len(near) == 1 or near in (["dmy", "ymd"], ["mdy", "ymd"])
    return near[0] if one else ""
