"""What stands on the kitchen's shelf: ingredients with their lots and dates."""

from __future__ import annotations

from journal.records.instants import DAY_MS
from journal.records.makes import Ingredient
from journal.sample.plans import CALCIUM, CULTURE, RENNET, SALT
from journal.sample.seeds import SHELF, identity, stream


def shelf_of(seed: int, now_ms: int) -> list[Ingredient]:
    """The ingredients at `now_ms`: the calcium chloride past its date, the salt nearly used up."""
    rows: tuple[tuple[str, str, str, str, float | None, float, str], ...] = (
        ("culture", CULTURE, "1 g for 60 l", "M-07", 118.0, 6.4, "g"),
        ("culture", CULTURE, "1 g for 60 l", "M-06", -41.0, 0.0, "g"),
        ("rennet", RENNET, "single strength", "R-15", 19.0, 38.0, "ml"),
        ("calcium chloride", CALCIUM, "30 %", "C-04", -24.0, 140.0, "ml"),
        ("salt", SALT, "", "", None, 55.0, "g"),
        ("other", "cheese wax", "", "", None, 420.0, "g"),
    )
    rng = stream(seed, SHELF)
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
