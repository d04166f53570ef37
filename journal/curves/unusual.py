"""What was different this time: facts of a make beside the same facts of other makes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.align import MOMENTS, moment_ms
from journal.curves.deviation import cook_rate
from journal.message import Message
from journal.records.traces import Trace
from journal.records.whole import WholeMake

LEAST = 3  # makes of the other makes without which nothing is called unusual
NEAR_MS = 30 * 60_000  # a value is read off between two readings no further apart
# The least spread that is taken for real, by unit: what a clock, a thermometer, a sensor resolve.
RESOLVED = {"min": 1.0, "°C": 0.2, "pH": 0.03, "°C/min": 0.01, "l": 0.1}
MAD_TO_SD = 1.4826  # of a normal spread


@dataclass(frozen=True)
class Fact:
    """One thing that can be said of a make in a number; `what` it is, and `of` what, among its
    values."""

    what: Message
    unit: str
    value: float


@dataclass(frozen=True)
class Different:
    """A fact beside the other makes: the usual value (median), its spread and the robust z.

    `z` is None where fewer than three makes of the other makes have the fact.
    """

    what: Message
    unit: str
    value: float
    usual: float | None
    spread: float | None
    z: float | None
    makes: int


def what_was_different(whole: WholeMake, comparison_set: Sequence[WholeMake]) -> list[Different]:
    """Facts of a make, the most unusual first; those that cannot be judged come last.

    The spread is 1.4826 × the median distance from the median, never less than what the
    instrument resolves. The make itself is left out of the others.
    """
    others = [
        {fact.what: fact.value for fact in facts(other)}
        for other in comparison_set
        if other.make.uuid != whole.make.uuid
    ]
    rows = [
        _beside(fact, [o[fact.what] for o in others if fact.what in o]) for fact in facts(whole)
    ]
    return sorted(rows, key=_strangeness)


def facts(whole: WholeMake) -> list[Fact]:
    """Slips, lengths, temperatures at the ends of stages, pH at moments, cook rate, milk."""
    litres = Fact(Message("curves.fact-litres", of="milk"), "l", whole.make.milk.litres)
    out = [*_stage_facts(whole), *_ph_facts(whole), litres]
    rate = cook_rate(whole)
    if rate is None:
        return out
    return [*out, Fact(Message("curves.fact-cook-rate", of="cook"), "°C/min", rate)]


def value_at(trace: Trace, at_ms: int) -> float | None:
    """A trace's value at an instant, straight between readings at most 30 min apart."""
    sound = trace.sound()
    index = int(np.searchsorted(sound.at_ms, at_ms))
    if index < len(sound) and sound.at_ms[index] == at_ms:
        return float(sound.value[index])
    if not 0 < index < len(sound) or sound.at_ms[index] - sound.at_ms[index - 1] > NEAR_MS:
        return None
    return float(np.interp(at_ms, sound.at_ms, sound.value))


def _stage_facts(whole: WholeMake) -> Iterator[Fact]:
    milk = whole.trace("milk-temp")
    for name, run in zip(_names(whole), whole.runs, strict=False):
        if run.began_ms is None:
            continue
        if run.delay_min is not None:
            yield Fact(Message("curves.fact-slip", of=name), "min", run.delay_min)
        if run.ended_ms is None:
            continue
        length = (run.ended_ms - run.began_ms) / 60_000
        yield Fact(Message("curves.fact-length", of=name), "min", length)
        warmth = value_at(milk, run.ended_ms)
        if warmth is not None:
            yield Fact(Message("curves.fact-milk-at-end", of=name), "°C", warmth)


def _ph_facts(whole: WholeMake) -> Iterator[Fact]:
    for kind, of in (("milk-ph", "milk"), ("curd-ph", "curd"), ("whey-ph", "whey")):
        for moment in MOMENTS:
            at = moment_ms(whole, moment)
            ph = None if at is None else value_at(whole.trace(kind), at)
            if ph is not None:
                yield Fact(Message("curves.fact-ph", of=of, moment=moment), "pH", ph)


def _names(whole: WholeMake) -> list[str]:
    """What each stage is called, counted where a name comes again."""
    labels = [
        whole.plan.stages[i].label if i < len(whole.plan.stages) else run.kind
        for i, run in enumerate(whole.runs)
    ]
    return [
        label if labels.count(label) == 1 else f"{label} {labels[: i + 1].count(label)}"
        for i, label in enumerate(labels)
    ]


def _beside(fact: Fact, others: list[float]) -> Different:
    if len(others) < LEAST:
        usual = float(np.median(others)) if others else None
        return Different(fact.what, fact.unit, fact.value, usual, None, None, len(others))
    usual = float(np.median(others))
    spread = MAD_TO_SD * float(np.median(np.abs(np.array(others) - usual)))
    spread = max(spread, RESOLVED[fact.unit])
    z = (fact.value - usual) / spread
    return Different(fact.what, fact.unit, fact.value, usual, spread, z, len(others))


def _strangeness(row: Different) -> tuple[bool, float, list[str]]:
    what = row.what
    named = [what.values["of"], what.id, what.values.get("moment", "")]
    return row.z is None, -abs(row.z or 0.0), named
