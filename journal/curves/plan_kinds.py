"""What in a plan may hurt the eater where no culture sours it, or where it is stretched, scalded,
churned, smoked, sealed, ashed or laid in oil."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import numpy as np

from journal.curves.fault import Fault, indexes_of, of_kind
from journal.curves.plan_heat import meets_pair, minutes_above, pairs_of, warmed
from journal.curves.plan_safety import days_warm, is_soft, last_day
from journal.message import Message
from journal.records.plans import Plan

# Without a culture: five days in the cold are exempt from the rule on Listeria (Australia, CHE
# 07-2016); under 5 °C: common practice, no source.
SWEET_DAYS, SWEET_C = 5.0, 5.0
# Salt that holds Clostridium botulinum (10 %, as it is often given).
STRONG_BRINE_PCT = 10.0
# What is boiled down for hours has little water left (brown whey cheese).
BOILED_C, BOILED_MIN = 98.0, 180.0
# Heat and acid set milk at 70 to 95 °C (published for paneer and queso blanco: 70 to 90).
ACID_SET_C = 70.0
# pH at the stretch with a culture 5.0 to 5.2, with acid alone 5.5 to 5.7 (Food Technol. Biotechnol.
# 59, 82); water of 80 to 85 °C: two tenths and 20 °C wider, common practice, no source.
STRETCH_PH, ACID_STRETCH_PH = (4.8, 5.4), (5.3, 5.9)
STRETCH_C = (60.0, 90.0)
SCALD_C, SCALD_MIN = 80.0, 20.0  # a handbook on rural dairying: 80 to 90 °C, at least 20 min
CHURN_C = (8.0, 18.0)  # 54 to 64 °F (US Department of Agriculture 1946); 8 in summer, from memory
SMOKE_C = 30.0  # below it smoke is called cold; Staphylococcus aureus grows from 7 to 48 °C
SEALED_DAYS, SEALED_C = 10.0, 8.0  # sealed without air, 3 to 8 °C (UK Food Standards Agency)
COOL_FROM_C, COOL_TO_C, COOL_MIN = 57.0, 21.0, 120.0  # FDA Food Code 3-501.14
OPEN_MIN, COLD_AGAIN_C = 240.0, 8.0  # 4 h out of heat and cold: FDA Food Code 3-501.19
# Milk soured without rennet is done at pH 4.4 to 4.9 (US limits for cream cheese, restated) or 4.6
# (yoghurt); how long counts as souring: common practice, no source.
SOURED_PH, LONG_SOUR_MIN = 5.0, 240.0
LEAST_BRINE_PCT = 6.0  # the weakest tried for white cheese is 6.5 (McMahon et al. 2009)
ASHED_PH = 5.0  # what is ashed has soured below it (lactic curd: 4.4 to 4.6)
_IN_OIL = re.compile(
    r"\b(?:in|into|under|beneath|below)\s+(?:\w+\s+){0,3}oil\b"
    r"|\b(?:cover|fill|top|pour)\w*\b[^.;]{0,40}\boil\b|\bmarinad\w*|\bmarinat\w*",
    re.IGNORECASE,
)
_HERBS = re.compile(
    r"\b(?:garlic|herbs?|chill?i\w*|peppers?|tomato\w*|mushrooms?)\b", re.IGNORECASE
)
_SALT = re.compile(r"\b(\d+(?:\.\d+)?) % salt\b")
_ACID = re.compile(r"\b(?:acid|vinegar|lemon)\b", re.IGNORECASE)


def _pasteurise(plan: Plan) -> Iterator[Fault]:
    for i, (stage, from_c) in enumerate(warmed(plan)):
        if stage.kind != "pasteurise" or meets_pair(plan, stage, from_c):
            continue
        slow, quick = pairs_of(plan)[:2]
        yield Fault(
            i,
            Message(
                "curves.pasteurise-short",
                slow_c=slow.temp_c,
                slow_min=slow.hold_s / 60,
                quick_c=quick.temp_c,
                quick_s=quick.hold_s,
            ),
        )


def _sweet(plan: Plan) -> Iterator[Fault]:
    """Cheese that no culture sours."""
    if plan.sours:
        return
    warm, warmest = days_warm(plan, SWEET_C)
    if warm > 1:
        yield Fault(-1, Message("curves.sweet-kept-warm", days=round(warm), warmest_c=warmest))
    kept = last_day(plan)
    if kept > SWEET_DAYS and not _strong_brine(plan) and not _boiled_down(plan):
        yield Fault(-1, Message("curves.sweet-kept-long", days=round(kept)))
    heated = [s.target_c or 0.0 for s in plan.stages]
    rennet = max(indexes_of(plan, "rennet"), default=None)
    if rennet is not None and max(heated[rennet:]) < ACID_SET_C:
        yield Fault(rennet, Message("curves.sweet-rennet"))
    for i, stage in enumerate(plan.stages):
        sour = any(d.kind == "other" and _ACID.search(d.name) for d in stage.doses)
        if sour and max(heated[: i + 1]) < ACID_SET_C:
            yield Fault(i, Message("curves.acid-in-the-cold", hottest_c=max(heated[: i + 1])))


def _cooling(plan: Plan) -> Iterator[Fault]:
    """Sweet curd or cream that lies too long between hot and cold."""
    for i, (stage, from_c) in enumerate(warmed(plan)):
        if plan.sours or stage.kind != "cool" or from_c < COOL_FROM_C or not stage.target_c:
            continue
        minutes, temp = np.array(stage.knots(from_c)).T
        falling = np.interp([-COOL_FROM_C, -COOL_TO_C], -temp, minutes)
        took = float(falling[1] - falling[0])
        if stage.target_c > COOL_FROM_C or took <= COOL_MIN + 1e-6:
            continue
        yield Fault(i, Message("curves.cooled-slowly", minutes=took))


def _left_warm(plan: Plan) -> Iterator[Fault]:
    """Sweet curd that is neither hot nor cold for hours, once it was hot."""
    if plan.sours or _boiled_down(plan):
        return
    hot, minutes, since = False, 0.0, -1
    for i, stage in enumerate(plan.stages):
        target = stage.target_c
        if target is not None and target >= COOL_FROM_C:
            hot, minutes, since = True, 0.0, -1
        elif stage.kind == "cool" or (target is not None and target <= COLD_AGAIN_C):
            hot = False
        elif hot:
            minutes, since = minutes + stage.minutes, i if since < 0 else since
            if minutes > OPEN_MIN:
                yield Fault(since, Message("curves.sweet-left-warm", minutes=minutes))
                return


def _soured_in_the_jar(plan: Plan) -> Iterator[Fault]:
    """Milk and cream that are soured without rennet: by a culture, and far enough."""
    if not plan.sours or any(indexes_of(plan, "rennet")) or of_kind(plan, "set", "churn"):
        return
    sours = [(i, one) for i, one in of_kind(plan, "ripen") if one.minutes >= LONG_SOUR_MIN]
    if sours and not any(indexes_of(plan, "culture")):
        yield Fault(sours[0][0], Message("curves.soured-by-nothing", stage=sours[0][1].label))
    for i, stage in sours:
        asked = stage.acid_target
        if asked is not None and asked.kind in ("milk-ph", "curd-ph") and asked.high > SOURED_PH:
            yield Fault(i, Message("curves.soured-little", high=asked.high))


def _stretch(plan: Plan) -> Iterator[Fault]:
    low_c, high_c = STRETCH_C
    for i, stage in of_kind(plan, "stretch"):
        if stage.target_c is None or not low_c <= stage.target_c <= high_c:
            yield Fault(i, Message("curves.stretch-temperature", stage=stage.label))
        asked = [s.acid_target for s in plan.stages[:i] if s.acid_target is not None]
        curd = [one for one in asked if one.kind in ("curd-ph", "milk-ph")]
        low, high = STRETCH_PH if plan.sours else ACID_STRETCH_PH
        if not curd:
            yield Fault(i, Message("curves.stretch-unread", stage=stage.label))
        elif curd[-1].high > high or curd[-1].low < low:
            numbers = {"low": curd[-1].low, "high": curd[-1].high}
            yield Fault(i, Message("curves.stretch-ph", **numbers))


def _scald(plan: Plan) -> Iterator[Fault]:
    for i, (stage, from_c) in enumerate(warmed(plan)):
        if stage.kind != "scald":
            continue
        held = minutes_above(stage, from_c, SCALD_C)
        if held < SCALD_MIN:
            yield Fault(i, Message("curves.scald-short", stage=stage.label, minutes=held))


def _churn(plan: Plan) -> Iterator[Fault]:
    low, high = CHURN_C
    for i, stage in of_kind(plan, "churn"):
        if stage.target_c is None or not low <= stage.target_c <= high:
            yield Fault(i, Message("curves.churn-temperature", stage=stage.label))


def _smoke(plan: Plan) -> Iterator[Fault]:
    for i, stage in of_kind(plan, "smoke"):
        if stage.target_c is None or stage.target_c > SMOKE_C:
            yield Fault(i, Message("curves.smoke-warm", stage=stage.label))
    for rule in plan.care:
        if rule.kind == "smoke" and rule.room_c is not None and rule.room_c > SMOKE_C:
            yield Fault(-1, Message("curves.smoke-warm", stage=rule.kind))


def _sealed(plan: Plan) -> Iterator[Fault]:
    """Without air in a bag or under wax: what is soft or sweet."""
    sealed = [rule.from_day for rule in plan.care if rule.kind in ("vacuum", "wax")]
    if not sealed or (plan.sours and not is_soft(plan)):
        return
    days, (_, warmest) = last_day(plan) - min(sealed), days_warm(plan, SEALED_C)
    if days > SEALED_DAYS or warmest > SEALED_C:
        yield Fault(-1, Message("curves.sealed-soft", days=round(days)))


def _ashed(plan: Plan) -> Iterator[Fault]:
    ashed = any(rule.kind == "ash" for rule in plan.care)
    asked = (s.acid_target for s in plan.stages if s.acid_target is not None)
    if ashed and not any(one.kind == "curd-ph" and one.high <= ASHED_PH for one in asked):
        yield Fault(-1, Message("curves.ash-on-sweet"))


def _oil(plan: Plan) -> Iterator[Fault]:
    """Laid in oil; with herbs or garlic it is worse."""
    words = [(i, f"{s.label}. {s.instruction} {s.until}") for i, s in enumerate(plan.stages)]
    words += [(-1, f"{rule.note}") for rule in plan.care]
    words += [(-1, f"{plan.name}. {plan.style}. {plan.note}")]
    found = next((i for i, text in words if _IN_OIL.search(text)), None)
    if found is not None:
        herbs = any(_HERBS.search(text) for _, text in words)
        yield Fault(found, Message("curves.herbs-in-oil" if herbs else "curves.laid-in-oil"))


def _weak_brine(plan: Plan) -> Iterator[Fault]:
    for i, stage in of_kind(plan, "brine"):
        if stage.brine_pct and stage.brine_pct < LEAST_BRINE_PCT:
            yield Fault(i, Message("curves.weak-brine", percent=stage.brine_pct))


def _strong_brine(plan: Plan) -> bool:
    """A brine that the cheese is kept in by its care."""
    salts = [_SALT.search(rule.note) for rule in plan.care if "under" in rule.note.lower()]
    return any(one is not None and float(one[1]) >= STRONG_BRINE_PCT for one in salts)


def _boiled_down(plan: Plan) -> bool:
    long = (s.minutes for s in plan.stages if s.target_c is not None and s.target_c >= BOILED_C)
    return sum(long) >= BOILED_MIN


KINDS: tuple[Callable[[Plan], Iterator[Fault]], ...] = (
    _pasteurise, _sweet, _cooling, _left_warm, _soured_in_the_jar, _stretch, _scald, _churn, _smoke,
    _sealed, _ashed, _oil, _weak_brine,
)  # fmt: skip
