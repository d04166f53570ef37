"""Why a wheel is as it is: the trade's causes of a defect beside what its make really did.

Each cause is held against the kitchen's own other makes of that family (robust distance), the
make's plan and what is published. What departs its way is likely, what does not is out, what
nobody wrote down is asked for. The journal's own finding stands beside it. None of this moves an
estimate.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from journal.findings.grades import Graded, graded
from journal.findings.hazards import hazards_of
from journal.findings.literature import OPPOSITE, SAME_WAY, OwnFinding
from journal.findings.plan_variables import first_changed, plan_variable_of
from journal.findings.trade import (
    EITHER,
    GRADES,
    LESS,
    MORE,
    NO_EFFECT,
    SAME,
    TRIAL,
    Cause,
    PublishedRange,
    causes,
    closeness,
    disagreements,
    family_of,
    published_ranges,
)
from journal.findings.trade_values import TradeVariable, ValueEstimate, applies, measured
from journal.message import Message
from journal.records.plans import Plan
from journal.records.whole import WholeMake

LIKELY, DOUBTFUL, OUT, OPEN = "likely", "doubtful", "out", "open"
"""How a cause stands: it departs far its way; a little, or it is of another family; it does not;
nobody knows."""
USUAL, PLAN, PUBLISHED, ALONE, UNWRITTEN = "usual", "plan", "published", "alone", "unwritten"
"""What a cause departs from; or nothing to hold it against, or no value."""
LEAST_OTHERS = 3
"""With fewer own makes there is no usual."""
FAR_SD, NEAR_SD = 2.0, 1.0
UNUSUAL_SD = 3.0
"""Where no defect is asked about: of some thirty variables one in two makes has one beyond 2."""
WELL_OFF = 2.0
"""Typical changes off the plan from which that alone makes a cause likely."""
MAD_TO_SD = 1.4826
RESOLVED = 1 / 3
"""The least spread that is taken for real, of a typical change."""
SHARE_OF_DOSE = 0.1
MOST_ASKED, MOST_NEXT = 3, 2
GRADE = "disagree-grade"  # of the disagreements: whether composition tells the grade
CHANGE, KEEP, AIM, NOTE = "change", "keep", "aim", "note"
"""What to do next time: plan another value, keep to the plan's, aim at what no plan settles, write
down."""


@dataclass(frozen=True)
class UsualRange:
    """What the kitchen's other makes had: the middle 8 of 10 of `makes`; `kinds` for a kind, the
    most usual first."""

    low: float
    middle: float
    high: float
    spread: float
    makes: int
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True)
class SuspectedCause:
    """One cause (a way of a variable) with its rows, the surest first, and how it stands.

    `departs` is how far the value lies its way of the usual, in sds (NaN: nothing to say it by);
    `reasons` say from what it departs, or why it is open.
    """

    variable: str
    direction: str
    rows: tuple[Cause, ...]
    fits: int
    likelihood: str
    reasons: tuple[str, ...] = ()
    read: TradeVariable | None = None
    here: ValueEstimate | None = None
    usual: UsualRange | None = None
    departs: float = math.nan
    planned: float | None = None
    published: PublishedRange | None = None
    own: OwnFinding | None = None

    @property
    def trials(self) -> int:
        """How many published trials say so."""
        return sum(row.evidence == TRIAL for row in self.rows)

    @property
    def key(self) -> str:
        """The key of the variable it was read by, else the trade's own."""
        return self.variable if self.read is None else self.read.key

    @property
    def weight(self) -> float:
        """How soon it is to be looked at: how far it departs, how it is known, the own makes."""
        far = min(abs(self.departs), 4.0) / 2 if math.isfinite(self.departs) else 0.0
        far += (PUBLISHED in self.reasons) + 0.5 * (PLAN in self.reasons)
        known = (min(self.trials, 3) + 1) / 2 if self.trials else _GRADE[self.rows[0].evidence]
        own = 0.0 if self.own is None else self.own.weight
        return far + known + own + 0.5 * (self.fits == SAME)


_GRADE = dict(zip(GRADES, (1.0, 0.5, 0.4, 0.3, 0.1), strict=True))


@dataclass(frozen=True)
class NextTime:
    """What to do at the next make, with the value where there is one."""

    do: str
    suspect: SuspectedCause
    value: float = math.nan


