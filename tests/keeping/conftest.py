"""Fixtures of this room: a small plan, and an empty journal on disk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.records.makes import Make, Milk
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage

START = 1_760_000_000_000


@pytest.fixture
def plan() -> Plan:
    return Plan(
        "kitchen hard",
        (
            Stage("warm", 30, target_c=31.0, doses=(Dose("culture", "mesophilic", 0.02, "g"),)),
            Stage("set", 45, target_c=31.0, acid_target=AcidTarget("milk-ph", 6.5, 6.7, 0.0, 20.0)),
            Stage("cut", 10, target_c=31.0, size_mm=12.0),
            Stage("cook", 40, target_c=38.5, limit_c_per_min=0.3),
            Stage("drain", 15, acid_target=AcidTarget("curd-ph", 6.0, 6.2)),
        ),
        care=(CareRule("turn", 1, 30, 1), CareRule("oil", 14, 180, 30)),
        taste_at_days=(60.0, 120.0),
        eat_from_days=91.0,
    )


@pytest.fixture
def saved(tmp_path: Path) -> Iterator[Journal]:
    journal = Journal.create(tmp_path / "kitchen.vatside", zone="Europe/London")
    yield journal
    assert not journal.within_unit
    journal.close()


@pytest.fixture
def make(saved: Journal, plan: Plan) -> Make:
    return saved.makes.begin(plan, Milk(12.0, fat_pct=3.8), START)
