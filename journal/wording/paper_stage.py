"""A stage in the words of a sheet at the vat: what goes in, how much, what must be true."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from journal.message import Instant, Message
from journal.records.instants import MINUTE_MS, local
from journal.records.kinds import READING_KINDS
from journal.records.plans import ALLOWED_RANGE_C, AcidTarget, Plan, Stage
from journal.wording import worded
from journal.wording.dates import clock, format_day, weekday_name
from journal.wording.doses import DoseWords, doses_of
from journal.wording.durations import from_start
from journal.wording.letters import capital, small
from journal.wording.plan_sheet import acid_target_sentence, facts_of
from journal.wording.shown import shown_difference, shown_figure, write
from journal.wording.stages import settings_of
from journal.wording.ties import NO_BREAK

_MOST_TICKS = 24
_WEEK = 7


@dataclass(frozen=True)
class Words:
    """A paragraph of a cell: bold words first, then plain ones; `ticks` boxes to tick follow. One
    that is `joined` goes on in the line of the one before."""

    text: str = ""
    lead: str = ""
    quiet: bool = False
    ticks: int = 0
    joined: bool = False


Cell = Sequence[Words] | str


@dataclass(frozen=True)
class PlanStart:
    """When a plan begins, if that is known; says its minutes on that clock or from the start."""

    start_ms: int | None = None
    zone: str = "UTC"

    @property
    def title(self) -> str:
        """What stands above such times."""
        return worded("wording.from-start" if self.start_ms is None else "wording.clock")

    def at(self, minutes: float) -> str:
        """A minute of the plan, with the weekday when it is another day, later with its date."""
        if self.start_ms is None:
            return from_start(minutes)
        at_ms = self.start_ms + round(minutes * MINUTE_MS)
        there = local(at_ms, self.zone)
        days = (there.date() - local(self.start_ms, self.zone).date()).days
        if days == 0:
            return clock(at_ms, self.zone)
        near = days < _WEEK
        day = weekday_name(there, short=True) if near else format_day(there, short=True, year=False)
        return f"{day} {clock(at_ms, self.zone)}"


def stage_words(plan: Plan, index: int, begun: PlanStart, *, joined: bool = False) -> list[Words]:
    """Everything the plan says of a stage, for the plan's own milk: a paragraph each, or `joined`
    as one."""
    stage = plan.stages[index]
    out = [Words(stage.instruction)] if stage.instruction else []
    out += [_dose_words(dose) for dose in doses_of(stage, plan.milk_l)]
    settings = "; ".join(settings_of(plan, stage, plan.milk_l))
    if settings:
        out.append(Words(lead=f"{capital(settings)}."))
    if stage.turns:
        ticks = stage.turns if stage.turns <= _MOST_TICKS else 0
        which = "wording.paper-turn" if ticks else "wording.paper-turn-times"
        if stage.intervals_min:
            which = "wording.paper-turn-after"
        minutes = [f"{part:g}" for part in stage.intervals_min[:-1]]
        words = worded(which, turns=stage.turns, minutes=minutes)
        out.append(Words(lead=words, ticks=ticks))
    pace = " ".join(_pace(stage))
    if pace:
        out.append(Words(pace))
    if stage.kind == "set" and plan.floc_multiplier is not None:
        out.append(Words(worded("wording.paper-flecks", times=plan.floc_multiplier)))
    if stage.acid_target is not None:
        start = plan.starts()[index]
        when = _acid_target_time(stage, stage.acid_target, start, begun)
        target = acid_target_sentence(stage.acid_target)
        out.append(Words(lead=worded("wording.acid-target-in-full", target=target, when=when)))
    if stage.until:
        out.append(Words(small(stage.until), lead=worded("wording.paper-until")))
    return [replace(words, joined=joined) for words in out]


def stage_target_words(stage: Stage) -> list[Words]:
    """The target of a stage and how far it may stray where that is not the usual."""
    if stage.target_c is None:
        return [Words("–")]
    target = shown_figure(stage.target_c, "temperature", 1)
    if stage.allowed_c == ALLOWED_RANGE_C:
        return [Words(lead=target)]
    return [Words(f"± {shown_difference(stage.allowed_c)}", lead=target, quiet=True)]


def acid_title(plan: Plan) -> str:
    """What acidity is measured in at the vat, as the plan's acid targets have it."""
    units = {
        READING_KINDS[s.acid_target.kind].unit for s in plan.stages if s.acid_target is not None
    }
    acid = worded("wording.pct-acid")
    return "pH, %" if len(units) > 1 else acid if units == {"% lactic"} else "pH"


def _dose_words(one: DoseWords) -> Words:
    note = capital(one.dose.note)
    lead = f"{capital(one.dose.name)} {one.amount.replace(' ', NO_BREAK)}"
    if one.on_paper:
        return Words(f"({one.on_paper}). {note}", lead=lead)
    return Words(note, lead=f"{lead}.")


def dose_blank(ones: Sequence[DoseWords]) -> str:
    """What goes in of an ingredient, dose by dose: "2.4 ml, about 1/2 tsp; then 1.2 ml"."""
    amounts = [(one.amount.replace(" ", NO_BREAK), one.on_paper) for one in ones]
    written = [", ".join(filter(None, both)) for both in amounts]
    return reduce(_then, written) if written else ""


def _then(before: str, after: str) -> str:
    return worded("wording.then-dose", before=before, after=after)


def _pace(stage: Stage) -> Iterator[str]:
    """How quickly it may warm."""
    if stage.first_c_per_min is not None and stage.first_min is not None:
        first, slow = stage.first_min, stage.first_c_per_min
        yield worded("wording.first-no-faster", minutes=first, rate=slow)
    if stage.limit_c_per_min is not None:
        yield worded("wording.never-faster", rate=stage.limit_c_per_min)


def _acid_target_time(
    stage: Stage, acid_target: AcidTarget, start: float, begun: PlanStart
) -> Message | str:
    """When an acid target is open, where that is not the whole stage."""
    first, last = acid_target.from_min or 0.0, acid_target.to_min
    since = begun.at(start + first)
    if last is None or last >= stage.minutes:
        return Message("wording.open-from", since=since) if first else ""
    which = "wording.open-from-to" if first else "wording.open-by"
    return Message(which, since=since, until=begun.at(start + last))


def plan_facts(plan: Plan, begun: PlanStart) -> list[str]:
    """What a sheet says of its plan first: how much of it, when it begins and ends."""
    start_ms = begun.start_ms
    style = [plan.style] if plan.style else []
    version = worded("wording.version", version=plan.version)
    parts = [version, *style, write(plan.milk_l, "volume"), facts_of(plan, plan.milk_l)]
    takes = worded("wording.plan-takes", stages=len(plan.stages), minutes=plan.minutes)
    if start_ms is None:
        return [" · ".join(parts), takes]
    ends_ms = start_ms + round(plan.minutes * MINUTE_MS)
    begins, ends = Instant(start_ms, begun.zone), Instant(ends_ms, begun.zone)
    day = format_day(local(start_ms, begun.zone), weekday=True)
    last_day = format_day(local(ends_ms, begun.zone), year=False, weekday=True)
    days = {"day": day, "last_day": last_day}
    lasts = worded("wording.plan-begins", at=begins, end=ends, takes=takes, **days)
    return [" · ".join(parts), lasts]
