"""What in a plan may hurt the eater: raw milk, a dead culture, no salt, a soft cheese kept warm."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from journal.curves.fault import Fault, indexes_of, of_kind
from journal.curves.plan_heat import pasteurises
from journal.message import Message
from journal.records.plans import Plan

NOT_PASTEURISED = ("raw", "thermised")  # thermised milk is treated as raw (a secondary page)
RAW_DAYS = 60.0  # 21 CFR 133.113 and others, at 1.7 °C or more; Canada, at 2 °C or more
# Above it a culture is dead. Lactococci slow from 35 °C and many strains die above 40
# (cheesescience.net): the last degrees are from memory. Thermophilic cultures live through the
# published cook of 53.3 to 57.2 °C (Thom & Fisk 1918, par. 267-271). A mixed one keeps its hardier
# half up to where that no longer grows (Medveďová et al. 2019).
KILLED_AT_C = {"mesophilic": 42.0, "mixed": 50.0, "thermophilic": 58.0}
STAY_BELOW_C = {"mesophilic": 40.0, "mixed": 45.0, "thermophilic": 57.0}
COLD_C = 8.0  # camembert, wrapped: 4 to 8 °C (University of Guelph)
# Days after the vat that a cheese that is not pressed may stand warmer than that. With mould or a
# washed rind: camembert 4 weeks and more at 11 to 14 °C, limburger 3 to 4 weeks (Thom & Fisk 1918);
# a blue until it is blue inside, and a fresh cheese: common practice, no source.
FRESH_DAYS, RIND_DAYS, BLUE_DAYS = 4.0, 35.0, 90.0
_DAY_MIN = 1440.0
_AFTER_THE_ACID = ("stretch", "scald")  # curd that has soured as far as it is to
_FIRM = ("press", "stretch")


def _raw_in_soft(plan: Plan) -> Iterator[Fault]:
    if is_raw(plan) and is_soft(plan):
        which = "curves.raw-in-butter" if of_kind(plan, "churn") else "curves.raw-in-soft"
        yield Fault(-1, Message(which, treatment=plan.treatment))


def _raw_too_young(plan: Plan) -> Iterator[Fault]:
    first = min([*plan.taste_at_days, *_eaten(plan)], default=RAW_DAYS)
    if is_raw(plan) and first < RAW_DAYS:
        days = round(first)
        yield Fault(-1, Message("curves.raw-too-young", treatment=plan.treatment, days=days))


def _killed_culture(plan: Plan) -> Iterator[Fault]:
    last = max(indexes_of(plan, "culture"), default=None)
    if last is None or not plan.sours:
        return
    dies = KILLED_AT_C[plan.culture_type]
    for i, stage in enumerate(plan.stages):
        if stage.kind in _AFTER_THE_ACID:
            return
        if i > last and stage.target_c is not None and stage.target_c > dies:
            yield Fault(
                i,
                Message(
                    "curves.culture-killed",
                    target_c=stage.target_c,
                    stage=stage.label,
                    culture=plan.culture_type,
                    below_c=STAY_BELOW_C[plan.culture_type],
                ),
            )


def _unsalted(plan: Plan) -> Iterator[Fault]:
    presses = of_kind(plan, "press")
    salted = any(indexes_of(plan, "salt")) or bool(of_kind(plan, "brine", "salt"))
    rubbed = any(
        rule.kind in ("rub", "brush") and ("salt" in rule.note or "brine" in rule.note)
        for rule in plan.care
    )
    if presses and not salted and not rubbed:
        yield Fault(presses[-1][0], Message("curves.pressed-unsalted"))


def _stored_warm(plan: Plan) -> Iterator[Fault]:
    if not is_soft(plan):
        return
    warm, warmest = days_warm(plan)
    allowed = _warm_days(plan)
    if warm > allowed:
        yield Fault(
            -1,
            Message(
                "curves.soft-kept-warm",
                days=round(warm),
                warmest_c=warmest,
                cold_c=COLD_C,
                allowed=round(allowed),
            ),
        )


def last_day(plan: Plan) -> float:
    """The last day of its age at which the plan still has the cheese."""
    last = (rule.from_day if rule.goes_on else rule.to_day for rule in plan.care)
    return max([plan.minutes / _DAY_MIN, *plan.taste_at_days, *_eaten(plan), *last])


def days_warm(plan: Plan, cold_c: float = COLD_C) -> tuple[float, float]:
    """How many days after the vat the plan keeps its cheese warmer than that, and how warm at
    most."""
    begin, end = plan.minutes / _DAY_MIN, last_day(plan)
    moves = sorted(
        (rule.from_day, rule.room_c)
        for rule in plan.care
        if rule.kind == "move" and rule.room_c is not None
    )
    rooms = [(begin, plan.room_c), *((max(day, begin), room) for day, room in moves)]
    days, warmest = 0.0, 0.0
    for (day, room), until in zip(rooms, [*(day for day, _ in rooms[1:]), end], strict=True):
        if room is not None and room > cold_c:
            days, warmest = days + until - day, max(warmest, room)
    return days, warmest


def _eaten(plan: Plan) -> list[float]:
    """The least age to eat it at, where the plan says one."""
    return [] if plan.eat_from_days is None else [plan.eat_from_days]


def _warm_days(plan: Plan) -> float:
    care = {rule.kind for rule in plan.care}
    if "pierce" in care:
        return BLUE_DAYS
    return RIND_DAYS if any(indexes_of(plan, "mould")) or care & {"rub", "brush"} else FRESH_DAYS


def is_raw(plan: Plan) -> bool:
    """Whether the milk is raw or thermised and the plan itself does not pasteurise it."""
    return plan.treatment in NOT_PASTEURISED and not pasteurises(plan)


def is_soft(plan: Plan) -> bool:
    """True for a cheese that is not pressed or stretched, and for one that its plan calls soft."""
    words = f"{plan.name} {plan.style}".lower().replace(",", " ").split()
    return "soft" in words or not of_kind(plan, *_FIRM)


def lets_listeria_grow(plan: Plan) -> bool:
    """True for a soft cheese, and for any that no culture sours; butter is none."""
    return (is_soft(plan) or not plan.sours) and not of_kind(plan, "churn")


SAFETY: tuple[Callable[[Plan], Iterator[Fault]], ...] = (
    _raw_in_soft, _raw_too_young, _killed_culture, _unsalted, _stored_warm,
)  # fmt: skip
