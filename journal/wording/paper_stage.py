"""A stage in the words of a sheet at the vat: what goes in, how much, what must be true."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from journal.records.instants import MINUTE_MS, local
from journal.records.kinds import READING_KINDS
from journal.records.plans import ALLOWED_RANGE_C, AcidTarget, Plan, Stage
from journal.wording.counts import counted
from journal.wording.dates import clock, format_day, weekday_name
from journal.wording.doses import DoseWords, doses_of
from journal.wording.durations import from_start
from journal.wording.letters import capital, small
from journal.wording.plan_sheet import acid_target_sentence, facts_of
from journal.wording.shown import rate, shown_difference, shown_figure, write
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
        return "from start" if self.start_ms is None else "clock"

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
        words = "Turn" if ticks else f"Turn {stage.turns} times."
        if stage.intervals_min:
            words = f"Turn after {_minutes(stage.intervals_min[:-1])} min"
        out.append(Words(lead=words, ticks=ticks))
    pace = " ".join(_pace(stage))
    if pace:
        out.append(Words(pace))
    if stage.kind == "set" and plan.floc_multiplier is not None:
        out.append(Words(f"First flecks after ____ min, × {plan.floc_multiplier:g} = cut "
                         "____ min after the rennet."))  # fmt: skip
    if stage.acid_target is not None:
        start = plan.starts()[index]
        acid_target = capital(acid_target_sentence(stage.acid_target)) + _acid_target_time(
            stage, stage.acid_target, start, begun
        )
        out.append(Words(lead=f"{acid_target}."))
    if stage.until:
        out.append(Words(small(stage.until), lead="Until"))
    return [replace(words, joined=joined) for words in out]


def target_words(stage: Stage) -> list[Words]:
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
    return "pH, %" if len(units) > 1 else "% acid" if units == {"% lactic"} else "pH"


def _dose_words(one: DoseWords) -> Words:
    note = capital(one.dose.note)
    lead = f"{capital(one.dose.name)} {one.amount.replace(' ', NO_BREAK)}"
    if one.on_paper:
        return Words(f"({one.on_paper}). {note}", lead=lead)
    return Words(note, lead=f"{lead}.")


def dose_blank(ones: Sequence[DoseWords]) -> str:
    """What goes in of an ingredient, dose by dose: "2.4 ml, about 1/2 tsp; then 1.2 ml"."""
    amounts = [(one.amount.replace(" ", NO_BREAK), one.on_paper) for one in ones]
    return "; then ".join(", ".join(filter(None, both)) for both in amounts)


def _minutes(parts: Sequence[float]) -> str:
    return ", ".join(f"{part:g}" for part in parts)


def _pace(stage: Stage) -> Iterator[str]:
    """How quickly it may warm."""
    if stage.first_c_per_min is not None and stage.first_min is not None:
        yield f"First {stage.first_min:g} min no faster than {rate(stage.first_c_per_min)}."
    if stage.limit_c_per_min is not None:
        yield f"Never faster than {rate(stage.limit_c_per_min)}."


def _acid_target_time(stage: Stage, acid_target: AcidTarget, start: float, begun: PlanStart) -> str:
    """When an acid target is open, where that is not the whole stage."""
    first, last = acid_target.from_min or 0.0, acid_target.to_min
    if last is None or last >= stage.minutes:
        return f", from {begun.at(start + first)} on" if first else ""
    if first:
        return f", from {begun.at(start + first)} to {begun.at(start + last)}"
    return f", by {begun.at(start + last)}"


def plan_facts(plan: Plan, begun: PlanStart) -> list[str]:
    """What a sheet says of its plan first: how much of it, when it begins and ends."""
    start_ms = begun.start_ms
    style = [plan.style] if plan.style else []
    parts = [f"version {plan.version}", *style, write(plan.milk_l, "volume"),
             facts_of(plan, plan.milk_l)]  # fmt: skip
    facts = [" · ".join(parts)]
    whole, stages = write(plan.minutes, "duration"), counted(len(plan.stages), "stage")
    if start_ms is None:
        return [*facts, f"{stages}, {whole}"]
    day = local(start_ms, begun.zone)
    begins = f"begins {format_day(day, weekday=True)} at {clock(start_ms, begun.zone)}"
    ends_ms = start_ms + round(plan.minutes * MINUTE_MS)
    last = local(ends_ms, begun.zone)
    last_day = format_day(last, year=False, weekday=True)
    ends = f"ends on {last_day} at {clock(ends_ms, begun.zone)}"
    return [*facts, f"{begins}, {stages}, {whole}, {ends}"]
