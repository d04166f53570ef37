"""Pasteurising: the published pairs, and what the readings say of one: how long how hot."""

from __future__ import annotations

import math

from journal.curves.held_heat import HeldHeat
from journal.message import Message
from journal.reckoning import pasteurise
from journal.wording import worded


def held_words(heat: HeldHeat) -> tuple[str, bool]:
    """What to say of it, and whether that needs attention; "" once it is past and was enough."""
    must = math.ceil(10 * (heat.pair.temp_c + heat.off_c) - 1e-6) / 10
    needed, so_far = _long(heat.pair.hold_s / 60), _long(heat.held_min)
    unchecked = Message("wording.heat-unchecked", off=heat.off_c) if heat.off_c else ""
    if heat.over and not heat.just and (heat.met or not heat.raw):
        return "", False
    which = "wording.heat-reached" if heat.met else "wording.heat-not-reached"
    if not heat.met and not heat.over:
        which = "wording.heat-so-far"
    words = worded(which, must=must, held=so_far, needed=needed, unchecked=unchecked)
    return words, heat.raw and heat.over and not heat.met


def _long(minutes: float) -> str:
    """ "30 min", "15 s"; cut off, so that nothing is said to be longer than it was."""
    if minutes < 1:
        seconds = 60 * minutes
        return f"{seconds:g} s" if seconds < 10 else f"{math.floor(seconds + 1e-6)} s"
    return f"{math.floor(minutes + 1e-6)} min"


def pair_words(pair: pasteurise.Pair) -> str:
    """ "63 °C (145 °F) for 30 min"."""
    return _pair(f"{math.ceil(pair.temp_c - 1e-6)}", pair.temp_f, pair)


def must_show(pair: pasteurise.Pair, off_c: float) -> str:
    """What a thermometer that may be off so far must show: "63.3 °C (146 °F) for 30 min"."""
    shown = math.ceil(10 * (pair.temp_c + off_c) - 1e-6) / 10
    fahrenheit = math.ceil(pair.temp_f + 1.8 * off_c - 1e-6)
    return _pair(f"{shown:.1f}", fahrenheit, pair)


def _pair(celsius: str, fahrenheit: float, pair: pasteurise.Pair) -> str:
    held = _long(pair.hold_s / 60)
    return worded("wording.published-pair", celsius=celsius, fahrenheit=fahrenheit, held=held)
