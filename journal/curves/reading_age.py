"""How long a reading of the milk speaks for now: a few minutes where it is warmed, longer held."""

from __future__ import annotations

from typing import NamedTuple

from journal.records.plans import Stage

# A cook climbs by up to half a degree a minute, so after five it may be 2.5 °C further, beyond
# any allowed range. A vat that is held and stirred loses some tenths of a degree in a quarter of
# an hour, one left covered in half an hour (common practice, no source; the loss is that of
# vessel_fit's middle, 0.003 a minute of what the milk is above the room).
WARMED_MIN, HELD_MIN, LEFT_MIN = 5.0, 15.0, 30.0
CLIMBS_C = 1.0  # so near its target a stage no longer climbs
AFTER_THE_VAT = ("press", "brine", "dry", "smoke")  # what is read there is no milk


class ReadingAge(NamedTuple):
    """For how many minutes a reading speaks for now, and whether a hand is there to read again."""

    minutes: float
    asked: bool


def fresh_for(stage: Stage, from_c: float, since_min: float, read_c: float) -> ReadingAge | None:
    """How long a reading is good for in a stage; None where no milk is held at a temperature.

    Parameters
    ----------
    stage
        The stage that runs.
    from_c
        The planned °C it began from.
    since_min
        Minutes since it began, what was added by hand taken off.
    read_c
        The last reading: milk that is not there yet still climbs, whatever the clock says.
    """
    if stage.target_c is None or stage.kind in AFTER_THE_VAT:
        return None
    moves = abs(stage.target_c - from_c) >= CLIMBS_C
    there = abs(stage.target_c - read_c) <= stage.allowed_c
    if moves and (since_min < stage.ramp_length_min or not there):
        return ReadingAge(WARMED_MIN, True)
    return ReadingAge(HELD_MIN, True) if stage.hands else ReadingAge(LEFT_MIN, False)
