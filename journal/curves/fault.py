"""One thing in a plan that cannot work, or that the maker is to know before the milk is bought."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from journal.message import Message
from journal.records.plans import Plan, Stage


@dataclass(frozen=True)
class Fault:
    """Something that cannot work: the place of the stage it is at (-1: the plan), and why."""

    stage: int
    message: Message


def of_kind(plan: Plan, *kinds: str) -> list[tuple[int, Stage]]:
    """The stages of these kinds, each with its place."""
    return [(i, s) for i, s in enumerate(plan.stages) if s.kind in kinds]


def indexes_of(plan: Plan, ingredient: str) -> Iterator[int]:
    """The places of the stages at which an ingredient of that kind goes in."""
    for i, stage in enumerate(plan.stages):
        if any(dose.kind == ingredient and dose.per_litre > 0 for dose in stage.doses):
            yield i
