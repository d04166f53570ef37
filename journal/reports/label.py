"""The content of a wheel's label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.keeping import Journal
from journal.message import Instant
from journal.records.wheels import Wheel
from journal.reports.readiness import Ripening
from journal.wording import text_of, worded
from journal.wording.dates import format_day
from journal.wording.letters import capital


@dataclass(frozen=True)
class WheelLabel:
    """One label: the code, which its QR code says too, the plan, lines of facts, and what speaks
    against eating it ("" nothing)."""

    code: str
    plan: str
    facts: tuple[str, ...]
    not_to_eat: str = ""


def labels_of(journal: Journal, wheels: Sequence[Wheel], now_ms: int) -> list[WheelLabel]:
    """The labels of some wheels, in the order given."""
    ripening = Ripening(journal, now_ms)
    lives = {life.wheel.id: life for life in ripening.lives}
    found = []
    for wheel in wheels:
        make = journal.makes.get(wheel.make_id)
        plan = journal.makes.plan_of(make)
        weight = journal.shelves.course(wheel).now.kg
        facts = [
            capital(worded("wording.made-on", at=Instant(make.started_ms, make.zone))),
            capital(worded("reports.milk", treatment=make.milk.treatment,
                           animal=make.milk.animal).strip()),
        ]  # fmt: skip
        life = lives.get(wheel.id)
        if life is not None:
            ready = ripening.of(life)
            if ready.least is not None:
                on = format_day(ready.least, short=True)
                facts.append(capital(worded("wording.eat-from-date", on=on)))
            if ready.best is not None:
                first, last = (one and format_day(one, short=True) for one in ready.best)
                which = "reports.best-from-to" if last else "reports.best-from"
                facts.append(worded(which, first=first, last=last))
        if weight is not None:
            facts.append(worded("reports.weight-on", kg=weight, at=Instant(now_ms, make.zone)))
        verdict = journal.outcomes.verdict(make)
        against = "" if verdict is None else text_of(verdict.message)
        if make.failed and not against:
            against = journal.whole(wheel.make_id).why_failed or worded("reports.make-failed")
        found.append(WheelLabel(wheel.code, plan.name, tuple(facts), against))
    return found
