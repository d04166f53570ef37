"""What the numbers say at a moment: one thing first, the rest in quiet lines below it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from journal.curves.events import Event, last_read
from journal.curves.heating import NEAR, Heating
from journal.curves.held_heat import held_heat
from journal.curves.snapshot import PAST, USUAL, MakeSnapshot
from journal.curves.verdict import verdict_on
from journal.curves.vessel import Advice
from journal.message import Instant, Message
from journal.records.instants import MINUTE_MS
from journal.wording import text_of, worded
from journal.wording.ages import time_words
from journal.wording.heat import held_words
from journal.wording.offer import MoreMinutes, offer_of
from journal.wording.vat_stage import advice_words, comes_by_water

SOON_MS = MINUTE_MS // 2  # so near its moment the heat is turned down now
COASTS_MIN = 12.0  # how long after that the milk is said to coast
SETTLES_MIN = 5.0  # until the milk shows that more heat was given
WIDE_MIN = 6.0  # a narrower range is not shown
LINES_MOST = 4
_LEANS = {PAST: "wording.leans-on-past", USUAL: "wording.leans-on-usual"}
_ARRIVES, _IN_SHORT = "wording.arrives", "wording.arrives-at-this-rate"
READ, DOWN, LONGER, RATE = "read", "down", "longer", "rate"  # what a person may be asked
NEWS_MOST = 1  # the others are listed


@dataclass(frozen=True)
class QuietLine:
    """A quiet line; with `attention` it has the mark, and one that `stays` never makes room."""

    text: str
    attention: bool = False
    stays: bool = False


@dataclass(frozen=True)
class PageText:
    """What the page says: a head with its sentence and what answers it, then lines.

    `caution` asks for the published caution below the head, `noted` counts what happened today,
    `warns` tells that the plan has a caution of its own, `order` is what a person is asked to do.
    """

    head: str = ""
    rest: str = ""
    attention: bool = False
    offer: MoreMinutes | None = None
    lines: tuple[QuietLine, ...] = ()
    caution: bool = False
    noted: int = 0
    warns: bool = False
    order: str = ""


def page_text(day: MakeSnapshot) -> PageText:
    """What there is to say about a day, the most urgent first; it orders one thing at most."""
    milk = _milk_text(day)
    acid, news = acid_lines(day, ask=not milk.order), _news_lines(day)
    noted, warns = len(day.ahead.events), bool(day.whole.plan.caution)
    if day.ahead.slow and not day.acknowledged.slow:
        lines = (*_verdict_lines(day), *_heat_lines(day))
        lines += (QuietLine(milk.head, True),) if milk.attention else ()
        return PageText(text_of(day.ahead.slow), "", True, None, lines, True, noted, warns)
    lines = (*_verdict_lines(day), *_heat_lines(day), *milk.lines, *news, *acid)[:LINES_MOST]
    return replace(milk, lines=lines, noted=noted, warns=warns)


def ramp_of(day: MakeSnapshot) -> Heating | None:
    """The ramp of this stage, where one was calculated."""
    return day.ahead.heating if day.ahead.index == day.page_state.index else None


def turn_down_words(day: MakeSnapshot) -> str:
    """What is said when it is time to turn the heat down; "" before, once that was answered, and
    while the last reading is too old to tell."""
    order, words = due_now(day)
    return words if order == DOWN else ""


def due_now(day: MakeSnapshot) -> tuple[str, str]:
    """What to do about the heat now, with its words: turn it down, or read the milk where the
    time to turn it down came and the last reading is too old to tell; "" for nothing."""
    ramp, run = ramp_of(day), day.page_state.run
    if ramp is None or ramp.turn_down_ms is None or run is None or ramp.coast_c is None:
        return "", ""
    if comes_by_water(day.page_state.stage) or day.acknowledged.turned_at(run.id) is not None:
        return "", ""
    came = day.now_ms >= ramp.turn_down_ms - SOON_MS
    if day.page_state.is_old(day.now_ms):
        return (READ, worded("wording.read-may-turn-down")) if came else ("", "")
    last_c = day.page_state.last_c
    if is_there(day, ramp):
        return DOWN, worded("wording.turn-down-there", milk=last_c)
    if came or (last_c is not None and last_c >= (ramp.down_c or ramp.target_c)):
        which = "wording.turn-down-early" if ramp.early else "wording.turn-down"
        return DOWN, worded(which)
    return "", ""


def is_there(day: MakeSnapshot, ramp: Heating) -> bool:
    """Whether the last reading is as near the ramp's target as counts for there."""
    stage, last_c = day.page_state.stage, day.page_state.last_c
    if stage is None or last_c is None:
        return False
    return last_c >= ramp.target_c - NEAR * stage.allowed_c


