"""Brine baths: what they were made with, what was done to them since, and what lay in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from journal.message import Message
from journal.reckoning.brine import (
    KEEPING_PCT,
    SALTING_PCT,
    SATURATED_PCT,
    BrineTable,
    brine_density_kg_m3,
    is_to_keep_in,
    top_up_salt_kg,
)
from journal.records import RecordError
from journal.records.kinds import check_one_of
from journal.records.plans import new_uuid
from journal.records.tables import table

# What can happen to a bath. "renewed": poured away and made again.
BRINE_EVENTS = ("measured", "salt", "water", "renewed", "boiled")
# Cheese is brined at 16 to 25 % salt (University of Guelph).
BRINE_LOW_PCT, BRINE_HIGH_PCT = SALTING_PCT
BRINE_TEMP_C = 15.0  # baths stand cool, 10 to 15 °C (a textbook); matters little for the density
# Common practice, no source.
BRINE_CAUTION = Message("records.brine-caution")


def _check_strength(pct: float | None) -> None:
    if pct is not None and not 0 < pct <= SATURATED_PCT + 0.005:
        raise RecordError("records.brine-strength", pct=pct, most_pct=SATURATED_PCT)


def _check_litres(litres: float | None) -> None:
    if litres is not None and not 0 < litres <= 10_000:
        raise RecordError("records.brine-litres", litres=litres)


@dataclass(frozen=True)
class Brine:
    """A bath as it was made: litres of brine and its strength, % w/w of the solution.

    That strength is also the one it is brought back to.
    """

    name: str
    litres: float
    strength_pct: float
    made_ms: int
    note: str = ""
    gone_ms: int | None = None  # poured away
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.brine-name")
        _check_litres(self.litres)
        _check_strength(self.strength_pct)


@dataclass(frozen=True)
class BrineEvent:
    """Something done to a bath: measured, salt or water added, made anew, boiled."""

    brine_id: int
    at_ms: int
    kind: str
    strength_pct: float | None = None
    salt_kg: float | None = None
    litres: float | None = None
    note: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, BRINE_EVENTS, "records.no-such-brine-event")
        _check_strength(self.strength_pct)
        _check_litres(self.litres)
        if self.salt_kg is not None and not 0 < self.salt_kg <= 5000:
            raise RecordError("records.brine-salt", kg=self.salt_kg)
        if self.kind == "measured" and self.strength_pct is None:
            raise RecordError("records.brine-without-strength")
        if self.kind == "salt" and self.salt_kg is None:
            raise RecordError("records.brine-without-salt")
        if self.kind == "water" and self.litres is None:
            raise RecordError("records.brine-without-water")
        if self.kind == "renewed" and (self.strength_pct is None or self.litres is None):
            raise RecordError("records.brine-without-making")


@dataclass(frozen=True)
class BrineStay:
    """A cheese in a bath, from when to when; `wheel_id` None: all of the make."""

    brine_id: int
    make_id: int
    in_ms: int
    wheel_id: int | None = None
    out_ms: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if self.out_ms is not None and self.out_ms < self.in_ms:
            raise RecordError("records.brine-out-before-in")

    @property
    def hours(self) -> float | None:
        """How long it lay there, hours; None while it still does."""
        return None if self.out_ms is None else (self.out_ms - self.in_ms) / 3_600_000


@dataclass(frozen=True)
class BrineState:
    """How a bath stands: its strength (% w/w), kg and litres, and where the strength is from.

    `known_ms` is when it was last made or measured, `calculated` whether salt or water went in
    since, `lain_since` how many stays in it began or went on after that: they took salt and gave
    whey that nobody weighed.
    """

    strength_pct: float
    kg: float
    litres: float
    known_ms: int
    calculated: bool
    lain_since: int


def brine_table() -> BrineTable:
    """The published densities of brine."""
    columns = table("brine_density")
    names = ("pct_w_w", "kg_m3_20c", "kg_m3_per_c")
    return BrineTable(*(np.array(columns[name], dtype=float) for name in names))


def bath_state(
    brine: Brine, events: Iterable[BrineEvent], stays: Sequence[BrineStay], densities: BrineTable
) -> BrineState:
    """How a bath stands after everything that was done to it.

    Salt and water are calculated by mass (exact); the kg come from the litres by the published
    density at 15 °C. What cheeses took is not guessed: a new measurement says it.
    """
    pct, known, calculated = brine.strength_pct, brine.made_ms, False
    kg = _kg(brine.litres, pct, densities)
    for event in sorted(events, key=_at):
        if event.kind == "renewed" and event.litres and event.strength_pct:
            pct, kg = event.strength_pct, _kg(event.litres, event.strength_pct, densities)
        elif event.kind == "measured" and event.strength_pct:
            pct = event.strength_pct
        elif event.kind in ("salt", "water"):
            salt, water = event.salt_kg or 0.0, event.litres or 0.0
            pct = min(100 * (kg * pct / 100 + salt) / (kg + salt + water), SATURATED_PCT)
            kg, calculated = kg + salt + water, True
        if event.kind in ("renewed", "measured"):
            known, calculated = event.at_ms, False
    lain = sum(s.out_ms is None or s.out_ms > known for s in stays)
    return BrineState(pct, kg, kg / _kg(1.0, pct, densities), known, calculated, lain)


def strengths(
    brine: Brine, events: Sequence[BrineEvent], densities: BrineTable
) -> list[tuple[int, float]]:
    """The strength after its making and after each thing done to it: (instant, % w/w)."""
    ordered = sorted(events, key=_at)
    out = [(brine.made_ms, brine.strength_pct)]
    for count, event in enumerate(ordered, start=1):
        if event.kind != "boiled":
            after = bath_state(brine, ordered[:count], (), densities)
            out.append((event.at_ms, after.strength_pct))
    return out


def salt_wanted_kg(stands: BrineState, wanted_pct: float) -> float:
    """Salt that brings the bath to `wanted_pct`, kg; 0 when it is as strong already. Exact."""
    if stands.strength_pct >= wanted_pct:
        return 0.0
    return float(top_up_salt_kg(stands.kg, stands.strength_pct, wanted_pct))


def lowest_pct(brine: Brine) -> float:
    """The weakest a bath may become: one made weak is there to keep white cheese in."""
    return KEEPING_PCT[0] if is_to_keep_in(brine.strength_pct) else BRINE_LOW_PCT


def brine_doubts(brine: Brine, stands: BrineState) -> list[Message]:
    """What is to be seen to in a bath."""
    doubts = []
    low = lowest_pct(brine)
    if stands.strength_pct < low:
        doubts.append(Message("records.brine-weak", low_pct=low))
    if stands.strength_pct > BRINE_HIGH_PCT:
        doubts.append(Message("records.brine-strong", high_pct=BRINE_HIGH_PCT))
    if stands.lain_since:
        doubts.append(Message("records.brine-lain", cheeses=stands.lain_since))
    wanted = salt_wanted_kg(stands, brine.strength_pct)
    if wanted >= 0.005:
        doubts.append(
            Message(
                "records.brine-salt-wanted",
                kg=wanted,
                pct=stands.strength_pct,
                wanted_pct=brine.strength_pct,
            )
        )
    return doubts


def _kg(litres: float, pct: float, densities: BrineTable) -> float:
    return litres * float(brine_density_kg_m3(pct, BRINE_TEMP_C, densities)) / 1000


def _at(event: BrineEvent) -> int:
    return event.at_ms
