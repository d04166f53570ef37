"""Fixtures of this room: a journal with one make under way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage

ZONE = "Europe/London"


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Journal]:
    journal = Journal.create(tmp_path / "kitchen.vatside", zone=ZONE)
    yield journal
    assert not journal.within_unit
    journal.close()


@pytest.fixture
def make(kept: Journal) -> Make:
    plan = Plan("kitchen hard", (Stage("warm", 30, target_c=31.0), Stage("set", 45)))
    return kept.makes.begin(plan, Milk(12.0), from_iso("2026-07-14T08:00", ZONE))


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str, str], Path]:
    def file(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return file