@dataclass(frozen=True)
class Why:
    """Why a wheel (or a make) is so. `named` counts its samples by defect; `defect` is "" where no
    defect is asked about and none was named: then `likely` is all that was unusual."""

    make: str
    wheel: str
    defect: str
    family: str
    named: dict[str, int]
    samples: int
    health: tuple[Message, ...]
    suspects: tuple[SuspectedCause, ...]
    next_time: tuple[NextTime, ...]
    others: int
    disagree: tuple[str, ...] = ()
    composition: tuple[Graded, ...] = ()
    failed: bool = False  # the make was marked as failed
    reason: str = ""  # as it was noted then

    def of(self, *likelihoods: str) -> list[SuspectedCause]:
        """The causes that stand so, the first to look at first."""
        return [one for one in self.suspects if one.likelihood in likelihoods]


def why(
    make: WholeMake,
    wheel: str,
    defect: str,
    others: Sequence[WholeMake],
    own: dict[str, OwnFinding],
    age_days: float,
) -> Why:
    """Hold every published cause of a defect against what a make did.

    Parameters
    ----------
    make : WholeMake
    wheel : str
        One of its wheels; "" for the make as a whole.
    defect : str
        A word of the tables; "" looks at whatever was unusual.
    others : sequence of WholeMake
        The kitchen's other makes; those of the plan's name, else of its family, are its usual.
    own : dict of Own
        What the journal's own findings say about the defect, by key of the variable.
    age_days : float
        The wheel's age when it was tasted; NaN where it never was.
    """
    family = family_of(make.plan)
    named, samples = _named(make, wheel)
    alike = alike_of(make, others)
    at = wheel or next((one.code for one in make.wheels), "")
    suspects = [
        _judged(one, make, at, age_days, alike, family, own)
        for one in (_grouped(defect, family, make) if defect else _everything(make))
    ]
    if not defect:
        suspects = _unusual(suspects)
    suspects.sort(key=_order)
    composition = graded(make, family)
    return Why(
        make=make.make.code,
        wheel=wheel,
        defect=defect,
        family=family,
        named=named,
        samples=samples,
        health=hazards_of(make, defect, age_days),
        suspects=tuple(suspects),
        next_time=_next(suspects) if defect else (),
        others=len(alike),
        disagree=_disputed(suspects, defect, bool(composition)),
        composition=composition,
        failed=make.make.failed,
        reason=make.why_failed,
    )


def alike_of(make: WholeMake, others: Sequence[WholeMake]) -> list[WholeMake]:
    """The other makes that say what is usual: of the same plan's name where there are three, else
    of its family."""
    rest = [one for one in others if one.make.uuid != make.make.uuid]
    same = [one for one in rest if one.plan.name == make.plan.name]
    if len(same) >= LEAST_OTHERS:
        return same
    family = family_of(make.plan)
    return [one for one in rest if family and family_of(one.plan) == family]


def _named(make: WholeMake, wheel: str) -> tuple[dict[str, int], int]:
    """On how many samples of the wheel (or make) each defect was named, most often first; and how
    many samples there are."""
    marks = [one for one in make.named if wheel in ("", one.wheel_code)]
    seen = {(one.wheel_code, one.tasting_id, one.assessor, one.term) for one in marks}
    counts: dict[str, int] = {}
    for *_, term in sorted(seen):
        counts[term] = counts.get(term, 0) + 1
    samples = {(one.wheel_code, one.tasting_id, one.assessor) for one in marks}
    samples |= {(one.wheel_code, one.tasting_id, one.assessor) for one in make.scores
              if wheel in ("", one.wheel_code)}  # fmt: skip
    return dict(sorted(counts.items(), key=lambda item: (-item[1], item[0]))), len(samples)


def _grouped(defect: str, family: str, make: WholeMake) -> list[SuspectedCause]:
    """The causes of a defect, one a variable and way, those of families far away left out."""
    found: dict[tuple[str, str], list[Cause]] = {}
    for row in causes():
        if row.defect == defect and row.direction != NO_EFFECT and row.fits(family):
            found.setdefault((row.variable, row.direction), []).append(row)
    out = []
    for (variable, direction), rows in found.items():
        if applies(make.plan, variable):
            rows.sort(key=lambda row: (GRADES.index(row.evidence), -row.fits(family), row.id))
            fits = rows[0].fits(family)
            out.append(SuspectedCause(variable, direction, tuple(rows), fits, OPEN, (UNWRITTEN,)))
    return out


def _everything(make: WholeMake) -> list[SuspectedCause]:
    """Every variable that a record says, whatever it may do."""
    return [
        SuspectedCause(key, EITHER, _NO_ROW, SAME, OPEN, (UNWRITTEN,))
        for key in measured()
        if applies(make.plan, key) and key != "age_at_tasting"
    ]


