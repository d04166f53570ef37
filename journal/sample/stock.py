"""The kitchen's stock: ingredients, the brine, a culture kept alive."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from journal.records import id_of
from journal.records.brines import Brine, BrineEvent, BrineStay
from journal.records.cultures import Generation, gone, next_generation
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Ingredient, Make
from journal.records.wheels import Wheel
from journal.sample.plans import CALCIUM, CULTURE, RENNET, SALT
from journal.sample.seeds import PACKETS, STOCK, identity, stream


def packets_of(seed: int, now_ms: int) -> list[Ingredient]:
    """The ingredients at `now_ms`: the calcium chloride past its date, the salt nearly used up."""
    rows: tuple[tuple[str, str, str, str, float | None, float, str], ...] = (
        ("culture", CULTURE, "1 g for 60 l", "M-07", 118.0, 6.4, "g"),
        ("culture", CULTURE, "1 g for 60 l", "M-06", -41.0, 0.0, "g"),
        ("rennet", RENNET, "single strength", "R-15", 19.0, 38.0, "ml"),
        ("calcium chloride", CALCIUM, "30 %", "C-04", -24.0, 140.0, "ml"),
        ("salt", SALT, "", "", None, 55.0, "g"),
        ("other", "cheese wax", "", "", None, 420.0, "g"),
    )
    rng = stream(seed, PACKETS)
    return [
        Ingredient(
            kind=kind,
            name=name,
            strength=strength,
            lot=lot,
            expires_ms=None if days is None else now_ms + round(days * DAY_MS),
            amount_left=left,
            unit=unit,
            uuid=identity(rng),
        )
        for kind, name, strength, lot, days, left, unit in rows
    ]


def bath_of(seed: int, now_ms: int) -> Brine:
    """The kitchen's one bath, made some months ago."""
    rng = stream(seed, STOCK, 0)
    made = now_ms - 143 * DAY_MS
    return Brine("the brine", 12.0, 20.0, made, uuid=identity(rng))


def bath_events(seed: int, now_ms: int, brine_id: int) -> list[BrineEvent]:
    """What was done to the bath: it weakens, is topped up, boiled, and weakens again."""
    rng = stream(seed, STOCK, 1)
    rows: tuple[tuple[float, str, float | None, float | None, float | None, str], ...] = (
        (101.0, "measured", 18.6, None, None, ""),
        (100.9, "salt", None, 0.24, None, "stirred till clear"),
        (60.0, "measured", 18.9, None, None, ""),
        (59.0, "boiled", None, None, None, "it was cloudy; skimmed"),
        (58.9, "salt", None, 0.19, None, ""),
        (58.8, "water", None, None, 1.4, "for what was skimmed off and boiled away"),
        (12.0, "measured", 17.8, None, None, "by the float"),
    )
    return [
        BrineEvent(brine_id, now_ms - round(days * DAY_MS), kind, pct, salt, litres=litres,
                   note=note, uuid=identity(rng))
        for days, kind, pct, salt, litres, note in rows
    ]  # fmt: skip


def bath_stays(
    seed: int, number: int, brine: Brine, make: Make, wheels: Sequence[Wheel]
) -> list[BrineStay]:
    """The wheels of a washed-curd make in the bath: some hours after the press, for the rind."""
    if make.finished_ms is None or make.finished_ms < brine.made_ms:
        return []
    rng = stream(seed, STOCK, 3, number)
    used = make.finished_ms + round(float(rng.uniform(15, 40))) * MINUTE_MS
    out = used + round(float(rng.uniform(5 * 60, 7 * 60))) * MINUTE_MS
    return [
        BrineStay(id_of(brine), id_of(make), used, wheel.id, out, uuid=identity(rng))
        for wheel in wheels
    ]


def mothers_of(seed: int, now_ms: int) -> Iterator[Generation]:
    """Four generations of a culture kept alive, the first one first; whoever keeps them says
    which id the one before was kept under."""
    rng = stream(seed, STOCK, 2)
    one = Generation(
        "kitchen yoghurt culture", now_ms - 26 * DAY_MS, culture_type="thermophilic",
        origin="packet Y-02", ph=4.4, uuid=identity(rng),
    )  # fmt: skip
    for days, ph in ((19, 4.45), (11, 4.4), (4, 4.52)):
        last = replace(one, keep_until_ms=one.made_ms + 8 * DAY_MS)
        yield gone(last, now_ms - days * DAY_MS)
        one = replace(
            next_generation(last, now_ms - days * DAY_MS, ph=ph), parent_id=None, uuid=identity(rng)
        )
    yield one
