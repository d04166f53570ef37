"""How far a curd must have soured by which hour: one table by family, for plans, vat and sums.

A published limit stands only for the family it was measured on. Every other cheese goes by its own
plan's acid target.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from journal.curves.culture_time import culture_in_min
from journal.curves.titration import FRESH_PH, ph_of_acidity
from journal.message import Message
from journal.records.kinds import PH_KINDS, TITRATED_KINDS
from journal.records.makes import Make, Milk
from journal.records.plans import AcidTarget, Plan
from journal.records.tables import table
from journal.records.whole import WholeMake

SWEET_PH = (
    6.5  # an acid target above it is milk that is hardly ripened and says nothing of the acid
)
# So long after the plan's own time, and by so much (or by a quarter of what it was to fall, where
# that is less), the acid is late, and not just slower than meant: common practice, no source.
LATE_H, SWEETER_PH, SHORT = 2.0, 0.1, 0.25


@dataclass(frozen=True)
class AcidLimit:
    """What the acid must have come to `hours` after the culture went in.

    `good` is what a sound cheese has reached, `slow` what a slow one has not (both alike where
    only one is known), as readings of `kind`; `good_ph` and `slow_ph` are the same as pH of what
    `whey` says, curd or whey. `message` says it as a sentence's end.
    """

    family: str
    hours: float
    kind: str
    good: float
    slow: float
    good_ph: float
    slow_ph: float
    message: Message
    published: bool

    @property
    def whey(self) -> float:
        """1 for a limit of whey's pH, else 0."""
        return float(self.kind == "whey-ph")


def family_of(plan: Plan) -> str:
    """The family with a published limit that a plan's name and style say it is of, else ""."""
    words = f"{plan.name} {plan.style}".lower().replace(",", " ").replace(" and ", " ").split()
    for family, named_by in _families():
        if all(word in words for word in named_by.split()):
            return family
    return ""


def limits_of(plan: Plan) -> tuple[AcidLimit, ...]:
    """The limits of the plan's family, else the plan's own acid targets by their hour."""
    family = family_of(plan)
    return _of_family(plan, family) if family else own_limits_of(plan)


def own_limits_of(plan: Plan) -> tuple[AcidLimit, ...]:
    """The plan's own acid targets by their hour, whatever its family."""
    return tuple(_own(plan))


def target_of(plan: Plan) -> AcidTarget | None:
    """The plan's own acid target: the last of its acid targets that asks for soured curd or
    whey."""
    asked = [acid_target for _, acid_target in _acid_targets(plan)]
    return asked[-1] if asked else None


@cache
def _families() -> tuple[tuple[str, str], ...]:
    rows = table("acid_limits")
    both = zip(rows["family"], rows["named_by"], strict=True)
    return tuple((family, named_by) for family, named_by in both if named_by)


def _of_family(plan: Plan, family: str) -> tuple[AcidLimit, ...]:
    rows = table("acid_limits")
    out = []
    for i, name in enumerate(rows["family"]):
        if name != family:
            continue
        kind, hours = rows["kind"][i], float(rows["hours"][i])
        good, slow = float(rows["good"][i]), float(rows["slow"][i])
        published = not rows["source"][i].startswith("common practice")
        phs = _as_ph(plan, kind, good), _as_ph(plan, kind, slow)
        sentence = Message(
            "curves.limit-published" if published else "curves.limit-usual",
            family=family,
            hours=hours,
            note=rows["note"][i],
            source=rows["source"][i],
        )
        out.append(AcidLimit(family, hours, kind, good, slow, *phs, sentence, published))
    return tuple(out)


def _own(plan: Plan) -> list[AcidLimit]:
    zero = culture_in_min(WholeMake(Make("plan", 0, Milk(plan.milk_l), 0), plan))
    out = []
    for closes, acid_target in _acid_targets(plan):
        hours = (closes - zero) / 60
        if hours <= 0:
            continue
        sentence = Message(
            "curves.limit-own",
            of="whey" if acid_target.kind == "whey-ph" else "curd",
            ph=acid_target.high,
            minutes=round(closes - zero),
        )
        good = acid_target.high
        slow = good + min(SWEETER_PH, SHORT * (FRESH_PH - good))
        out.append(
            AcidLimit(
                "",
                hours + LATE_H,
                acid_target.kind,
                good,
                slow,
                good,
                slow,
                sentence,
                published=False,
            )
        )
    return out


def _acid_targets(plan: Plan) -> list[tuple[float, AcidTarget]]:
    """The acid targets that ask for soured curd or whey, each with the minute of the plan it
    closes."""
    out = []
    for begin, stage in zip(plan.starts(), plan.stages, strict=True):
        acid_target = stage.acid_target
        if (
            acid_target is not None
            and acid_target.kind in PH_KINDS
            and acid_target.high <= SWEET_PH
        ):
            out.append(
                (
                    begin + (stage.minutes if acid_target.to_min is None else acid_target.to_min),
                    acid_target,
                )
            )
    return out


def _as_ph(plan: Plan, kind: str, value: float) -> float:
    return float(ph_of_acidity(value, plan.animal, kind)) if kind in TITRATED_KINDS else value