def _unusual(suspects: Sequence[SuspectedCause]) -> list[SuspectedCause]:
    """What is far from the usual, each reading once."""
    found = {
        one.key: replace(one, likelihood=LIKELY)
        for one in suspects
        if one.likelihood == LIKELY and (one.departs >= UNUSUAL_SD or (one.here and one.here.kind))
    }
    return list(found.values())


_NO_ROW = (Cause("", "", "", EITHER, "", "practice", ""),)


def _judged(
    suspect: SuspectedCause,
    make: WholeMake,
    wheel: str,
    age: float,
    alike: Sequence[WholeMake],
    family: str,
    own: dict[str, OwnFinding],
) -> SuspectedCause:
    """The same with what the make really had, and how it stands."""
    for read in measured().get(suspect.variable, ()):
        here = read.read(make, wheel, age)
        if here is None:
            continue
        found = replace(suspect, read=read, here=here, own=_own(own, read, suspect))
        usual = _usual(read, alike, age)
        found = replace(found, usual=usual)
        return _of_kind(found) if here.kind else _of_number(found, make, family)
    return suspect


def _own(
    own: dict[str, OwnFinding], read: TradeVariable, suspect: SuspectedCause
) -> OwnFinding | None:
    found = own.get(read.key) or own.get(_SHOWN_BY.get(read.key, ""))
    return None if found is None else found.beside(suspect.direction)


_SHOWN_BY = {"salt_in_moisture": "salt_in_curd"}


def _usual(read: TradeVariable, alike: Sequence[WholeMake], age: float) -> UsualRange | None:
    """What the other makes had, one value a make; None of fewer than three."""
    values, kinds = [], []
    for one in alike:
        wheels = [wheel.code for wheel in one.wheels] or [""]
        if read.key == "age_at_tasting":
            ages = [(s.at_ms - one.make.started_ms) / 86_400_000 for s in one.scores]
            found = [ValueEstimate(a, a, a) for a in ages]
        else:
            found = [known for wheel in wheels if (known := read.read(one, wheel, age)) is not None]
        if found and found[0].kind:
            kinds.append(found[0].kind)
        elif found:
            values.append(float(np.median([known.value for known in found])))
    if kinds:
        ordered = sorted(set(kinds), key=lambda kind: (-kinds.count(kind), kind))
        nan = math.nan
        return UsualRange(nan, nan, nan, nan, len(kinds), tuple(ordered))
    if len(values) < LEAST_OTHERS:
        return None
    low, middle, high = (float(v) for v in np.quantile(values, [0.1, 0.5, 0.9]))
    spread = MAD_TO_SD * float(np.median(np.abs(np.array(values) - middle)))
    least = RESOLVED * _step(read, middle)
    return UsualRange(low, middle, high, max(spread, least), len(values))


def _step(read: TradeVariable, middle: float) -> float:
    """A typical change: of a dose a tenth of the usual one."""
    step = None if read.variable is None else read.variable.step
    return abs(SHARE_OF_DOSE * middle) if step is None else abs(step)


def _of_kind(one: SuspectedCause) -> SuspectedCause:
    """A kind: whose milk, which lot, raw or not."""
    kind = one.here.kind if one.here else ""
    if one.variable == "treatment_pasteurised":
        hit = (kind == "pasteurised") == (one.direction == MORE)
        if not hit:
            return replace(one, likelihood=OUT, reasons=(USUAL,))
        usually = one.usual is not None and one.usual.kinds[0] == kind
        return replace(one, likelihood=DOUBTFUL, reasons=(ALONE,) if usually else (USUAL,))
    if one.usual is None or one.usual.makes < LEAST_OTHERS:
        return replace(one, likelihood=OPEN, reasons=(ALONE,))
    if kind not in one.usual.kinds:
        return replace(one, likelihood=LIKELY, reasons=(USUAL,), departs=FAR_SD)
    return replace(one, likelihood=OUT, reasons=(USUAL,))