def _milk_text(day: MakeSnapshot) -> PageText:
    """What there is to say about the milk. Each return orders one thing at most, and none that
    rests on an old reading."""
    page_state, ramp = day.page_state, ramp_of(day)
    if page_state.is_old(day.now_ms):
        return _old_text(day, ramp)
    if ramp is not None and turn_down_words(day):
        return PageText(_arrival_words(day, ramp), order=DOWN)  # the head of the page says when
    advice = None if day.left_alone else page_state.advice
    stage = page_state.stage
    allowed_c = 1.0 if stage is None else stage.allowed_c
    head, rest, attention = advice_words(advice, allowed_c, stage)
    turned = day.acknowledged.turned_at(page_state.run.id if page_state.run is not None else None)
    if attention:
        short = (
            (QuietLine(_arrival_words(day, ramp, _IN_SHORT)),) if ramp and turned is None else ()
        )
        offer = offer_of(advice, allowed_c)
        return PageText(head, rest, True, offer, short, order=LONGER if offer else RATE)
    if turned is not None and day.now_ms - turned < COASTS_MIN * MINUTE_MS:
        target = 0.0 if stage is None else stage.target_c or 0.0
        return PageText(
            worded("wording.heat-turned-down", at=Instant(turned, day.whole.make.zone)),
            worded("wording.warms-on-to", target=target),
        )
    if ramp is None or turned is not None:
        return PageText(head, rest, order=RATE if rest else "")
    arrives_ms = ramp.arrives_ms
    if arrives_ms is not None and arrives_ms <= day.now_ms and not is_there(day, ramp):
        at = Instant(arrives_ms, day.whole.make.zone)
        head = worded("wording.was-expected", target=ramp.target_c, at=at)
        return PageText(head, worded("wording.read-the-milk"), order=READ)
    lines = tuple(QuietLine(text) for text in (_plan_words(advice, ramp),) if text)
    head = _arrival_words(day, ramp, _IN_SHORT if _climbs_slowly_yet(day) else _ARRIVES)
    return PageText(head, _turn_words(day, ramp), lines=lines, order=DOWN)


def _old_text(day: MakeSnapshot, ramp: Heating | None) -> PageText:
    """That the milk was not read for too long, with what the last readings predicted. Where
    nothing has to be done it is a quiet line and no order."""
    page_state, zone = day.page_state, day.whole.make.zone
    read = last_read(page_state, day.now_ms, zone)
    words = "" if read is None else text_of(read)
    if page_state.fresh is None or not page_state.fresh.asked:
        return PageText(lines=(QuietLine(words),))
    turned = day.acknowledged.turned_at(page_state.run.id if page_state.run is not None else None)
    rest = worded("wording.read-now")
    if ramp is not None and ramp.arrives_ms is not None and turned is None:
        at, past = Instant(ramp.arrives_ms, zone), ramp.arrives_ms < day.now_ms
        rest = worded("wording.read-now-expected", target=ramp.target_c, past=past, at=at)
    return PageText(words, rest, attention=True, order=READ)


def _climbs_slowly_yet(day: MakeSnapshot) -> bool:
    """Whether the plan itself asks for more heat later: then no arrival is predicted, it is only
    said what the heat as it is leads to."""
    stage, run = day.page_state.stage, day.page_state.run
    if stage is None or run is None or run.began_ms is None or stage.first_min is None:
        return False
    return day.now_ms - run.began_ms < (stage.first_min + SETTLES_MIN) * MINUTE_MS


def _arrival_words(day: MakeSnapshot, ramp: Heating, arrives: str = _ARRIVES) -> str:
    """When the milk is there: "Nearly 38.0 °C about 10:42, 3 min late."; where that is unsure
    "Nearly 38.0 °C between 10:36 and 10:50, 3 min late."; once that time has passed without a
    reading "38.0 °C was expected about 10:42."."""
    target, zone = ramp.target_c, day.whole.make.zone
    if is_there(day, ramp):
        return worded("wording.close-enough", milk=day.page_state.last_c, target=target)
    if ramp.arrives_ms is None:
        return worded("wording.not-at-this-rate", target=target)
    since, until, at = ramp.low or ramp.arrives_ms, ramp.high, Instant(ramp.arrives_ms, zone)
    if ramp.arrives_ms < day.now_ms and (until is None or until <= day.now_ms):
        return worded("wording.was-expected", target=target, at=at)
    when = Message("wording.about", at=at)
    if until is None:
        when = Message("wording.about-or-later", at=at)
    elif since <= day.now_ms < until:
        when = Message("wording.by", until=Instant(until, zone))
    elif until - since > WIDE_MIN * MINUTE_MS:
        when = Message("wording.between", since=Instant(since, zone), until=Instant(until, zone))
    late = late_message(round(ramp.late_min or 0.0))
    return worded(arrives, target=target, when=when, late=late)


def late_message(minutes: float) -> Message:
    """How late: "12 min late", "3 min early", "on time"."""
    if not minutes:
        return Message("wording.on-time")
    return Message("wording.late" if minutes > 0 else "wording.early", minutes=abs(minutes))


