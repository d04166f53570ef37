"""What a wheel is made of now: the make's estimate carried on by the weight it lost."""

from __future__ import annotations

from journal.findings.made_of import made_of
from journal.keeping import Journal
from journal.reckoning.composition import Kitchen
from journal.records import id_of
from journal.records.wheel_weight import WheelWeight
from journal.records.wheels import Wheel


def make_up_of(journal: Journal, wheel: Wheel, weight: WheelWeight | None = None) -> Kitchen | None:
    """What a wheel is made of by what was noted of its make, and what it lost since, which was
    water; `weight` of now where it is known. None where the milk's fat or a weight is not known,
    or they cannot go together."""
    make = journal.makes.binned(wheel.make_id)
    green = [w.green_weight_kg for w in journal.wheels.where(make_id=make.id) if not w.cut_from_id]
    weight = journal.shelves.course(wheel).now if weight is None else weight
    if not all(green) or weight.lost_pct is None:
        return None
    added = journal.additions.where(make_id=id_of(make), kind="salt", unit="g")
    runs = journal.runs.where(make_id=id_of(make), kind="brine")
    brined = any(run.began_ms is not None for run in runs)
    salt_g = None if brined or not added else sum(one.amount for one in added)
    return made_of(make.milk, salt_g, sum(kg or 0.0 for kg in green), weight.lost_pct)