def _of_number(one: SuspectedCause, make: WholeMake, family: str) -> SuspectedCause:
    """A number beside the usual, the plan and what is published."""
    here, read = one.here, one.read
    if here is None or read is None:
        return one
    plan_variable = plan_variable_of(read.key)
    planned = plan_variable.planned(make.plan) if plan_variable is not None else None
    departs = (here.value - one.usual.middle) / one.usual.spread if one.usual else math.nan
    sign = {LESS: -1.0, MORE: 1.0}.get(one.direction, 1.0)
    either = one.direction == EITHER
    departs = abs(departs) if either else sign * departs
    strayed = math.nan if planned is None else sign * (here.value - planned) / _step(read, planned)
    strayed = abs(strayed) if either else strayed
    published = _published(one, family)
    beyond = published is not None and _beyond(published, here, one.direction)
    reasons = tuple(
        word
        for word, far in ((USUAL, departs >= FAR_SD), (PLAN, strayed >= 1.0), (PUBLISHED, beyond))
        if far
    )
    one = replace(
        one, departs=departs, planned=planned, published=published,
        reasons=reasons or tuple(
            word
            for word, there in ((USUAL, one.usual), (PLAN, planned), (PUBLISHED, published))
            if there is not None
        ) or (ALONE,),
    )  # fmt: skip
    says = "" if one.own is None else one.own.says
    if reasons or (departs >= NEAR_SD and says == SAME_WAY):
        sure = departs >= FAR_SD or PUBLISHED in reasons or strayed >= WELL_OFF
        sure = says != OPPOSITE and (sure or says == SAME_WAY)
        return replace(one, likelihood=LIKELY if sure else DOUBTFUL)
    if one.reasons == (ALONE,):
        return replace(one, likelihood=OPEN)
    return replace(one, likelihood=DOUBTFUL if departs >= NEAR_SD else OUT)


def _published(one: SuspectedCause, family: str) -> PublishedRange | None:
    """The published range for the family, if any; one that is for other defects alone is none."""
    defect = one.rows[0].defect
    rows = (row for row in published_ranges() if row.variable == one.variable and family)
    near = (row for row in rows if closeness(row.family, family) == SAME)
    return next((row for row in near if not row.defects or defect in row.defects), None)


def _beyond(published: PublishedRange, here: ValueEstimate, direction: str) -> bool:
    """Whether even the near end of the value lies outside, on the cause's side."""
    below = published.low is not None and here.high < published.low
    above = published.high is not None and here.low > published.high
    return (below and direction != MORE) or (above and direction != LESS)


def _order(one: SuspectedCause) -> tuple[int, float, int, str]:
    index = (LIKELY, DOUBTFUL, OUT, OPEN).index(one.likelihood)
    return index, -one.weight, -one.trials, one.variable


def _next(suspects: Sequence[SuspectedCause]) -> tuple[NextTime, ...]:
    """The likeliest back to what is usual, then what to write down."""
    likely = [
        one for one in suspects if one.likelihood == LIKELY and one.here and not one.here.kind
    ]
    out = [_back(one) for one in likely[:MOST_NEXT]]
    unknown = [one for one in suspects if one.likelihood == OPEN and one.reasons != (ALONE,)]
    unknown = list({one.variable: one for one in unknown}.values())
    return (*(one for one in out if one), *(NextTime(NOTE, one) for one in unknown[:MOST_ASKED]))


def _back(one: SuspectedCause) -> NextTime | None:
    """Where a value that departed should lie next time: the plan's, if that is not the reason,
    else the usual, else the published end."""
    if one.variable == "age_at_tasting" or one.read is None:
        return None
    if one.planned is not None and PLAN in one.reasons:
        return NextTime(KEEP, one, one.planned)
    value = one.usual.middle if one.usual is not None else _end(one)
    if not math.isfinite(value):
        return None
    return NextTime(AIM if one.planned is None else CHANGE, one, value)


def next_plan(plan: Plan, found: Why) -> tuple[Plan, int]:
    """The plan with the first change that it can take, and the stage that changes (-1: none)."""
    for one in found.next_time:
        plan_variable = plan_variable_of(one.suspect.key) if one.do == CHANGE else None
        if plan_variable is None:
            continue
        new = plan_variable.try_plan(plan, round(one.value, plan_variable.digits))
        if new is not None:
            return new, first_changed(plan, new)
    return plan, -1


def _end(one: SuspectedCause) -> float:
    published = one.published
    if published is None:
        return math.nan
    end = published.high if one.direction == MORE else published.low
    return math.nan if end is None else end


def _disputed(suspects: Sequence[SuspectedCause], defect: str, with_grade: bool) -> tuple[str, ...]:
    """The disagreements that are about a cause that departs here, about the defect, or about grade
    where the composition is known."""
    about = {one.variable for one in suspects if one.likelihood in (LIKELY, DOUBTFUL)}
    return tuple(
        one.id
        for one in disagreements()
        if about & set(one.variables) or defect in one.defects or (with_grade and one.id == GRADE)
    )