def _turn_words(day: MakeSnapshot, ramp: Heating) -> str:
    if ramp.turn_down_ms is None or ramp.coast_c is None or comes_by_water(day.page_state.stage):
        return ""
    if is_there(day, ramp):
        return ""
    at, warm = Instant(ramp.turn_down_ms, day.whole.make.zone), ramp.down_c or ramp.target_c
    which = "wording.heat-down-early" if ramp.early else "wording.heat-down"
    return worded(which, at=at, warm=warm, coast=ramp.coast_c)


def _plan_words(advice: Advice | None, ramp: Heating) -> str:
    """How far the milk is off the plan, and the rate that arrives on time."""
    if ramp.rate <= 0:
        return ""
    off = advice.behind_c if advice is not None else 0.0
    if abs(off) < 0.05:
        which = "wording.rate-on-time" if ramp.in_time else "wording.plan-allows"
    else:
        which = "wording.off-rate-on-time" if ramp.in_time else "wording.off-plan-allows"
    rate = ramp.rate if ramp.in_time else ramp.limit
    return worded(which, rate=rate, off=abs(off), behind=off > 0)


def _verdict_lines(day: MakeSnapshot) -> tuple[QuietLine, ...]:
    """A verdict on eating it stays on the page from then on."""
    words = verdict_on(day.whole)
    return () if words is None else (QuietLine(text_of(words), True, stays=True),)


def _heat_lines(day: MakeSnapshot) -> tuple[QuietLine, ...]:
    """How long the milk was hot enough, where the plan pasteurises; it stays while that runs."""
    heat = held_heat(day.whole, day.now_ms) if day.running else None
    words, attention = ("", False) if heat is None else held_words(heat)
    return (QuietLine(words, attention, stays=True),) if words else ()


def acid_lines(day: MakeSnapshot, *, ask: bool = True) -> tuple[QuietLine, ...]:
    """What acidity is expected, and what may go wrong with it; with `ask` it asks for a reading
    that is due."""
    out = []
    if day.ahead.slow and day.acknowledged.slow:
        slow = text_of(day.ahead.slow).rstrip(".")
        out.append(QuietLine(worded("wording.shows-caution", slow=slow), True, stays=True))
    if day.ahead.doubt:
        out.append(QuietLine(text_of(day.ahead.doubt), True, stays=True))
    if day.ahead.passed:
        out.append(QuietLine(text_of(day.ahead.passed), True))
    acid_target = _acid_target_words(day, ask=ask)
    return (*out, QuietLine(acid_target)) if acid_target else tuple(out)


def _acid_target_words(day: MakeSnapshot, *, ask: bool) -> str:
    """When the next acid target is reached: "Drain: pH 6.10 about 11:40 (11:20 to 12:05)."."""
    found, zone = day.ahead.acid_target, day.whole.make.zone
    if found is None:
        return ""
    leans = Message(_LEANS[day.ahead.leans]) if day.ahead.leans else ""
    values = {"stage": day.ahead.acid_target_label.capitalize(), "ph": found.ph, "leans": leans}

    def at(at_ms: int | None) -> str:
        return "" if at_ms is None else time_words(at_ms, day.now_ms, zone)

    if found.reached_at_ms is None and not found.tenths:
        return worded("wording.acid-not-reached", **values)
    if found.reached_at_ms is None:
        by = at(found.by_at_ms)
        return worded("wording.acid-perhaps", tenths=found.tenths, by=by, **values)
    about = at(found.reached_at_ms)
    if found.reached_at_ms < day.now_ms - MINUTE_MS:
        return worded("wording.acid-was-expected", about=about, ask=ask, **values)
    since, until = at(found.low_at_ms or found.reached_at_ms), at(found.high_at_ms)
    if found.high_at_ms is None:
        never = 10 - found.tenths
        return worded("wording.acid-or-never", about=about, since=since, never=never, **values)
    return worded("wording.acid-expected", about=about, since=since, until=until, **values)


def _news_lines(day: MakeSnapshot) -> tuple[QuietLine, ...]:
    """What has just happened, the newest; slow acid has its own place."""
    events = [e for e in day.ahead.events if e.kind != "slow acid"]
    return tuple(
        QuietLine(_news_words(e), True)
        for e in day.acknowledged.news(events, day.now_ms)[:NEWS_MOST]
    )


def _news_words(event: Event) -> str:
    """An event in short: "16 min outside the range: on average 1.7 °C too cold, at most 1.8 °C.";
    of one that is over "Was outside the range for 16 min: …"."""
    if event.mean_c is None or event.worst_c is None or event.how_long is None:
        return text_of(event.message)
    which = "wording.outside-for" if event.lasts else "wording.was-outside-for"
    if event.how_long.id != "curves.known-minutes":
        which = "wording.outside-long"
    warm, mean, worst = event.mean_c > 0, abs(event.mean_c), abs(event.worst_c)
    long = {"long": event.how_long, "lasts": event.lasts}
    return worded(which, warm=warm, mean=mean, worst=worst, **long)
