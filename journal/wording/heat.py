"""Pasteurising: the published pairs, and what the readings say of one: how long how hot."""

from __future__ import annotations

import math

from journal.curves.held_heat import HeldHeat
from journal.reckoning import pasteurise
from journal.wording.shown import apart, write


def held_words(heat: HeldHeat) -> tuple[str, bool]:
    """What to say of it, and whether that needs attention; "" once it is past and was enough."""
    must = math.ceil(10 * (heat.pair.temp_c + heat.off_c) - 1e-6) / 10
    shown, needed = write(must, "temperature"), _long(heat.pair.hold_s / 60)
    so_far = _long(heat.held_min)
    off = f" (thermometer not checked: {apart(heat.off_c)} allowed)" if heat.off_c else ""
    if heat.met:
        if heat.over and not heat.just:
            return "", False
        return (
            f"Read at {shown} or above for {so_far}{off}: the published pair, {needed}, is "
            "reached. Local codes decide.",
            False,
        )
    if not heat.over:
        return f"Read at {shown} or above for {so_far} of {needed} so far{off}.", False
    if not heat.raw and not heat.just:
        return "", False
    return (
        f"No published pair was reached: {shown} or above for {so_far} of {needed}{off}. Take the "
        "milk as raw; local codes decide.",
        heat.raw,
    )


def _long(minutes: float) -> str:
    """ "30 min", "15 s"; cut off, so that nothing is said to be longer than it was."""
    if minutes < 1:
        seconds = 60 * minutes
        return f"{seconds:g} s" if seconds < 10 else f"{math.floor(seconds + 1e-6)} s"
    return f"{math.floor(minutes + 1e-6)} min"


def pair_words(pair: pasteurise.Pair) -> str:
    """ "63 °C (145 °F) for 30 min"."""
    return f"{math.ceil(pair.temp_c - 1e-6)} °C ({pair.temp_f:g} °F) for {_long(pair.hold_s / 60)}"


def must_show(pair: pasteurise.Pair, off_c: float) -> str:
    """What a thermometer that may be off so far must show: "63.3 °C (146 °F) for 30 min"."""
    shown = math.ceil(10 * (pair.temp_c + off_c) - 1e-6) / 10
    fahrenheit = math.ceil(pair.temp_f + 1.8 * off_c - 1e-6)
    return f"{shown:.1f} °C ({fahrenheit:g} °F) for {_long(pair.hold_s / 60)}"
